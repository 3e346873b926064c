"""Random pass problems: one broach in one bushing over a drawer of shims, in inches, in metric or in both."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt
from random import Random

from broachplan.cut.section import Section
from broachplan.cut.teeth import Teeth
from broachplan.lengths import Length
from broachplan.planner.passes import PassProblem, Target
from broachplan.planner.stacks import totals_of
from broachplan.tooling.pieces import Shim

TENTH_NM = 2_540
MICROMETRE_NM = 1_000
STACK_MOST = 4
_MM = 1_000_000
# Measured to the tenth or to the micrometre, or nominal sheet; the two systems also mixed in one drawer.
_STEPS = (
    (TENTH_NM,),
    (MICROMETRE_NM,),
    (TENTH_NM, MICROMETRE_NM),
    (50 * TENTH_NM,),
    (50 * MICROMETRE_NM,),
    (50 * TENTH_NM, 50 * MICROMETRE_NM),
)


@dataclass(frozen=True)
class PassCase:
    """What both solvers are given: figures of broach, bushing and hub, and the shims of one slot."""

    section: Section
    teeth: Teeth
    web_nm: int
    target: Target
    shims: tuple[Shim, ...]

    @property
    def most_total_nm(self) -> int:
        """The largest total that keeps the reading within its upper limit."""
        return self.target.upper - self.web_nm - self.teeth.last_nm

    def problem(self) -> PassProblem:
        """The planner's question, with the totals that the shims make."""
        totals = totals_of(self.shims, STACK_MOST, self.most_total_nm)
        return PassProblem(self.section, self.teeth, self.web_nm, totals, self.target)


def random_case(random: Random, most_passes: int = 6) -> PassCase:
    """A keyway of 3 to 20 mm that takes about 1 to ``most_passes`` passes, with 24 to 40 shims in the slot."""
    width = round(random.uniform(3, 20) * _MM)
    bore = round(width * random.uniform(3.2, 4.6))
    aim = bore + round(width * random.uniform(0.35, 0.5))
    limit = round(random.choice((0.02, 0.05, 0.1, 0.2, 0.254)) * _MM)
    section = Section(Length(bore), Length(width))
    gap = aim - section.first_metal_floor_nm
    rising = random.randint(12, 28)
    passes = random.randint(1, most_passes)
    # A broach that takes `passes` passes with a little to spare.
    bite = round(gap / passes * random.uniform(1.02, 1.15))
    last = round(width * random.uniform(2.2, 2.6))
    first = last - round(Fraction(bite * (rising - 1), rising))
    teeth = Teeth(first, last, rising, rising + 1, 10 * _MM, Fraction(last - first, rising - 1))
    below = 0 if passes == 1 else round(gap * (passes - 1) / passes)
    base = round(random.choice((0, 0, 0.5, 1.0)) * _MM)
    web = aim - last - below - base
    shims = random_shims(random, random.randint(24, 40), max(below + base, 2 * _MM))
    return PassCase(section, teeth, web, Target(aim, aim + limit, 2 * aim + limit), shims)


def random_shims(random: Random, amount: int, tallest_nm: int) -> tuple[Shim, ...]:
    """Shims up to half the tallest stack, on inch tenths, on micrometres or on both."""
    steps = random.choice(_STEPS)
    low, high = sqrt(0.1 * _MM), sqrt(max(tallest_nm / 2, 1.5 * _MM))
    return tuple(
        Shim(tag=f"S{number}", thickness=Length(_on(random.uniform(low, high) ** 2, random.choice(steps))))
        for number in range(amount)
    )


def _on(nm: float, step: int) -> int:
    return max(round(nm / step), 1) * step


def thicknesses(shims: Sequence[Shim]) -> list[int]:
    """Thicknesses in nm."""
    return [shim.thickness.nm for shim in shims if shim.thickness is not None]
