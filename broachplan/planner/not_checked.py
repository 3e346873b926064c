"""What a plan could not check because nobody gave a figure: once a piece, with the checks that fall away and how to measure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from broachplan.planner.pairs import Pair
from broachplan.planner.presses import PressChoice
from broachplan.planner.rules import Case
from broachplan.tooling.hub import Scale
from broachplan.tooling.pieces import Broach, Bushing, Piece, Press, Shim, figure_named

_SLOT = "the body in the slot (only the keyway width was)"
_ENGAGEMENT = "two teeth always in the cut"
_CHIPS = "room for the chip"
_FORCE = "the force on the press"
_COLUMN = "the broach as a column"
_OPENING = "the opening of the press"
_THROAT = "the throat of the press"
_WALL = "the wall over the keyway"
_PIN = "whether a push pin is needed"
_BROACH: Mapping[str, tuple[str, ...]] = {
    "body_width": (_SLOT, _COLUMN),
    "rising_teeth": (_CHIPS, _FORCE, _COLUMN),
    "tooth_pitch": (_ENGAGEMENT, _CHIPS, _FORCE, _COLUMN),
    "root_height": (_COLUMN,),
    "front_length": (_COLUMN, _OPENING, _PIN),
    "overall_length": (_COLUMN, _OPENING, _PIN),
}
_BUSHING = {"length": ("whether the hub is longer than the bushing",)}
_SHIM = {"length": ("whether the shim is shorter than the cut",)}
_PRESS = {
    "rated_force": (_FORCE,),
    "opening": (_OPENING,),
    "throat": (_THROAT,),
    "stroke": ("how many pushes a pass takes",),
}


def not_checked(
    pair: Pair, press: Press | None, shims: Iterable[Shim], case: Case, hb_limit: int | None
) -> Iterator[str]:
    """What was not checked, a line for each of broach, bushing, shims, press and hub that it concerns.

    Parameters
    ----------
    press : the press of the plan; None where none was chosen.
    hb_limit : the shop's limit of hardness in Brinell; None where there is no conversion.
    """
    yield from _of_piece(pair.broach, _broach_checks(pair.presses, case))
    yield from _of_piece(pair.bushing, _BUSHING)
    yield from _of_shims(shims)
    for one in _presses(press, pair.presses, case):
        yield from _of_piece(one, _PRESS)
    yield from _of_hub(pair.presses, case, hb_limit)


def _broach_checks(presses: PressChoice, case: Case) -> Mapping[str, tuple[str, ...]]:
    """The checks by figure, without those that nothing calls for: the column without a force, the opening without a press."""
    idle = {_COLUMN} if case.hub.material is None else set()
    if not presses.presses:
        idle.add(_OPENING)
    return {name: tuple(check for check in checks if check not in idle) for name, checks in _BROACH.items()}


def _presses(press: Press | None, choice: PressChoice, case: Case) -> Sequence[Press]:
    """The press of the plan; where none could be chosen because none has a rated force, all of them."""
    if press is not None:
        return (press,)
    return choice.presses if case.hub.material is not None and choice.strongest is None else ()


def _of_piece(piece: Broach | Bushing | Press, checks: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    unknown = [name for name, left in checks.items() if left and getattr(piece, name) is None]
    if unknown:
        yield f"{piece.kind} {piece.tag}: {_left(piece, unknown, checks)}"


def _of_shims(shims: Iterable[Shim]) -> Iterator[str]:
    """All shims in one line: what a shim lacks, most often all of a drawer lack."""
    unknown = {shim.tag: shim for shim in shims if shim.length is None}
    if unknown:
        tags = sorted(unknown)
        yield f"shim {', '.join(tags)}: {_left(unknown[tags[0]], ['length'], _SHIM)}"


def _left(piece: Piece, unknown: Sequence[str], checks: Mapping[str, tuple[str, ...]]) -> str:
    left = dict.fromkeys(check for name in unknown for check in checks[name])
    figures = (figure_named(piece.kind, name) for name in unknown)
    return _in_words(left, [f"{figure.label} ({figure.how})" for figure in figures])


def _in_words(left: Iterable[str], unknown: Sequence[str]) -> str:
    return f"not checked: {', '.join(left)}. Not known: {'; '.join(unknown)}"


def _of_hub(presses: PressChoice, case: Case, hb_limit: int | None) -> Iterator[str]:
    hub, limits = case.hub, case.settings
    hardness = f"the shop's limit of hardness ({limits.hardness_hrc} HRC)"
    left, unknown = [], []
    if hub.outside_diameter is None:
        left += [_THROAT] if presses.presses else []
        left += [_WALL] if limits.wall_least is not None else []
        unknown += ["outside diameter (caliper or rule)"] if left else []
    if hub.hardness is None:
        left.append(hardness)
        unknown.append("hardness (file or tester)")
    elif hub.hardness.scale is Scale.HB and hb_limit is None:
        left.append(hardness)
        unknown.append(f"what {hub.hardness.value} HB is in HRC (no conversion is at hand)")
    if left:
        yield f"hub: {_in_words(left, unknown)}"
