"""The planner stands alone: it loads no database, no screen, no command line and no units library."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = ("sqlmodel", "sqlalchemy", "alembic", "textual", "rich", "typer", "pint")


def loaded_by(module: str) -> set[str]:
    """The top-level packages that a fresh process holds once it has imported ``module``."""
    code = f"import sys, {module}; print(*{{name.partition('.')[0] for name in sys.modules}})"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(ran.stdout.split())


@pytest.mark.parametrize("module", ["broachplan.planner.plan", "broachplan.questions.read_hub"])
def test_the_planner_loads_nothing_heavy(module: str) -> None:
    loaded = loaded_by(module)

    assert "broachplan" in loaded
    assert loaded.isdisjoint(HEAVY)
    assert "sqlite3" not in loaded


def test_the_check_can_fail_for_the_store_loads_sqlalchemy() -> None:
    assert "sqlalchemy" in loaded_by("broachplan.store.work")
