"""What is entered and not finished or not saved: written to the disk at once, and resumed later."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from secrets import token_hex
from threading import Lock
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from broachplan.crib.drafts import Draft


@dataclass(slots=True)
class Causes:
    """Causes by tag, and the places of what stays where it was found."""

    words: dict[str, str] = field(default_factory=dict)
    stays: dict[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Drafts:
    """Tags by the drawer they were found in, in the order of scanning; causes by the number of the count.

    ``waiting`` is what was entered in each form and is not saved yet; ``taken_over`` are the forms for which it was asked
    what earlier sessions left. ``session`` names this run of the program among others at this station.
    ``read`` is whether the drafts of an earlier session were read; ``lost`` says why the last draft could
    not be kept, and is empty where it was.
    """

    counts: dict[str, list[str]] = field(default_factory=dict)
    causes: dict[int, Causes] = field(default_factory=dict)
    waiting: dict[str, deque[dict[str, str]]] = field(default_factory=lambda: defaultdict(deque))
    taken_over: set[str] = field(default_factory=set)
    session: str = field(default_factory=lambda: token_hex(8))
    read: bool = False
    lost: str = ""
    _writing: Lock = field(default_factory=Lock)

    def take(self, kept: Iterable[Draft]) -> None:
        """Resume what an earlier session left; newer words override it."""
        from broachplan.crib.drafts import CausesDraft, CountDraft

        for draft in kept:
            if isinstance(draft, CountDraft):
                self.counts.setdefault(draft.drawer, list(draft.tags))
            elif isinstance(draft, CausesDraft):
                self.causes.setdefault(draft.count, Causes(dict(draft.causes), dict(draft.stays)))
        self.read = True

    def keep_count(self, drawer: str, keep: Callable[[Draft], None]) -> None:
        """Write what is scanned in a drawer so far. One writes after the other, so the last one writes the last state."""
        from broachplan.crib.drafts import CountDraft

        with self._writing:
            keep(CountDraft(drawer, tuple(self.counts.get(drawer, ()))))

    def keep_causes(self, count: int, keep: Callable[[Draft], None]) -> None:
        """Write the causes of a count so far."""
        from broachplan.crib.drafts import CausesDraft

        with self._writing:
            causes = self.causes.get(count, Causes())
            keep(CausesDraft(count, dict(causes.words), dict(causes.stays)))

    def keep_waiting(self, form: str, keep: Callable[[Draft], None]) -> None:
        """Write what is entered in a form and not saved yet."""
        from broachplan.crib.drafts import WaitingDraft

        with self._writing:
            keep(WaitingDraft(form, self.session, tuple(map(dict, tuple(self.waiting[form])))))
