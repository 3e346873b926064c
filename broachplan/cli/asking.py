"""Commands whose options are the lines of a question."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable
from typing import Annotated, Any

import typer

from broachplan.questions.line import Line, lines_of


def asks(question: type) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Give a command an option for each line of ``question``; it is called with the question as typed, first of all."""

    def decorate(command: Callable[..., None]) -> Callable[..., None]:
        lines = lines_of(question)

        def answering(**typed: Any) -> None:
            command(question(**{each.name: _typed(each, typed.pop(each.name)) for each in lines}), **typed)

        # What must be given comes before what may be.
        in_order = sorted(lines, key=lambda line: (not line.needed, not line.positional))
        return with_parameters(command, answering, map(_parameter, in_order), skip=1)

    return decorate


def with_parameters(
    command: Callable[..., None],
    called: Callable[..., None],
    added: Iterable[inspect.Parameter],
    *,
    skip: int = 0,
    before: int | None = None,
) -> Callable[..., None]:
    """``called`` as a command with the help of ``command`` and, besides its own parameters, those that are ``added``.

    ``skip`` of the command's parameters are not the user's; ``before`` is the place among the others, counted from the
    end, at which the added ones go in: first of all unless it is given.
    """
    own = [
        each.replace(kind=inspect.Parameter.KEYWORD_ONLY)
        for each in inspect.signature(command, eval_str=True).parameters.values()
        if each.kind is not inspect.Parameter.VAR_KEYWORD
    ][skip:]
    place = 0 if before is None else len(own) - before
    together = [*own[:place], *added, *own[place:]]
    called.__signature__ = inspect.Signature(together)  # type: ignore[attr-defined]
    called.__annotations__ = {each.name: each.annotation for each in together}
    called.__doc__, called.__name__ = command.__doc__, command.__name__
    return called


def option(name: str, given: Any, *, kind: type | object = str, default: Any = "") -> inspect.Parameter:
    """One option of a command as a parameter of its signature."""
    return inspect.Parameter(
        name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=Annotated[kind, given]
    )


def takes(lines: Iterable[Line], *, before: int) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Give a command an option for each line; it gets the texts that are typed, so that an empty one is distinct from none.

    ``before`` : as in `with_parameters`.
    """
    asked = tuple(lines)

    def decorate(command: Callable[..., None]) -> Callable[..., None]:
        def called(**typed: Any) -> None:
            texts = {line.name: text for line in asked if (text := typed.pop(line.name)) is not None}
            command(**typed, **texts)

        return with_parameters(command, called, map(_if_typed, asked), before=before)

    return decorate


def _if_typed(line: Line) -> inspect.Parameter:
    given = typer.Option(line.option, metavar=line.kind.metavar, help=line.help)
    if line.needed:
        return option(line.name, given, default=inspect.Parameter.empty)
    return option(line.name, given, kind=str | None, default=None)


def _parameter(line: Line) -> inspect.Parameter:
    metavar = line.kind.metavar
    if line.kind.flag:
        return option(line.name, typer.Option(line.option, help=line.help), kind=bool, default=False)
    if line.many:
        given = typer.Argument(metavar=f"{metavar}...", help=line.help)
        return option(line.name, given, kind=list[str] | None, default=None)
    default = inspect.Parameter.empty if line.needed else ""
    if line.positional:
        shown = metavar if line.needed else f"[{metavar}]"
        return option(line.name, typer.Argument(metavar=shown, help=line.help), default=default)
    return option(line.name, typer.Option(line.option, metavar=metavar, help=line.help), default=default)


def _typed(line: Line, value: Any) -> Any:
    return tuple(value or ()) if line.many else value
