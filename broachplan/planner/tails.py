"""How few shims the rest of a sequence can be made with, from each total of each pass."""

from __future__ import annotations

from collections.abc import Callable, Sequence

# Totals by how many shims are handled from their pass on.
Tail = dict[int, int]


def tails_of(by_count: Sequence[int], ways: Sequence[int], before: Callable[[int], int]) -> list[Tail]:
    """The totals of each pass, first to last, by the fewest shims that it and the passes after it handle.

    Parameters
    ----------
    by_count : the drawer's totals by their fewest shims.
    ways : the totals of each pass from which the next can follow.
    before : leads from a set of totals to those that one pass takes into it.
    """
    tail: Tail = {}
    _put_before(0, ways[-1], by_count, tail)
    tails = [tail]
    for left in reversed(ways[:-1]):
        after, tail = tail, {}
        for handled in sorted(after):
            leading = before(after[handled]) & left
            if leading:
                _put_before(handled, leading, by_count, tail)
                left ^= leading
            if not left:
                break
        tails.append(tail)
    return tails[::-1]


def _put_before(handled: int, totals: int, by_count: Sequence[int], tail: Tail) -> None:
    """Add ``totals``, after which ``handled`` shims are handled, to a tail by what their own stacks make of that."""
    for count, sums in enumerate(by_count, handled):
        of_count = totals & sums
        if of_count:
            tail[count] = tail.get(count, 0) | of_count
