"""Which lists a station buys from: kept for each crib in the user's data folder, whatever becomes of the file."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from broachplan.buying.offer_choice import OfferChoice
from broachplan.errors import StorageError
from broachplan.questions.offer_choice import as_choice, as_values
from broachplan.store.location import Location
from broachplan.store.station import keep_offer_choice, kept_offer_choice

CHOICE = OfferChoice(("Müller \u202e.csv", "b.xlsx"), ("HB-1",), "250.00", True)


def crib(folder: Path, name: str = "a.db") -> Location:
    return Location(path=folder / name)


def test_a_choice_is_kept_for_its_crib_alone_and_only_its_owner_can_read_it(
    tmp_path: Path, user_folder: Path
) -> None:
    assert kept_offer_choice(crib(tmp_path)) == OfferChoice()

    keep_offer_choice(crib(tmp_path), CHOICE)

    assert kept_offer_choice(crib(tmp_path)) == CHOICE
    assert kept_offer_choice(crib(tmp_path, "b.db")) == OfferChoice()
    (file,) = user_folder.rglob("station/*")
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    assert as_choice(as_values(CHOICE), CHOICE.without) == CHOICE


@pytest.mark.parametrize(
    "spoilt", [b"", b"[]", b"\xff", b'{"lists": [1]}', b'{"lists": "a.csv", "without": []}', b"[" * 9_999]
)
def test_a_file_that_somebody_spoilt_is_no_choice_and_the_next_one_is_kept(
    tmp_path: Path, user_folder: Path, spoilt: bytes
) -> None:
    keep_offer_choice(crib(tmp_path), CHOICE)
    (file,) = user_folder.rglob("station/*")
    file.write_bytes(spoilt)

    assert kept_offer_choice(crib(tmp_path)) == OfferChoice()
    keep_offer_choice(crib(tmp_path), CHOICE)
    assert kept_offer_choice(crib(tmp_path)) == CHOICE


def test_a_folder_that_cannot_be_made_is_reported(tmp_path: Path, user_folder: Path) -> None:
    user_folder.parent.mkdir(parents=True, exist_ok=True)
    user_folder.write_text("")

    with pytest.raises(StorageError, match="cannot be written to"):
        keep_offer_choice(crib(tmp_path), CHOICE)
