"""The questions of shaft, key and hub: the fit, the milling card of the keyseat, and the strength of the key."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.questions import choices, kinds
from broachplan.questions.line import line

_STANDARD = f"{choices.STANDARD_NAMES}; else by the shaft's unit."
_OF_SHAFT = (("", "as the shaft"), *choices.STANDARDS)
_SIZE = "Key width, or width x height; else the standard's."
_KEY_HINT = "(the table's)"
_NUMBER = "Inch Woodruff key by its number, such as 808."


@dataclass(frozen=True, slots=True, kw_only=True)
class JointQuestion:
    """Shaft, key and hub as typed; an empty text is a line left out.

    ``key`` may be the number of an inch Woodruff key, where the standard is that one or is not named; ``number`` is
    another place to write it. ``hub_key`` is the hub's key where it differs; ``length`` the keyseat's.
    """

    shaft: str = line(
        "Shaft", kinds.SIZE_WITH_LIMITS, "Diameter of the shaft or bore.", hint="(as 1-3/8 in)", needed=True
    )
    standard: str = line("Standard", kinds.STANDARD, _STANDARD, choices=_OF_SHAFT)
    key: str = line("Key or number", kinds.KEY, _SIZE, hint=_KEY_HINT)
    number: str = line("Key number", kinds.KEY_NUMBER, _NUMBER)
    shape: str = line("Key shape", kinds.SHAPE, f"{choices.SHAPE_NAMES}.", choices=choices.SHAPES)
    fit: str = line("Fit", kinds.FIT, choices.FIT_NAMES, choices=choices.FITS)
    no_top_clearance: bool = line(
        "Top clearance", kinds.FLAG, "A metric key that fits on its top.", choices=choices.TOP_CLEARANCE
    )
    hub_key: str = line(
        "Hub key",
        kinds.HUB_KEY,
        "The hub's key, where it differs: a stepped key.",
        hint="(as the shaft's)",
    )
    length: str = line(
        "Length", kinds.LENGTH, "Length of the keyseat: how far it may lean.", hint="(of key and seat)"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyseatQuestion:
    """The milling card as asked for; an empty text is a line left out. See `CardRequest` for what each means."""

    shaft: str = line(
        "Shaft", kinds.SIZE_WITH_LIMITS, "Diameter of the shaft, with limits where known.", needed=True
    )
    standard: str = line("Standard", kinds.STANDARD, _STANDARD, choices=_OF_SHAFT)
    key: str = line("Key or number", kinds.KEY, _SIZE, hint=_KEY_HINT)
    number: str = line("Key number", kinds.KEY_NUMBER, _NUMBER)
    shape: str = line("Key shape", kinds.SHAPE, f"{choices.SHAPE_NAMES}.", choices=choices.SHAPES)
    fit: str = line("Fit", kinds.FIT, choices.FIT_NAMES, choices=choices.FITS)
    finder: str = line("Edge finder", kinds.LENGTH, "Diameter of the edge finder.", hint="(as 0.5 in)")
    cutter: str = line("Cutter", kinds.LENGTH, "Diameter of the cutter.", hint="(as 3/8 in)")
    length: str = line("Length", kinds.LENGTH, "Length of the key.")
    from_end: str = line(
        "From the end",
        kinds.LENGTH,
        "Shaft's end to the key (Woodruff: its middle); else open at the end.",
        hint="(runs out)",
        option="--from",
        what="from",
    )
    step: str = line("Deepest step", kinds.LENGTH, "The deepest one pass may cut.", hint="(as 0.060 in)")
    depth_limits: str = line(
        "Own limits",
        kinds.DEVIATIONS,
        "Your own, of the reading: +0.000 -0.010 in; minus is deeper.",
        hint="(as +0 -0.012 in)",
    )
    speed: str = line(
        "Cutting speed",
        kinds.SPEED,
        "Cutting speed in ft/min or m/min, from your book.",
        hint="(as 80 ft/min)",
    )
    key_height: str = line("Key height", kinds.LENGTH, "Height of the key as measured.", hint="(on size)")
    measured: str = line("Measured", kinds.LENGTH, "What the micrometer reads now.", hint="(nothing yet)")
    measured_over: str = line(
        "  over the", kinds.OVER, "Over what: key or floor.", choices=(("key", "key"), ("floor", "floor"))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthQuestion:
    """The strength of a key as asked for; an empty text is not known."""

    shaft: str = line("Shaft", kinds.SIZE_WITH_LIMITS, "Diameter of the shaft.", needed=True)
    torque: str = line("Torque", kinds.TORQUE, "In N m, lbf in or lbf ft.", hint="(as 300 N m)")
    power: str = line("or power", kinds.POWER, "In kW, W or hp; with --rpm.", hint="(as 5 hp)")
    rpm: str = line("at rev/min", kinds.REVOLUTIONS, "Revolutions a minute.", hint="(as 340)")
    key: str = line("Key", kinds.KEY, _SIZE, hint=_KEY_HINT)
    standard: str = line("Standard", kinds.STANDARD, "inch or metric; else by the shaft's unit.")
    straight: str = line(
        "Bears along",
        kinds.LENGTH,
        "Straight length of the key.",
        hint="(the length)",
        option="--length",
        what="length",
    )
    safety_factor: str = line(
        "Safety factor",
        kinds.SAFETY,
        "Safety factor of your choice, 1 or more.",
        hint="(your choice)",
        option="--safety",
        what="safety",
    )
    key_yield: str = line(
        "Key yield",
        kinds.STRESS,
        "Yield of the key, in MPa, N/mm2, psi or ksi.",
        hint="(as 60 ksi)",
        option="--yield",
    )
    shear_strength: str = line(
        "Key shear", kinds.STRESS, "Of the key; else half its yield.", hint="(half its yield)"
    )
    bearing_strength: str = line(
        "Key bearing", kinds.STRESS, "Of the key; else its yield.", hint="(its yield)"
    )
    shaft_yield: str = line(
        "Shaft yield",
        kinds.STRESS,
        "Yield of the shaft; without a load, what it carries.",
        hint="(not known)",
    )
    hub_yield: str = line("Hub yield", kinds.STRESS, "Yield of the hub.", hint="(not known)")
