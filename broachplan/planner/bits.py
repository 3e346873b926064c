"""Sets of totals as the bits of one whole number: bit i stands for i units.

With hundreds of shims a slot has a million totals; shifting and masking whole sets keeps the search exact and quick.
"""

from __future__ import annotations

from collections.abc import Iterator


def up_to(highest: int) -> int:
    """The set 0..highest; empty below zero."""
    return (1 << (highest + 1)) - 1 if highest >= 0 else 0


def between(low: int, high: int) -> int:
    """The set low..high, cut off at zero; empty when high < low."""
    low = max(low, 0)
    return ((1 << high - low + 1) - 1) << low if high >= low else 0


def highest(bits: int) -> int:
    """The largest member; -1 of an empty set."""
    return bits.bit_length() - 1


def lowest(bits: int) -> int:
    """The smallest member; -1 of an empty set."""
    return (bits & -bits).bit_length() - 1


def has(bits: int, member: int) -> bool:
    """Whether ``member`` is in the set."""
    return member >= 0 and bool(bits >> member & 1)


def members(bits: int) -> Iterator[int]:
    """The members, smallest first; works piece by piece so that sparse large sets stay cheap."""
    width = 4096
    for start in range(0, bits.bit_length(), width):
        part = bits >> start & ((1 << width) - 1)
        while part:
            low = part & -part
            yield start + low.bit_length() - 1
            part ^= low


def below(bits: int, most: int) -> int:
    """All x for which some member lies in x+1 .. x+most."""
    if most <= 0 or not bits:
        return 0
    low, high = lowest(bits), bits.bit_length() - 1
    if high - low <= most:
        return between(low - most, high - 1)
    # A set that begins high up is taken down to where the answer begins: long sets cost by their highest member.
    base = max(low - most, 0)
    spread, covered = bits >> base + 1, 1
    while covered < most:
        if _is_run(spread >> max(low - covered, 0) - base):
            return between(low - most, high - 1)
        step = covered if 2 * covered <= most else most - covered
        spread |= spread >> step
        covered += step
    return spread << base


def _is_run(bits: int) -> bool:
    """Whether the members are 0, 1, 2, ... without a gap: spread further, they only grow at one end."""
    return not bits & (bits + 1)
