"""Figures that are possible and yet look like a slip, asked about while the piece can still be measured again.

Nothing is refused here: a box may hold an odd piece. What is asked about is a figure that contradicts another one of
the piece, one of a piece of the same size, or that lies far from every other piece of the kind.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import isqrt
from typing import NamedTuple

from broachplan.crib.jumps import MOST
from broachplan.lengths import Length, write_exact
from broachplan.tooling.figures import Figure, Kind, Quantity
from broachplan.tooling.measures import Value
from broachplan.tooling.pieces import FIGURES

# Common practice, no source: a point in the wrong place is a factor of ten, a wrong unit one of 25.4.
FAR = 4
# Bushings that differ by no more are of one size.
SAME_DIAMETER, SAME_SLOT = Length.inches("0.002"), Length.inches("0.004")
Figures = Mapping[str, Value | None]


class Doubt(NamedTuple):
    """A figure by its name, and why to measure it again."""

    figure: str
    words: str


@dataclass(frozen=True, slots=True)
class Beside:
    """The rest of the box.

    ``webs`` are the webs of bushings of the same outside diameter and slot by their tags; ``ranges`` are the least and
    the most of each length of the kind, where there are two pieces at least.
    """

    webs: Mapping[str, Length] = field(default_factory=dict)
    ranges: Mapping[str, tuple[Length, Length]] = field(default_factory=dict)


def doubts(
    kind: Kind,
    figures: Figures,
    beside: Beside | None = None,
    slot_depth: Length | None = None,
    over: Length | None = None,
) -> tuple[Doubt, ...]:
    """What to ask about a piece before it is kept; a figure at most once.

    Parameters
    ----------
    figures : by name; None where one is not known.
    beside : the rest of the box, where there is one.
    slot_depth : of a bushing, where it was measured: for this check alone, it is not kept.
    over : what the micrometer read over a broach in the slot, where the web was taken so.
    """
    beside = beside or Beside()
    lengths = {name: value for name, value in figures.items() if isinstance(value, Length)}
    found: dict[str, Doubt] = {}
    on_itself = (each for each in (_over_doubt(lengths, over),) if each is not None)
    for each in (
        *on_itself,
        *_WITHIN[kind](lengths, beside, slot_depth),
        *_far(FIGURES[kind], lengths, beside),
    ):
        found.setdefault(each.figure, each)
    return tuple(found.values())


def webs_by_slot_depth(outside: Length, depth: Length, slot: Length | None) -> tuple[Length, ...]:
    """What the web should be: outside diameter less slot depth.

    A depth gauge that lies across the slot's mouth rests on its two edges, which are below the round by the height of
    the arc, R - sqrt(R^2 - (slot/2)^2): read so, the web is less by that. Either may be meant.
    """
    round_off = outside - depth
    if slot is None or slot >= outside:
        return (round_off,)
    # Twice the arc in nm, so that halves stay whole.
    arc = (outside.nm - isqrt(outside.nm**2 - slot.nm**2)) // 2
    return round_off, round_off - Length(arc)


def slot_depth_doubt(lengths: Mapping[str, Length], depth: Length | None) -> Doubt | None:
    """Whether web, slot depth and outside diameter contradict each other."""
    web, outside = lengths.get("web"), lengths.get("outside_diameter")
    if depth is None or web is None or outside is None:
        return None
    apart = min(
        (abs(web - each) for each in webs_by_slot_depth(outside, depth, lengths.get("slot_width"))),
        key=lambda length: length.nm,
    )
    if apart <= MOST:
        return None
    return Doubt(
        "web",
        f"web {write_exact(web)}, but outside diameter less slot depth is {write_exact(outside - depth)}:"
        f" {write_exact(apart)} apart; measure web, slot depth and diameter again",
    )


def _over_doubt(lengths: Mapping[str, Length], over: Length | None) -> Doubt | None:
    """Whether the anvil was on the bushing itself: a tooth that is no higher than its round cannot be reached by it."""
    outside = lengths.get("outside_diameter")
    if over is None or outside is None or over > outside:
        return None
    return Doubt(
        "web",
        f"{write_exact(over)} over the broach is not more than the outside diameter, {write_exact(outside)}:"
        " the anvil may have been on the bushing and not on the tooth",
    )


def _of_bushing(lengths: Mapping[str, Length], beside: Beside, depth: Length | None) -> Iterator[Doubt]:
    if (found := slot_depth_doubt(lengths, depth)) is not None:
        yield found
    web = lengths.get("web")
    apart = {tag: abs(web - its) for tag, its in beside.webs.items()} if web is not None else {}
    if web is not None and apart and min(length.nm for length in apart.values()) > MOST.nm:
        tag = min(apart, key=lambda each: apart[each].nm)
        yield Doubt(
            "web",
            f"web {write_exact(web)}, but {tag}, of the same diameter and slot, has {write_exact(beside.webs[tag])};"
            " measure it again",
        )


def _of_broach(lengths: Mapping[str, Length], _: Beside, __: Length | None) -> Iterator[Doubt]:
    width, body = lengths.get("keyway_width"), lengths.get("body_width")
    first, last = lengths.get("first_tooth_height"), lengths.get("last_tooth_height")
    if width is not None and body is not None and body - width > MOST:
        yield Doubt(
            "body_width", f"body width {write_exact(body)}, but the teeth are only {write_exact(width)} wide"
        )
    if width is not None and first is not None and last is not None and last - first > width:
        yield Doubt(
            "last_tooth_height",
            f"the teeth rise by {write_exact(last - first)} in total, more than the keyway is wide;"
            " measure both heights again",
        )


def _of_shim(lengths: Mapping[str, Length], _: Beside, __: Length | None) -> Iterator[Doubt]:
    thickness, width = lengths.get("thickness"), lengths.get("width")
    if thickness is not None and width is not None and thickness > width:
        yield Doubt(
            "thickness",
            f"the shim is thicker, {write_exact(thickness)}, than it is wide, {write_exact(width)}",
        )


def _of_others(_: Mapping[str, Length], __: Beside, ___: Length | None) -> Iterator[Doubt]:
    yield from ()


def _far(figures: Sequence[Figure], lengths: Mapping[str, Length], beside: Beside) -> Iterator[Doubt]:
    for figure in figures:
        value, around = lengths.get(figure.name), beside.ranges.get(figure.name)
        if figure.quantity is not Quantity.LENGTH or value is None or around is None:
            continue
        least, most = around
        if value.nm * FAR < least.nm or value.nm > most.nm * FAR:
            others = write_exact(least) if least == most else f"{write_exact(least)} to {write_exact(most)}"
            yield Doubt(
                figure.name,
                f"{figure.label} {write_exact(value)} is far from the others in the box, {others}; look at the point and the unit",
            )


_WITHIN = {
    **dict.fromkeys(Kind, _of_others),
    Kind.BROACH: _of_broach,
    Kind.BUSHING: _of_bushing,
    Kind.SHIM: _of_shim,
}
