"""``broachplan crib add``, ``edit``, ``retire`` and ``undo``: their options are the figures of the kinds of piece."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

import typer

from broachplan.cli.asking import asks, options, with_parameters
from broachplan.cli.kinds import kind_named
from broachplan.cli.options import By, Db
from broachplan.cli.terminal import say
from broachplan.errors import InputError
from broachplan.questions.acts import RetireRequest
from broachplan.tooling.figures import Figure, Kind, Quantity
from broachplan.tooling.pieces import FIGURES

_METAVAR = {Quantity.LENGTH: "LENGTH", Quantity.AREA: "AREA", Quantity.FORCE: "FORCE", Quantity.COUNT: "N"}
_WORDS = {
    "set": ("NAME", "The marked box that it belongs to."),
    "home": ("PLACE", "Cabinet, drawer, place."),
    "condition": ("WORD", "fit, worn or unfit."),
    "note": ("TEXT", "A note on the piece."),
    "measured_with": ("WHAT", "With what it was measured."),
    "measured_on": ("DATE", "When, for example 2031-05-28."),
    "measured_by": ("NAME", "By whom."),
    "measured_to": ("LENGTH", 'How well it was measured, to either side, for example "0.0002 in".'),
    "made_here": ("yes|no", "Whether the shop made it for itself."),
}
Tag = Annotated[str, typer.Argument(metavar="TAG", help="The tag of the piece.")]


def with_figure_options(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command an option for every figure of every kind and every word beside; it gets those that are typed."""
    asked = _options()

    def called(**typed: Any) -> None:
        texts = {name: text for name in asked if (text := typed.pop(name)) is not None}
        command(**typed, **texts)

    return with_parameters(command, called, options(asked), before=2)


def _options() -> dict[str, Any]:
    kinds: dict[str, list[str]] = {}
    figures: dict[str, Figure] = {}
    for kind in Kind:
        for figure in FIGURES[kind]:
            kinds.setdefault(figure.name, []).append(kind.value)
            figures.setdefault(figure.name, figure)
    options = {
        name: _option(name, _METAVAR[figure.quantity], f"{figure.label} ({', '.join(kinds[name])})")
        for name, figure in figures.items()
    }
    return options | {name: _option(name, *about) for name, about in _WORDS.items()}


def _option(name: str, metavar: str, about: str) -> Any:
    return typer.Option(f"--{name.replace('_', '-')}", metavar=metavar, help=about)


@with_figure_options
def add(
    kind: Annotated[str, typer.Argument(metavar="KIND", help="broach, bushing, shim, press, pin or ring.")],
    tag: Tag,
    by: By = "",
    db: Db = None,
    **told: str,
) -> None:
    """Take a new piece into the crib, with what was measured on it.

    \b
    Example:
      broachplan crib add shim SH-0250-9 --thickness "0.0312 in" --width "1/4 in"
    """
    from broachplan.desks.attendant.add_piece import add_piece

    added = add_piece(db, kind_named(kind), tag, told, by=by)
    lacks = f"; no plan uses it until these are measured: {', '.join(added.missing)}" if added.missing else ""
    say([f"{added.tag}, a {added.kind}, is in the crib{lacks}"])


@with_figure_options
def edit(tag: Tag, by: By = "", db: Db = None, **told: str) -> None:
    """Change what is known of a piece: what is told changes, the rest stays; "" for a figure not known any more.

    \b
    Example:
      broachplan crib edit SH-0250-9 --thickness "0.0310 in" --measured-by Kim
    """
    from broachplan.desks.attendant.edit_piece import edit_piece

    if not told:
        raise InputError("edit", 'nothing was told to change; name a figure, for example --home "B/4/03"')
    edited = edit_piece(db, tag, told, by=by)
    what = "; ".join(difference.words for difference in edited.differences) or "it is so already"
    say([f"{edited.tag}: {what}"])


@asks(RetireRequest)
def retire(request: RetireRequest, db: Db = None) -> None:
    """Take a piece out of use for good; its history stays, and its tag is not given to another.

    \b
    Example:
      broachplan crib retire BR-0250-A --note "broke in the hub"
    """
    from broachplan.desks.attendant.retire_piece import retire

    say(retire(db, request).lines)


def undo(by: By = "", db: Db = None) -> None:
    """Take back the last action on the crib, whoever did it; once more, the one before.

    The history keeps both. A piece that was received is retired. It says what was undone.

    \b
    Example:
      broachplan crib undo --by Kim
    """
    from broachplan.desks.attendant.undo_last import undo_last

    undone = undo_last(db, by=by)
    first = undone[0]
    when = first.entry.at.astimezone().strftime("%Y-%m-%d %H:%M")
    who = f" by {first.entry.by}" if first.entry.by else ""
    more = f" and {len(undone) - 1} more" if len(undone) > 1 else ""
    say([f"undone: {first.tag}{more}, {first.entry.act} {when}{who}"])
