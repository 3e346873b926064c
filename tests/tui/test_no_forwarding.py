"""Screens ask the desks themselves: no module between them does nothing but hand on."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import tui
from tui.registry import SCREENS, screen

ROOT = Path(tui.__file__).parent


def hands_on(function: ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    """Whether a function only calls another with all that it was given; what it loads late does not count."""
    body = [
        each
        for each in function.body
        if not isinstance(each, ast.Import | ast.ImportFrom)
        and not (isinstance(each, ast.Expr) and isinstance(each.value, ast.Constant))
    ]
    if len(body) != 1 or not isinstance(body[0], ast.Return | ast.Expr):
        return False
    call = body[0].value
    if not isinstance(call, ast.Call):
        return False
    given = [*call.args, *(each.value for each in call.keywords)]
    taken = [each.arg for each in (*function.args.args, *function.args.kwonlyargs)]
    return bool(taken) and [each.id for each in given if isinstance(each, ast.Name)] == taken == [
        ast.unparse(each) for each in given
    ]


def only_hands_on(source: str) -> bool:
    """Whether a module has functions and all of them only hand on; methods are actions of keys, which may."""
    functions = [
        each for each in ast.parse(source).body if isinstance(each, ast.FunctionDef | ast.AsyncFunctionDef)
    ]
    return bool(functions) and all(map(hands_on, functions))


def test_no_module_of_the_screens_only_hands_on() -> None:
    sources = {str(path.relative_to(ROOT)): path.read_text("utf-8") for path in ROOT.rglob("*.py")}

    assert [name for name, source in sources.items() if only_hands_on(source)] == []


def test_a_module_that_only_hands_on_is_found() -> None:
    source = "def lend(db, asked):\n    from desk import lend\n\n    return lend(db, asked)\n"

    assert only_hands_on(source)
    assert not only_hands_on(source.replace("return lend(db, asked)", "return lend(db, asked.tag)"))


def test_every_screen_that_asks_a_desk_sends_requests_by_the_one_worker() -> None:
    # A draft is written by the program's worker, which the end of a screen does not cancel.
    workers = {
        str(path.relative_to(ROOT))
        for path in ROOT.rglob("*.py")
        if re.search(r"run_worker\(|@work\b", path.read_text("utf-8"))
    }

    assert workers == {"bases/asking.py", "bases/drafting.py"}
    assert all(screen(name) for name in SCREENS)
