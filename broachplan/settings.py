"""The shop's limits and habits: one frozen object, passed in, stamped into what it decided."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from enum import StrEnum
from fractions import Fraction
from typing import Any

from broachplan.errors import InputError
from broachplan.lengths import Length, System, Units, parse_length, units_of, write_exact
from broachplan.money import read_amount, read_currency, show_amount
from broachplan.shop_words import CribWord, LendWord, ReturnWord, ShopWords
from broachplan.work_days import WorkDays, read_work_days

MEMORY = "memory"
AS_TYPED = "as typed"


class Picture(StrEnum):
    """What pictures on the screens are drawn with."""

    DOTS = "dots"
    BLOCKS = "blocks"


class Fetching(StrEnum):
    """How the tools of a run are confirmed to be at the press."""

    CONFIRMED = "confirmed"
    SCANNED = "scanned"


def _setting(default: Any, about: str, source: str) -> Any:
    return field(default=default, metadata={"about": about, "source": source})


@dataclass(frozen=True, slots=True)
class Settings:
    """Every limit that a rule or a caution of the planner or the crib uses; each is a shop's to change."""

    units: Units | None = _setting(
        None,
        "how lengths are shown: as typed, inch, fraction or mm; a list has no typed unit and is in inches then",
        "the user's choice",
    )
    bushing_clearance: Length = _setting(
        Length.inches("0.005"), "most a bushing may be under the smallest bore", "common practice, no source"
    )
    slot_clearance: Length = _setting(
        Length.inches("0.004"), "most a slot may be wider than the broach", "common practice, no source"
    )
    shim_clearance: Length = _setting(
        Length.inches("0.030"), "most a shim may be narrower than the slot", "common practice, no source"
    )
    stack_most: int = _setting(4, "most shims in one stack", "common practice, no source")
    chip_factor_brittle: Fraction = _setting(
        Fraction(3, 2), "gullet room over chip, brittle material", "shop setting, from memory"
    )
    chip_factor_ductile: Fraction = _setting(
        Fraction(2), "gullet room over chip, ductile or unnamed material", "shop setting, from memory"
    )
    press_share: Fraction = _setting(
        Fraction(7, 10), "most of a press's rated force that the low force may take", "from memory"
    )
    dull_edge: Fraction = _setting(Fraction(13, 10), "force of a dulled edge over a sharp one", "from memory")
    column_ends: Fraction = _setting(
        Fraction(1),
        "end-condition constant C of the broach as a column: 1/4 fixed and free, 1 both rounded, 1 fixed and rounded "
        "(conservative), 1.2 where the load is accurately known",
        "Shigley's Mechanical Engineering Design, table of end-condition constants, from memory",
    )
    column_safety: Fraction = _setting(
        Fraction(1),
        "safety against buckling, on the high force, which already allows for a dulled edge",
        "shop setting, from memory",
    )
    slender_ratio: Fraction = _setting(
        Fraction(3), "buckling ratio under which a broach is called slender", "shop setting, from memory"
    )
    support_height: Length = _setting(
        Length(0), "height of the support under the hub in the press", "the shop's own figure"
    )
    loose_play: Length = _setting(
        Length.inches("0.005"), "play of the bushing that is called loose", "common practice, no source"
    )
    rub_step: Length = _setting(
        Length.inches("0.001"), "a step under this rubs instead of cutting", "common practice, no source"
    )
    joint_film: Length = _setting(
        Length.mm("0.005"), "what oil adds in one joint of a stack, at most", "from memory"
    )
    error_micrometer: Length = _setting(
        Length.mm("0.005"), "how far a figure taken with a micrometer may be off, either way", "from memory"
    )
    error_height_gauge: Length = _setting(
        Length.mm("0.020"), "how far a figure taken with a height gauge may be off, either way", "from memory"
    )
    error_caliper: Length = _setting(
        Length.mm("0.030"), "how far a figure taken with a caliper may be off, either way", "from memory"
    )
    error_nominal: Length = _setting(
        Length.mm("0.050"),
        "how far a figure may be off, either way, where it is not known how it was measured",
        "from memory",
    )
    error_reading: Length = _setting(
        Length.mm("0.010"), "how far the gauge for the reading T may be off, either way", "from memory"
    )
    hardness_hrc: int = _setting(35, "hardest hub for a high-speed-steel broach, HRC", "from memory")
    wall_least: Length | None = _setting(
        None, "least wall over the keyway; none: the shop has set no limit", "the shop's own figure"
    )
    inspect_cuts: int | None = _setting(
        None, "cuts after which a broach is due for inspection, or none", "the shop's own figure"
    )
    inspect_length: Length | None = _setting(
        None, "length cut after which a broach is due for inspection, or none", "the shop's own figure"
    )
    regrind_cuts: int | None = _setting(
        None, "cuts on one edge after which a broach is due for a regrind, or none", "the shop's own figure"
    )
    regrind_length: Length | None = _setting(
        None,
        "length cut on one edge after which a broach is due for a regrind, or none",
        "the shop's own figure",
    )
    inspect_days: int | None = _setting(
        None, "days after which a broach is due for inspection, or none", "the shop's own figure"
    )
    currency: str | None = _setting(
        None, "the currency of offers that name none: three capital letters, or none", "the user's choice"
    )
    make_bushing_cost: int | None = _setting(
        None,
        "what a bushing that the shop makes costs, or none: the shop makes none",
        "the shop's own figure",
    )
    make_shim_cost: int | None = _setting(
        None, "what a shim that the shop cuts costs, or none: the shop cuts none", "the shop's own figure"
    )
    loan_days: int | None = _setting(
        None,
        "days after which a loan without a due day is taken to be back, or none: on its own day",
        "the shop's own habit",
    )
    make_bushing_days: int | None = _setting(
        None, "days until a bushing that the shop makes is there, or none", "the shop's own figure"
    )
    make_shim_days: int | None = _setting(
        None, "days until a shim that the shop cuts is there, or none", "the shop's own figure"
    )
    work_days: WorkDays = _setting(
        WorkDays(), "the days of the week on which a job can be at the press", "the shop's own habit"
    )
    word_lend: LendWord = _setting(
        LendWord.LEND, "what people read for lend; commands keep their names", "the shop's own choice"
    )
    word_return: ReturnWord = _setting(
        ReturnWord.RETURN, "what people read for return; commands keep their names", "the shop's own choice"
    )
    word_crib: CribWord = _setting(
        CribWord.CRIB, "what people read for crib; commands keep their names", "the shop's own choice"
    )
    picture: Picture = _setting(
        Picture.DOTS,
        "how the screens draw the cut: dots, or blocks where the font has no braille; ctrl+z changes it for a session",
        "the shop's own choice",
    )
    pick_list: Fetching = _setting(
        Fetching.CONFIRMED,
        "how the tools of a run are fetched on screen: the list confirmed in one go, or each piece scanned",
        "the shop's own choice",
    )

    @property
    def shown_in(self) -> Units:
        """The units that lengths are shown in; inches where they follow what is typed and nothing was."""
        return self.units or Units.INCH

    @property
    def words(self) -> ShopWords:
        """The shop's own words."""
        return ShopWords(self.word_lend, self.word_return, self.word_crib)

    def as_typed_in(self, system: System) -> Settings:
        """The settings for a question typed in a system of units, which decides where the shop has set none."""
        return self if self.units else replace(self, units=units_of(system))


NAMES = tuple(entry.name for entry in fields(Settings))
# Least and most of those that are whole numbers.
_WHOLE = {
    "stack_most": (1, 6),
    "hardness_hrc": (1, 70),
    "inspect_cuts": (1, 1_000_000),
    "regrind_cuts": (1, 1_000_000),
    "inspect_days": (1, 3650),
    "loan_days": (0, 999),
    "make_bushing_days": (0, 999),
    "make_shim_days": (0, 999),
}
# Those that are amounts of money, kept in hundredths.
_AMOUNTS = ("make_bushing_cost", "make_shim_cost")
# Least and most of those factors that are not from 1 to 20.
_FACTORS = {"column_ends": (Fraction(1, 4), Fraction(4)), "column_safety": (Fraction(1, 2), Fraction(20))}
ABOUT: Mapping[str, Mapping[str, str]] = {entry.name: dict(entry.metadata) for entry in fields(Settings)}


def changed(settings: Settings, name: str, text: str) -> Settings:
    """``settings`` with one figure read from what was typed.

    Raises
    ------
    InputError : an unknown name (the message lists the names), or a value that does not fit.
    """
    if name not in NAMES:
        raise InputError("setting", f"there are: {', '.join(NAMES)}", read=name)
    value: Any = _read(name, text.strip(), getattr(Settings(), name))
    return replace(settings, **{name: value})


def written(settings: Settings, name: str) -> str:
    """The value of one setting as text that `changed` reads back as the same."""
    value = getattr(settings, name)
    if name == "units":
        return str(value or AS_TYPED)
    if value is None:
        return "none"
    if name in _AMOUNTS:
        return show_amount(value)
    if isinstance(value, Length):
        return write_exact(value) if value else "none"
    return str(value)


def _read(name: str, text: str, default: object) -> object:
    if name == "units":
        return None if text.lower() == AS_TYPED else _one_of(Units, name, text, AS_TYPED)
    if isinstance(default, StrEnum):
        return _one_of(type(default), name, text)
    if isinstance(default, WorkDays):
        return read_work_days(text)
    if isinstance(default, Fraction):
        return _factor(name, text)
    # What is not set is written as none: no limit, or no height.
    if text.lower() == "none" and not default:
        return default
    if name in _AMOUNTS:
        return read_amount(text, name)
    if name == "currency":
        return read_currency(text, name)
    return _whole(name, text) if name in _WHOLE else parse_length(text, name)


def _one_of(choices: type[StrEnum], name: str, text: str, *others: str) -> StrEnum:
    try:
        return choices(text.lower())
    except ValueError:
        *before, last = [*others, *map(str, choices.__members__.values())]
        raise InputError(name, f"write {', '.join(before)} or {last}", read=text) from None


def _whole(name: str, text: str) -> int:
    low, high = _WHOLE[name]
    if not (text.isascii() and text.isdigit() and len(text) < 8 and low <= int(text) <= high):
        raise InputError(name, f"write a whole number from {low} to {high}", read=text)
    return int(text)


def _factor(name: str, text: str) -> Fraction:
    share = name == "press_share"
    low, high = _FACTORS.get(name, (Fraction(1), Fraction(20)))
    right = (
        "a number above 0, at most 1, for example 0.7"
        if share
        else f"a number from {float(low):g} to {float(high):g}, for example 1.5"
    )
    try:
        if len(text) > 12 or "e" in text.lower() or "_" in text or not text.isascii():
            raise ValueError
        value = Fraction(text)
    except (ValueError, ZeroDivisionError):
        raise InputError(name, f"write {right}", read=text) from None
    if not (0 < value <= 1 if share else low <= value <= high):
        raise InputError(name, f"write {right}", read=text)
    return value
