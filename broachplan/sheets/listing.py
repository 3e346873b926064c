"""A list described once: its table, its total, what it is called. The command line, the screens and JSON show the same one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Generic, NamedTuple, TypeAlias, TypeVar

from broachplan.sheets.result import ResultSheet
from broachplan.sheets.table import Field, View, columns_of, dicts_of, rows_of, table_lines
from broachplan.sheets.wrapping import wrapped

Item = TypeVar("Item")
Result = TypeVar("Result")


class Ask(NamedTuple):
    """Send a request; ``then`` says what is next, from its result."""

    request: object
    then: Callable[[Any], Next]


class Open(NamedTuple):
    """Open a screen by its name with what it is ``given``, or one of the attendant's lists with nothing.

    ``then`` says what is next, from what the screen answers: None where it was only left.
    """

    screen: str
    given: object = None
    then: Callable[[Any], Next] = lambda _: None


class Confirm(NamedTuple):
    """Ask whether to do what ``said`` and the sheet say; ``then`` says what is next, from the name of who agrees."""

    title: str
    said: str
    sheet: ResultSheet
    then: Callable[[str], Next]


# What an act on a list comes to: words, a sheet, or what is asked or opened next.
Next: TypeAlias = ResultSheet | str | Ask | Open | Confirm | None


class ListAct(NamedTuple, Generic[Item]):
    """What a key does on a list: its name, what the key says, and its help.

    ``does`` is given the result and the chosen item, and gives None where there is nothing to do. Without it the act is a
    form of that name, which begins with the tag of the chosen item, unless ``tag`` is false, and with what ``begins`` says.
    """

    key: str
    name: str
    words: str
    help: str
    begins: Callable[[Item | None], Mapping[str, str]] = lambda _: {}
    tag: bool = True
    does: Callable[[Any, Item | None], Next] | None = None


class ListPart(NamedTuple, Generic[Item]):
    """What each item of a list holds, as a table of its own below it."""

    title: Callable[[Item], str]
    fields: tuple[Field[Any], ...]
    items: Callable[[Item], Sequence[Any]]


def _same(result: Any) -> Any:
    return result


class ListOf(NamedTuple, Generic[Result, Item]):
    """What a list is called, what it says of each item, and what it may do with the chosen one.

    ``request`` is what is sent to the desk; ``items`` are those of what comes back, ``view`` the day and the
    units to read them by; ``lines`` are the items as people read them, where some of them are shown as one. ``total`` is one line about all of them and ``notes`` are further ones, ``nothing`` is shown for an empty list. ``about`` is a
    text on one item that no column has room for.

    In JSON the items are under ``key``, each as ``dict_of`` gives it or by the keys of the fields in ``order``, beside
    what ``head`` says of the whole. On a screen ``hint`` says what may be
    typed to narrow the list; ``tag`` names the piece that an item is about, if it is about one, ``part`` what an item
    holds. Enter does what ``opens`` says, and where that is nothing opens the piece; ``enter`` are the words and the help of that key.
    It takes the item that ``names`` finds meant by the whole text, and where there is none at all does what ``typed`` says.
    ``acts`` have keys of their own, with ``piece_acts`` those of a piece too. With ``days`` the list may be read for any
    past day; with ``drafts`` it shows what was begun at this station.
    """

    heading: str
    hint: str
    nothing: str
    fields: tuple[Field[Item], ...]
    request: type
    view: Callable[[Result], View]
    total: Callable[[Result], str]
    items: Callable[[Result], Sequence[Item]] = _same
    lines: Callable[[Result], Sequence[Item]] | None = None
    schema: str = ""
    key: str = ""
    order: tuple[str, ...] = ()
    head: Callable[[Result], Mapping[str, object]] = lambda _: {}
    dict_of: Callable[[Item], Mapping[str, object]] | None = None
    notes: Callable[[Result], tuple[str, ...]] = lambda _: ()
    about: Callable[[Item, View], str] | None = None
    tag: Callable[[Item], str] = lambda _: ""
    part: ListPart[Item] | None = None
    acts: tuple[ListAct[Item], ...] = ()
    opens: Callable[[Item], Next] | None = None
    enter: tuple[str, str] | None = None
    names: Callable[[Item, str], bool] = lambda _, __: False
    typed: Callable[[str], Next] | None = None
    drafts: bool = False
    days: bool = False
    piece_acts: bool = False


def lines_of_list(listed: ListOf[Result, Item], result: Result) -> Sequence[Item]:
    """What a face shows a line for."""
    return (listed.lines or listed.items)(result)


def list_lines(listed: ListOf[Result, Item], result: Result, width: int) -> Iterator[str]:
    """The table, the total and the notes, in lines of at most ``width``."""
    items, view = lines_of_list(listed, result), listed.view(result)
    if items:
        about = [listed.about(item, view) for item in items] if listed.about else ()
        yield from table_lines(columns_of(listed.fields), rows_of(listed.fields, items, view), width, about)
    for text in (listed.total(result), *listed.notes(result)):
        yield from wrapped(text, width, rest="  ")


def list_as_dict(listed: ListOf[Result, Item], result: Result) -> dict[str, object]:
    """The whole list for another program."""
    items = listed.items(result)
    dicts = map(listed.dict_of, items) if listed.dict_of else dicts_of(listed.fields, items, listed.order)
    return {"schema": listed.schema, **listed.head(result), listed.key: [*dicts]}
