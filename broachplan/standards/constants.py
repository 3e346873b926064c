"""The constants that decide and are no settings, each with its source and its status, for `settings show` and the plan.

``status`` is ``read`` (seen in print), ``memory`` (recalled, not seen) or ``ours`` (a choice of this program).
"""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.lengths import NM_PER_INCH

MEMORY = "memory"


@dataclass(frozen=True, slots=True)
class Constant:
    """One constant: its value, how it is written with its unit, what it decides, and where it comes from."""

    name: str
    value: float
    written: str
    about: str
    source: str
    status: str


MODULUS = Constant(
    "column_modulus",
    207_000.0,
    "207,000 N/mm2",
    "Young's modulus E of the broach as a column",
    "Shigley's Mechanical Engineering Design, physical constants of materials, carbon steel",
    MEMORY,
)
ROOT_STRESS = Constant(
    "root_stress",
    2000.0 / 3.0,
    "667 N/mm2",
    "most mean stress at a broach's root: a third of 2,000 N/mm2",
    "no source",
    MEMORY,
)
GULLET_PARTS = Constant(
    "gullet_share",
    9,
    "P^2/9",
    "gullet area where it was not measured, P the pitch",
    "a handbook's layout of gullets",
    MEMORY,
)
TIGHT_BRITTLE = Constant(
    "chip_room_tight_brittle",
    4,
    "4",
    "gullet room over chip under which a plan warns, brittle material",
    "reprint of the handbook pitch formula, roughing, 3 to 4",
    "read",
)
TIGHT_DUCTILE = Constant(
    "chip_room_tight_ductile",
    5,
    "5",
    "gullet room over chip under which a plan warns, ductile or unnamed material",
    "reprint of the handbook pitch formula, roughing, 4 to 7",
    "read",
)
HB_OF_35_HRC = Constant(
    "hardness_35_hrc_in_hb",
    327,
    "327 HB",
    "35 HRC in Brinell, where the hub's hardness is given in HB",
    "conversion tables of ASTM E140",
    MEMORY,
)
THINNEST_CHIP = Constant(
    "thinnest_chip",
    0.02,
    "0.02 mm",
    "chip under which the cutting force a square millimetre is not taken as rising further",
    "no source",
    MEMORY,
)
KEY_SHEAR_SHARE = Constant(
    "key_shear_share",
    0.5,
    "1/2",
    "yield in shear over yield of a key whose shear strength is not given",
    "maximum-shear theory, the stricter choice of this program; Shigley uses 0.577 (distortion energy)",
    "ours",
)
KEY_TAPER = Constant(
    "key_taper",
    96,
    "1/96",
    "rise of a taper key over its length: 1/8 in a foot",
    "ASME B17.1",
    MEMORY,
)
THINNEST_WEB = Constant(
    "thinnest_web",
    NM_PER_INCH // 16,
    "1/16 in",
    "thinnest web of a bushing that is advised to be made: a thinner back springs under load",
    "shop practice, no source",
    MEMORY,
)
THINNEST_SHIM = Constant(
    "thinnest_shim",
    NM_PER_INCH * 2 // 1000,
    "0.002 in",
    "thinnest shim that is advised to be cut: thinner stock is foil and does not lie flat",
    "common practice, no source",
    MEMORY,
)
# What every plan rests on; the others decide on what is refused or advised.
OF_PLANS = (
    MODULUS,
    ROOT_STRESS,
    GULLET_PARTS,
    TIGHT_BRITTLE,
    TIGHT_DUCTILE,
    HB_OF_35_HRC,
    THINNEST_CHIP,
    KEY_SHEAR_SHARE,
)
CONSTANTS = (*OF_PLANS, KEY_TAPER, THINNEST_WEB, THINNEST_SHIM)
