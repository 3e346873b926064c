"""One line of a question. Options, forms, checks, columns and what is kept of a question derive from its lines.

Nothing of the trade is loaded here: the first screen shows lines before anything is checked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, dataclass, field, fields, replace
from typing import Any, TypeVar

Values = Mapping[str, str]
Q = TypeVar("Q")
_LINE = "line"


@dataclass(frozen=True, slots=True)
class ValueKind:
    """A kind of value: its word in a command's help, and its reader.

    ``read`` takes the text, what the line is called in messages, and the text of all lines (a key is read by the
    standard chosen beside it); it raises `InputError` where the text will not do.
    """

    metavar: str
    read: Callable[[str, str, Values], object]
    flag: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that is asked.

    ``label`` is used in a form, ``what`` in messages; ``hint`` is the placeholder of an empty line; with ``choices``
    (value and word) a form offers these. ``option`` is the command's, made of the name unless it differs; what is
    ``positional`` has none, and ``many`` takes a list of texts.
    """

    name: str
    label: str
    kind: ValueKind
    help: str
    hint: str = ""
    needed: bool = False
    choices: tuple[tuple[str, str], ...] = ()
    option: str = ""
    what: str = ""
    positional: bool = False
    many: bool = False

    @property
    def at_first(self) -> str:
        """What an untouched form shows in the line."""
        return f"‹ {self.choices[0][1]} ›" if self.choices else self.hint

    def reason_against(self, text: str, values: Values) -> str:
        """Why ``text`` will not do in this line; empty where it will, or where nothing is typed."""
        from broachplan.errors import InputError

        if self.choices or not text.strip():
            return ""
        try:
            self.kind.read(text.strip(), self.what, values)
        except InputError as error:
            return str(error)
        return ""


def line(
    label: str,
    kind: ValueKind,
    help: str,
    *,
    hint: str = "",
    needed: bool = False,
    choices: tuple[tuple[str, str], ...] = (),
    option: str = "",
    what: str = "",
    positional: bool = False,
    many: bool = False,
) -> Any:
    """A field of a question's dataclass. A line that is not needed is empty (a flag: False) unless typed."""
    about = Line("", label, kind, help, hint, needed, choices, option, what, positional, many)
    default: Any = MISSING if needed else False if kind.flag else () if many else ""
    return field(default=default, metadata={_LINE: about})


def lines_of(question: type) -> tuple[Line, ...]:
    """The lines of a question, in the order in which they are asked."""
    return tuple(
        _named(each.metadata[_LINE], each.name) for each in fields(question) if _LINE in each.metadata
    )


def chosen(lines: Iterable[Line], *names: str) -> tuple[Line, ...]:
    """These lines, in this order."""
    by_name = {each.name: each for each in lines}
    return tuple(by_name[name] for name in names)


def without(lines: Iterable[Line], *names: str) -> tuple[Line, ...]:
    """The lines but these."""
    return tuple(each for each in lines if each.name not in names)


def asked(question: type[Q], values: Values) -> Q:
    """A question as it was typed into a form; lines that the form does not show are left empty."""
    flags = {each.name for each in lines_of(question) if each.kind.flag}
    names = {each.name for each in lines_of(question)}
    typed = {name: bool(text) if name in flags else text for name, text in values.items() if name in names}
    return question(**typed)


def as_typed(question: Any) -> dict[str, str]:
    """What a form shows for a question: the text of each line."""
    found = {}
    for each in lines_of(type(question)):
        value = getattr(question, each.name)
        found[each.name] = (each.choices[-1][0] if value else "") if each.kind.flag else value
    return found


def _named(about: Line, name: str) -> Line:
    spoken = name.replace("_", " ")
    option = about.option or f"--{name.replace('_', '-')}"
    return replace(about, name=name, option=option, what=about.what or spoken)
