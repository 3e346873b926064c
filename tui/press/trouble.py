"""Trouble at the press: one key and a digit. What cannot wait is done at once; else it asks what is needed."""

from __future__ import annotations

from functools import partial

from broachplan.runs.stacks import floor_first
from broachplan.runs.state import LoadState, Pushed
from broachplan.runs.steps import Stack
from tui.plain import plain
from tui.press import acts
from tui.press.question import Later, Leave, PadOutcome, PressQuestion, Say, Send
from tui.press.stack_words import in_short
from tui.press.typed import PadKey
from tui.press.view import PressView

STUCK = (
    "! Pressure off. Ram up. Hands off the broach: it is hard and can shatter.",
    "! Never pull it back through the cut, never pry, never push on.",
    "Leans, and only just in the cut? Tap it free from below with a soft drift.",
    "Deeper in, or stuck fast? Leave the load off; ask the responsible person.",
    "Look over every tooth before it cuts again.",
)
LEANS = (
    "! Stop. Ram up. Tap the broach back until it is loose, then set it square.",
    "! Never pry it straight, never push on: it breaks without warning.",
    "Check: faces square, ram square, no chip under the hub.",
    "Start light, let the ram up, push.",
)
ASIDE = (
    "it is too deep",
    "the broach leaned",
    "the keyway is torn",
    "the hub slipped or is damaged",
    "the material is faulty",
)


def trouble(view: PressView) -> PressQuestion:
    """What is opened by the key."""
    return PressQuestion(
        heading="TROUBLE: what is it?",
        key=PadKey.TROUBLE,
        answers=(
            ("stuck part way", Later(partial(_stuck, view))),
            ("it leans", Later(partial(_leans, view))),
            ("the wrong shim was in", Later(partial(wrong_shim, view))),
            ("a shim is missing", Later(partial(_gone, view))),
            ("a tooth or the broach is broken", Later(partial(broken, view))),
            ("set this hub aside", Later(partial(set_aside, view))),
            ("stop for now", _stop()),
            ("hand over", Later(partial(hand_over, view))),
        ),
    )


def _stuck(view: PressView) -> PadOutcome:
    if not view.due:
        return Say(("No push is due: nothing can be stuck.",))
    return Send((acts.part_way(),))


def _leans(view: PressView) -> PadOutcome:
    return PressQuestion(
        heading="IT LEANS",
        lines=LEANS,
        answers=(
            ("it is square again, not pushed yet", Leave()),
            ("it is stuck part way", Later(partial(_stuck, view))),
            ("a tooth or the broach is broken", Later(partial(broken, view))),
        ),
    )


def wrong_shim(view: PressView) -> PadOutcome:
    """Which pass, and what was really in."""
    load, last = _load_pushed(view), _last_push(view)
    answers: list[tuple[str, PadOutcome]] = []
    if load is not None and last is not None:
        booked = f"{view.hub_words(view.state.in_work(load) or load.hubs)}, pass {last.number}"
        answers.append(
            (
                f"{booked}, booked with {_stack(view, last.shims)}",
                Later(partial(really_in, view, booked, last)),
            )
        )
    if view.load is not None and view.due:
        due = f"{view.hub_words(view.hubs_at_press)}, pass {view.due[0].number}"
        answers.append((f"{due}, just pushed and not booked", Later(partial(really_in, view, due, None))))
    if not answers:
        return Say(("No pass was pushed yet.",))
    return PressQuestion(heading="WRONG SHIM: in which pass?", answers=tuple(answers))


def really_in(view: PressView, what: str, push: Pushed | None) -> PressQuestion:
    """What was really in: tags of shims by their numbers on the list, or as scanned."""
    tags = shim_tags(view)

    def took(words: str) -> PadOutcome:
        found = stack_typed(words, tags)
        if isinstance(found, str):
            return Say((found,))
        return Send((acts.correct_shims(push.step, found) if push else acts.pushed_with(found),))

    return PressQuestion(
        heading=f"{what}: what was really in?",
        lines=(
            *(f"{number}  {_stack(view, (tag,))}  ({plain(tag)})" for number, tag in enumerate(tags, 1)),
            "",
            "Several: their numbers with + between, as 1+3. No shim: 0+0. Or scan the tags.",
        ),
        prompt="Which were in?",
        words=took,
    )


def stack_typed(words: str, tags: Stack) -> Stack | str:
    """The stack that is meant by numbers of a list or by tags; or why it cannot be."""
    parts = [part.strip() for part in words.replace(",", "+").split("+") if part.strip()]
    if parts and all(part == "0" for part in parts):
        return ()
    found = []
    for part in parts:
        if part.isascii() and part.isdigit():
            if not 1 <= int(part) <= len(tags):
                return f"read {plain(part)}; the list has 1 to {len(tags)}"
            found.append(tags[int(part) - 1])
        else:
            found.append(part)
    if len(set(found)) != len(found):
        return f"read {plain(words)}; each shim is in once"
    return tuple(found) or "type the numbers of the shims"


def _gone(view: PressView) -> PadOutcome:
    tags = shim_tags(view)
    if not tags:
        return Say(("This run has no shims.",))
    return PressQuestion(
        heading="WHICH SHIM IS MISSING?",
        lines=("! Ram up, hand off the lever. Then look for it.",),
        answers=tuple((f"{_stack(view, (tag,))}  ({plain(tag)})", Send((acts.gone(tag),))) for tag in tags),
    )


def broken(view: PressView) -> PadOutcome:
    """The broach: out of service at once, after one more digit."""
    load = view.load
    tag = load.to_do.broach if load else view.state.new_hubs.broach
    return PressQuestion(
        heading="BROKEN?",
        lines=(
            "! Pressure off. Ram up. Glasses on: loose teeth fly. Find every piece.",
            f"{plain(tag)} goes out of service. The hub may continue with another pair.",
        ),
        answers=((f"{plain(tag)} is broken, or has lost a tooth", Send((acts.broken(tag),))),),
    )


def set_aside(view: PressView, hubs: tuple[int, ...] = ()) -> PadOutcome:
    """A hub of the load at the press, and the reason."""
    hubs = hubs or _at_the_press(view)
    if not hubs:
        return Say(("No hub is at the press.",))
    if len(hubs) > 1:
        return PressQuestion(
            heading="WHICH HUB IS SET ASIDE?",
            answers=tuple((view.hub_words([hub]), Later(partial(_why, view, hub))) for hub in hubs),
        )
    return _why(view, hubs[0])


def _at_the_press(view: PressView) -> tuple[int, ...]:
    """The hubs that can be meant: of the load in work; between two loads, of the one just done and of the next."""
    load, last = view.load, _last_load(view)
    loads = [last] if last and (load is None or not load.passes) else []
    loads += [load] if load else []
    return tuple(hub for each in loads for hub in view.state.in_work(each))


def _why(view: PressView, hub: int) -> PressQuestion:
    return PressQuestion(
        heading=f"SET {view.hub_words([hub])} ASIDE: why?",
        lines=("Scrap or accept this hub later. The run continues with the next one.",),
        answers=tuple((why, Send((acts.aside(hub, why),))) for why in ASIDE),
        prompt="A digit, or type the reason; 0 goes back",
        words=lambda why: Send((acts.aside(hub, why),)),
    )


def _stop() -> PressQuestion:
    return PressQuestion(
        heading="STOP FOR NOW",
        lines=("! Ram up, hand off the lever. Leave no broach standing under the ram.",),
        answers=(
            ("the tools stay with you", Send((acts.stop("for now"),))),
            ("park: the tools go back into the crib, others may use them", Send((acts.park(),))),
            ("end the run: no more hubs today", _abandon()),
        ),
    )


def _abandon() -> PressQuestion:
    return PressQuestion(
        heading="END IT UNFINISHED?",
        lines=("What was done is kept. The run cannot be taken up again.",),
        answers=(
            (
                "yes: the rest of the hubs is not cut in this run",
                Send((acts.abandon("ended unfinished"),)),
            ),
        ),
    )


def hand_over(view: PressView) -> PressQuestion:
    """Who takes over: the tools change hands."""
    return PressQuestion(
        heading="HAND OVER: who continues?",
        lines=(
            "Show the step on the screen, what is in the slot, and how far the hub is.",
            "The tools are lent to that person; the next hub is gauged.",
        ),
        answers=tuple((plain(name), Send((acts.park(), acts.resume(name)))) for name in view.people),
        prompt="A digit, or type the name; 0 goes back",
        words=lambda name: Send((acts.park(), acts.resume(name))),
    )


def shim_tags(view: PressView) -> Stack:
    """The shims of the run by their tags, the thinnest first."""
    tags = [tag for tag, piece in view.state.pieces.items() if tag not in view.state.dropped]
    return tuple(shim.tag for shim in floor_first(view.shims(tags)))


def _load_pushed(view: PressView) -> LoadState | None:
    """The load at the press, or where no pass of it is booked the one before it."""
    load = view.load
    return load if load is not None and load.last_push is not None else _last_load(view)


def _last_push(view: PressView) -> Pushed | None:
    load = _load_pushed(view)
    return load.last_push if load else None


def _last_load(view: PressView) -> LoadState | None:
    steps = (step for step in reversed(view.state.steps) if step.load is not None)
    step = next(steps, None)
    return view.state.load(step.load) if step is not None and step.load is not None else None


def _stack(view: PressView, tags: Stack) -> str:
    return in_short(view.shims(tags), view.units)
