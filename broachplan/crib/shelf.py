"""What a plan may choose from: the pieces of one crib at one moment, and why some are off the shelf."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TypeVar

from broachplan.crib.records import Measurement
from broachplan.errors import InputError
from broachplan.tooling.drive import Drive
from broachplan.tooling.pieces import Broach, Bushing, Piece, Press, Shim

_P = TypeVar("_P", bound=Piece)


@dataclass(frozen=True, slots=True)
class Beyond:
    """Pieces that a bound kept from being read: how many, and those nearest to the bound."""

    count: int = 0
    nearest_broaches: tuple[Broach, ...] = ()
    nearest_bushings: tuple[Bushing, ...] = ()


@dataclass(frozen=True, slots=True)
class Awaited:
    """What a piece waits for until it is on the shelf: the day it comes, and from where in words; else it is ``on_order``."""

    day: date
    words: str
    on_order: bool = False


@dataclass(frozen=True, slots=True)
class Shelf:
    """A snapshot of a crib.

    ``off`` maps the tag of a piece that is not there, or not fit, to the reason in words; ``due`` the tag of a broach
    that is due for inspection or a regrind to what for and why; ``homes`` the tag of a piece to where it lives;
    ``drives`` that of a press to what drives it, where its note says so;
    ``measured`` to how it was measured, where that is known; ``awaited`` that of a piece which is there on the day asked
    about and is not yet.
    ``broaches_beyond`` and ``bushings_beyond`` are for pieces beyond the bounds of width and bore, counted and not read.
    """

    broaches: tuple[Broach, ...] = ()
    bushings: tuple[Bushing, ...] = ()
    shims: tuple[Shim, ...] = ()
    presses: tuple[Press, ...] = ()
    off: Mapping[str, str] = field(default_factory=dict)
    broaches_beyond: Beyond = field(default_factory=Beyond)
    bushings_beyond: Beyond = field(default_factory=Beyond)
    due: Mapping[str, str] = field(default_factory=dict)
    homes: Mapping[str, str] = field(default_factory=dict)
    drives: Mapping[str, Drive] = field(default_factory=dict)
    measured: Mapping[str, Measurement] = field(default_factory=dict)
    awaited: Mapping[str, Awaited] = field(default_factory=dict)

    def only(self, broach: str = "", bushing: str = "") -> Shelf:
        """The same with one broach and one bushing alone; an empty tag leaves all of its kind.

        Raises
        ------
        InputError : a tag that no broach, or no bushing, of the crib has.
        """
        found = self
        if broach:
            there = _tagged(self.broaches, broach, "broach")
            found = replace(found, broaches=there, broaches_beyond=Beyond())
        if bushing:
            here = _tagged(self.bushings, bushing, "bushing")
            found = replace(found, bushings=here, bushings_beyond=Beyond())
        return found

    def stack(self, tags: Iterable[str]) -> tuple[Shim, ...]:
        """Shims by their tags, in that order, on the shelf or not.

        Raises
        ------
        InputError : a tag that no shim of the crib has.
        """
        by_tag = {shim.tag: shim for shim in self.shims}
        for tag in tags:
            if tag not in by_tag:
                raise InputError("shim", _NO_SUCH.format("shim"), read=tag)
        return tuple(by_tag[tag] for tag in tags)


_NO_SUCH = "no {} of the crib has this tag; `broachplan crib list` shows them"


def _tagged(pieces: tuple[_P, ...], tag: str, kind: str) -> tuple[_P, ...]:
    found = tuple(piece for piece in pieces if piece.tag == tag)
    if not found:
        raise InputError(kind, _NO_SUCH.format(kind), read=tag)
    return found
