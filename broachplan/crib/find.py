"""The text of the search box: words, sizes, what fits a bore, what cuts a width.

Words are looked for in all the words of a piece, sizes among its figures. A size alone finds the bushings
for such a bore and the broaches for such a keyway too.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from broachplan.crib.loans import LENT
from broachplan.crib.records import Record
from broachplan.errors import InputError
from broachplan.keyways.key import KeySize
from broachplan.keyways.parallel import hub_keyway
from broachplan.lengths import Length, Limits, parse_length
from broachplan.settings import Settings
from broachplan.standards.named import Fit, Standard
from broachplan.tooling.pieces import Broach, Bushing

LONGEST_SEARCH = 200
# A nominal size matches figures this near to it: common practice, no source.
NEAR = Length.inches("0.005")
# What people call a piece that is lent.
_ALSO_LENT = "signed out, issued, checked out, booked out"
_MOST_TOKENS = 3  # 1 1/4 in
_BEGUN = re.compile(r"[\d/.,+-]*[a-z\"]{0,2}", re.ASCII)
_FITS = {Standard.INCH: (Fit.CLASS_1, Fit.CLASS_2), Standard.METRIC: (Fit.CLOSE, Fit.NORMAL, Fit.FREE)}


class Purpose(StrEnum):
    """What a size was asked for."""

    ANY = "size"
    BORE = "bore"
    WIDTH = "width"


_PURPOSES = {"fits": Purpose.BORE, "bore": Purpose.BORE, "cuts": Purpose.WIDTH, "width": Purpose.WIDTH}


@dataclass(frozen=True, slots=True)
class SoughtSize:
    """A size as typed, and what for."""

    text: str
    length: Length
    purpose: Purpose


@dataclass(frozen=True, slots=True)
class Sought:
    """A search as typed: every word, in any case, and every size must match."""

    words: tuple[str, ...]
    sizes: tuple[SoughtSize, ...]


def read_sought(text: str) -> Sought:
    """What a text asks for. A number without a unit is a word: a bare number is no size.

    Raises
    ------
    InputError : it is longer than `LONGEST_SEARCH`.
    """
    if len(text) > LONGEST_SEARCH:
        raise InputError("find", f"at most {LONGEST_SEARCH}", shown=len(text), fault="characters")
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


def unfinished(text: str) -> tuple[str, str]:
    """A text and its end, where the end may yet become a size that something is to fit or cut: ``fits 2``.

    A search while it is typed uses the text before it.
    """
    tokens = text.split()
    for taken in range(1, min(_MOST_TOKENS + 1, len(tokens)) + 1):
        word, *rest = (token.casefold() for token in tokens[-taken:])
        if word.rstrip(":") not in _PURPOSES:
            continue
        begun = all(map(_BEGUN.fullmatch, rest)) and _size_at(rest, 0, Purpose.ANY)[0] is None
        if begun and (rest or word in ("fits", "cuts")):
            return " ".join(tokens[:-taken]), " ".join(tokens[-taken:])
        break
    return text, ""


@dataclass(frozen=True, slots=True)
class Findable:
    """A piece prepared for a search that runs at every key typed.

    ``text`` holds all its words in one case; ``lengths`` its figures with their labels; ``diameter`` is that of a
    bushing, ``width`` that of the keyway that a broach cuts. Lengths are whole nanometres.
    """

    text: str
    lengths: tuple[tuple[int, str], ...]
    diameter: int | None = None
    width: int | None = None

    @classmethod
    def of(cls, record: Record, *words: str) -> Findable:
        """A piece with the words of its record and ``words``."""
        piece = record.piece
        figures = ((figure.label, getattr(piece, figure.name)) for figure in piece.figures())
        lengths = tuple((value.nm, label) for label, value in figures if isinstance(value, Length))
        outside = piece.outside_diameter if isinstance(piece, Bushing) else None
        width = piece.keyway_width if isinstance(piece, Broach) else None
        return cls(
            _text_of(record, words), lengths, outside.nm if outside else None, width.nm if width else None
        )


class Finder:
    """Finds the pieces that match, and by which figures; made once for one search."""

    def __init__(self, sought: Sought, settings: Settings) -> None:
        self._words = sought.words
        self._sizes = [(size, _Meant(size, settings)) for size in sought.sizes]

    def found_by(self, record: Record, state: str) -> tuple[str, ...] | None:
        """Why a piece is found, in words; None where it is not."""
        return self.among(Findable.of(record, state))

    def among(self, piece: Findable) -> tuple[str, ...] | None:
        """Why a prepared piece is found, in words; None where it is not."""
        for word in self._words:
            if word not in piece.text:
                return None
        reasons: list[str] = []
        for size, meant in self._sizes:
            why = list(meant.reasons(piece))
            if not why and (size.purpose is not Purpose.ANY or size.text not in piece.text):
                return None
            reasons += why
        return tuple(dict.fromkeys(reasons))


class _Meant:
    """What a size means for pieces: the limits of what fits such a bore, cuts such a width, or is about so large."""

    def __init__(self, size: SoughtSize, settings: Settings) -> None:
        nm = size.length.nm
        self._purpose = size.purpose
        self._near = (nm - NEAR.nm, nm + NEAR.nm)
        self._diameter = (nm - settings.bushing_clearance.nm, nm)
        self._widths = [(limits.lower.nm, limits.upper.nm) for limits in cutting_widths(size.length)]
        self._bore, self._width = f"fits a bore of {size.text}", f"cuts a keyway {size.text} wide"

    def reasons(self, piece: Findable) -> Iterator[str]:
        bore, width = piece.diameter, piece.width
        if bore is not None and self._purpose is not Purpose.WIDTH and _within(bore, self._diameter):
            yield self._bore
        if width is not None and self._purpose is not Purpose.BORE and self._cuts(width):
            yield self._width
        if self._purpose is Purpose.ANY:
            low, high = self._near
            for nm, label in piece.lengths:
                if low <= nm <= high:
                    yield label

    def _cuts(self, width: int) -> bool:
        return any(_within(width, limits) for limits in self._widths)


def cutting_widths(width: Length) -> tuple[Limits, ...]:
    """The limits that the standards give a hub keyway of a nominal width, for each of their fits.

    Where no standard knows the width: within the tolerance of a nominal size. Sources: ASME B17.1, ISO 773 / DIN 6885-1.
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


def _size_at(tokens: list[str], start: int, purpose: Purpose) -> tuple[SoughtSize | None, int]:
    """The longest size that begins at a token, and how many tokens it takes."""
    for taken in range(min(_MOST_TOKENS, len(tokens) - start), 0, -1):
        text = " ".join(tokens[start : start + taken])
        try:
            return SoughtSize(text.casefold(), parse_length(text), purpose), taken
        except InputError:
            continue
    return None, 0


def _within(nm: int, limits: tuple[int, int]) -> bool:
    return limits[0] <= nm <= limits[1]


def _text_of(record: Record, more: tuple[str, ...]) -> str:
    piece = record.piece
    made = "made in house" if record.made_here else ""
    measured = record.measured
    lent = _ALSO_LENT if any(LENT in text for text in more) else ""
    words = (piece.tag, piece.kind.value, record.set_name, record.home, record.note, made, *more, lent)
    return " ".join((*words, measured.by, measured.with_what)).casefold()
