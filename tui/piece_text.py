"""One piece in full: its figures and how they were measured, where it lives and stands, and its history."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from textwrap import wrap
from typing import TYPE_CHECKING

from rich.text import Text

from broachplan.crib.entries import DUE, HELD, JOB, LENT_TO, OF_LOAN, RETIRED, Act
from broachplan.crib.records import Measurement, Record
from broachplan.lengths import Units, show
from broachplan.tooling.measures import Value, show_figure
from tui.keep_words import hold_changes_words
from tui.plain import plain

if TYPE_CHECKING:
    from broachplan.crib.entries import Entry
    from broachplan.desks.attendant.list_actions import Done, Touched
    from broachplan.desks.attendant.show_piece import HistoryLine
    from broachplan.desks.attendant.undo_last import Undone

_LABEL = 20
_BESIDE = 9
_IN_THE_ACT = (*OF_LOAN, RETIRED)


def value_words(value: Value | None, units: Units) -> str:
    """One figure with its unit; a figure nobody measured says so."""
    return show_figure(value, units) or "not measured"


def hung(words: str, width: int, first: str = " ") -> str:
    """``words`` in lines of ``width``, all but the first of them set in; ``first`` stands before the first."""
    return "\n".join(wrap(plain(words), width, initial_indent=first, subsequent_indent="   ")) + "\n"


def record_text(record: Record, units: Units, width: int) -> Text:
    """Every figure, then what is known beside the figures; the label of a figure that is missing for plans is marked."""
    piece = record.piece
    text = Text()
    for figure in piece.figures():
        value = getattr(piece, figure.name)
        mark = "*" if figure.needed and value is None else " "
        words = f"{figure.label.ljust(_LABEL)} {value_words(value, units)}"
        text.append(f"{mark}{words}\n" if len(words) < width else hung(words, width, mark))
    if piece.missing:
        text.append(hung("no plan uses it until this is measured", width, "* "))
    for label, words in (
        ("measured", measured_words(record.measured, units)),
        ("condition", record.condition.value),
        ("home", record.home or "not known"),
        ("set", record.set_name or "none"),
        ("made", "in house" if record.made_here else ""),
        ("note", record.note),
    ):
        if words:
            text.append(hung(f"{label.ljust(_BESIDE)} {words}", width))
    text.rstrip()
    return text


def measured_words(measured: Measurement, units: Units) -> str:
    """With what, when and by whom, and how well."""
    by = f"by {measured.by}" if measured.by else ""
    to = f"to ±{show(measured.to, units)}" if measured.to else ""
    parts = (measured.with_what, str(measured.on or ""), by, to)
    return ", ".join(part for part in parts if part) or "not known how"


def history_text(history: Iterable[HistoryLine], width: int) -> Text:
    """What was done to a piece, the latest first: when, what, by whom; then what became different."""
    text = Text()
    for told in history:
        by = f" by {told.entry.by}" if told.entry.by else ""
        text.append(hung(f"{when_words(told.entry.at)}  {act_words(told.entry)}{by}", width, ""), "bold")
        for words in difference_words(told):
            text.append(hung(words, width))
    if not text:
        text.append("Nothing was done to it since the history began.")
    text.rstrip()
    return text


def when_words(at: datetime) -> str:
    """A moment on the clock of whoever reads it."""
    return at.astimezone().strftime("%Y-%m-%d %H:%M")


def act_words(entry: Entry) -> str:
    """What was done, and where that was a loan, to whom or from whom."""
    loan = {change.name: (change.old, change.new) for change in entry.changes if change.name in OF_LOAN}
    before, after = loan.get(LENT_TO, (None, None))
    if entry.act is Act.UNDONE and after != before:
        return f"undone, lent to {after} again" if after is not None else f"undone, not lent to {before}"
    if after is not None:
        told = [f", {name} {loan[name][1]}" for name in (DUE, JOB) if name in loan and loan[name][1]]
        return f"{entry.act} to {after}{''.join(told)}"
    if before is not None:
        return f"{entry.act} from {before}"
    return entry.act.value


def difference_words(told: HistoryLine) -> list[str]:
    """What became different, and the note."""
    both = zip(told.entry.changes, told.differences, strict=True)
    parts = [
        difference.words
        for change, difference in both
        if change.name not in _IN_THE_ACT and not change.name.startswith(HELD)
    ]
    return [
        *parts,
        *hold_changes_words(told.entry.changes),
        *([f"note: {told.entry.note}"] if told.entry.note else []),
    ]


def done_words(done: Done) -> str:
    """One action in a line: what was done to which pieces."""
    if done.of_run:
        return plain(done.of_run)
    first = done.first[0]
    more = f" and {done.pieces - 1} more" if done.pieces > 1 else ""
    return plain(f"{first.tag}{more}: {act_words(first.line.entry)}{_gist(first)}")


def _gist(touched: Touched) -> str:
    words = difference_words(touched.line)
    return f", {'; '.join(words)}" if words else ""


def done_text(done: Done) -> Text:
    """One action in full, as far as its first pieces."""
    by = f" by {done.by}" if done.by else ""
    text = Text(f"{when_words(done.at)}{plain(by)}, {done.pieces} piece{'' if done.pieces == 1 else 's'}\n\n")
    if done.of_run:
        text.append(f"{plain(done.of_run)}\n")
    for touched in done.first:
        text.append(f"{plain(touched.tag)}, a {touched.kind.value}: ", "bold")
        text.append(f"{plain(act_words(touched.line.entry))}\n")
        for words in difference_words(touched.line):
            text.append(f"  {plain(words)}\n")
    if (left := done.pieces - len(done.first)) > 0:
        text.append(f"and {left} more")
    text.rstrip()
    return text


def undone_words(undone: tuple[Undone, ...]) -> str:
    """What was taken back."""
    first = undone[0]
    more = f" and {len(undone) - 1} more" if len(undone) > 1 else ""
    return plain(f"undone: {first.tag}{more}, {act_words(first.entry)} {when_words(first.entry.at)}")
