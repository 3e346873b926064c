"""Words set into a box: as large as they fit, wrapped, and cut with an ellipsis where even the least size is too large.

The fonts are DejaVu, beside this module with their licence: Sans for words, since it has fractions and many scripts,
and Sans Mono Bold for tags, in which 0 and O, 1 and l cannot be taken for each other. What a font has no picture of is
shown as an empty box. Words of scripts that run from right to left are turned around; their letters are not joined.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path

_FONTS = Path(__file__).parent / "fonts"
_NO_PICTURE = "\u25a1"
_STEP = 0.5
# Of the size, for the capitals, small letters and signs of the two fonts.
ASCENT, DESCENT = 0.80, 0.24
TIED = "\N{NO-BREAK SPACE}"
_GOOD_BREAK = re.compile(r"(?<=[-/._:;+= ])(?=[A-Za-z0-9])")
_SPACE_SEEN = "\u2423"
# Broken between any two characters a tag must come out this much larger to be worth it.
_WORTH_BREAKING = 1.5
# And on a line more this much larger.
_WORTH_A_LINE = 1.25


class Font(StrEnum):
    """The fonts by their files' names."""

    WORDS = "DejaVuSans"
    TAG = "DejaVuSansMono-Bold"


@dataclass(frozen=True, slots=True)
class Room:
    """Where words may stand, in points, and the sizes they may have; ``spread`` is from line to line, of the size."""

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
    return _largest(room, lambda size: _wrapped(text, room, size)) or _cut(text, room)


def set_tag(tag: str, room: Room) -> Block:
    """A tag, wrapped where it has signs or else between any two characters, and never cut.

    Few lines stand before a little more size. A space at the end of a line is drawn as an open box: it would be lost.

    Raises
    ------
    ValueError : the room is too small for the tag at the least size; that of no shipped grid is.
    """
    at_signs = _fewest_lines(_GOOD_BREAK.split(tag), room)
    anywhere = _fewest_lines(list(tag), room)
    if at_signs is not None and (anywhere is None or at_signs.size * _WORTH_BREAKING >= anywhere.size):
        return at_signs
    if anywhere is None:
        raise ValueError(f"a tag of {len(tag)} characters has no room in {room}")
    return anywhere


def _fewest_lines(parts: list[str], room: Room) -> Block | None:
    """The parts on as few lines as are nearly as large as any number of lines is, the lines about as long."""
    column = width_of("0", Font.TAG, 1)
    found: list[Block] = []
    for lines in _evenly(parts):
        across = room.width / (column * max(map(len, lines)))
        down = room.height / Block(tuple(lines), 1, room.spread).height
        size = int(min(across, down, room.largest) / _STEP) * _STEP
        if size >= room.least:
            found.append(Block(tuple(map(_spaces_seen, lines)), size, room.spread))
    best = max((block.size for block in found), default=0.0)
    return next((block for block in found if block.size * _WORTH_A_LINE >= best), None)


def _evenly(parts: list[str]) -> list[list[str]]:
    """The parts on one line, on two and so on, each time with the longest line as short as it can be."""
    found: dict[int, list[str]] = {}
    for columns in range(sum(map(len, parts)), max(map(len, parts)) - 1, -1):
        lines: list[str] = []
        for part in parts:
            if lines and len(lines[-1]) + len(part) <= columns:
                lines[-1] += part
            else:
                lines.append(part)
        found[len(lines)] = lines
    return [found[count] for count in sorted(found)]


def _largest(room: Room, lines_at: Callable[[float], list[str] | None]) -> Block | None:
    steps = int((room.largest - room.least) / _STEP)
    for step in range(steps, -1, -1):
        size = room.least + step * _STEP
        lines = lines_at(size)
        if lines is not None:
            block = Block(tuple(lines), size, room.spread)
            if block.height <= room.height:
                return block
    return None


def _wrapped(text: str, room: Room, size: float) -> list[str] | None:
    words = [word for word in text.split(" ") if word]
    lines = _filled([f"{word} " for word in words], room, size, Font.WORDS)
    return None if lines is None else [line.rstrip(" ") for line in lines]


def _filled(parts: list[str], room: Room, size: float, font: Font) -> list[str] | None:
    """The parts on lines, each as full as it goes; None where a part alone is too wide."""
    lines: list[str] = []
    for part in parts:
        if width_of(part.rstrip(" ") or part, font, size) > room.width:
            return None
        if lines and width_of((lines[-1] + part).rstrip(" "), font, size) <= room.width:
            lines[-1] += part
        else:
            lines.append(part)
    return lines


def _cut(text: str, room: Room) -> Block:
    """At the least size as many lines as there is room for, broken anywhere, the last with an ellipsis."""
    size = room.least
    most = 1
    while Block(("",) * (most + 1), size, room.spread).height <= room.height:
        most += 1
    lines = _filled(list(text), room, size, Font.WORDS) or []
    if len(lines) > most:
        last = lines[most - 1]
        while last and width_of(f"{last}…", Font.WORDS, size) > room.width:
            last = last[:-1]
        lines = [*lines[: most - 1], f"{last.rstrip()}…"]
    return Block(tuple(line.strip(" ") for line in lines), size, room.spread)


def _spaces_seen(line: str) -> str:
    """Spaces at the ends of a line drawn as open boxes."""
    kept = line.strip(" ")
    before, _, after = line.partition(kept) if kept else (line, "", "")
    return _SPACE_SEEN * len(before) + kept + _SPACE_SEEN * len(after)
