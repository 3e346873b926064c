"""What is fetched for a run: each piece with its home, confirmed in one go or scanned one by one."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

from broachplan.lengths import Units
from broachplan.planner.answer import Plan
from broachplan.runs.stacks import floor_first
from tui.plain import plain
from tui.press.stack_words import thickness


@dataclass(frozen=True, slots=True)
class PickList:
    """The tags that are fetched, and those scanned so far; ``one_by_one`` where each is to be scanned."""

    plan: Plan
    one_by_one: bool = False
    scanned: frozenset[str] = field(default=frozenset())

    @property
    def tags(self) -> tuple[str, ...]:
        """The pieces in the order in which they are fetched, else broach, bushing, shims."""
        ordered = [tag for tags in self.plan.fetch.values() for tag in tags]
        wanted = self.plan.taken
        return (*(tag for tag in ordered if tag in wanted), *(tag for tag in wanted if tag not in ordered))

    @property
    def to_scan(self) -> tuple[str, ...]:
        """What is still to be scanned; nothing where the list is confirmed in one go."""
        return tuple(tag for tag in self.tags if tag not in self.scanned) if self.one_by_one else ()

    def after(self, text: str) -> PickList | None:
        """The list once this tag is scanned; None where it is not in the list."""
        found = next((tag for tag in self.tags if tag.casefold() == text.strip().casefold()), None)
        return None if found is None else PickList(self.plan, self.one_by_one, self.scanned | {found})

    def lines(self, units: Units) -> list[str]:
        """A line a piece: whether it was scanned, what it is, its tag, its home."""
        homes = dict(self.plan.homes)
        what = _what(self.plan, units)
        lines = []
        for tag in self.tags:
            mark = ("[x] " if tag in self.scanned else "[ ] ") if self.one_by_one else ""
            lines.append(
                f"{mark}{what.get(tag, ''):<14} {plain(tag):<20} {plain(homes.get(tag, ''))}".rstrip()
            )
        if self.plan.press:
            gap = "    " if self.one_by_one else ""
            press = self.plan.press.tag
            lines.append(f"{gap}{'press':<14} {plain(press):<20} {plain(homes.get(press, ''))}".rstrip())
        return lines


def _what(plan: Plan, units: Units) -> dict[str, str]:
    shims = {shim.tag: shim for one in plan.passes for shim in floor_first(one.stack)}
    names = {tag: f"shim {thickness(shim, units)}" for tag, shim in shims.items()}
    return {plan.broach.tag: "broach", plan.bushing.tag: "bushing", **names}


def plan_lines(plan: Plan, units: Units) -> list[str]:
    """The passes of a plan, a line each: what goes in and what it should read."""
    from tui.press.stack_words import in_short
    from tui.words import figure

    return [
        f"pass {one.number:<3} {in_short(one.stack, units):<24} should read {figure(one.reading, units)}"
        for one in plan.passes
    ]


def missing_words(tags: Collection[str]) -> str:
    """What is still to be scanned."""
    return f"still to be scanned: {', '.join(map(plain, tags))}"
