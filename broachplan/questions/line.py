"""One line of a question. Options, forms, checks, columns and what is kept of a question derive from its lines.

Nothing of the trade is loaded here: the first screen shows lines before anything is checked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, dataclass, field, fields, replace
from typing import Any, TypeVar, cast

Values = Mapping[str, str]
Q = TypeVar("Q")
_LINE, _LINES = "line", "lines"


@dataclass(frozen=True, slots=True)
class ValueKind:
    """A kind of value: its word in a command's help, and its reader.

    ``read`` takes the text, what the line is called in messages, and the text of all lines (a key is read by the
    standard chosen beside it); it raises `InputError` where the text will not do. A command takes what is ``typed``,
    a number from ``least`` on.
    """

    metavar: str
    read: Callable[[str, str, Values], object]
    flag: bool = False
    typed: type = str
    least: int | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that is asked.

    ``label`` is used in a form, ``what`` in messages; ``hint`` is the placeholder of an empty line; with ``choices``
    (value and word) a form offers these. ``option`` is the command's, made of the name unless it differs; what is
    ``positional`` has none, and ``many`` takes a list of texts. ``default`` is what it has where nothing
    is given, unless that is nothing.
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
    default: Any = None

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
    default: Any = None,
) -> Any:
    """A field of a question's dataclass. A line that is not needed is empty (a flag: False) unless typed."""
    about = Line("", label, kind, help, hint, needed, choices, option, what, positional, many, default)
    nothing: Any = (
        default
        if default is not None
        else False
        if kind.flag
        else ()
        if many
        else ""
        if kind.typed is str
        else None
    )
    return field(default=MISSING if needed else nothing, metadata={_LINE: about})


def unneeded(question: type, name: str) -> Any:
    """A field that is a line of another question, where it may be left out."""
    (about,) = chosen(lines_of(question), name)
    return field(default="", metadata={_LINE: replace(about, needed=False)})


def several(lines: Iterable[Line]) -> Any:
    """A field of a question's dataclass: the texts of those of the lines that are given, by name; "" takes one back."""
    return field(default_factory=dict, metadata={_LINES: tuple(lines)})


def lines_of(question: type) -> tuple[Line, ...]:
    """The lines of a question, in the order in which they are asked."""
    found: list[Line] = []
    for each in fields(question):
        if _LINE in each.metadata:
            found.append(_named(each.metadata[_LINE], each.name))
        found += each.metadata.get(_LINES, ())
    return tuple(found)


def left_out(question: type) -> frozenset[str]:
    """The names of the lines of `several`, for which nothing given and an empty text are not the same."""
    return frozenset(line.name for each in fields(question) for line in each.metadata.get(_LINES, ()))


def chosen(lines: Iterable[Line], *names: str) -> tuple[Line, ...]:
    """These lines, in this order."""
    by_name = {each.name: each for each in lines}
    return tuple(by_name[name] for name in names)


def without(lines: Iterable[Line], *names: str) -> tuple[Line, ...]:
    """The lines but these."""
    return tuple(each for each in lines if each.name not in names)


def asked(question: type[Q], values: Mapping[str, Any], **beside: Any) -> Q:
    """A question as it was typed; lines that a form does not show are left empty. ``beside`` is what no line asks."""
    for each in fields(cast("Any", question)):
        if _LINES in each.metadata:
            names = [line.name for line in each.metadata[_LINES] if line.name in values]
            beside[each.name] = {name: values[name] for name in names}
        elif _LINE in each.metadata and each.name in values:
            flag = each.metadata[_LINE].kind.flag
            beside[each.name] = bool(values[each.name]) if flag else values[each.name]
    return question(**beside)


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
