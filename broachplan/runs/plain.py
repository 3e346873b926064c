"""The plain reading of a stack: what the gauge reads where the back of the bushing bears on the far wall."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from broachplan.lengths import Length
from broachplan.runs.run import RunPiece
from broachplan.tooling.pieces import Broach, Bushing, Shim


def plain_reading(pieces: Mapping[str, RunPiece], broach: str, bushing: str, stack: Iterable[str]) -> Length:
    """Web + shims + height over the last tooth, by the tags of the pieces; a wall of a ring is not part of it.

    Source: geometry of the set-up.
    """
    cutter, guide = pieces[broach].piece, pieces[bushing].piece
    assert isinstance(cutter, Broach)
    assert isinstance(guide, Bushing)
    assert cutter.last_tooth_height is not None
    assert guide.web is not None
    return guide.web + cutter.last_tooth_height + thickness(pieces, stack)


def thickness(pieces: Mapping[str, RunPiece], stack: Iterable[str]) -> Length:
    """The thickness of a stack by its tags."""
    found = Length(0)
    for tag in stack:
        shim = pieces[tag].piece
        assert isinstance(shim, Shim)
        assert shim.thickness is not None
        found += shim.thickness
    return found
