"""A run, or a question about it, as it is drawn."""

from __future__ import annotations

from tui.press.decisions import decision
from tui.press.happened import happened
from tui.press.moments import sight_of, where_words, work_words
from tui.press.question import A_DIGIT, A_DIGIT_OR_BACK, PressQuestion, listed
from tui.press.sight import Sight
from tui.press.view import PressView


def drawn(view: PressView, question: PressQuestion | None) -> Sight:
    """The question that is asked beside the step; else what the run waits for: a decision, or the step."""
    if question is not None:
        return _asked(view, question, ())
    waiting = decision(view)
    return sight_of(view) if waiting is None else _asked(view, waiting, happened(view))


def _asked(view: PressView, question: PressQuestion, before: tuple[str, ...]) -> Sight:
    return Sight(
        work=work_words(view),
        place=where_words(view),
        said=(*before, question.heading),
        left=question.left,
        right=question.right,
        bar=question.bar,
        lines=listed(question),
        prompt=A_DIGIT if question.stays and question.prompt == A_DIGIT_OR_BACK else question.prompt,
        unit=view.unit if question.unit else "",
        below="Page down and page up: all the cautions." if question.after else "",
    )
