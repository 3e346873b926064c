"""Options that several commands have."""

from __future__ import annotations

from typing import Annotated

import typer

Db = Annotated[
    str | None,
    typer.Option(
        "--db",
        metavar="PATH|URL",
        help="The crib's database. Else BROACHPLAN_DB; else a file in your data directory.",
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON object for another program.")]
Brief = Annotated[bool, typer.Option("--brief", help="The answer alone.")]
Full = Annotated[
    bool,
    typer.Option("--full", help="The cautions in full, how to gauge, all plans, sources and limits too."),
]
