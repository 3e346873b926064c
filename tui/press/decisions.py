"""What a run that is stopped, parked or through asks of the person: a short list, answered by a digit."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from broachplan.planner.answer import Make
from broachplan.runs.counts import counts_of
from broachplan.runs.state import Cause, Fate, Status, Waits
from broachplan.runs.state import Outcome as Found
from broachplan.runs.waiting import asked_after_a_break, lacking
from broachplan.shown import between_in_words, numbered
from broachplan.tooling.figures import Kind
from tui.plain import plain
from tui.press import acts
from tui.press.go_back import back, named
from tui.press.question import Later, Leave, PadOutcome, PressQuestion, Send, made
from tui.press.reading_words import not_usual
from tui.press.result import result_of
from tui.press.sight import Large
from tui.press.stack_words import thickness
from tui.press.trouble import STUCK, broken, really_in, set_aside, trouble
from tui.press.typed import TypedReading
from tui.press.view import PressView

_ACCEPTED = ("the shaft and the key fit", "the drawing allows it", "the customer agreed")
_CONDITIONS = (("fit", "fit for use"), ("worn", "worn"), ("unfit", "out of service"))


def decision(view: PressView) -> PressQuestion | None:
    """What is asked now; None where a push or a reading is next."""
    question = _decision(view)
    return None if question is None else replace(question, stays=True)


def _decision(view: PressView) -> PressQuestion | None:
    state = view.state
    if state.closed is not None:
        return _closed(view)
    if state.causes:
        return _OF_CAUSES[state.causes[0]](view)
    if state.waits is Waits.END:
        return _end(view)
    if state.waits is Waits.READING and not state.to_gauge[1]:
        return _to_read(view)
    return None


def after_a_break(view: PressView) -> PressQuestion | None:
    """What is asked where the run is opened and a push may have been made that nobody booked."""
    words = asked_after_a_break(view.state)
    if not words:
        return None
    return PressQuestion(
        heading=words.upper(),
        lines=("This is the first push not booked. Look at the press before you answer.",),
        answers=(
            ("pushed: it is through", Send((acts.pushed(view.pass_number),))),
            ("part way: it is stuck", Send((acts.part_way(),))),
            ("not yet", Leave()),
        ),
    )


def _closed(view: PressView) -> PressQuestion:
    state = view.state
    counts = counts_of(state)
    why = f": {plain(state.closed_why)}" if state.closed_why else ""
    heading = "THE RUN IS DONE" if state.closed is Status.DONE else f"THE RUN WAS ENDED UNFINISHED{why}"
    return PressQuestion(
        heading=heading,
        lines=(
            f"{counts.done} of {numbered(counts.asked, 'hub')} done, {counts.scrapped} scrapped, {counts.accepted} accepted as they are.",
            "The tools stay out to you until the window takes them back and inspects them.",
        ),
        prompt="Esc leaves",
    )


def _end(view: PressView) -> PressQuestion:
    counts = counts_of(view.state)
    asked = numbered(counts.asked, "hub")
    lines = [f"Done: {counts.done} of {asked}. Not measured: {counts.not_measured}."]
    if counts.aside:
        lines.append(f"Set aside: {counts.aside}. Scrap or accept each.")
    lines.append("Brush off the chips, oil the broach, look over every tooth. Edges apart.")
    answers: list[tuple[str, PadOutcome]] = [
        ("finished with: the tools go to the window", Send((acts.end(),)))
    ]
    answers += [
        (f"back in the crib myself, broach {words}", Send((acts.end(word),))) for word, words in _CONDITIONS
    ]
    answers += _fates(view)
    return PressQuestion(
        heading="ALL HUBS ARE THROUGH" if not counts.left else "NO MORE HUBS TO CUT",
        lines=tuple(lines),
        answers=tuple(answers),
        prompt="Finished with? 1 Enter",
    )


def _to_read(view: PressView) -> PressQuestion:
    hub = min(view.state.to_read)

    def typed(gauged: TypedReading) -> PadOutcome:
        return Send((acts.read(hub, gauged),))

    others = ", ".join(map(str, sorted(view.state.to_read - {hub})))
    return PressQuestion(
        heading=f"GAUGE HUB {hub} TOO",
        lines=(
            "A later hub reads past a limit, so every hub since the last good one is gauged.",
            *((f"After it: hub {others}.",) if others else ()),
        ),
        prompt=f"What does hub {hub} read?",
        unit=True,
        gauged=typed,
    )


def _parked(view: PressView) -> PressQuestion:
    return PressQuestion(
        heading=f"PARKED{_at(view)}: the tools are in the crib",
        lines=("Fetch them again. The next hub is gauged.", *fetch_lines(view)),
        answers=(
            (
                f"fetched: continue{f' as {plain(view.by)}' if view.by else ''}",
                Send((acts.resume(),)),
            ),
            ("somebody else continues", Later(partial(_who, view))),
        ),
    )


def _who(view: PressView) -> PressQuestion:
    return PressQuestion(
        heading="WHO CONTINUES?",
        answers=tuple((plain(name), Send((acts.resume(name),))) for name in view.people),
        prompt="A digit, or type the name; 0 goes back",
        words=lambda name: Send((acts.resume(name),)),
    )


def _part_way(view: PressView) -> PressQuestion:
    return PressQuestion(
        heading=f"{view.at} IS STUCK PART WAY. What became of it?",
        left=Large("", "STOP"),
        lines=STUCK,
        answers=(
            ("it is free: push the pass again", Send((acts.resume(),))),
            ("it is free and through", Send((acts.resume(), acts.pushed(view.pass_number)))),
            ("set the hub aside", Later(partial(set_aside, view))),
            ("a tooth or the broach is broken", Later(partial(broken, view))),
        ),
    )


def _gone_or_broken(view: PressView) -> PressQuestion:
    shim = view.state.causes[0] is Cause.GONE
    heading = "A SHIM IS MISSING" if shim else "THE BROACH IS BROKEN"
    lines = () if shim else ("Find every piece. Continue: the passes left are planned with another pair.",)
    return PressQuestion(
        heading="How does the run continue?",
        left=_stop(view, heading),
        lines=lines,
        answers=(
            ("continue with what is on hand", Send((acts.resume(),))),
            ("set the hub aside", Later(partial(set_aside, view))),
            ("stop, park or end", Later(partial(_trouble_7, view))),
        ),
    )


def _at(view: PressView) -> str:
    """Where the run is, behind a word for what it does there."""
    return f" AT {view.at}" if view.at else ""


def _stop(view: PressView, why: str) -> Large:
    """Large: the run is stopped, at which hub and pass, and why."""
    return Large(f"{view.at}: {why}" if view.at else why, "STOP")


def _trouble_7(view: PressView) -> PadOutcome:
    return made(trouble(view).answers[6][1])


def _stopped(view: PressView) -> PressQuestion:
    why = view.state.why
    return PressQuestion(
        heading=f"STOPPED{_at(view)}{f': {plain(why)}' if why else ''}",
        answers=(
            ("continue", Send((acts.resume(),))),
            ("hand over", Later(partial(_who, view))),
            ("park, or end it", Later(partial(_trouble_7, view))),
        ),
    )


def _disputed(view: PressView) -> PressQuestion:
    hub = _hub(view, Found.DISPUTED)
    found = view.state.load_of(hub).last_push
    answers: list[tuple[str, PadOutcome]] = []
    reading = found.read_of(hub) if found else None
    if reading is not None:
        answers.append(("gauged again, it is right", Send((acts.sure(view, reading),))))
    if found is not None:
        answers.append(
            ("other shims were in", Later(partial(really_in, view, f"HUB {hub}, pass {found.number}", found)))
        )
    answers.append(("the reading was typed wrong", Later(partial(back, view))))
    answers.append(("set the hub aside", Later(partial(set_aside, view, (hub,)))))
    return PressQuestion(
        heading=f"HUB {hub}: A READING THAT IS NOT USUAL",
        lines=not_usual(view.answer.after.reads_as if view.answer and view.answer.after else (), view.units),
        answers=tuple(answers),
        left=result_of(view, view.state.load_of(hub), hub)[0],
        right=Large("NOT USUAL", "STOP"),
        prompt="A digit, or what it reads now",
        unit=True,
        gauged=lambda gauged: Send((acts.read(hub, gauged),)),
    )


def _past(view: PressView) -> PressQuestion:
    hub = _hub(view, Found.PAST)
    left, right, bar = result_of(view, view.state.load_of(hub), hub)
    return PressQuestion(
        heading=f"HUB {hub} IS PAST THE LIMIT",
        left=left,
        right=right,
        bar=bar,
        lines=("Decide on this hub: the run then continues with the next one.",),
        answers=(
            ("set it aside", Later(partial(set_aside, view, (hub,)))),
            ("scrap it", Send((acts.scrap(hub, "past the limit"),))),
            ("accept it as it is", Later(partial(_accept, view, hub))),
            ("the reading was typed wrong", Later(partial(back, view))),
        ),
    )


def _help(view: PressView) -> tuple[str, ...]:
    """What would make it possible, as far as the planner was asked just now: what to try, then what to make."""
    if view.answer is None:
        return ()
    return tuple(
        plain(text)
        for text in (
            *(one.text for one in view.answer.advice[:2]),
            *(_make_words(view, one) for one in view.answer.make[:2]),
        )
    )


def _make_words(view: PressView, made: Make) -> str:
    """A piece to make: for a shim its thickness, which is what the hands need."""
    if made.kind is not Kind.SHIM or "thickness" not in made.best:
        return made.text
    low, high = made.limits["thickness"]
    best = thickness(made.best["thickness"], view.units)
    return f"Cut a shim {best} thick ({between_in_words(low, high, view.units)})."


def _accept(view: PressView, hub: int) -> PadOutcome:
    def why(by: str) -> PressQuestion:
        return PressQuestion(
            heading=f"ACCEPT HUB {hub} AS IT IS: why?",
            lines=(
                f"{plain(by)} says so. The drawing's limits are not kept: the responsible person decides.",
            ),
            answers=tuple((words, Send((acts.accept(hub, words, by),))) for words in _ACCEPTED),
            prompt="A digit, or type the reason; 0 goes back",
            words=lambda words: Send((acts.accept(hub, words, by),)),
        )

    return named(view, why)


def _blocked(view: PressView) -> PressQuestion:
    return PressQuestion(
        heading="How does the run continue?",
        left=_stop(view, lacking(view.state).upper()),
        lines=_help(view) or ("Plan again to see what is lacking.",),
        answers=(
            ("plan again: it is on hand now", Send((acts.resume(),))),
            ("set the hub aside", Later(partial(set_aside, view))),
            ("stop, park or end", Later(partial(_trouble_7, view))),
        ),
    )


def _fates(view: PressView) -> list[tuple[str, PadOutcome]]:
    """What becomes of the hubs set aside."""
    aside = [hub for hub, (fate, _) in sorted(view.state.fates.items()) if fate is Fate.ASIDE][:3]
    found: list[tuple[str, PadOutcome]] = []
    for hub in aside:
        found += [
            (f"scrap hub {hub}", Send((acts.scrap(hub, "set aside before"),))),
            (f"accept hub {hub} as it is", Later(partial(_accept, view, hub))),
        ]
    return found


def fetch_lines(view: PressView) -> tuple[str, ...]:
    """The pieces of the run with their homes, where known; without those that are missing or broken."""
    homes = [(plain(tag), plain(home)) for tag, home in view.homes if tag not in view.state.dropped]
    width = max((len(tag) for tag, _ in homes), default=0)
    return tuple(f"  {tag:<{width}}   {home}" for tag, home in homes)


def _hub(view: PressView, outcome: Found) -> int:
    for load in view.state.begun.values():
        for hub in view.state.in_work(load):
            if view.state.outcome(hub) is outcome:
                return hub
    return 1


_OF_CAUSES = {
    Cause.PARKED: _parked,
    Cause.PART_WAY: _part_way,
    Cause.BROKEN: _gone_or_broken,
    Cause.GONE: _gone_or_broken,
    Cause.STOPPED: _stopped,
    Cause.DISPUTED: _disputed,
    Cause.PAST: _past,
    Cause.BLOCKED: _blocked,
}
