"""How few shims the rest of a sequence can be made with, from each total of each pass."""

from __future__ import annotations

from collections.abc import Callable, Sequence


class Tails:
    """The ends of sequences of ``passes`` passes, by how many shims they handle.

    ``by_count`` holds the drawer's totals by their fewest shims, ``final`` the totals to end in, and ``before`` leads
    from a set of totals to those that one pass takes into it.
    """

    def __init__(
        self, by_count: Sequence[int], passes: int, final: int, before: Callable[[int], int]
    ) -> None:
        self._by_count = by_count
        self._passes = passes
        self._final = final
        self._before = before
        self._made: dict[tuple[int, int], int] = {}
        self._leading: dict[tuple[int, int], int] = {}

    def made_with(self, handled: int, k: int) -> int:
        """The totals of pass ``k`` (0 the first) from which it and the passes after it handle ``handled`` shims."""
        found = self._made.get((handled, k))
        if found is None:
            found = self._made[handled, k] = self._make(handled, k)
        return found

    def _make(self, handled: int, k: int) -> int:
        by_count, after = self._by_count, self._passes - k - 1
        if not after:
            return self._final & by_count[handled] if handled < len(by_count) else 0
        # Every pass but the first lifts the broach, so it has a shim at least.
        least, most = min(k, 1), min(handled - after, len(by_count) - 1)
        found = 0
        for count in range(least, most + 1):
            leading = self._leading_to(handled - count, k + 1)
            if leading:
                found |= by_count[count] & leading
        return found

    def _leading_to(self, handled: int, k: int) -> int:
        """The totals of the pass before ``k`` from which the rest handles ``handled`` shims."""
        found = self._leading.get((handled, k))
        if found is None:
            made = self.made_with(handled, k)
            found = self._leading[handled, k] = self._before(made) if made else 0
        return found
