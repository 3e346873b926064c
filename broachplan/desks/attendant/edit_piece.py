"""Change what is known of a piece."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from broachplan.crib.entries import Act, changes_between
from broachplan.crib.jumps import check_jumps
from broachplan.crib.records import Record
from broachplan.desks.attendant.clock import stamped
from broachplan.errors import CribStateError
from broachplan.questions.piece import EditRequest
from broachplan.store.entries import ActLine, Difference, in_words_of, record
from broachplan.store.pieces import change, values_of
from broachplan.store.run_guard import check_change_not_in_run
from broachplan.store.settings_store import load_settings
from broachplan.store.stored_pieces import stored_piece
from broachplan.store.translate import figure_values, piece_values
from broachplan.store.typed import check_piece, typed_values
from broachplan.store.web_over import web_measured_anew, web_worked_out
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class Edited:
    """What became different on a piece; nothing where it was so already."""

    kind: Kind
    tag: str
    differences: tuple[Difference, ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """What is different now."""
        what = "; ".join(difference.words for difference in self.differences) or "it is so already"
        return (f"{self.tag}: {what}",)


class ChangedMeanwhile(CribStateError):
    """Somebody changed the piece after it was shown; ``differences`` say what."""

    def __init__(self, tag: str, differences: tuple[Difference, ...]) -> None:
        what = "; ".join(difference.words for difference in differences) or "and is as it was shown again"
        super().__init__(f"{tag} was changed meanwhile: {what}; look at it again and then change it")
        self.differences = differences


def edit_piece(db: str | None, request: EditRequest, *, at: datetime | None = None) -> Edited:
    """Change figures and words of a piece; what is not given stays.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, or a figure that cannot be.
    JumpError : a figure jumps and nobody is sure of it.
    ChangedMeanwhile : it is not as it was seen.
    CribStateError : it is retired, or in use in a run and a figure or its condition would be another.
    StorageError : the database cannot be used.
    """
    stamp, shown = stamped(request.by, at), request.shown
    with writing(db) as work:
        stored = stored_piece(work, request.tag)
        kind, tag = stored.status.kind, stored.status.tag
        if stored.status.retired:
            raise CribStateError(f"{tag} is retired and is not changed any more")
        before = values_of(work, kind, tag)
        if shown is not None and request.version != stored.version:
            raise ChangedMeanwhile(tag, in_words_of(kind, changes_between(_values_of(shown), before)))
        texts = web_measured_anew(web_worked_out(work, request.values), before["measured_with"])
        given = typed_values(kind, texts)
        after = {**before, **given}
        changes = changes_between(before, after)
        if changes:
            check_piece(kind, tag, after)
            if not request.sure:
                check_jumps(kind, before, after, load_settings(work).shown_in)
            check_change_not_in_run(work, kind, [(stored.id, changes)])
            change(work, kind, [(stored.id, after)])
            act = Act.INSPECTED if {each.name for each in changes} == {"condition"} else Act.CHANGED
            record(work, stamp, [ActLine(stored.id, act, changes)])
            work.commit()
    return Edited(kind, tag, in_words_of(kind, changes))


def _values_of(shown: Record) -> dict[str, Any]:
    values = piece_values(shown)
    del values["kind"]
    return {**values, **figure_values(shown.piece)}
