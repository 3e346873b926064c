"""A reading at the press, judged by how well the pieces are known: one function for a plan and for a run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from broachplan.cut.budget import Budget
from broachplan.cut.play import Span
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.planner.after import GaugeBands, PressReading, plain_reading, plan_after
from broachplan.planner.answer import Answer, Caution, Shims, Warn
from broachplan.planner.bands import with_bands
from broachplan.planner.certainty import Certainty, PriorReading, Setup
from broachplan.planner.given import with_stacks
from broachplan.planner.plan import plan
from broachplan.planner.starting_point import on_read_metal
from broachplan.planner.tried import Trial
from broachplan.shown import AtMost, show_apart
from broachplan.tooling.pieces import Shim


def answer_after(
    trial: Trial, reading: PressReading, *, earlier: PriorReading | None = None, why: str | None = None
) -> Answer:
    """What a reading means, and what is left to do, with a band for each pass that is left.

    Parameters
    ----------
    trial : the hub, what lies on the shelf with how it was measured, and the press named.
    earlier : what was read before with these two pieces: the reading is then compared with what it let expect.
    why : as for a plan.

    Raises
    ------
    InputError : a reading that cannot be, or that could not be gauged yet.
    """
    _check_pieces(trial, reading)
    certainty = Certainty(trial.hub, trial.settings, trial.shelf.measured)
    bands = bands_for(certainty, reading, trial.shelf.shims, earlier)
    found = plan_after(trial, reading, bands, why=why)
    assert found.after is not None
    after = replace(found.after, planned=_planned(trial, reading) if found.plans else ())
    gauged = PriorReading(reading.stack, after.offset, after.doubtful)
    answer = with_bands(replace(found, after=after), trial.shelf.measured, gauged)
    cautions = tuple(_ends_differ(certainty, reading))
    plans = (replace(one, cautions=(*cautions, *one.cautions)) for one in answer.plans)
    return replace(answer, plans=tuple(plans))


def _check_pieces(trial: Trial, reading: PressReading) -> None:
    """Refuse a reading on pieces that cannot have been pushed, or of which too little is known to compare it."""
    broach, bushing = reading.broach, reading.bushing
    for piece in (broach, bushing):
        if piece.missing:
            raise InputError(
                f"{piece.kind} {piece.tag}",
                f"not measured: {', '.join(piece.missing)}; without it no reading can be compared",
            )
    bore = trial.hub.widest_bore
    if bushing.outside_diameter is not None and bushing.outside_diameter > bore:
        outside, most = show_apart(trial.settings.shown_in, bushing.outside_diameter, bore)
        raise InputError(
            "bushing",
            f"{bushing.tag} is {outside} outside and does not go into a bore of {most}: name the one that was used",
        )


def bands_for(
    certainty: Certainty, reading: PressReading, shims: Sequence[Shim], earlier: PriorReading | None = None
) -> GaugeBands:
    """From where to where the stacks of ``shims`` are likely to read, with the pieces that were pushed."""
    before = {shim.tag for shim in earlier.shims} if earlier else set()
    # What was read before takes part of the doubt about its own shims away.
    least_known = sorted(
        (shim for shim in (*shims, *reading.stack) if shim.tag not in before),
        key=lambda shim: -certainty.within(shim).nm,
    )

    def budget(stack: Shims) -> Budget:
        return certainty.budget(Setup(reading.broach, reading.bushing, stack), earlier)

    def usual(stack: Shims) -> Span:
        found = budget(stack)
        return Span(found.low, found.high)

    def widest(count: int) -> Span:
        stack = tuple(least_known[:count])
        found, plain = budget(stack), plain_reading(reading.broach, reading.bushing, stack).nm
        least, most = found.ends
        return Span(least - plain, most - plain)

    return GaugeBands(usual, widest, certainty.gauge.nm, certainty.hub.widest_bore.nm)


def _planned(trial: Trial, reading: PressReading) -> tuple[Shims, ...]:
    """The stacks that are best where it reads as planned, if they are lawful after what it did read; else none."""
    pair = reading.broach.tag, reading.bushing.tag
    as_planned = plan(
        trial.hub,
        trial.keyway,
        trial.shelf.only(*pair),
        trial.settings,
        press=trial.press,
        start=on_read_metal(reading.plain.nm, reading.plain.nm),
    )
    if not as_planned.plans:
        return ()
    stacks = tuple(one.stack for one in as_planned.plans[0].passes)
    kept = with_stacks(replace(trial, start=reading.start), reading.broach, reading.bushing, stacks)
    return stacks if kept.lawful else ()


def _ends_differ(certainty: Certainty, reading: PressReading) -> Iterator[Caution]:
    """Two ends that are farther apart than the play and the gauge explain."""
    ends = reading.ends
    apart = max(ends) - min(ends)
    most = Length(certainty.play(reading.bushing).ends_differ + 2 * certainty.gauge.nm)
    if apart > most:
        differ, explained = show_apart(certainty.settings.shown_in, apart, AtMost(most))
        yield Caution(
            Warn.ENDS_DIFFER,
            f"the two ends read {differ} apart, and play and gauge explain {explained}: the hub is not square, a chip lies "
            "under it, or its lower end was drawn toward the keyway",
        )
