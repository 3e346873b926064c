"""One set-up whose numbers come out whole, to be changed by one figure at a time.

Bore 25 mm and keyway 7 mm: 25^2 - 7^2 = 24^2, so first metal is at (25 + 24) / 2 = 24.5 mm exactly. The broach
rises 0.05 mm a tooth from 12.0 to 13.2 mm; with a web of 12.0 mm the bare slot reads 25.2 mm, and the drawing asks for
28.1 mm. kc is a constant 2000 N/mm2: a full tooth takes 2000 x 7 x 0.05 = 700 N, three of them 2100 N.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from broachplan.crib.records import Measurement
from broachplan.crib.shelf import Shelf
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits
from broachplan.planner.answer import Answer, Rule, Warn
from broachplan.planner.bands import with_bands
from broachplan.planner.plan import plan
from broachplan.quantities import Force
from broachplan.settings import Settings
from broachplan.standards.named import Standard
from broachplan.tooling.hub import Hardness, Hub, Scale
from broachplan.tooling.materials import CuttingForce, Group, Material
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim

MM = Length.mm
NM = Length(1)


def metal(group: Group = Group.DUCTILE, kc: float = 2000.0) -> Material:
    """A material of one constant cutting force."""
    force = CuttingForce(kc, 0.0, "invented", "read")
    return Material("test metal", group, force, force)


def limits(lower: Length, upper: Length) -> Limits:
    """Limits whose nominal size is the lower one."""
    return Limits(lower, lower, upper)


def shim(tag: str, thickness: Length, width: Length | None = None, **more: Any) -> Shim:
    """A shim for the slot of the set-up."""
    return Shim(**{"tag": tag, "thickness": thickness, "width": width or MM(7), "length": MM(20)} | more)


def _keyway() -> Keyway:
    return Keyway(
        standard=Standard.OWN,
        shape=None,
        width=Limits(MM(7), MM(7) - MM("0.02"), MM(7) + MM("0.02")),
        reading=Limits(MM("28.1"), MM("28.05"), MM("28.15")),
        aim=MM("28.1"),
        arc=MM("0.5"),
        depth_at_wall=MM("3.6"),
        source="invented",
        status="given",
    )


@dataclass(frozen=True)
class SetUp:
    """A hub and all that lies on the shelf for it. Every rule holds and no caution is called for."""

    hub: Hub = field(
        default_factory=lambda: Hub(
            bore=Limits.exactly(MM(25)),
            length=MM(17),
            outside_diameter=MM(60),
            hardness=Hardness(20, Scale.HRC),
            material=metal(),
        )
    )
    keyway: Keyway = field(default_factory=_keyway)
    broach: Broach = field(
        default_factory=lambda: Broach(
            tag="K",
            keyway_width=MM(7),
            body_width=MM(7),
            first_tooth_height=MM(12),
            last_tooth_height=MM("13.2"),
            tooth_pitch=MM(8),
            rising_teeth=25,
            root_height=MM(9),
            front_length=MM(30),
            overall_length=MM(242),
        )
    )
    bushing: Bushing = field(
        default_factory=lambda: Bushing(
            tag="G", outside_diameter=MM("24.98"), slot_width=MM("7.02"), web=MM(12), length=MM(20)
        )
    )
    shims: tuple[Shim, ...] = (shim("a", MM(1)), shim("b", MM(1)), shim("c", MM("0.9")))
    press: Press | None = field(
        default_factory=lambda: Press(
            tag="P", rated_force=Force(30_000_000), opening=MM(300), throat=MM(40), stroke=MM(300)
        )
    )
    settings: Settings = field(default_factory=lambda: Settings(dull_edge=Fraction(1)))
    off: dict[str, str] = field(default_factory=dict)
    how: Measurement = Measurement("micrometer")
    measured: dict[str, Measurement] = field(default_factory=dict)
    more: tuple[Broach | Bushing | Press, ...] = ()

    def but(self, **changes: Any) -> SetUp:
        """The same with figures of its parts changed: ``broach={"tooth_pitch": MM(9)}``, or whole parts."""
        parts = {
            name: replace(getattr(self, name), **change)
            if isinstance(change, dict) and name not in ("off", "measured")
            else change
            for name, change in changes.items()
        }
        return replace(self, **parts)

    @property
    def shelf(self) -> Shelf:
        """Everything on the shelf."""
        presses = () if self.press is None else (self.press,)
        return Shelf(
            (self.broach, *(p for p in self.more if isinstance(p, Broach))),
            (self.bushing, *(p for p in self.more if isinstance(p, Bushing))),
            self.shims,
            (*presses, *(p for p in self.more if isinstance(p, Press))),
            self.off,
        )

    def answer(self, **asked: Any) -> Answer:
        """The planner's answer with its bands; all pieces measured alike, but for those that say otherwise."""
        shelf = self.shelf
        pieces = (*shelf.broaches, *shelf.bushings, *shelf.shims)
        measured = {piece.tag: self.how for piece in pieces} | self.measured
        return with_bands(plan(self.hub, self.keyway, shelf, self.settings, **asked), measured)


BASE = SetUp()


def rules(answer: Answer) -> list[Rule]:
    """The rules that refused, in the order they are reported."""
    return [refusal.rule for refusal in answer.refusals]


def only_rule(answer: Answer) -> Rule:
    """The one rule that refused everything."""
    (rule,) = rules(answer)
    assert not answer.ready
    return rule


def words_of(answer: Answer, rule: Rule) -> str:
    """What the nearest refusal of a rule says."""
    return next(refusal.nearest[0].text for refusal in answer.refusals if refusal.rule is rule)


def warned(answer: Answer) -> set[Warn]:
    """The cautions of the best plan."""
    return {caution.rule for caution in answer.plans[0].cautions}


def caution(answer: Answer, rule: Warn) -> str:
    """What one caution of the best plan says."""
    return next(one.text for one in answer.plans[0].cautions if one.rule is rule)


def totals_of_best(answer: Answer) -> list[Length]:
    """The shim totals of the best plan, pass by pass."""
    return [one.shims for one in answer.plans[0].passes]
