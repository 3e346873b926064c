"""Results on a terminal of 80 columns, or as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from broachplan.cli.terminal import say, say_json
from broachplan.sheets.layout import lay_out
from broachplan.sheets.result import ResultSheet
from broachplan.sheets.wrapping import wrapped

if TYPE_CHECKING:
    from broachplan.sheets.listing import ListOf

WIDTH = 80


def wrap(text: str, first: str = "", rest: str = "") -> list[str]:
    """``text`` on lines that begin with ``first``, then ``rest``; a figure keeps its unit beside it."""
    return wrapped(text, WIDTH, first, rest)


def sheet_lines(sheet: ResultSheet) -> list[str]:
    """A result, line by line, its title first."""
    return [*wrap(sheet.title, rest="  "), *(line.text for line in lay_out(sheet, WIDTH))]


def say_list(listed: ListOf[Any, Any], db: str | None, request: object, *, as_json: bool) -> None:
    """Print what the desk answers a list's request, as the list is described."""
    from broachplan.desks.sending import desk_for
    from broachplan.sheets.listing import list_as_dict, list_lines

    result = desk_for(type(request))(db, request)
    if as_json:
        say_json(list_as_dict(listed, result))
    else:
        say_worded(list_lines(listed, result, WIDTH), db)


def say_worded(lines: Iterable[str], db: str | None) -> None:
    """Print what is said of pieces, in the words of the shop."""
    from broachplan.desks.attendant.shop_settings import show_settings
    from broachplan.questions.reads import SettingsRequest

    words = show_settings(db, SettingsRequest()).words
    say(words.sentence(line) for line in lines)
