"""No command that writes is left out of the faults."""

from __future__ import annotations

from collections.abc import Iterator

import typer.main

from broachplan.cli.commands import app
from tests.faults.acts import ACTS, READS


def commands(command: object, words: tuple[str, ...] = ()) -> Iterator[str]:
    """Every command by its words."""
    inside = getattr(command, "commands", None)
    if inside is None:
        yield " ".join(words)
        return
    for name, sub in inside.items():
        yield from commands(sub, (*words, name))


def test_every_command_only_reads_or_is_tried_on_a_disk_that_fails() -> None:
    found = set(commands(typer.main.get_command(app)))

    assert found - READS.keys() == ACTS.keys(), "say in tests/faults/acts.py how a new command begins"
