"""The crib in words, at 80 columns and without colour."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator
from functools import cache
from itertools import groupby
from typing import TYPE_CHECKING

from broachplan.cli.layout import wrap
from broachplan.crib.entries import DUE, IN_ITS_ACT, JOB, LENT_TO, OF_LOAN
from broachplan.lengths import Units
from broachplan.tooling.measures import Value, show_figure

if TYPE_CHECKING:
    from broachplan.crib.entries import IN_ITS_ACT, Entry
    from broachplan.crib.records import Measurement
    from broachplan.desks.attendant.import_crib import ChangedPiece, Imported
    from broachplan.desks.attendant.list_pieces import CribPiece, PieceList
    from broachplan.desks.attendant.show_piece import HistoryLine, Shown

_COLUMNS = 3
_COLUMN = 13
_TAG = 16
_LABEL = 28
_NOT_KNOWN = "-"


def import_in_words(imported: Imported) -> Iterator[str]:
    """How many pieces were added, changed and as before, and what changed on each of those that did."""
    yield f"{imported.added} added, {len(imported.changed)} changed, {imported.unchanged} as before"
    for changed in imported.changed:
        yield from wrap(_change_in_words(changed), "  ", "    ")


def list_in_words(listed: PieceList) -> Iterator[str]:
    """A table a kind: tag, the first figures, then home and whatever keeps the piece off the shelf."""
    figure_in = _figures_in(listed.units)
    for kind, group in groupby(listed, key=lambda kept: kept.record.piece.kind):
        pieces = list(group)
        yield f"{kind.plural} ({len(pieces)})"
        yield from _heading(pieces[0])
        for kept in pieces:
            yield from _row(kept, figure_in)
        yield ""
    if listed.pages > 1:
        yield f"page {listed.page} of {listed.pages}; {listed.total} pieces in total"
    else:
        yield f"{listed.total} pieces" if listed.total != 1 else "1 piece"


def piece_in_words(shown: Shown) -> list[str]:
    """Everything that is known of one piece, a line each."""
    record, figure_in = shown.record, _figures_in(shown.units)
    piece = record.piece
    lines = [f"{piece.tag}, a {piece.kind}: {shown.state}", ""]
    for figure in piece.figures():
        value = getattr(piece, figure.name)
        lines.append(f"  {figure.label:<{_LABEL}}{'not known' if value is None else figure_in(value)}")
    words = (
        ("measured", _measured(record.measured, figure_in)),
        ("set", record.set_name or _NOT_KNOWN),
        ("home", record.home or _NOT_KNOWN),
        ("condition", record.condition.value),
        ("note", record.note or _NOT_KNOWN),
        *([("made", "in house")] if record.made_here else []),
    )
    for label, text in words:
        lines += wrap(text, f"  {label:<{_LABEL}}", " " * (_LABEL + 2))
    if shown.wear.cuts or shown.wear.inspected_on:
        lines += wrap(shown.wear.words(shown.units), f"  {'cut':<{_LABEL}}", " " * (_LABEL + 2))
    for hold in shown.holds:
        until = f" to {hold.last}" if hold.last != hold.first else ""
        lines += wrap(f"{hold.first}{until} for {hold.for_what}", f"  {'held':<{_LABEL}}", " " * (_LABEL + 2))
    for due in shown.due:
        lines += ["", *wrap(due)]
    if piece.missing:
        lines += ["", *wrap(f"No plan uses it until these are measured: {', '.join(piece.missing)}.")]
    if shown.history:
        lines += ["", "History, the latest first"]
        lines += [words for line in shown.history for words in _history_line_in_words(line)]
    return lines


def _figures_in(units: Units) -> Callable[[Value | None], str]:
    """A figure in words; those of a crib repeat, and each is put into words once."""

    @cache
    def in_words(value: Value | None) -> str:
        return show_figure(value, units) or _NOT_KNOWN

    return in_words


def _heading(kept: CribPiece) -> list[str]:
    labels = [textwrap.wrap(figure.label, _COLUMN - 1) for figure in kept.record.piece.figures()[:_COLUMNS]]
    height = max(map(len, labels))
    padded = [[""] * (height - len(label)) + label for label in labels]
    lines = ["".join(f"{words:>{_COLUMN}}" for words in line) for line in zip(*padded, strict=True)]
    return [
        f"  {'tag' if place == height - 1 else '':<{_TAG}}{line}".rstrip() for place, line in enumerate(lines)
    ]


def _row(kept: CribPiece, figure_in: Callable[[Value | None], str]) -> Iterator[str]:
    record = kept.record
    piece = record.piece
    values = [figure_in(getattr(piece, figure.name)) for figure in piece.figures()[:_COLUMNS]]
    where = [words for words in ("" if kept.state == "fit" else kept.state, record.home) if words]
    figures = "".join(f"{value:>{_COLUMN}}" for value in values)
    tag = piece.tag
    if len(tag) > _TAG:
        yield f"  {tag}"
        tag = ""
    line = f"  {tag:<{_TAG}}{figures}  "
    # What keeps a piece off the shelf is never cut off.
    yield from wrap(", ".join(where), line, " " * (_TAG + 4)) if where else [line.rstrip()]


def _measured(measured: Measurement, figure_in: Callable[[Value | None], str]) -> str:
    parts = [
        f"with {measured.with_what}" if measured.with_what else "",
        f"on {measured.on.isoformat()}" if measured.on else "",
        f"by {measured.by}" if measured.by else "",
        f"to ±{figure_in(measured.to)}" if measured.to else "",
    ]
    return ", ".join(part for part in parts if part) or "how, when and by whom is not known"


def _history_line_in_words(line: HistoryLine) -> list[str]:
    """One entry of a history, on the clock of whoever reads it."""
    entry = line.entry
    when = entry.at.astimezone().strftime("%Y-%m-%d %H:%M")
    both = zip(entry.changes, line.differences, strict=True)
    parts = [difference.words for change, difference in both if change.name not in IN_ITS_ACT]
    parts += [f"note: {entry.note}"] if entry.note else []
    by = f"; by {entry.by}" if entry.by else ""
    return wrap(
        f"{when}  {entry.act}{_loan(entry)}{': ' if parts else ''}{'; '.join(parts)}{by}", "  ", "    "
    )


def _loan(entry: Entry) -> str:
    """To whom it went and on what terms, or from whom it came back."""
    loan = {change.name: (change.old, change.new) for change in entry.changes if change.name in OF_LOAN}
    before, after = loan.get(LENT_TO, (None, None))
    if after is None:
        return f" from {before}" if before is not None else ""
    terms = [f", {name} {loan[name][1]}" for name in (DUE, JOB) if name in loan and loan[name][1]]
    return f" to {after}{''.join(terms)}"


def _change_in_words(changed: ChangedPiece) -> str:
    return (
        f"{changed.kind} {changed.tag}: {'; '.join(difference.words for difference in changed.differences)}"
    )
