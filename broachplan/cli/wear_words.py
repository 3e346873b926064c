"""What a broach has done, in words and for another program."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from broachplan.cli.layout import wrap
from broachplan.lengths import show

if TYPE_CHECKING:
    from broachplan.crib.wear import Wear
    from broachplan.desks.attendant.list_due import WearList
    from broachplan.desks.attendant.regrind_piece import Reground


def reground_in_words(done: Reground) -> Iterator[str]:
    """What became different, then what geometry says beside what was measured."""
    yield from wrap(f"{done.tag} reground: {'; '.join(each.words for each in done.differences)}", "", "  ")
    lowered, units = done.lowered, done.units
    measured = [
        f"{name} tooth {show(height, units)}"
        for name, height in (("first", lowered.first), ("last", lowered.last))
        if height is not None
    ]
    if measured:
        yield from wrap(f"came down, as measured: {', '.join(measured)}", "", "  ")
    if lowered.by_geometry is not None:
        words = f"by geometry: {show(lowered.by_geometry, units)} each; the measured heights are what is kept"
        yield from wrap(words, "", "  ")


def due_in_words(listed: WearList) -> Iterator[str]:
    """A line or more for each broach that has cut or is due, and a total."""
    units = listed.settings.units
    for each in listed.broaches:
        if each.due:
            yield from wrap(f"DUE  {each.tag}, {'; '.join(each.due)}", "  ", "    ")
        elif each.wear.cuts:
            yield from wrap(f"{each.tag}: {each.wear.words(units)}", "  ", "    ")
    due = sum(bool(each.due) for each in listed.broaches)
    yield f"{len(listed.broaches)} broach{'' if len(listed.broaches) == 1 else 'es'}, {due} due"
    if not listed.has_limits:
        yield "the shop has set no limit: see inspect_... and regrind_... in settings show"


def wear_as_dict(wear: Wear) -> dict[str, Any]:
    """Cuts, lengths in nanometres, days."""
    cuts, length = wear.since_regrind
    seen_cuts, seen_length = wear.since_inspection
    return {
        "cuts": wear.cuts,
        "cut_length_nm": wear.cut_length.nm,
        "since_regrind": {"cuts": cuts, "cut_length_nm": length.nm, "on": _day(wear.ground_on)},
        "since_inspection": {
            "cuts": seen_cuts,
            "cut_length_nm": seen_length.nm,
            "on": _day(wear.inspected_on),
        },
    }


def _day(on: Any) -> str | None:
    return on.isoformat() if on else None
