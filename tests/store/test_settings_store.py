"""Settings kept in the crib."""

from __future__ import annotations

import pytest
from sqlalchemy import text

from broachplan.errors import InputError, StorageError
from broachplan.lengths import Length, Units
from broachplan.settings import NAMES, Settings, written
from broachplan.store.settings_store import load_settings, save_setting
from broachplan.store.work import reading, writing


def saved(db: str, name: str, value: str) -> Settings:
    with writing(db) as work:
        save_setting(work, name, value)
        work.commit()
    with reading(db) as work:
        return load_settings(work)


def test_a_new_crib_has_the_defaults(db: str) -> None:
    with reading(db) as work:
        assert load_settings(work) == Settings()


def test_a_changed_setting_is_kept_and_the_others_are_not_touched(db: str) -> None:
    saved(db, "units", "mm")
    settings = saved(db, "stack_most", "5")

    assert settings.units is Units.MM
    assert settings.stack_most == 5
    assert settings.bushing_clearance == Settings().bushing_clearance


def test_a_setting_can_be_changed_again(db: str) -> None:
    saved(db, "wall_least", "5 mm")

    assert saved(db, "wall_least", "none").wall_least is None
    assert saved(db, "wall_least", "6 mm").wall_least == Length.mm(6)


@pytest.mark.parametrize("name", NAMES)
def test_every_default_can_be_kept(db: str, name: str) -> None:
    assert saved(db, name, written(Settings(), name)) == Settings()


def test_a_value_that_does_not_fit_is_not_kept(db: str) -> None:
    with pytest.raises(InputError, match=r"^stack_most: read “9”"):
        saved(db, "stack_most", "9")

    with reading(db) as work:
        assert load_settings(work) == Settings()


def test_units_of_an_older_crib_that_there_are_not_any_more_count_as_typed(db: str) -> None:
    saved(db, "stack_most", "5")
    with writing(db) as work:
        work.connection.execute(text("INSERT INTO setting VALUES ('units', 'furlong')"))
        work.commit()

    with reading(db) as work:
        settings = load_settings(work)
    assert (settings.units, settings.stack_most) == (None, 5)


@pytest.mark.parametrize("row", ["('colour', 'red')", "('stack_most', '9')"])
def test_a_row_that_is_no_setting_is_broken_storage(db: str, row: str) -> None:
    with writing(db) as work:
        work.connection.execute(text(f"INSERT INTO setting VALUES {row}"))
        work.commit()

    with reading(db) as work, pytest.raises(StorageError, match=r"holds a setting that cannot be: "):
        load_settings(work)
