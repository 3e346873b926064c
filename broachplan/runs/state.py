"""What a run is now: its loads with what was pushed and read, its hubs, and what it waits for.

All of it follows from the steps; see `runs.fold`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

from broachplan.lengths import Length
from broachplan.runs.plain import plain_reading, shims_of
from broachplan.runs.run import Order, Run, RunPiece
from broachplan.runs.steps import End, Stack, Step, ToDo
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim


class Status(StrEnum):
    """The four states of a run."""

    RUNNING = "running"
    STOPPED = "stopped"
    DONE = "done"
    ABANDONED = "abandoned"


class Waits(StrEnum):
    """What a run waits for."""

    PUSH = "push"
    READING = "reading"
    DECISION = "decision"
    END = "end"
    NOTHING = "nothing"


class Cause(StrEnum):
    """Why a run is stopped. What is first here is shown where there are several."""

    PARKED = "parked"
    PART_WAY = "part way"
    BROKEN = "broach broken"
    GONE = "shim gone"
    STOPPED = "stopped"
    DISPUTED = "disputed"
    PAST = "past"
    BLOCKED = "blocked"


class Fate(StrEnum):
    """What was decided on a hub."""

    ASIDE = "aside"
    SCRAPPED = "scrapped"
    ACCEPTED = "accepted"


class Outcome(StrEnum):
    """What the reading of a hub's last pass says."""

    WITHIN = "within"
    SHORT = "short"
    PAST = "past"
    DISPUTED = "disputed"
    NOT_MEASURED = "not measured"


class Phase(StrEnum):
    """The phase of a load."""

    WAITING = "waiting"
    SET_UP = "set up"
    PUSHED = "pushed"
    READ = "read"
    NOT_READ = "not read"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class GaugedEnd:
    """One end of a hub as it was gauged, or as that was corrected; ``step`` is the step that read it."""

    step: int
    end: End | None
    t: Length
    disputed: bool


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read on a hub after a pass: once, or at both ends."""

    hub: int
    ends: tuple[GaugedEnd, ...]

    @property
    def whole(self) -> bool:
        """Whether both ends are there where one of them was named."""
        return len(self.ends) > 1 or self.ends[0].end is None

    @property
    def deepest(self) -> Length:
        """The larger reading."""
        return max(gauged.t for gauged in self.ends)

    @property
    def shallowest(self) -> Length:
        """The smaller reading."""
        return min(gauged.t for gauged in self.ends)

    @property
    def disputed(self) -> bool:
        """Whether an end lies off its band, and nobody is sure of it."""
        return any(gauged.disputed for gauged in self.ends)

    @property
    def step(self) -> int:
        """The step that read it."""
        return max(gauged.step for gauged in self.ends)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pushed:
    """A pass that is through.

    ``planned`` is what was to be in, ``shims`` what was in; ``last``: nothing was to be done after it. ``gauge`` holds the
    hubs that are to be gauged after it, ``skipped`` those that were not.
    """

    number: int
    step: int
    broach: str
    bushing: str
    press: str | None
    planned: Stack
    shims: Stack
    last: bool
    gauge: tuple[int, ...] = ()
    readings: tuple[Reading, ...] = ()
    skipped: tuple[int, ...] = ()

    def read_of(self, hub: int) -> Reading | None:
        """What was read on a hub, whole; None where nothing was."""
        return next((one for one in self.readings if one.hub == hub and one.whole), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadState:
    """A load: its hubs, what was pushed, what is still to do. ``first``: the first one cut with these two pieces.

    ``gauged``: it is the first one since the tools were in the crib.
    """

    number: int
    hubs: tuple[int, ...]
    to_do: ToDo
    passes: tuple[Pushed, ...] = ()
    first: bool = False
    gauged: bool = False

    @property
    def through(self) -> bool:
        """Whether all passes that were planned are through."""
        if not self.passes or self.to_do.stacks:
            return False
        return self.passes[-1].last or not self.to_do.blocked

    @property
    def last_push(self) -> Pushed | None:
        """The pass that was pushed last."""
        return self.passes[-1] if self.passes else None


@dataclass(frozen=True)
class RunState:
    """What a run is now.

    ``pieces`` holds every piece the run ever took, with its figures as they are used now; ``held`` the tags of those that
    are with it, ``dropped`` of those that are gone or broken. ``begun`` holds the loads in work or finished, by number; ``new_hubs`` is what is to do on
    each of the others. ``events`` are the causes that an act set, with the words typed; the others follow from readings.
    ``read_each`` is how often hubs are gauged where that was changed since the start.
    """

    run: Run
    steps: tuple[Step, ...]
    pieces: Mapping[str, RunPiece]
    held: frozenset[str]
    dropped: frozenset[str]
    new_hubs: ToDo
    begun: Mapping[int, LoadState]
    fates: Mapping[int, tuple[Fate, str]]
    events: Mapping[Cause, str]
    to_read: frozenset[int]
    gauge_next: bool = False
    read_each: int | None = None
    closed: Status | None = None
    closed_why: str = ""

    @cached_property
    def as_asked(self) -> Run:
        """The run with hubs gauged as often as it is asked now."""
        return self.run if self.read_each is None else replace(self.run, read_each=self.read_each)

    # -- pieces -------------------------------------------------------------------------------------------------

    def broach(self, tag: str) -> Broach:
        """A broach of the run by its tag."""
        piece = self.pieces[tag].piece
        assert isinstance(piece, Broach)
        return piece

    def bushing(self, tag: str) -> Bushing:
        """A bushing of the run by its tag."""
        piece = self.pieces[tag].piece
        assert isinstance(piece, Bushing)
        return piece

    def press(self, tag: str | None) -> Press | None:
        """The press by its tag; None where none was chosen."""
        piece = self.pieces[tag].piece if tag else None
        return piece if isinstance(piece, Press) else None

    def stack(self, tags: Iterable[str]) -> tuple[Shim, ...]:
        """Shims of the run by their tags, in that order."""
        return shims_of(self.pieces, tags)

    def plain(self, broach: str, bushing: str, stack: Iterable[str]) -> Length:
        """The plain reading of a stack: web + shims + height over the last tooth."""
        return plain_reading(self.pieces, broach, bushing, stack)

    def plain_of(self, push: Pushed) -> Length:
        """The plain reading of a pass with what was really in, by the figures as they are used now."""
        return self.plain(push.broach, push.bushing, push.shims)

    def with_pieces(self, taken: Iterable[RunPiece]) -> RunState:
        """The same run with further pieces, or with other figures of those it has."""
        return replace(self, pieces={**self.pieces, **{one.tag: one for one in taken}})

    # -- loads and hubs -----------------------------------------------------------------------------------------

    @cached_property
    def loads(self) -> tuple[tuple[int, ...], ...]:
        """The hubs of each load."""
        return self.run.loads

    def load(self, number: int) -> LoadState:
        """A load by its number; one that is not begun has all passes to do."""
        begun = self.begun.get(number)
        return begun or LoadState(number=number, hubs=self.loads[number - 1], to_do=self.new_hubs)

    def load_of(self, hub: int) -> LoadState:
        """The load that a hub is in."""
        return self.load((hub - 1) // self.run.hub.stack + 1)

    def in_work(self, load: LoadState) -> tuple[int, ...]:
        """The hubs of a load on which nothing was decided."""
        return tuple(hub for hub in load.hubs if hub not in self.fates)

    def outcome(self, hub: int) -> Outcome | None:
        """What the reading after the pass pushed last says of a hub; None where its load is not begun."""
        push = self.load_of(hub).last_push
        return None if push is None else self.outcome_of(push.read_of(hub))

    def outcome_of(self, reading: Reading | None) -> Outcome:
        """What a reading says; one end past and one short is past."""
        limits = self.run.keyway.reading
        if reading is None:
            return Outcome.NOT_MEASURED
        if reading.disputed:
            return Outcome.DISPUTED
        if reading.deepest > limits.upper:
            return Outcome.PAST
        return Outcome.SHORT if reading.shallowest < limits.lower else Outcome.WITHIN

    def finished(self, load: LoadState) -> bool:
        """Whether nothing is left to do on a load: all decided, or all passes through and no reading short of its limit."""
        hubs = self.in_work(load)
        if not hubs:
            return True
        push = load.last_push
        if push is None or load.to_do.stacks or load.to_do.blocked:
            return False
        return all(self.outcome_of(push.read_of(hub)) is not Outcome.SHORT for hub in hubs)

    def unfinished(self) -> Iterator[LoadState]:
        """The loads on which something is left to do, by number."""
        for number in range(1, len(self.loads) + 1):
            load = self.load(number)
            if not self.finished(load):
                yield load

    @cached_property
    def current(self) -> LoadState | None:
        """The load that is next at the press; None where all are finished."""
        if self.run.order is Order.LOADS:
            return next(self.unfinished(), None)
        return min(self.unfinished(), key=lambda load: (len(load.passes), load.number), default=None)

    @cached_property
    def to_gauge(self) -> tuple[int, tuple[int, ...]]:
        """A load that is to be gauged before anything else, and its hubs; 0 and no hubs where none is."""
        for number, load in sorted(self.begun.items()):
            push = load.last_push
            hubs = () if push is None else self._ungauged(load, push)
            if hubs:
                return number, hubs
        return 0, ()

    def _ungauged(self, load: LoadState, push: Pushed) -> tuple[int, ...]:
        half = [one.hub for one in push.readings if not one.whole]
        past = any(self.outcome_of(one) is Outcome.PAST for one in push.readings if one.whole)
        # What was cut with a hub that reads past its limit is read before anything is cut off it.
        # Where a reading within the limits made a pass the last one, those that are asked for are read after it too.
        early = load.through and not push.last and any(one.whole for one in push.readings)
        asked = [hub for hub in load.hubs if self.as_asked.reads(hub)] if early else []
        wanted = load.hubs if past else (*push.gauge, *half, *asked)
        return tuple(
            hub
            for hub in self.in_work(load)
            if hub in wanted and push.read_of(hub) is None and (hub in half or hub not in push.skipped)
        )

    # -- what it waits for --------------------------------------------------------------------------------------

    @cached_property
    def causes(self) -> tuple[Cause, ...]:
        """Why it is stopped, what is shown first; none where it is not."""
        found = {*self.events, *self._of_readings()}
        return tuple(cause for cause in Cause if cause in found)

    def _of_readings(self) -> Iterator[Cause]:
        for number in sorted(self.begun):
            for hub in self.in_work(self.begun[number]):
                outcome = self.outcome(hub)
                if outcome is Outcome.PAST:
                    yield Cause.PAST
                elif outcome is Outcome.DISPUTED:
                    yield Cause.DISPUTED
        if self.current is not None and not self.can_go_on(self.current) and not self.to_gauge[1]:
            yield Cause.BLOCKED

    def can_go_on(self, load: LoadState) -> bool:
        """Whether a push is left to make on a load, with pieces that are neither gone nor broken."""
        return bool(load.to_do.stacks) and not load.to_do.tags & self.dropped

    @property
    def status(self) -> Status:
        """Running, stopped, done or abandoned."""
        return self.closed or (Status.STOPPED if self.causes else Status.RUNNING)

    @property
    def why(self) -> str:
        """Why it is stopped or was abandoned: one word for what the press did, else the words typed."""
        if self.closed:
            return self.closed_why
        cause = self.causes[0] if self.causes else None
        return self.events.get(cause, "") or cause.value if cause else ""

    @property
    def waits(self) -> Waits:
        """What it waits for."""
        if self.closed:
            return Waits.NOTHING
        if self.causes:
            return Waits.DECISION
        if self.to_gauge[1]:
            return Waits.READING
        if self.current is not None:
            return Waits.PUSH
        return Waits.READING if self.to_read else Waits.END

    @property
    def step(self) -> int:
        """The number of the last step."""
        return len(self.steps)

    def phase(self, load: LoadState) -> Phase:
        """The phase of a load."""
        if self.finished(load) and self.to_gauge[0] != load.number:
            return Phase.DONE
        push = load.last_push
        if push is None:
            return Phase.SET_UP if load is self.current or load == self.current else Phase.WAITING
        if self.to_gauge[0] == load.number:
            return Phase.PUSHED
        return Phase.READ if any(one.whole for one in push.readings) else Phase.NOT_READ
