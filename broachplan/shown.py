"""Limits in words, and lengths that are weighed against each other.

A limit is shown so that a reading typed as it is shown lies within: a lower limit is rounded up and an upper one down,
or either is shown to its last digit. This is the one place that shows limits, to every face and in every message.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import count, pairwise
from typing import NamedTuple

from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, Limits, Units, decimal, show

# Shown values are compared in this part of their unit: finer than any decimals or 64ths that are shown.
_FINE = 12


class AtLeast(NamedTuple):
    """A length that is a lower limit."""

    length: Length


class AtMost(NamedTuple):
    """A length that is an upper limit."""

    length: Length


class _Scale(NamedTuple):
    """Nanometres in the unit, its usual decimals, the decimals that show every nanometre, and its word."""

    per: int
    usual: int
    last: int
    unit: str


_INCHES, _MILLIMETRES = _Scale(NM_PER_INCH, 4, 8, "in"), _Scale(NM_PER_MM, 3, 6, "mm")


def limits_in_words(limits: Limits, units: Units) -> str:
    """Both limits with one unit behind them, or the size where they are one: ``0.2490 to 0.2500 in``."""
    lower, upper = show_apart(units, AtLeast(limits.lower), AtMost(limits.upper))
    return upper if lower == upper else f"{lower.rpartition(' ')[0]} to {upper}"


def between_in_words(lower: Length, upper: Length, units: Units) -> str:
    """Two limits as `limits_in_words` shows them."""
    return limits_in_words(Limits(lower, lower, upper), units)


def span_in_words(least: Length, most: Length, units: Units) -> str:
    """From a smaller to a larger size as limits, or the one size that there is."""
    return show(least, units) if least == most else between_in_words(least, most, units)


def nominal_in_words(limits: Limits, units: Units) -> str:
    """The nominal size; where it is one of the limits itself, as that limit is shown."""
    nominal, at_one = limits.nominal, limits.lower == limits.upper
    if nominal == limits.lower and not at_one:
        return show_apart(units, AtLeast(nominal))[0]
    if nominal == limits.upper and not at_one:
        return show_apart(units, AtMost(nominal))[0]
    return show(nominal, units)


def show_apart(units: Units, *lengths: Length | AtLeast | AtMost) -> list[str]:
    """Lengths in words, each on its own side of the others and of zero, with as many decimals as that takes.

    Limits among them are rounded inward, and are shown with one decimal more where that is their last digit.
    """
    scale = _MILLIMETRES if units is Units.MM else _INCHES
    for more in count():
        shown = [_shown(each, units, scale, more) for each in lengths]
        if _in_order([(0, 0), *((nm, value) for nm, value, _ in shown)]):
            break
    return [text for _, _, text in shown]


def _shown(each: Length | AtLeast | AtMost, units: Units, scale: _Scale, more: int) -> tuple[int, int, str]:
    """The length, what is shown of it in the fine part of the unit, and the text; ``more`` decimals than usual."""
    is_limit = not isinstance(each, Length)
    nm = each.nm if isinstance(each, Length) else each.length.nm
    if units is Units.FRACTION and not more and not nm % (NM_PER_INCH // 64):
        return nm, nm * 10**_FINE // NM_PER_INCH, show(Length(nm), units)
    places = scale.usual + more
    if is_limit and nm * 10**places % scale.per and not nm * 10 ** (places + 1) % scale.per:
        # Its last digit, which a keyway's JS9 has at half a micrometre.
        places += 1
    scaled, rest = divmod(nm * 10**places, scale.per)
    if is_limit and places < scale.last:
        # Inward. From the last place on, the nearest reads back as the same nanometre.
        scaled += bool(rest) and isinstance(each, AtLeast)
    elif 2 * rest > scale.per or (2 * rest == scale.per and scaled % 2):
        scaled += 1
    return nm, scaled * 10 ** (_FINE - places), f"{decimal(scaled, places)} {scale.unit}"


def _in_order(sizes: Iterable[tuple[int, int]]) -> bool:
    """Whether what is shown is equal where the lengths are, and otherwise in their order."""
    return all(
        (one == other) == (shown == after) and shown <= after
        for (one, shown), (other, after) in pairwise(sorted(sizes))
    )


def numbered(number: int, one: str, many: str = "") -> str:
    """So many of something: ``1 piece``, ``3 pieces``; ``many`` where it is more than an s behind."""
    return f"{number} {one if number == 1 else many or f'{one}s'}"


def shims_in_words(tags: Iterable[str]) -> str:
    """The tags of a stack, or that it has none."""
    return ", ".join(tags) or "no shim"
