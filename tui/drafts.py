"""What was scanned and told in a count that is not finished: kept while the program runs, and gone on with."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Causes:
    """Causes by tag, and the places of what stays where it was found."""

    told: dict[str, str] = field(default_factory=dict)
    stays: dict[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Drafts:
    """Tags by the drawer they were found in, in the order of scanning; causes by the number of the count."""

    counts: dict[str, list[str]] = field(default_factory=dict)
    causes: dict[int, Causes] = field(default_factory=dict)

    def words(self) -> str:
        """What would be lost with the program; empty where nothing would be."""
        begun = [f"{drawer} ({len(tags)} scanned)" for drawer, tags in self.counts.items() if tags]
        told = [f"count {number}" for number, each in self.causes.items() if each.told or each.stays]
        parts = [f"not finished: {', '.join(begun)}"] if begun else []
        parts += [f"causes that are told and not settled: {', '.join(told)}"] if told else []
        return "; ".join(parts)
