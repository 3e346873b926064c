"""Which shims go in for a pass: what stays, what is added, which lies where. Thickness first, tag second."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from broachplan.lengths import Length, Units
from broachplan.runs.stacks import change_between, floor_first
from broachplan.tooling.pieces import Shim
from tui.plain import plain
from tui.words import figure

NO_SHIM = "NO SHIM"


@dataclass(frozen=True, slots=True)
class PutIn:
    """What the hands do: a heading, a figure or words for large letters, and where each shim lies."""

    heading: str
    figure: str
    lines: tuple[str, ...]


def thickness(shim_or_total: Shim | Length, units: Units) -> str:
    """A thickness as it is spoken of: without the zero before the point of an inch, ``.0470``."""
    length = shim_or_total.thickness if isinstance(shim_or_total, Shim) else shim_or_total
    if length is None:
        return "?"
    shown = figure(length, units)
    return shown.removeprefix("0") if units is not Units.MM else shown


def put_in(before: Sequence[Shim], stack: Sequence[Shim], units: Units) -> PutIn:
    """What to do between two passes; ``before`` is what lies in the slot now."""
    lying, change = floor_first(stack), change_between(before, stack)
    added, left_in, out = change.added, change.stays, change.taken_out
    lines = _places(lying, units)
    if not lying:
        heading = f"TAKE OUT {_sum_up(out, units)}" if out else "PUT IN"
        return PutIn(heading, NO_SHIM, lines)
    if not added:
        what = f"TAKE OUT {_sum_up(out, units)}, LEAVE IN" if out else "LEAVE IN"
        return PutIn(what, _total(left_in, units), lines)
    words = [f"TAKE OUT {_sum_up(out, units)}"] if out else []
    many = f" {len(added)}" if len(added) > 1 else ""
    if left_in:
        words += [f"LEAVE {_sum_up(left_in, units)} IN", f"ADD{many}{_where(added, lying)}"]
    else:
        words.append(f"PUT IN{many and f'{many} SHIMS'}")
    if many:
        words.append("IN TOTAL")
    return PutIn(", ".join(words), _total(added, units), lines)


def in_short(stack: Sequence[Shim], units: Units) -> str:
    """A stack in one line, the slot floor first: ``.0469 + .0470``, ``no shim``."""
    return " + ".join(thickness(shim, units) for shim in floor_first(stack)) or "no shim"


def _where(added: Sequence[Shim], lying: Sequence[Shim]) -> str:
    """On which side of what stays in: behind it lies the slot floor."""
    places = [place for place, shim in enumerate(lying) if shim in added]
    if places == list(range(len(added))):
        return " BEHIND IT"
    if places[0] == len(lying) - len(added):
        return " NEXT TO THE BROACH"
    return " AS BELOW"


def _total(shims: Sequence[Shim], units: Units) -> str:
    return thickness(sum((shim.thickness or Length(0) for shim in shims), Length(0)), units)


def _sum_up(shims: Sequence[Shim], units: Units) -> str:
    return " AND ".join(thickness(shim, units) for shim in shims)


def _places(lying: Sequence[Shim], units: Units) -> tuple[str, ...]:
    if not lying:
        return ("The broach lies on the slot floor.",)
    last = len(lying) - 1
    lines = []
    for place, shim in enumerate(lying):
        where = "on the slot floor" if not place else "at the broach" if place == last else "on that one"
        lines.append(f"{thickness(shim, units)} {where}  ({plain(shim.tag)})")
    return tuple(lines)
