"""What the screens at the press ask for: a run as it is, and the runs that are open."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RunAtPressRequest:
    """A run by its number or code."""

    run: str


@dataclass(frozen=True, slots=True)
class OpenRunsRequest:
    """The runs that are running or stopped."""
