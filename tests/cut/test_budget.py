"""The band of a reading: play and oil can only cut deeper."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from broachplan.cut.budget import band
from broachplan.lengths import Length

nanometres = st.integers(0, 10**9).map(Length)


@given(nanometres, nanometres, nanometres, nanometres, nanometres)
def test_a_gap_at_the_far_wall_lifts_the_cut_by_as_much_so_the_reading_only_grows(
    web: Length, height: Length, play: Length, gap: Length, film: Length
) -> None:
    # From the far wall to the last tooth, one after the other: gap, web, oil, broach. The gap is any part of the play.
    gap = min(gap, play)
    low, high = band(web + height, play, 0, film)

    assert low <= gap + web + height <= gap + web + film + height <= high
    assert low == web + height
    assert high == play + web + film + height


def test_three_shims_have_four_joints() -> None:
    # Slot floor, two between the shims, broach back: 4 x 0.01 mm; the play is 0.02 mm.
    low, high = band(Length.mm("28.1"), Length.mm("0.02"), 3, Length.mm("0.01"))

    assert (low, high) == (Length.mm("28.1"), Length.mm("28.16"))


def test_a_bare_slot_without_play_has_its_one_joint() -> None:
    assert band(Length(1000), Length(0), 0, Length(7)) == (Length(1000), Length(1007))
