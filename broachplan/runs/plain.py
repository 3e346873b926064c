"""The plain reading of a stack of a run, by the tags of its pieces."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from broachplan.lengths import Length
from broachplan.planner import after
from broachplan.runs.run import RunPiece
from broachplan.tooling.pieces import Broach, Bushing, Shim


def plain_reading(pieces: Mapping[str, RunPiece], broach: str, bushing: str, stack: Iterable[str]) -> Length:
    """Web + shims + height over the last tooth; see `planner.after.plain_reading`."""
    cutter, guide = pieces[broach].piece, pieces[bushing].piece
    assert isinstance(cutter, Broach)
    assert isinstance(guide, Bushing)
    return after.plain_reading(cutter, guide, shims_of(pieces, stack))


def shims_of(pieces: Mapping[str, RunPiece], stack: Iterable[str]) -> tuple[Shim, ...]:
    """The shims of a stack by their tags, in that order."""
    found = [pieces[tag].piece for tag in stack]
    return tuple(piece for piece in found if isinstance(piece, Shim))
