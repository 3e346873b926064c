"""A line of the attendant's forms: its name and what it may hold."""

from __future__ import annotations

from typing import NamedTuple


class Field(NamedTuple):
    """One line of the form; with ``choices`` (value and word) it is a choice, else it is typed in."""

    name: str
    label: str
    hint: str = ""
    needed: bool = False
    choices: tuple[tuple[str, str], ...] = ()

    @property
    def at_first(self) -> str:
        """What stands in the line before anything is typed."""
        return f"‹ {self.choices[0][1]} ›" if self.choices else self.hint
