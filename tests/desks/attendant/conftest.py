"""A crib of the test's own with a few pieces in it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.cribs import fill, small_crib


@pytest.fixture
def db(tmp_path: Path) -> str:
    """The name of a database that is not there yet."""
    return str(tmp_path / "crib.db")


@pytest.fixture
def filled(db: str) -> str:
    """A database with `small_crib` in it."""
    fill(db, small_crib())
    return db
