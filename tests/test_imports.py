"""The planner needs nothing else: it loads no database, no screen, no command line and no units library."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

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


def test_judging_coming_jobs_loads_no_solver_and_no_numpy_and_the_basket_does() -> None:
    solver = {"highspy", "numpy"}

    assert solver.isdisjoint(loaded_by("broachplan.desks.buyer.shortages"))
    assert solver <= loaded_by("broachplan.buying.basket.find")


def imported(path: Path, modules: Mapping[str, Path]) -> set[str]:
    """The project's modules that a file imports, inside functions too; what only a type checker reads is left out."""
    found: set[str] = set()

    def look(node: ast.AST) -> None:
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            for each in node.orelse:
                look(each)
            return
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            for alias in node.names:
                below = f"{node.module}.{alias.name}"
                found.add(below if below in modules else node.module)
        for child in ast.iter_child_nodes(node):
            look(child)

    look(ast.parse(path.read_text(encoding="utf-8")))
    return found & set(modules)


def in_circles(imports: Mapping[str, set[str]]) -> set[str]:
    """The modules that are left when those that import none of the rest, or that none imports, are taken away again and again."""
    left = dict(imports)
    while True:
        used = set().union(*left.values()) if left else set()
        idle = [name for name, names in left.items() if not names & set(left) or name not in used]
        if not idle:
            return set(left)
        for name in idle:
            del left[name]


def test_no_modules_import_each_other_in_a_circle_late_imports_counted_too() -> None:
    root = Path(__file__).resolve().parents[1]
    modules = {
        ".".join(path.relative_to(root).with_suffix("").parts).removesuffix(".__init__"): path
        for top in ("broachplan", "tui")
        for path in (root / top).rglob("*.py")
    }

    assert in_circles({name: imported(path, modules) - {name} for name, path in modules.items()}) == set()


def test_the_look_for_circles_finds_one() -> None:
    assert in_circles({"a": {"b"}, "b": {"c"}, "c": {"a", "d"}, "d": set()}) == {"a", "b", "c"}
