"""Find pieces by what somebody types: tags, sizes, homes, people, what fits a bore, what cuts a width."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.crib.find import Finder, read_sought
from broachplan.lengths import Units
from broachplan.questions.reads import FindRequest
from broachplan.store.settings_store import load_settings
from broachplan.store.states import CribPiece, pieces_of_kind
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind


@dataclass(frozen=True, slots=True)
class SearchHit:
    """A piece, and the figures that a size found; none where its words were enough."""

    kept: CribPiece
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SearchResult:
    """The pieces found: by how they serve the search, then by kind and tag."""

    pieces: tuple[SearchHit, ...]
    units: Units


def find_pieces(db: str | None, request: FindRequest) -> SearchResult:
    """The pieces that match every word and size, without retired ones; see `crib.find`.

    Raises
    ------
    InputError : the text is too long.
    StorageError : the database cannot be used.
    """
    sought = read_sought(" ".join(request.words))
    with reading(db) as work:
        settings = load_settings(work)
        kept = [each for kind in Kind for each in pieces_of_kind(work, kind, request.on)]
    finder = Finder(sought, settings)
    found = [
        SearchHit(each, by) for each in kept if (by := finder.found_by(each.record, each.state)) is not None
    ]
    # A stable sort: what fits or cuts comes first, the rest in the crib's order.
    found.sort(key=lambda each: not any(why.startswith(("fits", "cuts")) for why in each.by))
    return SearchResult(tuple(found), settings.shown_in)
