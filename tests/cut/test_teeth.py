"""A broach's teeth one by one: which are clear, what each takes, how many cut at once."""

from __future__ import annotations

from fractions import Fraction
from math import isqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.cut.section import Section
from broachplan.cut.teeth import Bites, Teeth, bites
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.tooling.pieces import Broach

MM = Length.mm
# (25 + sqrt(25^2 - 7^2)) / 2 = 24.5 mm: first metal on a whole nanometre.
WHOLE = Section(MM(25), MM(7))
BROACH = Broach(
    tag="K",
    keyway_width=MM(7),
    body_width=MM(7),
    first_tooth_height=MM(12),
    last_tooth_height=MM("13.2"),
    tooth_pitch=MM(8),
    rising_teeth=25,
    finishing_teeth=3,
)


def teeth(first: int, last: int, rising: int) -> Teeth:
    return Teeth(first, last, rising, rising, 8_000_000, Fraction(last - first, rising - 1))


def past_first_metal(section: Section, height: Fraction) -> bool:
    """Whether a height lies past z1 = (D + sqrt(D^2 - B^2)) / 2, in whole numbers: 2 h - D > sqrt(D^2 - B^2)."""
    over = 2 * height - section.bore_lower.nm
    return over > 0 and over**2 > section.bore_lower.nm**2 - section.width.nm**2


def test_the_figures_of_a_broach_as_the_cut_needs_them() -> None:
    assert Teeth.of(BROACH) == Teeth(12_000_000, 13_200_000, 25, 28, 8_000_000, Fraction(50_000))


@pytest.mark.parametrize("figure", ["first_tooth_height", "last_tooth_height"])
def test_a_height_that_is_not_measured_is_refused(figure: str) -> None:
    known = {
        "first_tooth_height": MM(12),
        "last_tooth_height": MM(13),
        "tooth_pitch": MM(8),
        "rising_teeth": 25,
    }
    with pytest.raises(InputError, match="K: not measured: "):
        Teeth.of(Broach(tag="K", **known | {figure: None}))


def test_teeth_that_were_not_counted_rise_by_nothing_that_is_known() -> None:
    bare = Broach(tag="K", first_tooth_height=MM(12), last_tooth_height=MM("13.2"))
    teeth = Teeth.of(bare)

    assert (teeth.rising, teeth.total, teeth.pitch_nm, teeth.rise) == (None, None, None, 0)
    assert teeth.advance_nm == MM("1.2").nm
    assert teeth.in_cut(MM(17)) is None


def test_of_teeth_that_were_not_counted_the_first_bite_is_known_and_no_other() -> None:
    # Bore 25, keyway 7: first metal at 24.5 mm. The first tooth reaches 12.6 + 12 = 24.6 mm, then 13 + 12 = 25 mm.
    section = Section(MM(25), MM(7))
    teeth = Teeth.of(Broach(tag="K", first_tooth_height=MM(12), last_tooth_height=MM("13.2")))

    assert bites(section, teeth, MM("12.6").nm, None) == Bites(MM("0.1"), None, None)
    assert bites(section, teeth, MM(12).nm, None) == Bites(Length(0), None, None)
    assert bites(section, teeth, MM(13).nm, MM("24.9").nm) == Bites(MM("0.1"), None, None)
    assert bites(section, teeth, MM(13).nm, MM("25.9").nm) == Bites(Length(0), None, None)


def test_everything_not_measured_is_named_at_once() -> None:
    bare = Broach(tag="K", tooth_pitch=MM(8))

    with pytest.raises(InputError) as refused:
        Teeth.of(bare)
    assert str(refused.value).removeprefix("K: not measured: ").split(", ") == list(bare.missing)


@given(st.integers(1, 10**8), st.integers(1, 10**7))
def test_the_teeth_in_the_cut_are_as_many_as_can_stand_within_its_length(length: int, pitch: int) -> None:
    # Teeth at 0, P, 2P, ... behind the one that enters; one on the far edge has left.
    standing = -(-length // pitch)
    exact = length // pitch if length % pitch == 0 else length // pitch + 1

    found = Teeth(1, 2, 2, 2, pitch, Fraction(1)).in_cut(Length(length))
    assert found == exact == standing
    assert (found - 1) * pitch < length <= found * pitch


@given(st.integers(1, 10**7), st.integers(1, 10**7), st.integers(2, 200))
def test_a_pass_may_advance_the_whole_rise_and_one_rise_more(first: int, more: int, rising: int) -> None:
    assert teeth(first, first + more, rising).advance_nm == more + more // (rising - 1)


def one_by_one(section: Section, these: Teeth, offset: int, surface: int | None) -> list[Fraction]:
    """The bite of each tooth: its reach over the highest that anything before it reached, or over the surface."""
    root = isqrt((section.bore_lower.nm**2 - section.width.nm**2) * 10**12)
    found = (
        Fraction(section.bore_lower.nm * 10**6 + root, 2 * 10**6) if surface is None else Fraction(surface)
    )
    taken = []
    for tooth in range(these.rising):
        reach = offset + these.first_nm + tooth * these.rise
        cuts = past_first_metal(section, reach) if surface is None else reach > surface
        taken.append(reach - found if cuts else Fraction(0))
        found = reach if cuts else found
    return taken


@st.composite
def pushes(draw: st.DrawFn) -> tuple[Section, Teeth, int, int | None]:
    section = Section(
        Length(draw(st.integers(20_000_000, 30_000_000))), Length(draw(st.integers(1_000_000, 12_000_000)))
    )
    rising = draw(st.integers(2, 30))
    first = draw(st.integers(5_000_000, 14_000_000))
    these = teeth(first, first + draw(st.integers(rising, 2_000_000)), rising)
    metal = section.first_metal_floor_nm
    surface = draw(st.none() | st.integers(metal + 1, metal + 4_000_000))
    found = metal if surface is None else surface
    low, high = found - these.last_nm - 300_000, found + int(these.rise) - these.first_nm
    return section, these, draw(st.integers(low, high)), surface


@given(pushes())
def test_bites_are_what_the_teeth_take_one_by_one(push: tuple[Section, Teeth, int, int | None]) -> None:
    taken = one_by_one(*push)

    found = bites(*push)

    assert found.cutting == sum(bite > 0 for bite in taken)
    assert abs(found.first.nm - taken[0]) <= Fraction(1, 2)
    assert abs(found.largest.nm - max(taken)) <= Fraction(1, 2)


@given(pushes())
def test_what_all_teeth_take_together_is_the_depth_of_the_pass(
    push: tuple[Section, Teeth, int, int | None],
) -> None:
    section, these, offset, surface = push
    found = section.first_metal_floor_nm if surface is None else surface

    assert abs(sum(one_by_one(*push)) - max(0, offset + these.last_nm - found)) <= 1


def test_the_first_tooth_on_first_metal_takes_nothing_and_a_nanometre_higher_takes_one() -> None:
    these = Teeth.of(BROACH)

    assert bites(WHOLE, these, 12_500_000, None) == Bites(Length(0), MM("0.05"), 24)
    assert bites(WHOLE, these, 12_500_001, None) == Bites(Length(1), MM("0.05"), 25)


def test_a_first_tooth_above_the_floor_cuts_with_all_the_others() -> None:
    these = Teeth.of(BROACH)

    assert bites(WHOLE, these, 13_010_000, 25_000_000) == Bites(Length(10_000), MM("0.05"), 25)
    assert bites(WHOLE, these, 13_060_000, 25_000_000) == Bites(Length(60_000), Length(60_000), 25)


def test_where_only_the_last_tooth_cuts_its_bite_is_the_largest() -> None:
    these = Teeth.of(BROACH)

    assert bites(WHOLE, these, 12_000_000, 25_190_000) == Bites(Length(0), Length(10_000), 1)
    assert bites(WHOLE, these, 12_000_000, 25_200_000) == Bites(Length(0), Length(0), 0)
    assert bites(WHOLE, these, 11_299_999, None) == Bites(Length(0), Length(0), 0)


@given(st.integers(3_000_000, 10**8), st.data())
def test_the_highest_within_a_rise_of_first_metal_is_exact(bore: int, data: st.DataObject) -> None:
    section = Section(Length(bore), Length(data.draw(st.integers(1, bore - 1))))
    rise = Fraction(data.draw(st.integers(1, 10**6)), data.draw(st.integers(1, 60)))

    highest = section.highest_within_a_rise(rise)

    assert isinstance(highest, int)
    assert not past_first_metal(section, highest - rise)
    assert past_first_metal(section, highest + 1 - rise)


@given(st.integers(3_000_000, 10**8), st.data())
def test_first_metal_floored_is_not_past_it_and_the_next_nanometre_is(bore: int, data: st.DataObject) -> None:
    section = Section(Length(bore), Length(data.draw(st.integers(1, bore - 1))))
    floor = section.first_metal_floor_nm

    assert not past_first_metal(section, Fraction(floor))
    assert past_first_metal(section, Fraction(floor + 1))


@given(st.integers(3_000_000, 10**8), st.data())
def test_the_teeth_short_of_metal_are_counted_exactly(bore: int, data: st.DataObject) -> None:
    section = Section(Length(bore), Length(data.draw(st.integers(1, bore - 1))))
    rise = Fraction(data.draw(st.integers(20_000, 10**6)), data.draw(st.integers(1, 60)))
    base = section.first_metal_floor_nm - data.draw(st.integers(-100_000, 2_000_000))

    short = section.teeth_short_of_metal(base, rise)

    assert short == 0 or not past_first_metal(section, base + (short - 1) * rise)
    assert past_first_metal(section, base + short * rise)


def test_a_keyway_as_wide_as_the_bore_has_no_section() -> None:
    with pytest.raises(InputError, match="keyway width 25 mm: it must be less than the bore"):
        Section(MM(25), MM(25))
