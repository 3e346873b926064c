"""``broachplan crib lend``, ``return``, ``out``, ``overdue`` and ``sets``: who has what."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say
from broachplan.questions.acts import LendRequest, ReturnRequest
from broachplan.questions.files import OverdueQuestion
from broachplan.questions.reads import OutRequest, SetsRequest


@asks(LendRequest)
def lend(request: LendRequest, db: Db = None) -> None:
    """Lend a piece, or with --set every piece of a set.

    Only what is fit, in its place and not held for other work until it is due is lent; else one line says why, with
    exit code 5. Of a set all are lent or none, or all but those with --without.

    \b
    Example:
      broachplan crib lend BR-0250-A --to Kim --job J-701 --due 2031-05-28
    """
    from broachplan.cli.layout import say_worded
    from broachplan.desks.attendant.lend_piece import lend

    say_worded(lend(db, request).lines, db)


@asks(ReturnRequest)
def return_(request: ReturnRequest, db: Db = None) -> None:
    """Take a piece back and say what its inspection found, or with --set what one person has of a set.

    Of a set, --found names what is there, and the rest stays out. A piece found worn or out of service is in no plan from then on. What a broach cut is booked with --hubs, --passes and
    --hub-length.

    \b
    Example:
      broachplan crib return BR-0250-A --condition worn --note chipped
    """
    from broachplan.cli.layout import say_worded
    from broachplan.desks.attendant.return_piece import take_back

    say_worded(take_back(db, request).lines, db)


@asks(OutRequest)
def out(request: OutRequest, as_json: AsJson = False, db: Db = None) -> None:
    """List what is out, by person and set: since when, due when; whoever has something overdue comes first.

    With --to only what one person has, however the name is typed.

    \b
    Example:
      broachplan crib out --to Kim
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.out import OUT

    say_list(OUT, db, request, as_json=as_json)


@asks(OverdueQuestion)
def overdue(request: OverdueQuestion, db: Db = None) -> None:
    """List what should have been back by now, by person; with --file as a PDF to print too.

    \b
    Example:
      broachplan crib overdue --file overdue.pdf --page a4
    """
    from broachplan.cli.layout import sheet_lines
    from broachplan.desks.attendant.list_out import list_out
    from broachplan.desks.buyer.print_sheet import print_sheet
    from broachplan.questions.files import PrintSheetRequest
    from broachplan.views.out import overdue_sheet

    sheet = overdue_sheet(list_out(db, OutRequest(on=request.on)))
    printed: tuple[str, ...] = ()
    if request.file:
        asked = PrintSheetRequest(file=request.file, page=request.page, overwrite=request.overwrite)
        printed = print_sheet(db, asked, sheet=sheet).lines
    say([*sheet_lines(sheet), *printed])


@asks(SetsRequest)
def sets(request: SetsRequest, as_json: AsJson = False, db: Db = None) -> None:
    """List the sets: complete, or what is out, what is not fit and whether the broach is missing.

    \b
    Example:
      broachplan crib sets
    """
    from broachplan.cli.layout import say_list
    from broachplan.views.sets import SETS

    say_list(SETS, db, request, as_json=as_json)
