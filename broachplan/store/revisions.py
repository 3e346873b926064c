"""The migrations and their runner. Alembic is loaded only when one runs."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from broachplan import places

if TYPE_CHECKING:
    from alembic.config import Config


def alembic_config() -> Config:
    """Alembic's configuration: where the revisions lie. There is no file of it."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(places.migrations()).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def migrate(connection: Connection, revision: str, before: Callable[[], None] | None = None) -> None:
    """Bring a database to a revision, in a transaction of its own; ``before`` is called first, within it.

    Raises
    ------
    ValueError : rows would refer to nothing; nothing was changed.
    """
    from alembic import command

    config = alembic_config()
    config.attributes["connection"] = connection
    config.attributes["before"] = before
    command.upgrade(config, revision)
