"""The shop's settings: shown, and changed one at a time."""

from __future__ import annotations

from broachplan.questions.acts import SettingRequest
from broachplan.questions.reads import SettingsRequest
from broachplan.settings import Settings
from broachplan.store.settings_store import load_settings, save_setting
from broachplan.store.work import reading, writing


def show_settings(db: str | None, _: SettingsRequest) -> Settings:
    """The settings of a crib; `settings.ABOUT` says what each means and where it comes from.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    with reading(db) as work:
        return load_settings(work)


def change_setting(db: str | None, request: SettingRequest) -> Settings:
    """Change one setting; the settings as they are then.

    Raises
    ------
    InputError : an unknown name, or a value that does not fit.
    StorageError : the database cannot be used.
    """
    with writing(db) as work:
        settings = save_setting(work, request.name, request.value)
        work.commit()
    return settings
