"""The sizes that lie within limits and that one can ask for by name: bores, keys, shim stock."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from broachplan.buying.intervals import Interval
from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, write_exact
from broachplan.standards.inch_keys import inch_keys
from broachplan.standards.metric_keys import metric_keys
from broachplan.standards.shim_stock import shim_stock

_SIXTEENTH = NM_PER_INCH // 16


@dataclass(frozen=True, slots=True)
class StandardSize:
    """A size and where it is from; ``status`` is ``read``, or ``memory`` for one that nobody looked up."""

    size: Length
    name: str
    source: str
    status: str


def key_widths(low: Length, high: Length) -> tuple[StandardSize, ...]:
    """Keys of the inch and the metric table whose nominal width a broach within these limits cuts."""
    inch = (
        StandardSize(key.width, f"{write_exact(key.width)} key", key.source, key.status)
        for key in inch_keys()
    )
    metric = (
        StandardSize(key.width, f"{write_exact(key.width)} key", key.source, key.status)
        for key in metric_keys()
    )
    return _once(one for one in (*inch, *metric) if low <= one.size <= high)


def bores(low: Length, high: Length) -> tuple[StandardSize, ...]:
    """The bores in sixteenths of an inch and whole millimetres for which a bushing from ``low`` to ``high`` is meant.

    That a bushing is sold by its bore, a little under it, is common practice, no source.
    """
    found = []
    for step in (_SIXTEENTH, NM_PER_MM):
        nominal = Length(-(-low.nm // step) * step)
        if low < nominal <= high:
            found.append(
                StandardSize(nominal, f"{write_exact(nominal)} bore", "common practice, no source", "memory")
            )
    return tuple(found)


def shim_thicknesses(intervals: Iterable[Interval]) -> tuple[StandardSize, ...]:
    """Thicknesses of shim stock that lie within some of these intervals."""
    within = list(intervals)
    return tuple(
        StandardSize(one.thickness, f"{write_exact(one.thickness)} shim stock", one.source, one.status)
        for one in shim_stock()
        if any(low <= one.thickness.nm <= high for low, high in within)
    )


def _once(sizes: Iterable[StandardSize]) -> tuple[StandardSize, ...]:
    return tuple({one.size: one for one in sizes}.values())
