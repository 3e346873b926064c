"""A hub with a Woodruff keyway, asked for as any other."""

from __future__ import annotations

import pytest

from broachplan.errors import InputError
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits
from broachplan.questions.hub import HubQuestion
from broachplan.questions.read_hub import read_hub_question
from broachplan.standards.named import Standard


def keyway(bore: str, standard: str, key: str, width: str = "", reading: str = "") -> Keyway:
    asked = HubQuestion(
        bore=bore, hub_length="1 in", standard=standard, key=key, keyway_width=width, reading=reading
    )
    return read_hub_question(asked)[1]


def test_an_inch_woodruff_hub_is_asked_for_by_number() -> None:
    """ASME B17.2: hub 0.2510 +0.002 wide and 0.1310 +0.005 deep at the edge (the width from memory)."""
    found = keyway("1 in +0.001 -0", "woodruff", "808")
    far = Length.inches(1) - found.arc

    assert found.standard is Standard.WOODRUFF
    assert found.width == Limits(Length.inches("0.251"), Length.inches("0.251"), Length.inches("0.253"))
    assert abs(found.reading.lower - far - Length.inches("0.131")) <= Length(1)
    assert abs(found.reading.upper - far - Length.inches("0.136")) <= Length(1)
    assert found.aim in found.reading


def test_a_metric_woodruff_hub_is_asked_for_by_size_or_by_its_bore() -> None:
    """ISO 3912: 5 x 7.5, t2 2.3 +0.1; shafts over 18 to 20 mm."""
    found = keyway("20 mm", "woodruff-metric", "5 mm x 7.5 mm")

    assert found.reading == Limits(Length.mm("22.3"), Length.mm("22.3"), Length.mm("22.4"))
    assert keyway("20 mm", "woodruff-metric", "").reading == found.reading


def test_the_shop_s_own_width_goes_with_the_standard_s_reading() -> None:
    found = keyway("1 in", "woodruff", "808", width="0.2505 in +0.001 -0")

    assert found.width.nominal == Length.inches("0.2505")
    assert found.reading == keyway("1 in", "woodruff", "808").reading


def test_the_tabled_deviations_stand_round_a_width_or_reading_of_one_s_own() -> None:
    found = keyway("1 in", "woodruff", "808", width="0.25 in", reading="1.11 in")

    assert (found.width.lower, found.width.spread) == (Length.inches("0.25"), Length.inches("0.002"))
    assert (found.reading.lower, found.reading.spread) == (Length.inches("1.11"), Length.inches("0.005"))


@pytest.mark.parametrize(
    ("standard", "key", "message"),
    [
        ("woodruff", "", "key: the Woodruff keys for 1 in are 403, .*; name one by its number"),
        ("woodruff", "909", "key number: read “909”"),
        ("inch", "808", "key number: read “808”; only inch Woodruff keys have numbers, not inch ones"),
    ],
)
def test_a_woodruff_hub_without_its_key_is_refused(standard: str, key: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        keyway("1 in", standard, key)
