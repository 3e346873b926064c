"""Which press can take a set-up: opening, throat and the share of its rated force."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from broachplan.errors import InputError, quoted
from broachplan.lengths import Length
from broachplan.planner.answer import Rule
from broachplan.planner.rules import Case, Reason
from broachplan.tooling.pieces import Broach, Press


@dataclass(frozen=True, slots=True)
class Choice:
    """The presses that may be used, smallest rated force first. ``asked`` is false when the crib holds none at all."""

    presses: tuple[Press, ...]
    asked: bool

    @property
    def strongest(self) -> Press | None:
        """The press that allows most; None when there is none, or when the one named has no rated force."""
        return self.presses[-1] if self.presses and self.presses[-1].rated_force is not None else None

    def peak_most_n(self, case: Case) -> float:
        """The most force any of them allows in newtons; no limit where none is known."""
        strongest = self.strongest
        return inf if strongest is None else allowed_n(strongest, case)

    def smallest_for(self, peak_n: float | None, case: Case) -> Press | None:
        """The smallest press whose share of rated force covers ``peak_n`` (None: no force is known)."""
        return next((p for p in self.presses if peak_n is None or peak_n <= allowed_n(p, case)), None)


def allowed_n(press: Press, case: Case) -> float:
    """The shop's share of a press's rated force in newtons; no limit where the force is not known."""
    if press.rated_force is None:
        return inf
    # A sum of floats that comes out at the limit may stand a rounding error above it.
    return float(press.rated_force.newtons * case.settings.press_share) * (1 + 1e-12)


def presses_asked(presses: tuple[Press, ...], named: str | None, case: Case) -> Choice | list[Reason]:
    """The press named, or all that may be used; why each may not, where the crib has presses and none will do.

    A named press whose rated force is not known is used all the same, and the plan says what is not checked.

    Raises
    ------
    InputError : ``named`` is no press of the crib.
    """
    asked = sorted((p for p in presses if named in (None, "", p.tag)), key=lambda press: press.tag)
    if named and not asked:
        tags = ", ".join(sorted(press.tag for press in presses)) or "none"
        raise InputError(f"press: read {quoted(named)}; the crib has: {tags}")
    reasons = [(press, _unusable(press, case, named=bool(named))) for press in asked]
    usable = [press for press, reason in reasons if reason is None]
    usable.sort(key=lambda press: (press.rated_force.mn if press.rated_force else 0, press.tag))
    if asked and not usable:
        return [reason for _, reason in reasons if reason is not None]
    return Choice(tuple(usable), bool(usable))


def _unusable(press: Press, case: Case, *, named: bool) -> Reason | None:
    if press.tag in case.off:
        return Reason(Rule.ON_SHELF, f"press {press.tag}: {case.off[press.tag]}")
    if press.missing and not named:
        return Reason(Rule.NOT_MEASURED, f"press {press.tag}: not measured: {', '.join(press.missing)}")
    return None


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


def presses_for(broach: Broach, choice: Choice, case: Case) -> Choice | Reason:
    """The presses with room for this broach and hub, or the rule that refuses them all."""
    opening, throat = opening_needed(broach, case), throat_needed(case)
    tall = [p for p in choice.presses if opening is None or p.opening is None or p.opening >= opening]
    if choice.presses and not tall and opening is not None:
        best = max(choice.presses, key=lambda p: p.opening or Length(0))
        assert best.opening is not None
        needed, there = case.apart(opening, best.opening)
        return Reason(
            Rule.OPENING,
            f"needs an opening of {needed}; press {best.tag} opens {there}",
            (opening - best.opening).nm,
        )
    deep = [p for p in tall if throat is None or p.throat is None or p.throat >= throat]
    if tall and not deep and throat is not None:
        best = max(tall, key=lambda p: p.throat or Length(0))
        assert best.throat is not None
        needed, there = case.apart(throat, best.throat)
        return Reason(
            Rule.THROAT,
            f"needs a throat of {needed}; press {best.tag} has {there}",
            (throat - best.throat).nm,
        )
    return Choice(tuple(deep), choice.asked)
