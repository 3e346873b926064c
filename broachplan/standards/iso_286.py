"""Limits of bores, keyways and keys by their zones. Source: ISO 286, zones of keys as ISO 773 / DIN 6885-1 name them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from broachplan.errors import InputError
from broachplan.lengths import LONGEST_LIMITS_TEXT, Length, System, WrittenLimits, read_limits, write_exact
from broachplan.standards.table import Zone, zone_for, zones

# Capital letters are of holes, small ones of shafts: which of them was typed matters.
_ZONED = re.compile(r"(?P<size>.*[^\s+-])\s+(?P<zone>[A-Za-z]{1,2}\d{1,2})\s*", re.ASCII | re.DOTALL)


@cache
def bore_zones() -> tuple[Zone, ...]:
    """Deviations of bores, labelled by their zone."""
    return zones("iso_286_bores", "zone")


def read_sized(text: str, what: str = "size") -> WrittenLimits:
    """Read a size with its limits, or with a zone behind a size in millimetres: ``25 mm H7``; else as `read_limits`.

    Raises
    ------
    InputError : as `read_limits`; a zone that is not of a bore or a keyway in the tables here, a size outside them, one in
        inches, or deviations beside the zone.

    >>> read_sized("25 mm H7").limits.upper
    Length(nm=25021000)
    """
    found = _ZONED.fullmatch(text) if len(text) <= LONGEST_LIMITS_TEXT else None
    if found is None:
        return read_limits(text, what)
    try:
        size, name = read_limits(found["size"], what), found["zone"]
    except InputError as error:
        raise InputError(what, error.right, read=text, fault=error.fault) from None
    if size.toleranced:
        raise InputError(what, "write deviations or a zone, not both", read=text)
    rows = [zone for zone in _holes() if zone.labels[-1] == name]
    if not rows:
        known = ", ".join(
            sorted({zone.labels[-1] for zone in _holes()}, key=lambda each: (each[0] != "H", each))
        )
        raise InputError(
            what, f"the zones known here are {known}", read=text, fault=f", and {name} is not known"
        )
    if size.system is not System.METRIC:
        raise InputError(what, "a zone follows a size in millimetres", read=text)
    nominal = size.limits.nominal
    row = next((zone for zone in rows if zone.over < nominal <= zone.to), None)
    if row is None:
        over, to = min(zone.over for zone in rows), max(zone.to for zone in rows)
        between = f"over {write_exact(over)} to {write_exact(to)}" if over else f"to {write_exact(to)}"
        raise InputError(what, f"{name} is known here {between}", read=text)
    return WrittenLimits(row.around(nominal), size.system, True)


def _holes() -> Iterable[Zone]:
    """The zones of holes: of bores, then of the keyway in a hub or a shaft."""
    return (*bore_zones(), *(zone for zone in keyway_zones() if zone.labels[1] in ("hub", "shaft")))


@cache
def keyway_zones() -> tuple[Zone, ...]:
    """Deviations labelled (fit, part, zone): fit close, normal, free for part hub or shaft; ``key`` for the key itself."""
    return zones("iso_286_keyway_widths", "fit", "part", "zone")


def keyway_width(fit: str, part: str, width: Length) -> Zone | None:
    """Deviations of the width of a keyway in ``hub`` or ``shaft``, or None outside the table."""
    return _zone(fit, part, width)


def key_limits(width: Length, height: Length) -> tuple[Zone | None, Zone | None]:
    """Deviations of a key's width and height (a square key's height has its width's), or None outside the table."""
    for_width = _zone("key", "width", width)
    return for_width, for_width if width == height else _zone("key", "height", height)


def woodruff_height(height: Length) -> Zone | None:
    """Deviations of a Woodruff key's height, h12 (that it is h12 is from memory), or None outside the table."""
    return _zone("key", "woodruff height", height)


def _zone(fit: str, part: str, size: Length) -> Zone | None:
    names = {zone.labels[2] for zone in keyway_zones() if zone.labels[:2] == (fit, part)}
    found = (zone_for(keyway_zones(), (fit, part, name), size) for name in names)
    return next((zone for zone in found if zone is not None), None)
