"""``broachplan crib count``, ``settle``, ``counts``, ``missing`` and ``found``: the drawers against the books."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from broachplan.cli.asking import asks
from broachplan.cli.layout import WIDTH, say_list, sheet_lines
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json, say_on_stderr
from broachplan.errors import ExitCode, InputError
from broachplan.questions.acts import CountRequest, FoundRequest, SettleRequest
from broachplan.questions.reads import CountsRequest, DrawerRequest, MissingRequest, OneCountRequest

_STANDARD_INPUT = "standard input"


@asks(CountRequest)
def count(
    request: CountRequest,
    from_file: Annotated[
        str,
        typer.Option(
            "--from", metavar="FILE|-", help="Tags from a text file or standard input, a line each."
        ),
    ] = "",
    as_json: AsJson = False,
    db: Db = None,
) -> None:
    """Count a drawer blind: give what is in it, and see only then how that differs from the books.

    In a terminal without tags it asks for them, a line each as a scanner types them, until an empty line. What is out,
    retired or known to be missing is not expected. Nothing is corrected yet: crib settle does that. Exit code 0 where
    the drawer agrees with the books, 3 where it differs.

    \b
    Example:
      broachplan crib count A/1 SH-0250-01 SH-0250-02 --by Kim
    """
    from broachplan.desks.attendant.count_drawer import count_drawer, drawer_to_count

    known = drawer_to_count(db, DrawerRequest(drawer=request.drawer))
    found = (*request.tags, *_in_file(from_file)) if request.tags or from_file else tuple(_asked(known))
    counted = count_drawer(db, replace(request, drawer=known, tags=found))
    if as_json:
        from broachplan.views.counts import counted_as_dict

        say_json(counted_as_dict(counted))
    else:
        from broachplan.views.count_sheets import counted_sheet

        say(sheet_lines(counted_sheet(counted)))
    if counted.differences:
        raise typer.Exit(ExitCode.NO)


@asks(SettleRequest)
def settle(
    request: SettleRequest,
    causes: Annotated[
        list[str] | None,
        typer.Option("--cause", metavar="TAG=WORDS", help="Why a tag differs; once for each."),
    ] = None,
    moves: Annotated[
        list[str] | None,
        typer.Option(
            "--move", metavar="TAG[=PLACE],...", help="These stay here: their home is this drawer now."
        ),
    ] = None,
    db: Db = None,
) -> None:
    """Settle a count: every difference gets its cause, and the books are corrected by entries of one act.

    What was absent is missing since the day of the count, what was missing is found, the loan of what lay here is
    closed without an inspection. A stray piece is to be put back, unless it stays by --move. What was changed after the
    count is shown, not corrected. crib undo takes all of it back and opens the count again.

    \b
    Example:
      broachplan crib settle 7 --cause "SH-0250-01=ground away" --all "not known"
    """
    from broachplan.desks.attendant.list_counts import show_count
    from broachplan.desks.attendant.settle_count import settle_count, tag_and_words
    from broachplan.views.count_sheets import settled_sheet

    tags = [each.line.tag for each in show_count(db, OneCountRequest(number=request.number)).differences]
    given = _once((tag_and_words(text, tags, "cause") for text in causes or []), "cause")
    stay = _once(
        (_place(text, tags) for each in moves or [] for text in each.split(",") if text.strip()), "move"
    )
    settled = settle_count(db, replace(request, causes=given, moves=stay))
    say(sheet_lines(settled_sheet(settled)))


def counts(
    number: Annotated[
        int | None, typer.Argument(metavar="[COUNT]", min=1, help="One count, with all its lines.")
    ] = None,
    every: Annotated[
        bool, typer.Option("--all", help="Every settled count, not only the latest ten.")
    ] = False,
    as_json: AsJson = False,
    db: Db = None,
) -> None:
    """List the counts that are open, those that are settled, and the drawers, the longest not counted first.

    \b
    Example:
      broachplan crib counts
      broachplan crib counts 7
    """
    from broachplan.desks.attendant.list_counts import list_counts, show_count
    from broachplan.views.count_sheets import count_sheet
    from broachplan.views.counts import count_as_dict, counts_as_dict, counts_lines

    if number is not None:
        shown = show_count(db, OneCountRequest(number=number))
        if as_json:
            say_json(count_as_dict(shown))
        else:
            say(sheet_lines(count_sheet(shown)))
        return
    listed = list_counts(db, CountsRequest())
    if as_json:
        say_json(counts_as_dict(listed))
    else:
        say(counts_lines(listed, WIDTH, every=every))


@asks(MissingRequest)
def missing(request: MissingRequest, as_json: AsJson = False, db: Db = None) -> None:
    """List what the counts did not find, the longest missing first. No plan uses it, and it is not lent.

    \b
    Example:
      broachplan crib missing
    """
    from broachplan.views.missing import MISSING

    say_list(MISSING, db, request, as_json=as_json)


@asks(FoundRequest)
def found(request: FoundRequest, db: Db = None) -> None:
    """Note that a missing piece turned up outside a count: it may be lent again, and plans use it.

    \b
    Example:
      broachplan crib found SH-0250-01 --note "behind the press"
    """
    from broachplan.desks.attendant.found_piece import note_found

    say(note_found(db, request).lines)


def _in_file(name: str) -> tuple[str, ...]:
    """The tags in a file, or in what comes from another program."""
    from broachplan.desks.attendant.count_drawer import MOST_BYTES, tags_in, tags_in_file

    if name != "-":
        return tags_in_file(Path(name)) if name else ()
    if sys.stdin is None:
        raise InputError("from", f"there is no {_STANDARD_INPUT}; name a file")
    return tags_in(_STANDARD_INPUT, sys.stdin.buffer.read(MOST_BYTES + 1))


def _asked(drawer: str) -> Iterable[str]:
    """The tags that somebody types or scans, a line each, up to an empty line; what can be no tag is not taken."""
    from broachplan.tooling.tags import checked_tag

    if sys.stdin is None or not sys.stdin.isatty():
        raise InputError(
            "tags", "none given; write them after the drawer, or --from FILE, which may be empty"
        )
    say_on_stderr(f"drawer {drawer}: scan or type what is in it, a tag a line; an empty line ends the count")
    seen: set[str] = set()
    while line := sys.stdin.buffer.readline().decode("utf-8", "replace").strip():
        try:
            tag = checked_tag(line)
        except InputError as error:
            say_on_stderr(f"{error}; not counted")
            continue
        if tag in seen:
            say_on_stderr(f"{tag} is counted already")
        seen.add(tag)
        yield tag


def _place(text: str, tags: Iterable[str]) -> tuple[str, str]:
    """A tag, and its place in the drawer where one is given."""
    from broachplan.desks.attendant.settle_count import tag_and_words

    return (
        (text.strip(), "") if text.strip() in tags or "=" not in text else tag_and_words(text, tags, "move")
    )


def _once(given: Iterable[tuple[str, str]], what: str) -> dict[str, str]:
    """What is given for each tag; a tag given twice is refused."""
    by_tag: dict[str, str] = {}
    for tag, words in given:
        if by_tag.setdefault(tag, words) != words:
            raise InputError(what, f"{tag} is given twice with different words; give it once")
    return by_tag
