"""200 shims of one width, inch tenths and micrometres mixed: the first pair of a slot, and each further one."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from time import perf_counter

from broachplan.crib.shelf import Shelf
from broachplan.lengths import Length
from broachplan.planner.plan import plan
from broachplan.quantities import Force
from broachplan.questions.hub import HubQuestion
from broachplan.questions.read_hub import read_hub_question
from broachplan.settings import Settings
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim
from tests.benchmarks.drawers import MICROMETRE_NM, TENTH_NM
from tests.benchmarks.ratios import Spread, verdict

SHIMS = 200
DRAWERS = 6
FURTHER = 8
FIRST_MOST_S = 1.0
FURTHER_MOST_MS = 50.0

_HUB = HubQuestion(
    bore="2 in +0.001 -0.000", key="1/2 in", hub_length="2-1/4 in", hub_od="5 in", material="mild steel"
)
_PRESSES = (
    Press(tag="P1", rated_force=Force(26_700_000), opening=Length.inches(17), throat=Length.inches(9)),
    Press(tag="P2", rated_force=Force(200_000_000), opening=Length.inches(27), throat=Length.inches(10)),
)


def main() -> int:
    """Print the times and their ratios to adding up every two of the shims."""
    first, further, sums, plans = [], [], [], 0
    for seed in range(DRAWERS):
        random = Random(seed)
        shims = mixed_shims(random)
        broaches = [_broach(random, number) for number in range(1 + FURTHER)]
        bushings = [_bushing(random)]
        sums.append(_adding_pairs(shims))
        one, _ = _planning(broaches[:1], bushings, shims)
        sums.append(_adding_pairs(shims))
        all_of_them, found_of_all = _planning(broaches, bushings, shims)
        plans += found_of_all
        first.append(one)
        further.append((all_of_them - one) / FURTHER)
    yard = Spread(tuple(sums)).median
    print(f"{SHIMS} shims of one width, inch tenths and micrometres, stacks of 4, a material and two presses")
    print(f"  {DRAWERS} drawers, {1 + FURTHER} pairs of one slot in each, {plans} plans found")
    print(f"  yardstick, every two shims added in plain Python: {1000 * yard:.1f} ms")
    _report("one pair, whole plan", Spread(tuple(first)), yard, FIRST_MOST_S)
    _report("each further pair of the slot", Spread(tuple(further)), yard, FURTHER_MOST_MS / 1000)
    return 0


def _report(name: str, seconds: Spread, yard: float, most: float) -> None:
    middle, least, worst = (1000 * s for s in (seconds.median, seconds.least, seconds.most))
    print(
        f"  {name:30} {middle:6.0f} ms ({least:.0f} to {worst:.0f}), {seconds.median / yard:.1f} yardsticks;"
        f" {verdict(seconds.median <= most)}: at most {1000 * most:.0f} ms"
    )


def _planning(
    broaches: Sequence[Broach], bushings: Sequence[Bushing], shims: Sequence[Shim]
) -> tuple[float, int]:
    """Seconds that the planner takes, and how many plans it finds."""
    hub, keyway = read_hub_question(_HUB)
    shelf = Shelf(tuple(broaches), tuple(bushings), tuple(shims), _PRESSES)
    start = perf_counter()
    answer = plan(hub, keyway, shelf, Settings())
    return perf_counter() - start, len(answer.plans)


def _adding_pairs(shims: Sequence[Shim]) -> float:
    """Seconds to add every two shims' thicknesses and keep the sums."""
    sizes = [shim.thickness.nm for shim in shims if shim.thickness is not None]
    start = perf_counter()
    kept = {sizes[i] + sizes[j] for i in range(len(sizes)) for j in range(i)}
    taken = perf_counter() - start
    assert kept
    return taken


def mixed_shims(random: Random) -> list[Shim]:
    """Shims of one width from 0.1 to 6 mm, half of them whole tenths, half whole micrometres."""
    shims = []
    for number in range(SHIMS):
        step = TENTH_NM if number % 2 else MICROMETRE_NM
        thickness = max(round(random.uniform(100_000, 6_000_000) / step), 1) * step
        shims.append(Shim(tag=f"S{number:03}", thickness=Length(thickness), width=Length.inches("0.4990")))
    return shims


def _broach(random: Random, number: int) -> Broach:
    """A 1/2 in broach as an engineer would design it, ground down by up to 0.02 in."""
    worn = Length(TENTH_NM * random.randint(0, 200))
    return Broach(
        tag=f"B{number}",
        keyway_width=Length.inches("0.5010"),
        body_width=Length.inches("0.4998"),
        first_tooth_height=Length.inches("1.1495") - worn,
        last_tooth_height=Length.inches("1.2019") - worn,
        tooth_pitch=Length.inches("0.55"),
        rising_teeth=16,
        finishing_teeth=2,
        root_height=Length.inches("0.9520") - worn,
        front_length=Length.inches("1.3"),
        overall_length=Length.inches("13.55"),
    )


def _bushing(random: Random) -> Bushing:
    return Bushing(
        tag="G1",
        outside_diameter=Length.inches("1.9990"),
        slot_width=Length.inches("0.5028"),
        web=Length.inches("0.8161") - Length(TENTH_NM * random.randint(0, 40)),
        length=Length.inches(3),
        collar_height=Length.inches("0.1875"),
    )
