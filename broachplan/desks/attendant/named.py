"""The pieces that a request names: one by its tag, or all of a set."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from broachplan.errors import InputError
from broachplan.store.stored_pieces import StoredPiece, in_set, stored_piece
from broachplan.store.transaction import Work


def named_pieces(work: Work, tag: str, set_name: str, on: date | None = None) -> Sequence[StoredPiece]:
    """One piece, or all pieces of a set.

    Raises
    ------
    InputError : both are named or neither is, or the crib has no such piece or set.
    """
    if bool(tag.strip()) == bool(set_name.strip()):
        raise InputError("tag", "name one piece by its tag, or a set with --set NAME")
    return in_set(work, set_name, on) if set_name.strip() else [stored_piece(work, tag, on)]
