"""A joint from what people write: every figure as text, read once, refused in one sentence."""

from __future__ import annotations

import re
from dataclasses import dataclass

from broachplan.errors import InputError, quoted
from broachplan.keyways.joint import Joint
from broachplan.keyways.key import (
    KeySize,
    read_fit,
    read_key,
    read_number,
    read_shape,
    read_standard,
    standard_of,
)
from broachplan.keyways.keyway import Standard
from broachplan.keyways.parallel import joint
from broachplan.lengths import System, parse_length, read_limits

_BARE_NUMBER = re.compile(r"(?:no\.?|number|#)?\s*\d{3,4}(?:\.5)?", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The questions of a joint as they were typed; empty: not asked.

    ``key`` may be the number of an inch Woodruff key where the standard is that one or is not named. ``hub_key`` is the
    hub's key where it is another; ``length`` the keyseat's.
    """

    shaft: str
    standard: str = ""
    key: str = ""
    shape: str = ""
    fit: str = ""
    hub_key: str = ""
    length: str = ""
    no_top_clearance: bool = False


def read_joint(written: Written) -> Joint:
    """Read the questions and answer them, for the shaft's nominal size.

    Raises
    ------
    InputError : a figure that cannot be read or cannot be; see `joint`.
    """
    shaft, system, _ = read_limits(written.shaft, "shaft")
    standard, key = read_shaft_key(written.key, written.standard, system)
    return joint(
        shaft.nominal,
        standard=standard,
        key=key,
        shape=read_shape(written.shape) if written.shape else None,
        fit=read_fit(written.fit) if written.fit else None,
        top_clearance=not written.no_top_clearance,
        hub_key=read_key(written.hub_key, standard) if written.hub_key else None,
        length=parse_length(written.length, "length") if written.length else None,
    )


def read_shaft_key(
    text: str, standard: str = "", system: System = System.INCH
) -> tuple[Standard, KeySize | None]:
    """The standard and the key that ``text`` speaks of; a number alone speaks of the inch Woodruff standard.

    Raises
    ------
    InputError : an unknown standard, a number where the standard has none, or a key that cannot be read.
    """
    named = read_standard(standard) if standard else None
    if is_number(text):
        if named not in (None, Standard.WOODRUFF):
            raise InputError(
                f"key: read {quoted(text)}; only inch Woodruff keys have numbers, not {named} ones"
            )
        return Standard.WOODRUFF, read_number(text)
    used = named or standard_of(system)
    return used, read_key(text, used) if text else None


def is_number(text: str) -> bool:
    """Whether ``text`` is a key's number and not a size: three or four digits without a unit."""
    return len(text) <= 20 and _BARE_NUMBER.fullmatch(text.strip()) is not None
