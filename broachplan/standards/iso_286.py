"""Limits of keyway and key widths by fit. Source: ISO 286, zones as ISO 773 / DIN 6885-1 name them."""

from __future__ import annotations

from functools import cache

from broachplan.lengths import Length
from broachplan.standards.table import Zone, zone_for, zones


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
