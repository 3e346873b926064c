"""Commands that are imported only when they run: declaring all of them would take half of the start-up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from typing import Any, NamedTuple

import typer
import typer.core
import typer.main


class Late(NamedTuple):
    """The module of a command, and its line in the list of commands: the first of its help."""

    module: str
    name: str
    line: str


class _Commands(Mapping[str, Any]):
    """Commands by name, each declared when it is asked for."""

    def __init__(self, where: Mapping[str, Late]) -> None:
        self.where = where
        self._declared: dict[str, Any] = {}

    def __getitem__(self, name: str) -> Any:
        late = self.where[name]
        if name not in self._declared:
            self._declared[name] = _declare(name, getattr(import_module(late.module), late.name))
        return self._declared[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self.where)

    def __len__(self) -> int:
        return len(self.where)


def _declare(name: str, found: Any) -> Any:
    app = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False, add_completion=False)
    if isinstance(found, typer.Typer):
        app.add_typer(found, name=name)
    else:
        app.command(name)(found)
    return typer.main.get_group(app).commands[name]


def late_group(where: Mapping[str, Late]) -> type[typer.core.TyperGroup]:
    """A kind of group whose commands are those of ``where``, in its order."""

    class LateGroup(typer.core.TyperGroup):
        def __init__(self, **attributes: Any) -> None:
            super().__init__(**attributes)
            self.commands: Any = _Commands(where)

        def list_commands(self, ctx: Any) -> list[str]:  # noqa: ARG002 - the frame's own signature
            return list(where)

        def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ARG002
            with formatter.section("Commands"):
                formatter.write_dl([(name, late.line) for name, late in where.items()])

    return LateGroup
