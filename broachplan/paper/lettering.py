"""Words set into a box: as large as they fit, wrapped, and cut with an ellipsis where even the least size is too large.

The fonts are DejaVu, beside this module with their licence: Sans for words, since it has fractions and many scripts,
and Sans Mono Bold for tags, in which 0 and O, 1 and l cannot be taken for each other. What a font has no picture of is
shown as an empty box. Words of scripts that run from right to left are turned around; their letters are not joined.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from math import inf
from pathlib import Path

_FONTS = Path(__file__).parent / "fonts"
_NO_PICTURE = "\u25a1"
_STEP = 0.5
_HAIR = 1e-6
# Of the size, for the capitals, small letters and signs of the two fonts.
ASCENT, DESCENT = 0.80, 0.24
TIED = "\N{NO-BREAK SPACE}"
_GOOD_BREAK = re.compile(r"(?<=[-/._:;+= ])(?=[A-Za-z0-9])")
_SPACE_SEEN = "\u2423"
# Broken between any two characters a tag must come out this much larger to be worth it,
_WORTH_BREAKING = 1.5
# and any words on a line more this much.
_WORTH_A_LINE = 1.25


class Font(StrEnum):
    """The fonts by their files' names."""

    WORDS = "DejaVuSans"
    TAG = "DejaVuSansMono-Bold"


@dataclass(frozen=True, slots=True)
class Room:
    """Where words may be, in points, and the sizes they may have; ``spread`` is from line to line, of the size."""

    width: float
    height: float
    largest: float
    least: float
    spread: float = 1.08


@dataclass(frozen=True, slots=True)
class Block:
    """Words as they are set: lines of one size in points."""

    lines: tuple[str, ...]
    size: float
    spread: float

    @property
    def height(self) -> float:
        """From the top of the first line to the foot of the last."""
        return (ASCENT + DESCENT + self.spread * (len(self.lines) - 1)) * self.size if self.lines else 0.0


@cache
def loaded(font: Font) -> dict[int, float]:
    """The font made known to the writer of PDFs; how wide each of its characters is, of the size."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    made = TTFont(font.value, str(_FONTS / f"{font}.ttf"))
    pdfmetrics.registerFont(made)
    return {each: made.face.charWidths[each] / 1000 for each in made.face.charToGlyph}


def width_of(text: str, font: Font, size: float) -> float:
    """How wide a line is, in points; of characters that the font has, see `drawable`."""
    widths = loaded(font)
    return size * sum(widths[ord(each)] for each in text)


def drawable(text: str, font: Font = Font.WORDS) -> str:
    """``text`` with a box for every character that the font has no picture of or that does not show."""
    has = loaded(font)
    return "".join(
        each if ord(each) in has and (each.isprintable() or each == TIED) else _NO_PICTURE for each in text
    )


def turned(line: str) -> str:
    """A line as it is drawn from left to right: stretches written from right to left are turned around."""
    if line.isascii():
        return line
    turned, run = "", ""
    for each in [*line, ""]:
        side = unicodedata.bidirectional(each) if each else ""
        if side in ("R", "AL") or (run and side in ("WS", "NSM")):
            run += each
            continue
        kept = run.rstrip()
        turned, run = turned + kept[::-1] + run[len(kept) :] + each, ""
    return turned


def set_words(text: str, room: Room) -> Block:
    """Words wrapped at spaces, as large as they fit; at the least size what is too much is cut with an ellipsis."""
    text = drawable(text).strip(" ")
    if not text:
        return Block((), room.least, room.spread)
    words = [word for word in text.split(" ") if word]
    return _fewest_lines(words, " ", Font.WORDS, room) or _cut(text, room)


def set_tag(tag: str, room: Room) -> Block:
    """A tag, wrapped where it has signs or else between any two characters, and never cut.

    A space at the end of a line is drawn as an open box: it would be lost.

    Raises
    ------
    ValueError : the room is too small for the tag at the least size; that of no shipped grid is.
    """
    at_signs = _fewest_lines(_GOOD_BREAK.split(tag), "", Font.TAG, room)
    anywhere = _fewest_lines(list(tag), "", Font.TAG, room)
    if anywhere is None:
        raise ValueError(f"a tag of {len(tag)} characters has no room in {room}")
    found = at_signs if at_signs and at_signs.size * _WORTH_BREAKING >= anywhere.size else anywhere
    return Block(tuple(map(_spaces_seen, found.lines)), found.size, found.spread)


def _fewest_lines(parts: list[str], between: str, font: Font, room: Room) -> Block | None:
    """The parts on as few lines as come out nearly as large as on any number of lines, the lines about as long."""
    found: list[Block] = []
    for lines in _evenly(parts, between, font):
        across = room.width / max(width_of(line, font, 1) for line in lines)
        down = room.height / Block(tuple(lines), 1, room.spread).height
        size = int(min(across, down, room.largest) / _STEP) * _STEP
        if size >= room.least:
            found.append(Block(tuple(lines), size, room.spread))
    best = max((block.size for block in found), default=0.0)
    return next((block for block in found if block.size * _WORTH_A_LINE >= best), None)


def _evenly(parts: list[str], between: str, font: Font) -> list[list[str]]:
    """The parts on one line, on two and so on, each time with the longest line as short as it can be."""
    found: dict[int, list[str]] = {}
    lines = _filled(parts, between, font, inf)
    while lines is not None:
        found[len(lines)] = lines
        lines = _filled(parts, between, font, max(width_of(line, font, 1) for line in lines) - _HAIR)
    return [found[count] for count in sorted(found)]


def _filled(parts: list[str], between: str, font: Font, widest: float) -> list[str] | None:
    """The parts on lines up to so wide at size 1, each as full as it goes; None where a part alone is too wide."""
    lines: list[str] = []
    for part in parts:
        if lines and width_of(lines[-1] + between + part, font, 1) <= widest:
            lines[-1] += between + part
        elif width_of(part, font, 1) <= widest:
            lines.append(part)
        else:
            return None
    return lines


def _cut(text: str, room: Room) -> Block:
    """At the least size as many lines as there is room for, broken anywhere, the last with an ellipsis."""
    widest = room.width / room.least
    most = 1
    while Block(("",) * (most + 1), room.least, room.spread).height <= room.height:
        most += 1
    lines = _filled(list(text), "", Font.WORDS, widest) or []
    if len(lines) > most:
        last = lines[most - 1]
        while last and width_of(f"{last}…", Font.WORDS, 1) > widest:
            last = last[:-1]
        lines = [*lines[: most - 1], f"{last.rstrip()}…"]
    return Block(tuple(line.strip(" ") for line in lines), room.least, room.spread)


def _spaces_seen(line: str) -> str:
    """Spaces at the ends of a line drawn as open boxes."""
    kept = line.strip(" ")
    before, _, after = line.partition(kept) if kept else (line, "", "")
    return _SPACE_SEEN * len(before) + kept + _SPACE_SEEN * len(after)
