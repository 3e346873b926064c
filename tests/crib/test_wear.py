"""Wear as a value: what is booked adds up, the shop's limits decide what is due, and geometry checks a regrind."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.crib.entries import Change
from broachplan.crib.wear import (
    Booking,
    Wear,
    changes_of,
    has_limits,
    lowered_by,
    read_angle,
    read_booking,
    read_cuts,
    why_due,
)
from broachplan.errors import InputError
from broachplan.lengths import Length, Units
from broachplan.settings import Settings

DAY = date(2031, 5, 2)
INCH = Length.inches(1)
bookings = st.builds(Booking, st.integers(1, 99), st.integers(1, 9), st.integers(1, 10**9).map(Length))


def test_four_hubs_an_inch_long_in_three_passes_are_twelve_cuts_and_twelve_inches() -> None:
    booking = Booking(4, 3, INCH)

    assert (booking.cuts, booking.length) == (12, Length.inches(12))


@given(st.lists(bookings, max_size=6), st.lists(bookings, max_size=6), st.lists(bookings, max_size=6))
def test_cuts_since_a_regrind_and_an_inspection_are_those_booked_after_it(
    first: list[Booking], second: list[Booking], third: list[Booking]
) -> None:
    wear = Wear()
    for booking in first:
        wear = wear.booked(booking)
    wear = wear.reground(DAY)
    for booking in second:
        wear = wear.booked(booking)
    wear = wear.inspected(DAY)
    for booking in third:
        wear = wear.booked(booking)

    assert wear.cuts == sum(booking.cuts for booking in first + second + third)
    assert wear.since_regrind[0] == sum(booking.cuts for booking in second + third)
    assert wear.since_inspection[1].nm == sum(booking.length.nm for booking in third)
    assert Wear.of(wear.values) == wear


def test_a_broach_is_due_when_it_reaches_a_limit_and_not_before() -> None:
    shop = Settings(
        inspect_cuts=12, regrind_cuts=100, inspect_length=Length.inches(20), regrind_length=Length.inches(200)
    )
    worn = Wear().inspected(DAY).booked(Booking(1, 11, INCH))

    assert why_due(worn, shop, DAY) == ()
    assert why_due(worn.booked(Booking(1, 1, INCH)), shop, DAY) == (
        "due for inspection: 12 cuts since 2031-05-02, the shop's limit is 12",
    )
    assert why_due(worn.booked(Booking(99, 1, INCH)).inspected(DAY), shop, DAY) == (
        "due for a regrind: 110 cuts and no regrind on record, the shop's limit is 100",
    )
    assert why_due(Wear().reground(DAY).booked(Booking(1, 1, Length.inches(200))), shop, DAY) == (
        "due for a regrind: 200.0000 in cut since the last regrind, the shop's limit is 200.0000 in",
        "due for inspection: 200.0000 in cut since 2031-05-02, the shop's limit is 20.0000 in",
    )


def test_limits_and_what_reached_them_are_shown_in_the_shops_units() -> None:
    one, two = Length.mm(100), Length.mm(200)
    shop = Settings(units=Units.MM, inspect_length=one, regrind_length=two)

    assert [reason.split(", ") for reason in why_due(Wear().booked(Booking(1, 1, two)), shop, DAY)] == [
        ["due for a regrind: 200.000 mm cut and no regrind on record", "the shop's limit is 200.000 mm"],
        ["due for inspection: 200.000 mm cut and no inspection on record", "the shop's limit is 100.000 mm"],
    ]


def test_days_count_from_the_last_inspection_and_a_broach_without_one_says_so() -> None:
    shop = Settings(inspect_days=30)

    assert why_due(Wear(), shop, DAY) == ("due for inspection: none is on record",)
    assert why_due(Wear().inspected(DAY), shop, date(2031, 5, 31)) == ()
    assert why_due(Wear().inspected(DAY), shop, date(2031, 6, 1)) == (
        "due for inspection: 30 days since 2031-05-02, the shop's limit is 30",
    )


def test_without_limits_nothing_is_due() -> None:
    assert why_due(Wear().booked(Booking(9999, 99, INCH)), Settings(), DAY) == ()


@pytest.mark.parametrize(
    "limit",
    [
        Settings(inspect_cuts=1),
        Settings(inspect_length=INCH),
        Settings(inspect_days=1),
        Settings(regrind_cuts=1),
        Settings(regrind_length=INCH),
    ],
)
def test_any_one_limit_is_a_limit(limit: Settings) -> None:
    assert has_limits(limit)
    assert not has_limits(Settings())


def test_without_a_day_or_an_inspection_the_days_are_not_counted_and_other_limits_are() -> None:
    shop = Settings(inspect_days=30, inspect_cuts=5)

    assert why_due(Wear().inspected(DAY), shop, None) == ()
    assert why_due(Wear().booked(Booking(5, 1, INCH)), shop, date(2041, 1, 1)) == (
        "due for inspection: none is on record",
        "due for inspection: 5 cuts and no inspection on record, the shop's limit is 5",
    )


def test_wear_is_shown_in_total_and_since_the_last_regrind_and_inspection() -> None:
    once = Wear().booked(Booking(1, 1, INCH))
    later = once.reground(DAY).booked(Booking(2, 1, INCH)).inspected(date(2031, 5, 9))

    assert Wear().words(Units.INCH) == "total 0 cuts, nothing; no inspection on record"
    assert once.words(Units.INCH) == "total 1 cut, 1.0000 in; no inspection on record"
    assert later.words(Units.MM) == (
        "total 3 cuts, 76.200 mm; 2 cuts, 50.800 mm since the regrind on 2031-05-02; "
        "0 cuts, nothing since the inspection on 2031-05-09"
    )
    assert (
        later.booked(Booking(1, 1, INCH))
        .words(Units.MM)
        .endswith("1 cut, 25.400 mm since the inspection on 2031-05-09")
    )
    assert later.words(Units.INCH) == (
        "total 3 cuts, 3.0000 in; 2 cuts, 2.0000 in since the regrind on 2031-05-02; "
        "0 cuts, nothing since the inspection on 2031-05-09"
    )


def test_an_entry_says_what_a_booking_changed() -> None:
    assert changes_of(Wear(), Wear().booked(Booking(2, 1, Length(5)))) == (
        Change("cuts", None, 2),
        Change("cut_length", None, 10),
    )


def test_a_regrind_lowers_a_tooth_by_what_was_ground_off_times_the_tangent_of_the_relief() -> None:
    # tan 45 deg = 1 and tan 2 deg = 0.034921 (handbook tables of trigonometric functions).
    assert lowered_by(INCH, Fraction(45)) == INCH
    assert lowered_by(Length.inches("0.010"), Fraction(2)) == Length(8870)


@pytest.mark.parametrize(
    ("text", "angle"),
    [
        ("2 deg", 2),
        ("0.5 deg", Fraction(1, 2)),
        ("1.5°", Fraction(3, 2)),
        (" 44.9999 degrees ", Fraction("44.9999")),
    ],
)
def test_an_angle_is_read_in_degrees(text: str, angle: Fraction) -> None:
    assert read_angle(text, "relief") == angle


@pytest.mark.parametrize("text", ["2", "0 deg", "45 deg", "-2 deg", "2 rad", "9**9 deg", "", "1" * 500])
def test_what_is_no_angle_is_refused(text: str) -> None:
    with pytest.raises(InputError, match=r"relief: read .* write an angle above 0 and below 45"):
        read_angle(text, "relief")


def test_a_booking_of_nothing_or_of_too_much_is_refused() -> None:
    for hubs, passes, reason in (
        ("0", "1", "hubs: read “0”"),
        ("1", "0", "passes: read “0”"),
        ("10001", "1", "hubs: read “10001”"),
        ("1", "2.5", "passes: read “2.5”"),
        ("9" * 5000, "1", "hubs: read “9999"),
    ):
        with pytest.raises(InputError, match=f"{reason}.*; write a whole number from 1 to 10,000"):
            read_booking(hubs, passes, "1 in")
    with pytest.raises(InputError, match=r"^hub length: read “0 in”; it must be above zero"):
        read_booking("1", "1", "0 in")
    assert read_booking("10000", "1", "0.000001 mm") == Booking(10_000, 1, Length(1))


def test_cuts_are_booked_with_hubs_passes_and_length_or_not_at_all() -> None:
    assert read_booking("", " ", "") is None
    for typed in (("4", "", ""), ("4", "3", ""), ("", "", "1 in")):
        with pytest.raises(InputError, match=r"cuts: give hubs, passes and hub length, all of them or none"):
            read_booking(*typed)


def test_what_was_cut_is_hubs_by_passes_by_length_in_one_line() -> None:
    assert read_booking(**read_cuts("4 x 3 x 1-1/2 in")) == Booking(4, 3, Length.inches("1.5"))
    with pytest.raises(InputError, match="4 x 3 x 1 in"):
        read_cuts("twelve")
