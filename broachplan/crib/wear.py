"""What a piece has done, when it was last inspected and reground, and when it is due for inspection.

Broaches wear by the cut and by the length cut, not by the day. A cut is one pass through one hub.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Any

from broachplan.crib.entries import OF_WEAR, Change, Value, changes_between
from broachplan.errors import InputError
from broachplan.lengths import Length, Units, parse_length, show
from broachplan.settings import Settings
from broachplan.shown import AtLeast, show_apart

MOST_AT_ONCE = 10_000
_CUTS = re.compile(
    r"(?P<hubs>\d{1,6}) *[x×] *(?P<passes>\d{1,6}) *[x×] *(?P<hub_length>.+)", re.ASCII | re.IGNORECASE
)
_ANGLE = re.compile(r"(\d{1,2}(?:\.\d{1,4})?) ?(?:°|deg|degrees?)", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Booking:
    """What a broach has cut since it was booked last: passes through hubs of one length."""

    hubs: int
    passes: int
    hub_length: Length

    @property
    def cuts(self) -> int:
        """Passes through a hub."""
        return self.hubs * self.passes

    @property
    def length(self) -> Length:
        """The total length cut: hub length x hubs x passes."""
        return self.hub_length * self.cuts


@dataclass(frozen=True, slots=True)
class Wear:
    """Cuts and length cut in total, and what they were at the last regrind and at the last inspection."""

    cuts: int = 0
    cut_length: Length = Length(0)
    ground_cuts: int = 0
    ground_length: Length = Length(0)
    inspected_cuts: int = 0
    inspected_length: Length = Length(0)
    ground_on: date | None = None
    inspected_on: date | None = None

    def booked(self, booking: Booking) -> Wear:
        """With what was cut."""
        return self.with_cuts(booking.cuts, booking.length)

    def with_cuts(self, cuts: int, length: Length) -> Wear:
        """With more cuts, or fewer: what was counted at the last regrind and inspection is never more than all."""
        cuts, length = max(0, self.cuts + cuts), max(Length(0), self.cut_length + length)
        return replace(
            self,
            cuts=cuts,
            cut_length=length,
            ground_cuts=min(self.ground_cuts, cuts),
            ground_length=min(self.ground_length, length),
            inspected_cuts=min(self.inspected_cuts, cuts),
            inspected_length=min(self.inspected_length, length),
        )

    def inspected(self, on: date) -> Wear:
        """After an inspection."""
        return replace(self, inspected_cuts=self.cuts, inspected_length=self.cut_length, inspected_on=on)

    def reground(self, on: date) -> Wear:
        """After a regrind, at which a broach is measured and so inspected."""
        ground = replace(self, ground_cuts=self.cuts, ground_length=self.cut_length, ground_on=on)
        return ground.inspected(on)

    @property
    def since_regrind(self) -> tuple[int, Length]:
        """Cuts and length cut since the last regrind, or in total where none is known."""
        return self.cuts - self.ground_cuts, self.cut_length - self.ground_length

    @property
    def since_inspection(self) -> tuple[int, Length]:
        """Cuts and length cut since the last inspection, or in total where none is known."""
        return self.cuts - self.inspected_cuts, self.cut_length - self.inspected_length

    def words(self, units: Units) -> str:
        """Cuts and length in total, since the regrind and since the inspection, where there was one."""
        parts = [f"total {_sum(self.cuts, self.cut_length, units)}"]
        if self.ground_on:
            parts.append(f"{_sum(*self.since_regrind, units)} since the regrind on {self.ground_on}")
        if self.inspected_on:
            parts.append(f"{_sum(*self.since_inspection, units)} since the inspection on {self.inspected_on}")
        else:
            parts.append("no inspection on record")
        return "; ".join(parts)

    @property
    def values(self) -> dict[str, Value]:
        """The wear as an entry holds it: what is nothing or not known has no value."""
        return {name: _plain(getattr(self, name)) for name in OF_WEAR}

    @classmethod
    def of(cls, values: Mapping[str, Any]) -> Wear:
        """The wear in `values`; names that are not in `OF_WEAR` are ignored.

        Raises
        ------
        ValueError : a day that is none.
        """
        known = {name: values[name] for name in OF_WEAR if values[name] is not None}
        return cls(**{name: _typed(name, value) for name, value in known.items()})


def changes_of(before: Wear, after: Wear) -> tuple[Change, ...]:
    """What became different, for an entry."""
    return changes_between(before.values, after.values)


def has_limits(settings: Settings) -> bool:
    """Whether the shop has set any limit to what a broach does before it is due."""
    shop = settings
    limits = (
        shop.inspect_cuts,
        shop.inspect_length,
        shop.inspect_days,
        shop.regrind_cuts,
        shop.regrind_length,
    )
    return any(limit is not None for limit in limits)


def why_due(wear: Wear, settings: Settings, on: date | None) -> tuple[str, ...]:
    """For what a broach is due on a day and why, by the limits that the shop has set; nothing where it is not.

    Without a day the days since the last inspection are not counted.
    """
    since = "since the last regrind" if wear.ground_on else "and no regrind on record"
    reasons = _over(wear.since_regrind, settings.regrind_cuts, settings.regrind_length, settings.shown_in)
    due = [f"due for a regrind: {reason} {since}{limit}" for reason, limit in reasons]
    if wear.inspected_on is None and settings.inspect_days is not None:
        due.append("due for inspection: none is on record")
    since = f"since {wear.inspected_on}" if wear.inspected_on else "and no inspection on record"
    reasons = _over(wear.since_inspection, settings.inspect_cuts, settings.inspect_length, settings.shown_in)
    if wear.inspected_on and on and settings.inspect_days is not None:
        days = (on - wear.inspected_on).days
        if days >= settings.inspect_days:
            reasons.append((f"{days} days", f", the shop's limit is {settings.inspect_days}"))
    due += [f"due for inspection: {reason} {since}{limit}" for reason, limit in reasons]
    return tuple(due)


def _over(
    done: tuple[int, Length], most_cuts: int | None, most_length: Length | None, units: Units
) -> list[tuple[str, str]]:
    """What was done that reaches a limit, and the limit, in words."""
    cuts, length = done
    found = []
    if most_cuts is not None and cuts >= most_cuts:
        found.append((f"{cuts} cuts", f", the shop's limit is {most_cuts}"))
    if most_length is not None and length >= most_length:
        cut, limit = show_apart(units, length, AtLeast(most_length))
        found.append((f"{cut} cut", f", the shop's limit is {limit}"))
    return found


def lowered_by(ground_off: Length, relief: Fraction) -> Length:
    """How far a regrind lowers every tooth: g off the face at relief angle a lowers it by g tan a.

    Parameters
    ----------
    ground_off : what was ground off the face of each tooth.
    relief : the angle behind the cutting edge, in degrees.

    From the geometry of the tooth; the result is rounded to a nanometre. A check beside measuring, never instead.
    """
    return Length(round(ground_off.nm * math.tan(math.radians(float(relief)))))


def came_down_words(
    measured: Mapping[str, Length | None], by_geometry: Length | None, units: Units
) -> Iterator[str]:
    """How far the teeth came down at a regrind, as measured and by geometry, where known."""
    parts = [f"{name} tooth {show(height, units)}" for name, height in measured.items() if height is not None]
    if parts:
        yield f"came down, as measured: {', '.join(parts)}"
    if by_geometry is not None:
        yield f"by geometry: {show(by_geometry, units)} each; the measured heights are what is kept"


def read_angle(text: str, what: str) -> Fraction:
    """A relief angle in degrees, above 0 and below 45.

    Raises
    ------
    InputError : it is none.
    """
    found = _ANGLE.fullmatch(text.strip())
    angle = Fraction(found[1]) if found else Fraction(0)
    if not 0 < angle < 45:
        raise InputError(what, "write an angle above 0 and below 45, for example 2 deg", read=text)
    return angle


def read_count(text: str, what: str) -> int:
    """How many hubs or passes: a whole number from 1 to 10,000.

    Raises
    ------
    InputError : it is none.
    """
    plain = text.strip()
    count = int(plain) if plain.isascii() and plain.isdigit() and len(plain) < 8 else 0
    if not 1 <= count <= MOST_AT_ONCE:
        raise InputError(what, f"write a whole number from 1 to {MOST_AT_ONCE:,}", read=text)
    return count


def read_booking(hubs: str, passes: str, hub_length: str) -> Booking | None:
    """What a broach cut, as typed; None where nothing is.

    Raises
    ------
    InputError : only some of the three are given, or one cannot be read.
    """
    given = [bool(text.strip()) for text in (hubs, passes, hub_length)]
    if not any(given):
        return None
    if not all(given):
        raise InputError("cuts", "give hubs, passes and hub length, all of them or none")
    return Booking(
        read_count(hubs, "hubs"), read_count(passes, "passes"), parse_length(hub_length, "hub length")
    )


def read_cuts(text: str) -> dict[str, str]:
    """What a broach cut, written in one line as hubs x passes x hub length, or each by name; see `read_booking`.

    Raises
    ------
    InputError : it is not written so, or one of the three cannot be read.
    """
    found = _CUTS.fullmatch(text.strip())
    if found is None:
        right = "write hubs x passes x hub length, for example 4 x 3 x 1 in"
        raise InputError("cuts", right, read=text)
    read_booking(**found.groupdict())
    return found.groupdict()


def _sum(cuts: int, length: Length, units: Units) -> str:
    length_words = show(length, units) if length else "nothing"
    return f"{cuts} cut{'' if cuts == 1 else 's'}, {length_words}"


def _plain(value: Length | date | int | None) -> Value:
    if isinstance(value, Length):
        return value.nm or None
    return value.isoformat() if isinstance(value, date) else value or None


def _typed(name: str, value: Any) -> Any:
    if name.endswith("length"):
        return Length(value)
    return date.fromisoformat(value) if name.endswith("_on") else int(value)
