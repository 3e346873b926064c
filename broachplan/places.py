"""Where things lie: what is shipped beside the code, and the user's own folder."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
# Names the crib where no --db does.
VARIABLE = "BROACHPLAN_DB"
DATABASE_NAME = "crib.db"
DEMO_NAME = "demo.db"


def migrations() -> Path:
    """The folder of the database's revisions."""
    return _shipped("migrations")


def seed_inventory() -> Path:
    """The folder of the demo toolroom's files."""
    return _shipped("seed_inventory")


def user_folder() -> Path:
    """The user's data folder, which need not exist yet."""
    from platformdirs import user_data_path

    return user_data_path("broachplan", appauthor=False)


def default_database() -> Path:
    """The crib's file where the user named none."""
    return user_folder() / DATABASE_NAME


def demo_database() -> Path:
    """The demo toolroom's file, separate from the user's crib."""
    return user_folder() / DEMO_NAME


def _shipped(name: str) -> Path:
    """In a wheel the folder lies inside the package, in a checkout beside it."""
    inside = _PACKAGE / "_data" / name
    return inside if inside.is_dir() else _PACKAGE.parent / name
