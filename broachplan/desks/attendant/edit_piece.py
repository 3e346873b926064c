"""Change what is known of a piece."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from broachplan.crib.entries import Act, changes_between
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.attendant.show_piece import Shown
from broachplan.errors import CribStateError
from broachplan.store.entries import ActLine, Difference, in_words_of, record
from broachplan.store.pieces import change, values_of
from broachplan.store.run_guard import check_change_not_in_run
from broachplan.store.stored_pieces import stored_piece
from broachplan.store.translate import figure_values, piece_values
from broachplan.store.typed import check_piece, typed_values
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class Edited:
    """What changed on a piece; empty where nothing did."""

    kind: Kind
    tag: str
    differences: tuple[Difference, ...]


class ChangedMeanwhile(CribStateError):
    """Somebody changed the piece after it was shown; ``differences`` say what."""

    def __init__(self, tag: str, differences: tuple[Difference, ...]) -> None:
        what = "; ".join(difference.words for difference in differences) or "and is as it was shown again"
        super().__init__(f"{tag} was changed meanwhile: {what}; look at it again and then change it")
        self.differences = differences


def edit_piece(
    db: str | None,
    tag: str,
    typed: Mapping[str, str],
    *,
    seen: Shown | None = None,
    by: str = "",
    at: datetime | None = None,
) -> Edited:
    """Change figures and words of the piece with a tag; what is not given stays.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    typed : the texts, by the names of the kind's figures and of `store.typed.WORDS`; "" for a figure that is not
        known any more.
    seen : the piece as it was shown before the edit; None where nothing was shown.
    by, at : who changes it, and when; see `stamped`.

    Raises
    ------
    InputError : an unknown tag, or a figure that cannot be.
    ChangedMeanwhile : it is not as it was seen.
    CribStateError : it is retired, or in use in a run and a figure or its condition would be another.
    StorageError : the database cannot be used.
    """
    stamp = stamped(by, at)
    with writing(db) as work:
        stored = stored_piece(work, tag)
        kind, tag = stored.status.kind, stored.status.tag
        if stored.status.retired:
            raise CribStateError(f"{tag} is retired and is not changed any more")
        before = values_of(work, kind, tag)
        if seen is not None and seen.version != stored.version:
            raise ChangedMeanwhile(tag, in_words_of(kind, changes_between(_seen(seen), before)))
        given = typed_values(kind, typed)
        after = {**before, **given}
        changes = changes_between(before, after)
        if changes:
            check_piece(kind, tag, after)
            check_change_not_in_run(work, kind, [(stored.id, changes)])
            change(work, kind, [(stored.id, after)])
            act = Act.INSPECTED if {each.name for each in changes} == {"condition"} else Act.CHANGED
            record(work, stamp, [ActLine(stored.id, act, changes)])
            work.commit()
    return Edited(kind, tag, in_words_of(kind, changes))


def _seen(seen: Shown) -> dict[str, Any]:
    values = piece_values(seen.record)
    del values["kind"]
    return {**values, **figure_values(seen.record.piece)}
