"""``broachplan crib``: the list of its commands, each loaded only when it runs."""

from __future__ import annotations

import typer

from broachplan.cli.late import Late, late_group

_PIECES, _EDITING, _LENDING = "broachplan.cli.crib", "broachplan.cli.editing", "broachplan.cli.lending"
_HOLDING, _BOXES, _WEAR = "broachplan.cli.holding", "broachplan.cli.boxes", "broachplan.cli.wear"
_COUNTING, _OFF = "broachplan.cli.counting", "broachplan.cli.away"

COMMANDS = {
    "import": Late(_PIECES, "import_", "Add and change pieces from files: all of them or none."),
    "export": Late(_PIECES, "export", "Write all pieces as files that import as they are."),
    "list": Late(_PIECES, "list_", "List the pieces by kind and tag, with state and home."),
    "find": Late("broachplan.cli.finding", "find", "Find pieces by tag, size, home, person or use."),
    "show": Late(_PIECES, "show", "Show one piece: figures, state, home and history."),
    "add": Late(_EDITING, "add", "Take a new piece into the crib."),
    "edit": Late(_EDITING, "edit", "Change what is known of a piece."),
    "retire": Late(_EDITING, "retire", "Take a piece out of use for good."),
    "undo": Late(_EDITING, "undo", "Take back one act, your own last one unless you name another."),
    "history": Late(_EDITING, "history", "List the last acts on the crib, with the number of each."),
    "lend": Late(_LENDING, "lend", "Lend a piece, or a whole set."),
    "return": Late(_LENDING, "return_", "Take a piece or a set back and say what its inspection found."),
    "lost": Late(_OFF, "lost", "Note that a piece is lost, out or in the crib."),
    "broken": Late(_OFF, "broken", "Note that a piece is broken, out or in the crib."),
    "send": Late(_OFF, "send", "Send a piece out to be reground or repaired."),
    "receive": Late(_OFF, "receive", "Take in a piece that was sent out."),
    "out": Late(_LENDING, "out", "List what is out: with whom, since when, due when."),
    "overdue": Late(_LENDING, "overdue", "List what should have been back, by person; also as a PDF."),
    "to-inspect": Late(_OFF, "to_inspect", "List what is back and not yet inspected."),
    "inspect": Late(_WEAR, "inspect", "Note what an inspection of a piece in the crib found."),
    "book": Late(_WEAR, "book", "Book the cuts of a broach without returning it."),
    "regrind": Late(_WEAR, "regrind", "Record a regrind with the heights measured after it."),
    "due": Late(_WEAR, "due", "List the broaches with their cuts, those due for inspection first."),
    "sets": Late(_LENDING, "sets", "List the sets: complete, or what is missing."),
    "join": Late(_BOXES, "join", "Put pieces into a set, or make two sets one."),
    "split": Late(_BOXES, "split", "Take pieces out of a set."),
    "hold": Late(_HOLDING, "hold", "Hold a piece or a set for named work on a day."),
    "release": Late(_HOLDING, "release", "Release a piece or a set from a hold."),
    "holds": Late(_HOLDING, "holds", "List what is held, from when to when and for what."),
    "count": Late(_COUNTING, "count", "Count a drawer blind, and show how it differs from the books."),
    "settle": Late(_COUNTING, "settle", "Settle a count: a cause for each difference, the books corrected."),
    "counts": Late(_COUNTING, "counts", "List the counts, and the drawers not counted for long."),
    "missing": Late(_COUNTING, "missing", "List what the counts did not find."),
    "found": Late(_COUNTING, "found", "Note that a missing piece turned up."),
    "stock": Late("broachplan.cli.stock", "stock", "Show what was in the crib at the end of any day."),
    "blanks": Late(
        "broachplan.cli.blanks", "blanks", "Write sheets to measure a box of tools with, as a PDF."
    ),
    "labels": Late(
        "broachplan.cli.labels", "labels", "Write labels for pieces as a PDF, with a code to scan."
    ),
}

crib_app = typer.Typer(cls=late_group(COMMANDS), rich_markup_mode=None)


@crib_app.callback()
def crib() -> None:
    """Bring pieces into the crib, write them out, list, show, lend, return, hold and count them."""
