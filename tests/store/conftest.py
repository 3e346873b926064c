"""A crib of the test's own, empty or with a few pieces, and no crib from outside."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.cribs import fill, small_crib


@pytest.fixture(autouse=True)
def _no_crib_from_outside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("BROACHPLAN_DB", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


@pytest.fixture
def db(tmp_path: Path) -> str:
    """The name of a database that is not there yet."""
    return str(tmp_path / "crib.db")


@pytest.fixture
def filled(db: str) -> str:
    """A database with `small_crib` in it."""
    fill(db, small_crib())
    return db
