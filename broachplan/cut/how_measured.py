"""How far the figure of a piece may be off, by what it was measured with."""

from __future__ import annotations

from typing import NamedTuple

from broachplan.lengths import Length
from broachplan.settings import ABOUT, Settings

# The words that are known in "measured with", and the setting that goes with each.
_BY_WORD = {
    "micrometer": "error_micrometer",
    "height gauge": "error_height_gauge",
    "caliper": "error_caliper",
}
FINEST = "error_micrometer"
NOT_KNOWN = "error_nominal"
_DEFAULTS = Settings()


class Within(NamedTuple):
    """A figure is within so many nm of what was measured, either way, and where that comes from."""

    nm: int
    source: str


def within(measured_with: str, measured_to: Length | None, settings: Settings) -> Within:
    """How far a figure may be off: as kept with the piece, else by the known word that comes first, else as nominal."""
    if measured_to is not None:
        return Within(measured_to.nm, "as measured, kept with the piece")
    words = " ".join(measured_with.lower().split())
    known = [(words.find(word), word) for word in _BY_WORD if word in words]
    if not known:
        how = f"measured with {measured_with.strip()}" if words else "how it was measured is not known"
        return by_setting(NOT_KNOWN, settings, how)
    word = min(known)[1]
    return by_setting(_BY_WORD[word], settings, f"measured with a {word}")


def by_setting(name: str, settings: Settings, how: str = "") -> Within:
    """What a setting says, and its source: the shop's own figure where it was changed."""
    value: Length = getattr(settings, name)
    source = ABOUT[name]["source"] if value == getattr(_DEFAULTS, name) else "set by the shop"
    return Within(value.nm, f"{how}: {name}, {source}" if how else f"{name}, {source}")
