"""Random cribs some of whose pieces have limits, and every value that these may have on a grid of 0.0001 in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import product
from random import Random

from broachplan.buying.offers import Between, OfferedPiece
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.tooling.measures import number_of
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim
from tests.referee.brute_force import Question, possible
from tests.referee.cribs import crib

GRID_NM = 2_540
_HEIGHTS = ("first_tooth_height", "last_tooth_height")


@dataclass(frozen=True)
class LimitedCrib:
    """A crib at the lowest values, and by how many nanometres each group of figures may be more."""

    question: Question
    groups: tuple[tuple[tuple[tuple[str, str], ...], int], ...]

    @property
    def limits(self) -> dict[str, OfferedPiece]:
        """The pieces with limits, by tag."""
        by_tag: dict[str, dict[str, int]] = {}
        for names, width in self.groups:
            for tag, name in names:
                by_tag.setdefault(tag, {})[name] = width
        shelf = self.question.shelf
        pieces = {one.tag: one for one in (*shelf.broaches, *shelf.bushings, *shelf.shims)}
        found = {}
        for tag, widths in by_tag.items():
            piece, figures = pieces[tag], {}
            for figure in piece.figures():
                number = number_of(getattr(piece, figure.name))
                if number is not None:
                    figures[figure.name] = Between(number, number + widths.get(figure.name, 0))
            found[tag] = OfferedPiece.of(piece.kind, figures)
        return found

    def with_off(self, off: Mapping[str, str]) -> LimitedCrib:
        """The same with some pieces off the shelf."""
        shelf = replace(self.question.shelf, off=off)
        return replace(self, question=replace(self.question, shelf=shelf))

    def with_middles(self) -> Question:
        """The crib as it enters a judge: each figure in the middle."""
        limits = self.limits

        def middle(piece: Piece) -> Piece:
            return limits[piece.tag].piece(piece.tag) if piece.tag in limits else piece

        shelf = self.question.shelf
        changed = {
            kind: tuple(map(middle, getattr(shelf, kind))) for kind in ("broaches", "bushings", "shims")
        }
        return replace(self.question, shelf=replace(shelf, **changed))

    def at(self, values: Sequence[int]) -> Question:
        """The crib with each group so much over its lowest values."""
        more: dict[str, dict[str, int]] = {}
        for (names, _), value in zip(self.groups, values, strict=True):
            for tag, name in names:
                more.setdefault(tag, {})[name] = value

        def moved(piece: Piece) -> Piece:
            changes = {
                name: Length(getattr(piece, name).nm + by) for name, by in more.get(piece.tag, {}).items()
            }
            return replace(piece, **changes)

        shelf = self.question.shelf
        changed = {
            kind: tuple(map(moved, getattr(shelf, kind))) for kind in ("broaches", "bushings", "shims")
        }
        return replace(self.question, shelf=replace(shelf, **changed))

    def outcomes(self) -> Iterator[bool]:
        """Whether a plan exists, for every value on the grid."""
        steps = [[*range(0, width, GRID_NM), width] for _, width in self.groups]
        return (possible(self.at(values)) for values in product(*steps))


@cache
def limited_crib(number: int, names: tuple[str, ...]) -> LimitedCrib | None:
    """A random crib with limits on some kinds of figure; None where it has no such piece."""
    question, random = crib(number), Random(f"limits {number}")
    try:
        return _with_limits(question, names, random)
    except InputError:
        return None


def _with_limits(question: Question, names: tuple[str, ...], random: Random) -> LimitedCrib | None:
    """Limits on one piece for each of some figures; `InputError` where no piece can have those."""
    groups: list[tuple[tuple[tuple[str, str], ...], int]] = []
    for name in names:
        piece = _one_with(question, name, random)
        if piece is None or any((piece.tag, name) in pairs for pairs, _ in groups):
            return None
        figures = _HEIGHTS if name == "heights" else (name,)
        width = random.choice((1, 2, 4, 10)) * GRID_NM + random.choice((0, 0, 777))
        below = random.choice((0, width // 2, width))
        question = _lowered(question, piece, figures, below)
        groups.append((tuple((piece.tag, each) for each in figures), width))
    found = LimitedCrib(question, tuple(groups))
    assert len(found.limits) > 0
    return found


def _one_with(question: Question, name: str, random: Random) -> Piece | None:
    shelf = question.shelf
    kind: Sequence[Piece] = (
        shelf.bushings
        if name in ("web", "outside_diameter", "slot_width")
        else shelf.shims
        if name in ("thickness", "width")
        else shelf.broaches
    )
    wanted = _HEIGHTS if name == "heights" else (name,)
    able = [piece for piece in kind if all(getattr(piece, each) is not None for each in wanted)]
    return random.choice(able) if able else None


def _lowered(question: Question, piece: Piece, figures: Sequence[str], by: int) -> Question:
    lower = replace(piece, **{name: Length(getattr(piece, name).nm - by) for name in figures})
    shelf = question.shelf
    kind = {Broach: "broaches", Bushing: "bushings", Shim: "shims"}[type(piece)]
    changed = tuple(lower if one.tag == piece.tag else one for one in getattr(shelf, kind))
    return replace(question, shelf=replace(shelf, **{kind: changed}))
