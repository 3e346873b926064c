"""The question of one hub: what the machinist types, what a list of coming work holds, what is kept with a run."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.questions import choices, kinds
from broachplan.questions.line import chosen, line, lines_of, without


@dataclass(frozen=True, slots=True, kw_only=True)
class HubQuestion:
    """A hub and the keyway to be cut in it, as typed; an empty text is a line left out."""

    bore: str = line(
        "Bore",
        kinds.SIZE_WITH_LIMITS,
        "Bore, with limits where known.",
        hint="(as 1 in +0.001 -0)",
        needed=True,
    )
    hub_length: str = line(
        "Hub length", kinds.LENGTH, "Length of the cut in one hub.", hint="(as 1-1/2 in)", needed=True
    )
    key: str = line("Key", kinds.KEY, "Key width, width x height, or Woodruff number.", hint="(the table's)")
    keyway_width: str = line("Keyway width", kinds.LIMITS, "Width of the keyway.", hint="(the fit's limits)")
    reading: str = line("Reading T", kinds.LIMITS, "Keyway floor to the opposite wall.", hint="(the table's)")
    aim: str = line(
        "Aim", kinds.LENGTH, "Reading to aim for; else the middle of the limits.", hint="(middle)"
    )
    standard: str = line(
        "Standard",
        kinds.STANDARD,
        f"{choices.STANDARD_NAMES}; else by the bore's unit.",
        choices=(("", "as the bore"), *choices.STANDARDS),
    )
    shape: str = line("Key shape", kinds.SHAPE, f"Key: {choices.SHAPE_NAMES}.", choices=choices.SHAPES)
    fit: str = line("Fit", kinds.FIT, choices.FIT_NAMES, choices=choices.FITS)
    no_top_clearance: bool = line(
        "Top clearance", kinds.FLAG, "A metric key that fits on its top.", choices=choices.TOP_CLEARANCE
    )
    hub_od: str = line(
        "Hub outside",
        kinds.LENGTH,
        "Outside diameter of the hub.",
        hint="(not known)",
        what="hub outside diameter",
    )
    hardness: str = line("Hardness", kinds.HARDNESS, "Such as 28 HRC or 200 HB.", hint="(as 28 HRC)")
    material: str = line("Material", kinds.MATERIAL, "What the hub is made of.", hint="(not named)")
    stack: str = line("Hubs stacked", kinds.STACK, "Like hubs cut at once.", hint="(1)")
    bore_form: str = line(
        "Bore form", kinds.BORE_FORM, "through, blind or tapered.", choices=choices.BORE_FORMS
    )
    bore_is: str = line(
        "Bore measured",
        kinds.LENGTH,
        "Bore as measured, within its limits; for the play and for gauging.",
        hint="(not measured)",
        what="bore as measured",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRequest(HubQuestion):
    """A question for the machinist's desk: the hub, and what the plan is to keep to.

    ``press`` is a tag, empty leaves the choice to the planner; ``on`` the day of the work, for which pieces may be held;
    ``why`` a tag, or ``all``, whose refusals are wanted in full; ``plans`` how many pairs are worked out in full. A reading
    (``measured``, or ``top`` and ``bottom``) asks for what is left to do with the broach and the bushing that are named.
    """

    press: str = line(
        "Press", kinds.TAG, "The press to use; else the smallest that fits.", hint="(the smallest)"
    )
    on: str = line(
        "Day",
        kinds.DAY,
        "Day of the work, such as 2031-05-28: what is held for other work stays out, what is due back before is there.",
        hint="(as 2031-05-28)",
        what="day",
    )
    why: str = line("Why", kinds.TAG_OR_ALL, "Show why this piece, or each piece, was refused.")
    plans: str = line("Plans", kinds.HOW_MANY, "How many plans to work out in full; else the best 12.")
    by: str = line("By", kinds.NAME, "Who is at the press: what is lent to them counts as on the shelf.")
    broach: str = line("Broach", kinds.TAG, "Plan with this broach alone.")
    bushing: str = line("Bushing", kinds.TAG, "Plan with this bushing alone.")
    last_shims: str = line(
        "Last shims",
        kinds.STACK_TAGS,
        "After a reading: the shims that were in, by their tags; none where no shim was.",
    )
    measured: str = line(
        "Measured", kinds.LENGTH, "What the gauge read after that push: plan what is left to do."
    )
    top: str = line("Top", kinds.LENGTH, "The same read at both ends: where the broach went in.")
    bottom: str = line("Bottom", kinds.LENGTH, "The same read at both ends: where it left the hub.")
    before: str = line("Before", kinds.LENGTH, "What the gauge read before that push, where it was gauged.")
    way: str = line("Way", kinds.WAY, "How it was gauged: inside, block, wall or floor; else inside.")
    block: str = line("Block", kinds.LENGTH, "Way block: the height of the block or key in the keyway.")
    anvil: str = line(
        "Anvil",
        kinds.LENGTH,
        "Width of a flat anvil, which reads short on the bore's wall; a ball or knife edge needs none.",
    )
    other_reading: str = line("Other reading", kinds.LENGTH, "Way floor: T of the keyway opposite, as read.")


# What a list of coming hubs may hold, by column.
# A list is written before its hubs are there to be measured.
_NOT_IN_A_LIST = ("aim", "bore_is")
JOB_COLUMNS = tuple(
    each.name for each in lines_of(HubQuestion) if not each.kind.flag and each.name not in _NOT_IN_A_LIST
)
# What the machinist's form asks; why pieces were refused is asked by a key of its own.
# Readings are asked one by one at the press.
AT_THE_PRESS = (
    *("by", "broach", "bushing", "last_shims", "measured", "top", "bottom", "before"),
    *("way", "block", "anvil", "other_reading"),
)
FORM_LINES = without(lines_of(PlanRequest), "why", "plans", *AT_THE_PRESS)
# What the form of shaft, key and hub shares with the hub's.
SHARED_WITH_SHAFT = tuple(
    each.name for each in chosen(FORM_LINES, "standard", "key", "shape", "fit", "no_top_clearance")
)
