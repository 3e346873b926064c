"""The rest of a load: its passes worked out in full, and the plan that would be found now."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from broachplan.crib.records import Measurement
from broachplan.crib.shelf import Shelf
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.planner.answer import Answer, Pass, Plan
from broachplan.planner.bands import with_bands
from broachplan.planner.given import Given, with_stacks
from broachplan.planner.plan import plan
from broachplan.planner.rules import Reason
from broachplan.planner.starting_point import StartingPoint, on_next_hub, with_other_pieces
from broachplan.planner.tried import Trial
from broachplan.runs.band import gauged_before, is_second_push
from broachplan.runs.offsets import metal_of, offset_of
from broachplan.runs.run import RunPiece
from broachplan.runs.stacks import floor_first
from broachplan.runs.state import LoadState, RunState
from broachplan.runs.steps import Stack, ToDo
from broachplan.tooling.pieces import Broach, Bushing, Piece, Press, Shim

_P = TypeVar("_P", bound=Piece)


@dataclass(frozen=True, slots=True)
class OnHand:
    """What the crib has for a run at the moment of an act.

    ``shelf`` counts as there what the run or the worker has already; ``measured`` and ``versions`` say how its pieces
    were measured and which version of each the crib has, by tag.
    """

    shelf: Shelf = field(default_factory=Shelf)
    measured: Mapping[str, Measurement] = field(default_factory=dict)
    versions: Mapping[str, int] = field(default_factory=dict)

    def piece(self, tag: str) -> Piece | None:
        """A piece that is there by its tag; None where it is not, or may not be used."""
        return None if tag in self.shelf.off else self.known(tag)

    def known(self, tag: str) -> Piece | None:
        """A piece of the shelf by its tag, whether or not it may be used."""
        shelf = self.shelf
        every = (*shelf.broaches, *shelf.bushings, *shelf.shims, *shelf.presses)
        return next((piece for piece in every if piece.tag == tag), None)

    def taken(self, piece: Piece, *, lent: bool = True) -> RunPiece:
        """A piece of the shelf as a run takes it."""
        tag = piece.tag
        return RunPiece(
            piece=piece,
            measured=self.measured.get(tag, Measurement()),
            version=self.versions.get(tag, 1),
            lent_by_run=lent,
        )


@dataclass(frozen=True, slots=True)
class AheadPass:
    """A pass to come: its number in the load, its shims from the slot floor up, its plain reading and its band.

    ``done`` is the planner's pass: what it should read, what it takes and what it loads.
    """

    number: int
    shims: Stack
    done: Pass
    plain: Length
    low: Length
    high: Length


@dataclass(frozen=True, slots=True)
class Ahead:
    """The passes to come on a load, the plan they make, and the rules that they break."""

    plan: Plan
    passes: tuple[AheadPass, ...]
    broken: tuple[Reason, ...]
    within: bool

    @property
    def holds(self) -> bool:
        """Whether every rule holds, and the band of the last reading lies within the limits where it can."""
        return not self.broken and self.within


def start_of(state: RunState, load: LoadState) -> StartingPoint:
    """Where the passes to come on a load begin, with the pair that is to cut them."""
    offset = offset_of(state, load)
    push = load.last_push
    if push is None:
        return on_next_hub(offset.mean.nm)
    if (push.broach, push.bushing) == (load.to_do.broach, load.to_do.bushing):
        surface = state.plain_of(push).nm + offset.mean.nm
        return StartingPoint(surface, offset.deep.nm, offset.shallow.nm)
    return start_with_others(state, load)


def start_with_others(state: RunState, load: LoadState) -> StartingPoint:
    """Where the passes to come begin with another broach or bushing: the shallower end is the more to cut, no offset is known."""
    push = load.last_push
    if push is None:
        return StartingPoint()
    metal = metal_of(state, load)
    if metal is not None and metal.push is push:
        return with_other_pieces(metal.shallow.nm)
    before = replace(load, to_do=replace(load.to_do, broach=push.broach, bushing=push.bushing))
    return with_other_pieces(state.plain_of(push).nm + offset_of(state, before).shallow.nm)


def worked_out(state: RunState, load: LoadState) -> Ahead | None:
    """The passes to come on a load, worked out with the pieces as the run uses them; None where there are none."""
    to_do = load.to_do
    if not to_do.stacks:
        return None
    press = state.press(to_do.press)
    shelf = Shelf(presses=(press,) if press else ())
    stacks = [state.stack(stack) for stack in to_do.stacks]
    given_for = _asked(state, load, shelf)
    given = with_stacks(given_for, state.broach(to_do.broach), state.bushing(to_do.bushing), stacks)
    measured = {tag: kept.measured for tag, kept in state.pieces.items()}
    answer = Answer(given_for.hub, given_for.keyway, given_for.settings, (given.plan,))
    (made,) = with_bands(answer, measured, gauged_before(state, load)).plans
    passes: list[AheadPass] = []
    for number, (shims, done) in enumerate(zip(to_do.stacks, made.passes, strict=True), len(load.passes) + 1):
        assert done.band is not None
        low, high = done.band.low, done.band.high
        plain = state.plain(to_do.broach, to_do.bushing, shims)
        if not passes and is_second_push(load, shims):
            # It takes what the first push left, as much as the offset says, and may leave none.
            high, done = max(high, plain), replace(done, first_bite=max(Length(0), plain - done.reading))
        passes.append(AheadPass(number, shims, done, plain, low, high))
    last, limits = passes[-1], state.run.keyway.reading
    narrower = last.high - last.low < limits.spread
    within = not narrower or (last.low >= limits.lower and last.high <= limits.upper)
    return Ahead(made, tuple(passes), _broken(given_for, load, given, stacks), within)


def _broken(
    asked: Trial, load: LoadState, given: Given, stacks: Sequence[tuple[Shim, ...]]
) -> tuple[Reason, ...]:
    """The rules that passes break. A second push of the stack that was in is no step of its own: the others are held to them."""
    if not is_second_push(load, load.to_do.stacks[0]):
        return given.broken
    plan = given.plan
    return with_stacks(asked, plan.broach, plan.bushing, stacks[1:]).broken if stacks[1:] else ()


def plan_left(state: RunState, load: LoadState, on_hand: OnHand, *, any_pair: bool = False) -> Answer:
    """The plan of the passes to come, searched again with the shims on hand.

    With the load's own broach and bushing. With ``any_pair`` any pair on hand may serve: it starts from the metal as it is,
    without the offset, which belongs to the pair that taught it.
    """
    to_do = load.to_do
    shelf = shelf_for(state, on_hand)
    start = start_with_others(state, load) if any_pair else start_of(state, load)
    if not any_pair:
        shelf = replace(
            shelf,
            broaches=tuple(one for one in shelf.broaches if one.tag == to_do.broach),
            bushings=tuple(one for one in shelf.bushings if one.tag == to_do.bushing),
        )
    run = state.run
    hub = run.hub_of(max(1, len(state.in_work(load))))
    press = _press(to_do, shelf)
    return plan(hub, run.keyway, shelf, run.settings, press=press, most_plans=1, start=start)


def to_do_of(made: Plan) -> ToDo:
    """What a plan is to do, its shims from the slot floor up."""
    stacks = tuple(tuple(shim.tag for shim in floor_first(one.stack)) for one in made.passes)
    return ToDo(made.broach.tag, made.bushing.tag, made.press.tag if made.press else None, stacks)


def shelf_for(state: RunState, on_hand: OnHand) -> Shelf:
    """What the run may choose from: its own pieces with the figures as used, and what else is on the shelf."""
    shelf, own = (
        on_hand.shelf,
        {tag: kept.piece for tag, kept in state.pieces.items() if tag not in state.dropped},
    )
    off = {tag: why for tag, why in shelf.off.items() if tag not in own}
    off |= dict.fromkeys(state.dropped, "gone or broken in this run")

    def every(kind: type[_P], there: tuple[_P, ...]) -> tuple[_P, ...]:
        mine = [piece for piece in own.values() if isinstance(piece, kind)]
        others = [piece for piece in there if piece.tag not in own and piece.tag not in state.dropped]
        return (*mine, *others)

    return replace(
        shelf,
        broaches=every(Broach, shelf.broaches),
        bushings=every(Bushing, shelf.bushings),
        shims=every(Shim, shelf.shims),
        presses=every(Press, shelf.presses),
        off=off,
    )


def shims_by_tag(state: RunState, on_hand: OnHand, tags: Stack) -> tuple[RunPiece, ...]:
    """The shims that are new to the run among some tags, as it takes them.

    Raises
    ------
    InputError : one of them is no shim of the run and none on the shelf, or is there twice.
    """
    if len(set(tags)) < len(tags):
        raise InputError("shims", "each shim once", read=",".join(tags))
    found = []
    for tag in tags:
        kept = state.pieces.get(tag)
        piece = kept.piece if kept else on_hand.known(tag)
        if not isinstance(piece, Shim) or piece.thickness is None:
            raise InputError("shims", "write the tags of measured shims that are here", read=tag)
        if kept is None or tag in state.dropped:
            found.append(on_hand.taken(piece))
    return tuple(found)


def _asked(state: RunState, load: LoadState, shelf: Shelf) -> Trial:
    run = state.run
    hub = run.hub_of(max(1, len(state.in_work(load))))
    return Trial(hub, run.keyway, shelf, run.settings, _press(load.to_do, shelf), start_of(state, load))


def _press(to_do: ToDo, shelf: Shelf) -> str | None:
    there = {press.tag for press in shelf.presses}
    return to_do.press if to_do.press in there else None
