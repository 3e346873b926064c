"""What each broach has cut; those due for inspection or a regrind first."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from broachplan.lengths import Length, Units, show
from broachplan.questions.reads import DueRequest
from broachplan.sheets.listing import ListOf
from broachplan.sheets.result import Column
from broachplan.sheets.table import TAG, Field, View
from broachplan.shown import numbered

if TYPE_CHECKING:
    from broachplan.crib.wear import Wear
    from broachplan.desks.attendant.list_due import WearList, Worn


def wear_as_dict(wear: Wear) -> dict[str, object]:
    """Cuts, lengths in nanometres, days."""
    return {
        "cuts": wear.cuts,
        "cut_length_nm": wear.cut_length.nm,
        "since_regrind": _since(wear.since_regrind, wear.ground_on),
        "since_inspection": _since(wear.since_inspection, wear.inspected_on),
    }


def _since(done: tuple[int, Length], on: date | None) -> dict[str, object]:
    return {"cuts": done[0], "cut_length_nm": done[1].nm, "on": str(on) if on else None}


def _cut(length: Length, units: Units) -> str:
    return show(length, units) if length else "nothing"


def _notes(listed: WearList) -> tuple[str, ...]:
    set_one = "Nothing is due: the shop has set no limit; `settings set inspect_cuts 500` sets one."
    return () if listed.has_limits else (set_one,)


WEAR: ListOf[WearList, Worn] = ListOf(
    heading="WEAR",
    hint="scan or type the tag of a broach, a day, never, or due",
    nothing="There is no broach in the crib.",
    schema="broachplan.due/1",
    key="broaches",
    order=("tag", "due", "wear"),
    fields=(
        Field(Column(""), lambda worn: list(worn.due), "due", lambda worn, _: "DUE" if worn.due else ""),
        Field(TAG._replace(title="broach"), lambda worn: worn.tag, "tag"),
        Field(Column("cuts", right=True), lambda worn: wear_as_dict(worn.wear), "wear", lambda worn, _: str(worn.wear.cuts)),
        Field(Column("total cut", right=True), lambda _: None, words=lambda worn, view: _cut(worn.wear.cut_length, view.units)),
        Field(Column("cuts since", right=True), lambda worn: worn.wear.since_inspection[0]),
        Field(Column("inspected"), lambda worn: worn.wear.inspected_on or "never"),
        Field(Column("reground", drops=1), lambda worn: worn.wear.ground_on or "never"),
    ),
    request=DueRequest,
    items=lambda listed: listed.broaches,
    view=lambda listed: View(listed.on, listed.settings.shown_in),
    head=lambda listed: {"on": str(listed.on)},
    total=lambda listed: f"{numbered(len(listed.broaches), 'broach', 'broaches')}, {sum(bool(each.due) for each in listed.broaches)} due",
    notes=_notes,
    about=lambda worn, view: "; ".join(worn.due) or (worn.wear.words(view.units) if worn.wear.cuts else ""),
    tag=lambda worn: worn.tag,
    piece_acts=True,
)  # fmt: skip
