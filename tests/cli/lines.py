"""A command line for each text that a command takes: all else on it is as a user would have typed it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.faults.acts import ACTS, ASKS, BUSY, READS, Words, commands

_HOLE = "{}"
# Every command has these, and reads them in one place.
SHARED = ("db", "by")


@dataclass(frozen=True, slots=True)
class Line:
    """A command by its name, the option or argument that is tried, and its words; ``before`` are commands to run first."""

    command: str
    tried: str
    words: Words
    before: tuple[Words, ...]

    def filled(self, text: str, here: Path) -> list[str]:
        """The command line with ``text`` in what is tried, for a crib in the folder ``here``."""
        return [word.replace("{here}", str(here)).replace(_HOLE, text) for word in self.words]


def lines() -> list[Line]:
    """A line for each option and argument that takes text, of each command."""
    found = []
    for words, command in commands():
        name = " ".join(words)
        act = ACTS.get(name)
        usual = act.words if act else (READS | ASKS)[name]
        typed = command.make_context(name, list(usual[len(words) :]), resilient_parsing=True).params
        for tried in command.params:
            if getattr(tried, "is_flag", False):
                continue
            line = [*words]
            for each in command.params:
                line += _typed(each, [_HOLE] if each is tried else typed.get(each.name))
            found.append(Line(name, str(tried.name), tuple(line), act.before if act else BUSY))
    return found


def _typed(parameter: Any, value: Any) -> list[str]:
    """An option or argument as words, none where it has no value."""
    if value in (None, "", (), False):
        return []
    if value is True:
        return [parameter.opts[0]]
    several = [str(each) for each in (value if isinstance(value, list | tuple) else [value])]
    is_option = parameter.opts[0].startswith("-")
    return [f"{parameter.opts[0]}={each}" for each in several] if is_option else several
