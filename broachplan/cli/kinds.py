"""The option that names a kind of piece."""

from __future__ import annotations

from typing import Annotated

import typer

from broachplan.tooling.figures import KIND_NAMES, Kind, read_kind

OfKind = Annotated[str, typer.Option("--kind", metavar="KIND", help=KIND_NAMES)]


def kind_wanted(text: str) -> Kind | None:
    """The kind that is named; None where none is.

    Raises
    ------
    InputError : it is none.
    """
    return read_kind(text) if text else None
