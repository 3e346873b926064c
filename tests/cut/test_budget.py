"""The band of a reading: shallow by the play, deep by oil in the joints."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from broachplan.cut.budget import band
from broachplan.lengths import Length

nanometres = st.integers(0, 10**9).map(Length)


@given(nanometres, nanometres, st.integers(0, 6), nanometres)
def test_the_band_runs_from_all_the_play_to_a_film_in_every_joint(
    reading: Length, play: Length, stacked: int, film: Length
) -> None:
    low, high = band(reading, play, stacked, film)

    assert reading.nm - low.nm == play.nm
    assert high.nm - reading.nm == film.nm * (stacked + 1)


def test_three_shims_have_four_joints() -> None:
    # Slot floor, two between the shims, broach back: 4 x 0.01 mm.
    low, high = band(Length.mm("28.1"), Length.mm("0.02"), 3, Length.mm("0.01"))

    assert (low, high) == (Length.mm("28.08"), Length.mm("28.14"))


def test_a_bare_slot_without_play_has_its_one_joint() -> None:
    assert band(Length(1000), Length(0), 0, Length(7)) == (Length(1000), Length(1007))
