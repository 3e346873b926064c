"""No command that writes is left out of the faults."""

from __future__ import annotations

from tests.faults.acts import ACTS, ASKS, READS, commands


def test_every_command_only_reads_or_is_tried_on_a_disk_that_fails() -> None:
    found = {" ".join(words) for words, _ in commands()}

    assert found - READS.keys() - ASKS.keys() == ACTS.keys(), (
        "say in tests/faults/acts.py how a new command begins"
    )
