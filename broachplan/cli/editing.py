"""``broachplan crib add``, ``edit``, ``retire``, ``undo`` and ``history``: their options are the figures of the kinds of piece."""

from __future__ import annotations

from typing import Annotated

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import Db
from broachplan.cli.terminal import say
from broachplan.errors import InputError
from broachplan.questions.acts import RetireRequest, UndoRequest
from broachplan.questions.piece import AddRequest, EditRequest
from broachplan.questions.reads import ActionsRequest


@asks(AddRequest, unless="how")
def add(
    request: AddRequest,
    how: Annotated[
        bool,
        typer.Option(
            "--how",
            help="Show how to measure instead: of a kind all figures, else the one named in place of TAG.",
        ),
    ] = False,
    db: Db = None,
) -> None:
    """Take a new piece into the crib, with what was measured on it.

    \b
    Example:
      broachplan crib add shim SH-0250-9 --thickness "0.0312 in" --width "1/4 in"
      broachplan crib add bushing --how web
    """
    if how:
        from broachplan.cli.measuring import how_lines

        say(how_lines(request.kind, request.tag, db))
        return
    from broachplan.desks.attendant.add_piece import add_piece

    say(add_piece(db, request).lines)


@asks(EditRequest)
def edit(request: EditRequest, db: Db = None) -> None:
    """Change what is known of a piece: what is given changes, the rest stays; "" for a figure not known any more.

    \b
    Example:
      broachplan crib edit SH-0250-9 --thickness "0.0310 in" --measured-by Kim
    """
    from broachplan.desks.attendant.edit_piece import edit_piece

    if not request.values:
        raise InputError("edit", 'nothing to change; name a figure, for example --home "B/4/03"')
    say(edit_piece(db, request).lines)


@asks(RetireRequest)
def retire(request: RetireRequest, db: Db = None) -> None:
    """Take a piece out of use for good; its history stays, and its tag is not given to another.

    \b
    Example:
      broachplan crib retire BR-0250-A --note "broke in the hub"
    """
    from broachplan.desks.attendant.retire_piece import retire

    say(retire(db, request).lines)


@asks(UndoRequest)
def undo(request: UndoRequest, db: Db = None) -> None:
    """Undo one act: that of a number, else the last of who asks, or without a name the last at this station.

    The history keeps both. Undoing "add" frees the tag: the piece is kept under another name, which crib show TAG finds.
    An act is not undone where something was done since to one of its pieces; the refusal says what and by whom.

    \b
    Example:
      broachplan crib undo --by Kim
      broachplan crib undo 12
    """
    from broachplan.desks.attendant.undo import undo as take_back
    from broachplan.views.history import undone_words

    say([undone_words(take_back(db, request))])


@asks(ActionsRequest)
def history(request: ActionsRequest, db: Db = None) -> None:
    """List the last acts on the crib with their numbers: when, by whom, what was done, and which are undone.

    \b
    Example:
      broachplan crib history --last 20
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.history import ACTIONS

    say_list(ACTIONS, db, request, as_json=False)
