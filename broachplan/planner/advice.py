"""What would make a blocked hub possible, in the order in which a shop would try it.

Measure what was not measured; set up otherwise; get a piece back; then make: shims, a bushing; and look for a broach
only where nothing else helps. Two remedies go together where one alone does not do. Each is planned with before it is offered.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import islice

from broachplan.crib.shelf import Beyond, Shelf
from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, System
from broachplan.planner.answer import Advice, Make, Rule, Try
from broachplan.planner.make import broaches_to_find, pieces_to_make
from broachplan.planner.measuring import pieces_to_measure
from broachplan.planner.ranking import best_found
from broachplan.planner.rules import broach_refusal
from broachplan.planner.tried import Trial, TrialResult, try_hub
from broachplan.tooling.hub import MOST_STACKED
from broachplan.tooling.pieces import Broach, Piece

_MOST_ADVICE = 3
_MOST_TRIED = 12
SetUp = tuple[Advice, Trial]


def advise(tried: TrialResult) -> tuple[tuple[Advice, ...], tuple[Make, ...]]:
    """What to try for a hub without a plan, and what to make for it; what comes first is tried first."""
    if tried.hub_refused:
        return (), ()
    make = pieces_to_make(tried)
    if not tried.case.start.is_bare_bore:
        # A hub in work keeps its broach and bushing: shims and another press are all that can still be changed.
        return (*pieces_to_measure(tried, make), *_that_do(_other_press(tried)), *_pieces_back(tried)), make
    advice = (*pieces_to_measure(tried, make), *_that_do(_set_ups(tried)), *_pieces_back(tried))
    if advice or make:
        return advice, make
    for one, asked in islice(_set_ups(tried), _MOST_ADVICE):
        make = pieces_to_make(try_hub(asked))
        if make:
            return (replace(one, text=f"{one.text}, together with what is made", way=1),), make
    return (), broaches_to_find(tried)


def _that_do(set_ups: Iterable[SetUp]) -> Iterator[Advice]:
    """Of each sort of set-up the first with which there is a plan."""
    seen: set[Try] = set()
    for advice, asked in set_ups:
        if advice.what in seen:
            continue
        tried = try_hub(asked)
        if tried.begun:
            seen.add(advice.what)
            yield _with_press(advice, tried) if advice.what is Try.PRESS else advice


def _set_ups(tried: TrialResult) -> Iterator[SetUp]:
    """Other ways to set up the same hub: stacked, with a slug, under another press."""
    asked, case, hub = tried.asked, tried.case, tried.asked.hub
    short = [broach for broach in asked.shelf.broaches if _too_short_for(broach, tried)]
    pitches = sorted({broach.tooth_pitch.nm for broach in short if broach.tooth_pitch})[:_MOST_TRIED]
    for hubs in sorted({-(-2 * pitch // hub.length.nm) for pitch in pitches}):
        if hubs <= MOST_STACKED:
            length = case.words(hub.length * hubs)
            text = (
                f"stack {hubs} hubs: together they are {length} long, so that two teeth are always in the cut"
            )
            yield Advice(Try.STACK, text, hubs=hubs), replace(asked, hub=replace(hub, stack=hubs))
    for pitch in pitches:
        slug = _rounded_up(2 * pitch - hub.cut_length.nm, hub.system)
        text = f"add a filler slug of like bore and metal, at least {case.words(slug)} long: it is cut with the hub"
        longer = replace(hub, length=hub.cut_length + slug, stack=1)
        yield Advice(Try.SLUG, text, length=slug), replace(asked, hub=longer)
    yield from _other_press(tried)


def _other_press(tried: TrialResult) -> Iterator[SetUp]:
    """Any press, where one was named."""
    if tried.asked.press:
        yield Advice(Try.PRESS, ""), replace(tried.asked, press=None)


def _too_short_for(broach: Broach, tried: TrialResult) -> bool:
    reason = broach_refusal(broach, tried.case)
    return reason is not None and reason.rule is Rule.ENGAGEMENT and broach.tag not in tried.case.off


def _rounded_up(nm: int, system: System) -> Length:
    """Two decimals up: nobody saws a slug to the thou."""
    step = (NM_PER_INCH if system is System.INCH else NM_PER_MM) // 100
    return Length(-(-nm // step) * step)


def _with_press(advice: Advice, tried: TrialResult) -> Advice:
    (best,) = best_found(tried.begun, 1, tried.case)
    press = best.press or best.pair.presses.presses[0]
    return replace(advice, text=f"take press {press.tag}", tags=(press.tag,))


def _pieces_back(tried: TrialResult) -> Iterator[Advice]:
    """Pieces that are off the shelf and with which there would be a plan: each alone, else those of one plan together."""
    asked, shelf = tried.asked, tried.asked.shelf
    off = [piece for piece in (*shelf.broaches, *shelf.bushings) if piece.tag in shelf.off]
    alone = [
        piece.tag
        for piece in off[:_MOST_TRIED]
        if try_hub(replace(asked, shelf=with_back(tried, piece))).begun
    ]
    for tag in alone[:_MOST_ADVICE]:
        yield _back((tag,), shelf)
    if alone or not shelf.off:
        return
    all_back = try_hub(replace(asked, shelf=replace(shelf, off={})))
    if all_back.begun:
        (best,) = best_found(all_back.begun, 1, all_back.case)
        shims = [shim.tag for stack in best.stacks for shim in stack]
        presses = (
            [press.tag for press in all_back.choice.presses] if all_back.choice and not tried.choice else []
        )
        wanted = (best.pair.broach.tag, best.pair.bushing.tag, *shims, *presses[:1])
        tags = tuple(dict.fromkeys(tag for tag in wanted if tag in shelf.off))
        left = {tag: why for tag, why in shelf.off.items() if tag not in tags}
        if try_hub(replace(asked, shelf=replace(shelf, off=left))).begun:
            yield _back(tags, shelf)


def with_back(tried: TrialResult, piece: Piece) -> Shelf:
    """The shelf with one broach or bushing on it again, and of its kind nothing else."""
    shelf = tried.asked.shelf
    off = {tag: why for tag, why in shelf.off.items() if tag != piece.tag}
    mine = isinstance(piece, Broach)
    return replace(
        shelf,
        off=off,
        broaches=tuple(one for one in shelf.broaches if one is piece) if mine else tuple(tried.broaches),
        bushings=tuple(tried.bushings) if mine else tuple(one for one in shelf.bushings if one is piece),
        broaches_beyond=Beyond(),
        bushings_beyond=Beyond(),
    )


def _back(tags: tuple[str, ...], shelf: Shelf) -> Advice:
    pieces = " and ".join(f"{tag} ({shelf.off[tag]})" for tag in tags)
    return Advice(Try.BACK, f"get {pieces} back on the shelf", tags=tags)
