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
By = Annotated[str, typer.Option("--by", metavar="NAME", help="Who does it, for the history: any name.")]
Note = Annotated[str, typer.Option("--note", metavar="TEXT", help="A note for the history.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON object for another program.")]
