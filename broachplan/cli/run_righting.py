"""``broachplan run``: corrections, figures measured again, trouble with a piece, and what becomes of a hub."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import Db
from broachplan.cli.run_kept import say_kept
from broachplan.questions.runs import (
    RunAcceptRequest,
    RunAsideRequest,
    RunBrokenRequest,
    RunCorrectRequest,
    RunGoneRequest,
    RunMeasuredRequest,
    RunScrapRequest,
)


@asks(RunMeasuredRequest)
def measured(request: RunMeasuredRequest, db: Db = None) -> None:
    """Change figures of a piece that was measured again during the run; the readings stay, the offset is set again.

    While a run is open this is the one way to change a figure of its pieces. A figure that jumps by more than 0.010 in is
    refused unless --sure is given.

    \b
    Example:
      broachplan run measured 7 --piece GU-1000-0250-A \\
          "web=0.4195 in" --with micrometer
    """
    from broachplan.desks.machinist.runs.righting import measure_piece

    say_kept(measure_piece(db, request))


@asks(RunCorrectRequest)
def correct(request: RunCorrectRequest, db: Db = None) -> None:
    """Put a step right by a further step; the wrong one stays as it is.

    \b
    Example:
      broachplan run correct 7 --at 5 --shims SH-0250-02 \\
          --why "the wrong one was in"
    """
    from broachplan.desks.machinist.runs.righting import correct

    say_kept(correct(db, request))


@asks(RunGoneRequest)
def gone(request: RunGoneRequest, db: Db = None) -> None:
    """A shim of the run is missing: its loan ends so, and the run stops.

    \b
    Example:
      broachplan run gone 7 --shim SH-0250-02
    """
    from broachplan.desks.machinist.runs.trouble import shim_gone

    say_kept(shim_gone(db, request))


@asks(RunBrokenRequest)
def broken(request: RunBrokenRequest, db: Db = None) -> None:
    """The broach broke: it is out of service, and the run stops. Look after the hub and your eyes first.

    \b
    Example:
      broachplan run broken 7 --broach BR-0250-A
    """
    from broachplan.desks.machinist.runs.trouble import broach_broken

    say_kept(broach_broken(db, request))


@asks(RunScrapRequest)
def scrap(request: RunScrapRequest, db: Db = None) -> None:
    """Scrap a hub.

    \b
    Example:
      broachplan run scrap 7 --hub 3 --why "0.002 in past the limit"
    """
    from broachplan.desks.machinist.runs.trouble import scrap_hub

    say_kept(scrap_hub(db, request))


@asks(RunAcceptRequest)
def accept(request: RunAcceptRequest, db: Db = None) -> None:
    """Accept a hub as it is: who says so and why is kept with it.

    \b
    Example:
      broachplan run accept 7 --hub 3 --why "the key fits" --by Jo
    """
    from broachplan.desks.machinist.runs.trouble import accept_hub

    say_kept(accept_hub(db, request))


@asks(RunAsideRequest)
def aside(request: RunAsideRequest, db: Db = None) -> None:
    """Set a hub aside; the run continues with the next one, and this one is scrapped or accepted later.

    \b
    Example:
      broachplan run aside 7 --hub 3 --why "a hard spot"
    """
    from broachplan.desks.machinist.runs.trouble import set_hub_aside

    say_kept(set_hub_aside(db, request))
