"""What a reading means, in the lines under a plan's first line."""

from __future__ import annotations

from broachplan.lengths import show
from broachplan.planner.after_words import DOUBTFUL, after_in_words
from broachplan.planner.answer import Answer
from broachplan.shown import shims_in_words


def reading_points(answer: Answer) -> list[str]:
    """What was read after which shims, what it means, and a second push where one helps; nothing where nothing was read."""
    after, units = answer.after, answer.settings.shown_in
    if after is None:
        return []
    tags = shims_in_words(shim.tag for shim in after.stack)
    ends = (after.top,) if after.top == after.bottom else (after.top, after.bottom)
    read = " and ".join(show(end, units) for end in ends)
    points = [f"after {tags} it reads {read}: {after_in_words(answer)}"]
    if after.push_again:
        low, high = (show(end, units) for end in after.push_again)
        points.append(f"Before that: push the same shims once more, it may come up from {low} to {high}.")
    if after.doubtful and not answer.plans:
        points.append(DOUBTFUL.capitalize())
    return points
