"""Which works may use one piece on one day: those that marks join, so that one is cut after the other.

A push takes minutes. One piece serves two works on a day only where all that use it on that day are joined by marks
among themselves: each follows another of them, or is followed by it. A work that is done or dropped uses nothing any
more, and its marks still join what came before it and after it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from broachplan.crib.holds import work_key


class Sharing:
    """The marks between works, and which pieces those that are started use on which days.

    A work is named by its number in any form; see `work_key`.

    Parameters
    ----------
    after : the number of each work that follows another, with that of the other; an empty one marks nothing.
    closed : the works that are done or dropped.
    uses : each work that is started, with its pieces and its days.
    """

    def __init__(
        self,
        after: Mapping[str, str] | None = None,
        closed: Iterable[str] = (),
        uses: Iterable[tuple[str, Iterable[str], Iterable[date]]] = (),
    ) -> None:
        self._near: dict[str, set[str]] = {}
        for one, other in (after or {}).items():
            if not other:
                continue
            self._near.setdefault(work_key(one), set()).add(work_key(other))
            self._near.setdefault(work_key(other), set()).add(work_key(one))
        self._closed = frozenset(map(work_key, closed)) & self._near.keys()
        self._users: dict[tuple[str, date], list[str]] = {}
        for work, tags, days in uses:
            for day in days:
                for tag in tags:
                    self._users.setdefault((tag, day), []).append(work)

    def users(self, tag: str, day: date) -> tuple[str, ...]:
        """The started works that use a piece on a day."""
        return tuple(self._users.get((tag, day), ()))

    def shared(self) -> Iterable[tuple[str, date, tuple[str, ...]]]:
        """The pieces that several started works use on a day, in the order of days and tags."""
        several = (key for key, works in self._users.items() if len(works) > 1)
        return ((tag, day, self.users(tag, day)) for tag, day in sorted(several, key=lambda one: one[::-1]))

    def joined(self, works: Iterable[str]) -> bool:
        """Whether all of these may use one piece on one day."""
        return len(self.parts(works)) <= 1

    def may_use(self, work: str, held_for: str, tag: str = "", day: date | None = None) -> bool:
        """Whether a work may use a piece that is held on a day for another one, beside all that use it."""
        if not work_key(work):
            return False
        others = self.users(tag, day) if day is not None else ()
        return self.joined((work, held_for, *others))

    def parts(self, works: Iterable[str]) -> list[tuple[str, ...]]:
        """These works, those together that are joined among themselves; as they are named, in their order."""
        named: dict[str, list[str]] = {}
        for work in works:
            named.setdefault(work_key(work), []).append(work)
        left, found = dict.fromkeys(named), []
        while left:
            start = next(iter(left))
            part = {start} if start not in self._near else self._joined_to(start, named.keys())
            found.append(tuple(work for key in named if key in part for work in named[key]))
            for key in part:
                left.pop(key, None)
        return found

    def queue(self, work: str) -> frozenset[str]:
        """The keys of all works that marks join to this one, itself among them, whoever is at the press."""
        return frozenset(self._joined_to(work_key(work), self._near.keys()) | {work_key(work)})

    def loose(self) -> Sharing:
        """The same as if every work passed its marks on: whatever the others use, no less may be shared."""
        found = Sharing()
        found._near, found._users, found._closed = self._near, self._users, frozenset(self._near)
        return found

    def _joined_to(self, start: str, among: Iterable[str]) -> set[str]:
        through = frozenset(among) | self._closed
        seen, new = {start}, [start]
        while new:
            for other in self._near.get(new.pop(), ()):
                if other in through and other not in seen:
                    seen.add(other)
                    new.append(other)
        return seen


NOTHING_SHARED = Sharing()
