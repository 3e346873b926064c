"""``broachplan crib blanks``: sheets for a box of tools that is measured by hand."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import Db
from broachplan.cli.terminal import say
from broachplan.questions.files import BlanksRequest


@asks(BlanksRequest)
def blanks(request: BlanksRequest, db: Db = None) -> None:
    """Write sheets to measure a box of tools with, as a PDF.

    For each kind of piece: a drawing and a sentence or two on how to take each figure, and rows of blanks for tag,
    figures and unit.

    \b
    Example:
      broachplan crib blanks box.pdf --kind bushing --page a4
    """
    from broachplan.desks.attendant.print_blanks import print_blanks
    from broachplan.errors import quoted

    printed = print_blanks(db, request)
    say([f"{quoted(str(printed.file), most=200)}: {line}" for line in printed.lines])
