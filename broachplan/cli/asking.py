"""Commands whose options are the lines of a question."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Annotated, Any

import typer

from broachplan.errors import InputError
from broachplan.questions.line import Line, asked, left_out, lines_of

# Who does it: the last thing that is asked, before the crib.
WHO = "by"


def asks(question: type, *, unless: str = "") -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Give a command an option for each line of ``question``; it is called with the question as typed, first of all.

    ``unless`` names a flag of the command's own with which nothing needs to be given.
    """

    def decorate(command: Callable[..., None]) -> Callable[..., None]:
        lines, may_lack = lines_of(question), left_out(question)

        def answering(**typed: Any) -> None:
            given = {each.name: _typed(each, typed.pop(each.name)) for each in lines}
            if unless and not typed[unless]:
                _check_given(lines, given)
            command(
                asked(question, {name: text for name, text in given.items() if text is not None}), **typed
            )

        # What must be given comes before what may be.
        in_order = sorted(lines, key=lambda line: (not line.needed, not line.positional))
        asked_first = [each for each in in_order if each.name != WHO]
        if unless:
            asked_first = [replace(each, needed=False) for each in asked_first]
        first = [_parameter(each, each.name in may_lack) for each in asked_first]
        *own, last = _own(command)
        who = [_parameter(each, False) for each in lines if each.name == WHO]
        return _with_parameters(command, answering, [*first, *own, *who, last])

    return decorate


def _check_given(lines: Sequence[Line], given: Mapping[str, Any]) -> None:
    for each in lines:
        if each.needed and not given[each.name]:
            raise InputError(each.what, f"nothing was given; it is needed: {each.help}")


def _own(command: Callable[..., None]) -> list[inspect.Parameter]:
    """What a command takes beside its question."""
    taken = list(inspect.signature(command, eval_str=True).parameters.values())[1:]
    return [each.replace(kind=inspect.Parameter.KEYWORD_ONLY) for each in taken]


def _with_parameters(
    command: Callable[..., None], called: Callable[..., None], taken: Sequence[inspect.Parameter]
) -> Callable[..., None]:
    """``called`` as a command with the help of ``command``, taking these parameters."""
    called.__signature__ = inspect.Signature(taken)  # type: ignore[attr-defined]
    called.__annotations__ = {each.name: each.annotation for each in taken}
    called.__doc__, called.__name__ = command.__doc__, command.__name__
    return called


def _option(name: str, given: Any, kind: type | object, default: Any) -> inspect.Parameter:
    return inspect.Parameter(
        name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=Annotated[kind, given]
    )


def _parameter(line: Line, may_lack: bool) -> inspect.Parameter:
    """One line as an option or an argument; one that ``may_lack`` is None where it is not given."""
    if line.kind.flag:
        return _option(line.name, typer.Option(line.option, help=line.help), bool, False)
    metavar = line.kind.metavar
    if line.positional:
        shown = (metavar if line.needed else f"[{metavar}]") + ("..." if line.many else "")
        given = typer.Argument(metavar=shown, min=line.kind.least, help=line.help)
    else:
        given = typer.Option(line.option, metavar=metavar, min=line.kind.least, help=line.help)
    kind: Any = list[str] if line.many else line.kind.typed
    if line.needed:
        return _option(line.name, given, kind, inspect.Parameter.empty)
    if line.default is not None:
        return _option(line.name, given, kind, line.default)
    if may_lack or line.many or kind is not str:
        return _option(line.name, given, kind | None, None)
    return _option(line.name, given, kind, "")


def _typed(line: Line, value: Any) -> Any:
    return tuple(value or ()) if line.many else value
