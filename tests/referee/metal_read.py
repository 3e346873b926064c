"""The metal that was read, end by end, as the second planner takes it: written independently of the planner."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.tooling.pieces import Broach, Bushing


@dataclass(frozen=True)
class Read:
    """What was read at one end or two, in nm, and on which pieces: broach, bushing, and the total of shims."""

    broach: str
    bushing: str
    total: int
    read: tuple[int, ...]


@dataclass(frozen=True)
class End:
    """One end of the hub: the metal there (None: the corners of a bare bore) and how much more than plain it reads."""

    metal: int | None
    offset: int


def ends_at(read: Read | None, broach: Broach, bushing: Bushing) -> tuple[End, End]:
    """Both ends of the hub for a pair, alike where one reading was taken.

    The pair that was read continues as it read; any other has no known offset and finds the most metal there is.
    """
    if read is None:
        return (End(None, 0),) * 2
    deep, shallow = max(read.read), min(read.read)
    if (read.broach, read.bushing) != (broach.tag, bushing.tag):
        return (End(shallow, 0),) * 2
    plain = bushing.web.nm + read.total + broach.last_tooth_height.nm
    return End(deep, deep - plain), End(shallow, shallow - plain)
