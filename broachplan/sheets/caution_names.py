"""What a plan warns of, by name: a line each, where there is no room for the whole sentence."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from broachplan.planner.answer import Caution, Warn

# Each fits a line beside the form of a screen of 80 columns.
NAMES: dict[Warn, str] = {
    Warn.CHIP_ROOM_TIGHT: "tight gullets: clear chips every pass",
    Warn.SLENDER: "slender broach: keep it square",
    Warn.LOOSE: "loose bushing: may cut deep",
    Warn.RUB: "light pass: may rub instead of cut",
    Warn.SHIM_SHORT: "a shim is shorter than the cut",
    Warn.BUSHING_SHORT: "the hub is longer than the bushing",
    Warn.HARD: "hub over the shop's hardness limit",
    Warn.WALL: "thin wall over the keyway",
    Warn.OFF_TABLE: "key and bore: check the drawing",
    Warn.BAND: "the last reading may miss its limits",
    Warn.OFF_CENTRE: "keyway may lie too far off the middle",
    Warn.LEAD: "keyway may lean: keep broach square",
    Warn.ENDS_DIFFER: "the two ends may read apart",
    Warn.PUSH_PIN: "a push pin is needed to finish",
    Warn.RESETS: "block reset between pushes of a pass",
    Warn.MIXED_UNITS: "inch and metric pieces together",
    Warn.NO_PRESS: "no press in the crib: not checked",
    Warn.PRESS_HEAVY: "heavy for the press with a dull edge",
    Warn.NO_MATERIAL: "no material: force was not checked",
    Warn.NOT_CHECKED: "not checked",
    Warn.DUE_BACK: "a piece is not back yet",
    Warn.ON_ORDER: "a piece is still on order",
    Warn.DUE: "broach due for inspection or regrind",
    Warn.READING_DOUBTFUL: "doubtful reading: gauge again first",
    Warn.OFFSET_MAY_VANISH: "the shallow reading may not last",
}


def caution_names(cautions: Sequence[Caution]) -> list[str]:
    """A line for each kind of caution in their order; what was not checked names the pieces.

    That a reading is doubtful is said in full: it comes before any further push.
    """
    return [_named(rule, list(alike)) for rule, alike in groupby(cautions, key=lambda each: each.rule)]


def _named(rule: Warn, alike: Sequence[Caution]) -> str:
    if rule is Warn.READING_DOUBTFUL:
        return alike[0].text
    if rule is not Warn.NOT_CHECKED:
        return NAMES[rule]
    of = ", ".join(dict.fromkeys(each.text.partition(":")[0] for each in alike))
    return f"{NAMES[rule]}: figures of {of}"
