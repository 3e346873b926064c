"""Can we do it? The answer in words: two lines to say on the phone, and a sheet with the reason."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from broachplan.desks.buyer.can_we import CanWeSay
from broachplan.sheets.result import ResultSheet, Sentence, SheetBlock
from broachplan.shown import numbered
from broachplan.views.day_words import named_day
from broachplan.views.job_difference import change_words
from broachplan.views.job_verdict import job_verdict_sheet, plan_blocks
from broachplan.views.ways_out import first_way_out, what_is_missing

if TYPE_CHECKING:
    from broachplan.desks.buyer.can_we import CanWe
    from broachplan.lengths import Units


def answer_words(found: CanWe) -> str:
    """Yes or no, and from which day."""
    due, on = named_day(found.shortage.job.due, found.on), found.on
    first = named_day(found.first, on) if found.first else ""
    if found.says is CanWeSay.YES:
        since = f", from {first} on" if found.first and found.first != found.shortage.job.due else ""
        return f"YES, by {due}{since}"
    if found.says is CanWeSay.EARLIER and found.press_by is not None:
        return f"YES, if it is cut on {named_day(found.press_by, on)}; not on {due}"
    if found.says is CanWeSay.LATER:
        return f"NOT BY {due}; from {first} on"
    return "NO, not as things are"


def with_what(found: CanWe, units: Units) -> str:
    """With which tools and how long at the press; or what is missing, and the first way out."""
    one = found.shortage
    if found.made is None:
        return f"missing: {what_is_missing(one, units)}. {first_way_out(one, units, found.on)}"
    press = f" on {found.made.press.tag}" if found.made.press else ""
    return f"{found.made.broach.tag} in {found.made.bushing.tag}{press}; {time_words(found)}"


def time_words(found: CanWe) -> str:
    """Minutes at the press, or that nobody knows them; what is never in them is said in `can_we_sheet`."""
    count = numbered(found.pushes or 0, "push", "pushes")
    if found.push is None:
        return f"{count}, minutes not known"
    minutes = max(1, round((found.pushes or 0) * found.push.seconds / 60))
    return f"{count}, about {numbered(minutes, 'minute')}"


def can_we_sheet(found: CanWe, units: Units) -> ResultSheet:
    """The whole answer with its reason."""
    title = answer_words(found)
    one = found.shortage
    verdict = job_verdict_sheet(one, found.settings, found.on, units)
    blocks = [
        SheetBlock("", (Sentence(with_what(found, units)),)),
        SheetBlock("At the press", tuple(Sentence(text, "- ") for text in _at_press(found))),
        SheetBlock(
            "What it does to the other jobs",
            tuple(Sentence(change_words(each), "- ") for each in found.others)
            or (Sentence("nothing: each keeps its verdict"),),
        ),
        *verdict.blocks,
    ]
    if not one.ready and found.made is not None:
        blocks += plan_blocks(one, found.made, found.settings, units)
    remarks = () if found.proven else ("it is not proven that no other choice readies more of them",)
    return ResultSheet(title, title, tuple(block for block in blocks if block.lines), remarks=remarks)


def _at_press(found: CanWe) -> Iterator[str]:
    if found.made is None:
        return
    one, passes = found.shortage, len(found.made.passes)
    stack = one.asked.hub.stack
    stacked = f", {stack} stacked" if stack > 1 else ""
    yield f"{time_words(found)}: {numbered(passes, 'pass', 'passes')}, {numbered(one.job.quantity, 'hub')}{stacked}"
    if found.push is None:
        yield "How long a push takes here is known once runs are booked at the press."
    else:
        yield f"A push takes {found.push.seconds / 60:.1f} minutes here, the median of the last {found.push.pushes}, with gauging and loading between them."
    yield "Setting up, deburring and a reset that was not planned come on top."
