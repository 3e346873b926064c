"""Which press can take a set-up: opening, throat and the share of its rated force."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.planner.answer import Rule
from broachplan.planner.rules import Case, Reason
from broachplan.shown import AtLeast
from broachplan.tooling.pieces import Broach, Press


@dataclass(frozen=True, slots=True)
class MostForce:
    """The largest peaks that are allowed, in newtons: of the low force and of the high one."""

    low_n: float
    high_n: float


ANY_FORCE = MostForce(inf, inf)


@dataclass(frozen=True, slots=True)
class PressChoice:
    """The presses that may be used, smallest rated force first; none where the crib holds none at all.

    ``named``: somebody asked for this one press.
    """

    presses: tuple[Press, ...]
    named: bool

    @property
    def strongest(self) -> Press | None:
        """The press that allows most; None when there is none, or none with a rated force."""
        return self.presses[-1] if self.presses and self.presses[-1].rated_force is not None else None

    def most(self, case: Case) -> MostForce:
        """What the strongest of them allows, which no other exceeds; no limit where no rated force is known."""
        strongest = self.strongest
        return ANY_FORCE if strongest is None else allowed_by(strongest, case)

    def best_for(self, peaks: Peaks | None, case: Case) -> Press | None:
        """The press for these peaks: the first that is not heavily loaded, else the first that allows them.

        Where no force is known (None) no press can be chosen, nor one whose rated force is not known: only one that was
        named is given all the same.
        """
        if peaks is None:
            return self.presses[0] if self.named and self.presses else None
        rated = [press for press in self.presses if self.named or press.rated_force is not None]
        able = [press for press in rated if _allows(press, peaks, case)]
        return min(able, key=lambda press: is_heavy(press, peaks.high_n, case), default=None)


@dataclass(frozen=True, slots=True)
class Peaks:
    """The largest low and high force over the passes of a plan, in newtons."""

    low_n: float
    high_n: float


def allowed_by(press: Press, case: Case) -> MostForce:
    """The shop's share of a press's rated force for the low force, all of it for the high; no limit where not known."""
    if press.rated_force is None:
        return ANY_FORCE
    # A sum of floats that comes out at the limit may be a rounding error above it.
    room = 1 + 1e-12
    rated = press.rated_force.newtons
    return MostForce(float(rated * case.settings.press_share) * room, float(rated) * room)


def is_heavy(press: Press, high_n: float, case: Case) -> bool:
    """Whether a high force is over the shop's share of the rated force; False where that is not known."""
    return high_n > allowed_by(press, case).low_n


def _allows(press: Press, peaks: Peaks, case: Case) -> bool:
    most = allowed_by(press, case)
    return peaks.low_n <= most.low_n and peaks.high_n <= most.high_n


def presses_asked(presses: tuple[Press, ...], named: str | None, case: Case) -> PressChoice | list[Reason]:
    """The press named, or all that may be used; why each may not, where the crib has presses and none fits.

    One that is named is used although its rated force is not known, and the plan says what is not checked.

    Raises
    ------
    InputError : ``named`` is no press of the crib.
    """
    asked = sorted((p for p in presses if named in (None, "", p.tag)), key=lambda press: press.tag)
    if named and not asked:
        tags = ", ".join(sorted(press.tag for press in presses)) or "none"
        raise InputError("press", f"the crib has: {tags}", read=named)
    usable = [press for press in asked if press.tag not in case.off]
    if asked and not usable:
        return [Reason(Rule.ON_SHELF, f"press {press.tag}: {case.off[press.tag]}") for press in asked]
    usable.sort(key=lambda press: (press.rated_force.mn if press.rated_force else 0, press.tag))
    return PressChoice(tuple(usable), bool(named))


def opening_needed(broach: Broach, case: Case) -> Length | None:
    """Daylight for hub, broach and support; None when the broach's lengths are not known."""
    if broach.overall_length is None or broach.front_length is None:
        return None
    standing = broach.overall_length - broach.front_length
    return case.hub.cut_length + standing + case.settings.support_height


def throat_needed(case: Case) -> Length | None:
    """Half the hub's outside diameter, rounded up; None when it is not known."""
    if case.hub.outside_diameter is None:
        return None
    return Length(-(-case.hub.outside_diameter.nm // 2))


def presses_for(broach: Broach, choice: PressChoice, case: Case) -> PressChoice | Reason:
    """The presses with room for this broach and hub, or the rule that refuses them all.

    Of those with room the ones without a rated force are left out where another has one; where none has, the force is
    not checked and none of them is chosen.
    """
    opening, throat = opening_needed(broach, case), throat_needed(case)
    tall = [p for p in choice.presses if opening is None or p.opening is None or p.opening >= opening]
    if choice.presses and not tall and opening is not None:
        best = max(choice.presses, key=lambda p: p.opening or Length(0))
        assert best.opening is not None
        needed, there = case.apart(AtLeast(opening), best.opening)
        return Reason(
            Rule.OPENING,
            f"needs an opening of {needed}; press {best.tag} opens {there}",
            (opening - best.opening).nm,
        )
    deep = [p for p in tall if throat is None or p.throat is None or p.throat >= throat]
    if tall and not deep and throat is not None:
        best = max(tall, key=lambda p: p.throat or Length(0))
        assert best.throat is not None
        needed, there = case.apart(AtLeast(throat), best.throat)
        return Reason(
            Rule.THROAT,
            f"needs a throat of {needed}; press {best.tag} has {there}",
            (throat - best.throat).nm,
        )
    rated = [press for press in deep if press.rated_force is not None]
    return PressChoice(tuple(rated or deep), choice.named)
