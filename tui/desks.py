"""The way from the screens to the desks, and how a failure is put into a line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Desks:
    """The desks behind the screens: a request is sent, a result comes back.

    ``instead`` answers requests, by their class, in place of the desks; ``report`` writes a fault of our own to a file
    and gives the one line about it.
    """

    instead: Mapping[type, Callable[..., Any]] = field(default_factory=dict)

    report: Callable[[Exception], str] | None = None

    def send(self, db: str | None, request: object, **beside: Any) -> Any:
        """The result of a request on the crib at ``db``."""
        from broachplan.desks.sending import answered_at_a_screen, desk_for

        answer = self.instead.get(type(request)) or desk_for(type(request))
        return answered_at_a_screen(answer, db, request, **beside)

    def line_for(self, error: Exception) -> str:
        """One line for the user: the error's own words, or that it was a fault of ours."""
        from broachplan.errors import BroachplanError
        from tui.plain import plain

        if isinstance(error, BroachplanError):
            # It can carry words from the crib, and a terminal obeys what it is sent.
            return plain(error)
        if self.report is not None:
            return self.report(error)
        return f"a fault of ours stopped this ({type(error).__name__}); nothing was changed"
