"""Passes that hold on a whole stretch of webs.

The load of given passes never falls as the web grows. All that a web moves is how high everything lies: the reaches of
the teeth and, from the second pass on, the surface that they find. So a chip keeps its thickness, and its area does not
fall, because the metal is nowhere narrower higher up: between first metal and the far side of the bore the chord
shortens, beyond it the broach's own width is cut. In pass 1 the surface does not move, and a growing web makes the one
partial chip thicker. Its force kc(h) A(h) grows, because kc falls no faster than h^-mc with mc at most 1, and
A(h) <= h w, w the width at its top. Sums over teeth, their peak, and the force at each tooth of the column
follow.

So passes that keep the lower ends at the thinnest web of a stretch, and the upper ends and the load at its thickest, are
lawful on the whole stretch.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from broachplan.cut.section import Section
from broachplan.planner.passes import PassProblem
from broachplan.planner.search import Search


@dataclass(frozen=True)
class _Stretch(PassProblem):
    """Passes in a stretch of webs: ``web_nm`` is where upper ends and load are judged, ``lower_web_nm`` where lower ends are.

    ``narrowest`` is the section of the narrowest keyway that the broach may cut, whose first metal lies highest; the
    section itself is that of the widest.
    """

    lower_web_nm: int = 0
    narrowest: Section | None = None

    @cached_property
    def first_lifts_nm(self) -> tuple[int, int]:
        """The totals of pass 1."""
        low, _ = self._at(self.lower_web_nm, self.narrowest or self.section).first_lifts_nm
        _, high = self._at(self.web_nm, self.section).first_lifts_nm
        return low, high

    def _at(self, web_nm: int, section: Section) -> PassProblem:
        return PassProblem(section, self.teeth, web_nm, self.totals, self.target, self.bearing)


def passes_over(
    problem: PassProblem, lower_web: int, upper_web: int, narrowest: Section | None = None
) -> Search | None:
    """Passes that are lawful with every web of a stretch, the ends included; None where no one order of passes is.

    ``narrowest`` is the section where the broach cuts least wide, if ``problem`` has that where it cuts widest.
    """
    target = problem.target
    moved = target.lower + upper_web - lower_web
    if moved > target.upper:
        return None
    stretch = _Stretch(
        problem.section,
        problem.teeth,
        upper_web,
        problem.totals,
        replace(target, lower=moved, twice_aim=moved + target.upper),
        problem.bearing,
        lower_web_nm=lower_web,
        narrowest=narrowest,
    )
    search = Search(stretch)
    return None if search.passes_at_least is None else search
