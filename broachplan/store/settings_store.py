"""The shop's settings as the crib keeps them: only those that were changed have a row."""

from __future__ import annotations

from sqlalchemy import delete, insert, select

from broachplan.errors import InputError, StorageError
from broachplan.settings import Settings, changed, written
from broachplan.store.tables import SETTING
from broachplan.store.transaction import Work


def load_settings(work: Work) -> Settings:
    """The settings, with their defaults where nothing was changed.

    Raises
    ------
    StorageError : a row that is no setting, or whose value does not fit.
    """
    settings = Settings()
    rows = work.connection.execute(select(SETTING.c.name, SETTING.c.value).order_by(SETTING.c.name))
    for name, value in rows.all():
        try:
            settings = changed(settings, name, value)
        except InputError as error:
            if name == "units":
                continue  # of an older crib: lengths are shown as they are typed
            raise StorageError(f"{work.location.name} holds a setting that cannot be: {error}") from error
    return settings


def save_setting(work: Work, name: str, text: str) -> Settings:
    """Change one setting to what was typed; the settings as they are then.

    Raises
    ------
    InputError : an unknown name, or a value that does not fit.
    """
    settings = changed(load_settings(work), name, text)
    work.connection.execute(delete(SETTING).where(SETTING.c.name == name))
    work.connection.execute(insert(SETTING).values(name=name, value=written(settings, name)))
    return settings
