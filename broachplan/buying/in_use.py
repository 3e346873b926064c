"""Which piece a job that clashes lacks, and which job has it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from broachplan.buying.assignment import Assignment, Judged
from broachplan.buying.serving import NOTHING
from broachplan.buying.verdicts import Judge


class InUse(NamedTuple):
    """A piece that a job could use, and the number of the ready job that has it on a shared day."""

    tag: str
    number: str


def pieces_in_use(judged: Judged, assignment: Assignment, judge: Judge) -> tuple[InUse, ...]:
    """The pieces without which a job that clashes has no plan, all of one kind where one kind is what it lacks.

    Broaches are asked first, then bushings, then shims; where none of these alone bars the job, all pieces are said.
    """
    job = judged.job
    could = judge.serving(job).pieces
    holders = {
        tag: number for number in judged.clashes_with for tag in sorted(assignment.of(number).pieces & could)
    }
    taken = frozenset(holders)
    shelf = judge.trial(job).shelf
    kinds = [
        taken & {piece.tag for piece in pieces} for pieces in (shelf.broaches, shelf.bushings, shelf.shims)
    ]
    wanting = next(
        (kind for kind in kinds if kind and not judge.possible_on(job, job.days, kind)), taken or NOTHING
    )
    return tuple(_in_turn(wanting, holders))


def _in_turn(tags: frozenset[str], holders: dict[str, str]) -> Iterator[InUse]:
    return (InUse(tag, holders[tag]) for tag in sorted(tags))
