"""What somebody types into the one search box: words, sizes, what fits a bore, what cuts a width.

Words are looked for in everything that is told of a piece, sizes among its figures. A size alone finds the bushings
for such a bore and the broaches for such a keyway too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from broachplan.crib.records import Record
from broachplan.errors import InputError
from broachplan.keyways.key import KeySize
from broachplan.keyways.keyway import Fit, Standard
from broachplan.keyways.parallel import hub_keyway
from broachplan.lengths import Length, Limits, parse_length
from broachplan.settings import Settings
from broachplan.tooling.pieces import Broach, Bushing

LONGEST_SEARCH = 200
# A nominal size is meant for figures this near to it: common practice, no source.
NEAR = Length.inches("0.005")
_MOST_TOKENS = 3  # 1 1/4 in
_FITS = {Standard.INCH: (Fit.CLASS_1, Fit.CLASS_2), Standard.METRIC: (Fit.CLOSE, Fit.NORMAL, Fit.FREE)}


class Purpose(StrEnum):
    """What a size was asked for."""

    ANY = "size"
    BORE = "bore"
    WIDTH = "width"


_PURPOSES = {"fits": Purpose.BORE, "bore": Purpose.BORE, "cuts": Purpose.WIDTH, "width": Purpose.WIDTH}


@dataclass(frozen=True, slots=True)
class Size:
    """A size as typed, and what for."""

    text: str
    length: Length
    purpose: Purpose


@dataclass(frozen=True, slots=True)
class Sought:
    """What was typed: every word, in any case, and every size must be met."""

    words: tuple[str, ...]
    sizes: tuple[Size, ...]


def read_sought(text: str) -> Sought:
    """What a text asks for. A number without a unit is a word: a bare number is no size.

    Raises
    ------
    InputError : it is longer than `LONGEST_SEARCH`.
    """
    if len(text) > LONGEST_SEARCH:
        raise InputError(f"find: read {len(text)} characters; at most {LONGEST_SEARCH}")
    tokens, words, sizes = text.split(), [], []
    place = 0
    while place < len(tokens):
        purpose = _PURPOSES.get(tokens[place].casefold().rstrip(":"), Purpose.ANY)
        start = place + (purpose is not Purpose.ANY)
        size, taken = _size_at(tokens, start, purpose)
        if size:
            sizes.append(size)
            place = start + taken
        else:
            words.append(tokens[place].casefold())
            place += 1
    return Sought(tuple(words), tuple(sizes))


class Finder:
    """Tells of pieces whether and by what they are found; made once for one search."""

    def __init__(self, sought: Sought, settings: Settings) -> None:
        self._words = sought.words
        self._sizes = [(size, _Meant(size, settings)) for size in sought.sizes]

    def found_by(self, record: Record, state: str) -> tuple[str, ...] | None:
        """By what a piece in a state is found, in words; None where it is not found."""
        told = _told(record, state)
        if any(word not in told for word in self._words):
            return None
        reasons: list[str] = []
        for size, meant in self._sizes:
            why = list(meant.reasons(record))
            if not why and (size.purpose is not Purpose.ANY or size.text not in told):
                return None
            reasons += why
        return tuple(dict.fromkeys(reasons))


class _Meant:
    """What a size means for pieces: the limits of what fits such a bore, cuts such a width, or is about so large."""

    def __init__(self, size: Size, settings: Settings) -> None:
        length = size.length
        self._purpose = size.purpose
        self._near = Limits(length, length - NEAR, length + NEAR)
        self._diameter = Limits(length, length - settings.bushing_clearance, length)
        self._widths = cutting_widths(length)
        self._bore, self._width = f"fits a bore of {size.text}", f"cuts a keyway {size.text} wide"

    def reasons(self, record: Record) -> Iterator[str]:
        piece = record.piece
        if self._purpose is not Purpose.WIDTH and isinstance(piece, Bushing) and self._fits(piece):
            yield self._bore
        if self._purpose is not Purpose.BORE and isinstance(piece, Broach) and self._cuts(piece):
            yield self._width
        if self._purpose is Purpose.ANY:
            for figure in piece.figures():
                value = getattr(piece, figure.name)
                if isinstance(value, Length) and value in self._near:
                    yield figure.label

    def _fits(self, bushing: Bushing) -> bool:
        return bushing.outside_diameter is not None and bushing.outside_diameter in self._diameter

    def _cuts(self, broach: Broach) -> bool:
        width = broach.keyway_width
        return width is not None and any(width in limits for limits in self._widths)


def cutting_widths(width: Length) -> tuple[Limits, ...]:
    """The limits that the standards give a hub keyway of a nominal width, for each of their fits.

    Where no standard knows the width: as near as a nominal size is meant. Sources: ASME B17.1, ISO 773 / DIN 6885-1.
    """
    found = []
    for standard, fits in _FITS.items():
        for fit in fits:
            try:
                bore = Limits.exactly(width * 4)
                found.append(hub_keyway(bore, standard=standard, key=KeySize(width, None), fit=fit).width)
            except InputError:
                continue
    return tuple(found) or (Limits(width, width - NEAR, width + NEAR),)


def _size_at(tokens: list[str], start: int, purpose: Purpose) -> tuple[Size | None, int]:
    """The longest size that begins at a token, and how many tokens it takes."""
    for taken in range(min(_MOST_TOKENS, len(tokens) - start), 0, -1):
        text = " ".join(tokens[start : start + taken])
        try:
            return Size(text.casefold(), parse_length(text), purpose), taken
        except InputError:
            continue
    return None, 0


def _told(record: Record, state: str) -> str:
    piece = record.piece
    made = "made in house" if record.made_here else ""
    measured = record.measured
    words = (piece.tag, piece.kind.value, record.set_name, record.home, record.note, made, state)
    return " ".join((*words, measured.by, measured.with_what)).casefold()
