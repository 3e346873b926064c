"""Whether a piece that was just measured serves the hub wanted today: asked about at once, while it is at hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from broachplan.crib.doubts import Doubt
from broachplan.errors import InputError
from broachplan.guide.guide import NONE, Guide, Stage
from broachplan.lengths import Length, parse_length, write_exact
from broachplan.questions.read_hub import read_hub_question
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind


def does_not_serve(guide: Guide, settings: Settings) -> tuple[Doubt, ...]:
    """Why the piece that is answered would be in no plan of the hub; nothing in the rest of the box.

    Raises
    ------
    InputError : the hub's answers do not go together.
    """
    if guide.stage in (Stage.HUB, Stage.WEB, Stage.PLAN, Stage.REST):
        return ()
    checks = {Kind.BUSHING: _bushing, Kind.BROACH: _broach, Kind.SHIM: _shim}
    return tuple(checks[guide.kind](guide, settings)) if guide.kind in checks else ()


def _bushing(guide: Guide, settings: Settings) -> Iterator[Doubt]:
    outside = _length(guide.values, "outside_diameter")
    if outside is None:
        return
    hub, _ = read_hub_question(guide.plan)
    room = hub.bore.lower - outside
    if room.nm < 0:
        yield Doubt(
            "outside_diameter",
            f"outside diameter {write_exact(outside)} does not go into the bore, {write_exact(hub.bore.lower)} at its smallest",
        )
    elif room > settings.bushing_clearance:
        yield Doubt(
            "outside_diameter",
            f"outside diameter {write_exact(outside)} leaves {write_exact(room)} in the bore;"
            f" plans take {write_exact(settings.bushing_clearance)} at most",
        )


def _broach(guide: Guide, settings: Settings) -> Iterator[Doubt]:
    width = _length(guide.values, "keyway_width")
    if width is None:
        return
    _, keyway = read_hub_question(guide.plan)
    if width not in keyway.width:
        limits = f"{write_exact(keyway.width.lower)} to {write_exact(keyway.width.upper)}"
        yield Doubt(
            "keyway_width", f"keyway width {write_exact(width)}, but this hub's keyway is {limits} wide"
        )
    slot = _length(guide.last.get(Kind.BUSHING, {}), "slot_width")
    if slot is None:
        return
    if slot < width:
        yield Doubt(
            "keyway_width",
            f"keyway width {write_exact(width)} does not go into the slot, {write_exact(slot)}",
        )
    elif slot - width > settings.slot_clearance:
        yield Doubt(
            "keyway_width",
            f"keyway width {write_exact(width)} leaves {write_exact(slot - width)} in the slot;"
            f" plans take {write_exact(settings.slot_clearance)} at most",
        )


def _shim(guide: Guide, settings: Settings) -> Iterator[Doubt]:
    width, slot = _length(guide.values, "width"), _length(guide.last.get(Kind.BUSHING, {}), "slot_width")
    if width is None or slot is None:
        return
    if slot < width:
        yield Doubt("width", f"width {write_exact(width)} does not go into the slot, {write_exact(slot)}")
    elif slot - width > settings.shim_clearance:
        yield Doubt(
            "width",
            f"width {write_exact(width)} is {write_exact(slot - width)} less than the slot;"
            f" plans take {write_exact(settings.shim_clearance)} at most",
        )


def _length(answers: Mapping[str, str], name: str) -> Length | None:
    text = answers.get(name, "")
    if text in ("", NONE):
        return None
    try:
        return parse_length(text, name)
    except InputError:
        return None
