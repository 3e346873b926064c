"""Whether anybody wrote to the crib, at whatever station, since a page was read."""

from __future__ import annotations

from broachplan.store.watch import CribWatch

__all__ = ["CribWatch"]
