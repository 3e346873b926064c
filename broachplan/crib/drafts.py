"""What a station keeps for itself, and the crib does not: what is not finished or not saved yet, and the last hub."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class CountDraft:
    """The tags scanned so far in a drawer, in their order."""

    drawer: str
    tags: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        """Whether there is anything to keep."""
        return bool(self.tags)


@dataclass(frozen=True, slots=True)
class CausesDraft:
    """Causes typed so far for an open count, by tag, and the places of what stays where it was found."""

    count: int
    causes: Mapping[str, str] = field(default_factory=dict)
    stays: Mapping[str, str] = field(default_factory=dict)

    def __bool__(self) -> bool:
        """Whether there is anything to keep."""
        return bool(self.causes or self.stays)


@dataclass(frozen=True, slots=True)
class GuideDraft:
    """A guided first crib so far, as plain words; ``session`` is the program's run that writes it."""

    session: str
    words: Mapping[str, str] = field(default_factory=dict)

    def __bool__(self) -> bool:
        """Whether there is anything to keep."""
        return bool(self.words)


@dataclass(frozen=True, slots=True)
class HubDraft:
    """The lines of the machinist's form as they were asked last, by name; those without a text are left out."""

    lines: Mapping[str, str] = field(default_factory=dict)

    def __bool__(self) -> bool:
        """Whether there is anything to keep."""
        return bool(self.lines)


@dataclass(frozen=True, slots=True)
class WaitingDraft:
    """What was entered in a form and is not saved yet, in its order, each with all lines of the form.

    ``session`` is the program's run that does it; ``form`` the name of the form.
    """

    form: str
    session: str
    rows: tuple[Mapping[str, str], ...] = ()

    def __bool__(self) -> bool:
        """Whether there is anything to keep."""
        return bool(self.rows)


Draft = CountDraft | CausesDraft | GuideDraft | HubDraft | WaitingDraft
