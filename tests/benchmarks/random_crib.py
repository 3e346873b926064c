"""Random cribs of any size: broaches of twenty widths, bushings over many bores and slots, shims, and the rest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

from broachplan.crib.records import Condition, Record
from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length
from broachplan.quantities import Force
from broachplan.store.tables import FIGURES_OF, LOAN, PIECE
from broachplan.store.translate import figure_values, piece_values
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing, Pin, Press, Ring, Shim

# Keyway widths and the bores they are cut in (ASME B17.1, ISO 773): inches in sixty-fourths, then millimetres.
_INCH = ((4, 12, 20), (6, 20, 28), (8, 28, 36), (12, 36, 56), (16, 56, 80), (20, 80, 88), (24, 88, 112),
         (32, 112, 144), (40, 144, 176), (48, 176, 208))  # fmt: skip
_METRIC = ((2, 6, 8), (3, 8, 10), (4, 10, 12), (5, 12, 17), (6, 17, 22), (8, 22, 30), (10, 30, 38), (12, 38, 44),
           (16, 50, 58), (20, 65, 75))  # fmt: skip
_Size = tuple[int, int, int, int]
SIZES: tuple[_Size, ...] = tuple(
    [(w * NM_PER_INCH // 64, low * NM_PER_INCH // 64, high * NM_PER_INCH // 64, NM_PER_INCH // 64) for w, low, high in _INCH]
    + [(w * NM_PER_MM, low * NM_PER_MM, high * NM_PER_MM, NM_PER_MM // 2) for w, low, high in _METRIC]
)  # fmt: skip
_TENTH_NM = 2_540
# Parts in a thousand of a crib.
_BROACHES, _BUSHINGS, _SHIMS, _PINS = 20, 500, 450, 15
_PRESSES = 6


@dataclass(frozen=True)
class Around:
    """A hub's bore, in nm, that a crib is made for or apart from."""

    bore: int
    pieces: int | None = None

    @property
    def sizes(self) -> tuple[_Size, ...]:
        """The first keyway width cut in this bore."""
        return tuple(size for size in SIZES if size[1] < self.bore <= size[2])[:1]

    def others(self) -> tuple[_Size, ...]:
        """The keyway widths of which no piece can serve this bore: a shim may be 0.030 in under its slot."""
        (width, *_), *_ = self.sizes
        near = 1_000_000
        return tuple(
            size
            for size in SIZES
            if not size[1] - near < self.bore <= size[2] + near and abs(size[0] - width) > near
        )


def make_crib(
    file: Path, pieces: int, seed: int, *, crowded: Around | None = None, apart: Around | None = None
) -> None:
    """A new crib of ``pieces`` pieces in ``file``; the same seed gives the same crib, or the first part of a larger.

    Parameters
    ----------
    crowded : every bushing is made for this bore, and all else for the width cut in it.
    apart : pieces beyond the first ``apart.pieces`` are for other bores and widths.

    Few are worn, lent out, or lack a figure.
    """
    random = Random(seed)
    records, loans = [], []
    for number, record in enumerate(_records(random, pieces, crowded, apart), 1):
        records.append(record)
        if random.random() < 0.03:
            loans.append({"piece_id": number, "to_name": "Kim", "since": "2031-05-02"})
    with writing(str(file)) as work:
        work.connection.execute(
            PIECE.insert(), [{"id": number, **piece_values(one)} for number, one in enumerate(records, 1)]
        )
        for kind in Kind:
            rows = [
                {"piece_id": number, **figure_values(one.piece)}
                for number, one in enumerate(records, 1)
                if one.piece.kind is kind
            ]
            work.connection.execute(FIGURES_OF[kind].insert(), rows)
        work.connection.execute(LOAN.insert(), loans)
        work.commit()


def _records(random: Random, pieces: int, crowded: Around | None, apart: Around | None) -> Iterator[Record]:
    for number in range(pieces):
        sizes = SIZES
        if crowded is not None:
            sizes = crowded.sizes
        elif apart is not None and number >= (apart.pieces or 0):
            sizes = apart.others()
        width, low, high, step = random.choice(sizes)
        bore = crowded.bore if crowded else random.randrange(low, high + 1, step)
        share = random.randrange(1000)
        tag = f"T-{number:06}"
        piece: Broach | Bushing | Shim | Press | Pin | Ring
        if number < _PRESSES:
            piece = Press(tag=tag, rated_force=Force(10_000_000 * (number + 1)), opening=Length(500_000_000))
        elif share < _BROACHES:
            piece = _broach(random, tag, width)
        elif share < _BROACHES + _BUSHINGS:
            piece = _bushing(random, tag, width, bore)
        elif share < _BROACHES + _BUSHINGS + _SHIMS:
            piece = _shim(random, tag, width)
        elif share < _BROACHES + _BUSHINGS + _SHIMS + _PINS:
            piece = Pin(tag=tag, diameter=Length(bore), length=Length(5 * bore))
        else:
            piece = Ring(tag=tag, wall=Length(_some(random, 1.0, 6.0)), length=Length(2 * bore))
        inspected = isinstance(piece, Broach | Bushing | Shim)
        worn = inspected and random.random() < 0.05
        yield Record(
            piece=piece, home=f"drawer {number % 97}", condition=Condition.WORN if worn else Condition.FIT
        )


def _broach(random: Random, tag: str, width: int) -> Broach:
    """Rise 0.05 mm a tooth or so; the root two thirds of the height."""
    rising = random.randint(14, 20)
    last = round(width * random.uniform(2.2, 2.6)) + 500_000
    first = last - (rising - 1) * _some(random, 0.045, 0.085)
    pitch = round(5_000_000 + width * 0.6)
    finishing = random.randint(0, 2)
    return Broach(
        tag=tag,
        keyway_width=Length(width + _some(random, 0.002, 0.02)),
        body_width=Length(width - _some(random, 0.005, 0.02)),
        first_tooth_height=Length(first),
        last_tooth_height=Length(last),
        tooth_pitch=Length(pitch) if random.random() < 0.97 else None,
        rising_teeth=rising,
        finishing_teeth=finishing,
        root_height=Length(first * 4 // 5),
        front_length=Length(20_000_000),
        overall_length=Length(20_000_000 + pitch * (rising + finishing + 6)),
    )


def _bushing(random: Random, tag: str, width: int, bore: int) -> Bushing:
    """Up to 0.1 mm under its bore, its web so that a broach of its width starts to cut with a shim or none."""
    return Bushing(
        tag=tag,
        outside_diameter=Length(bore - _some(random, 0.005, 0.1)),
        slot_width=Length(width + _some(random, 0.03, 0.09)),
        web=Length(max(bore - round(width * random.uniform(2.15, 2.75)) - 500_000, 500_000)),
        length=Length(round(bore * random.uniform(1.0, 2.0))),
    )


def _shim(random: Random, tag: str, width: int) -> Shim:
    thick = max(width / NM_PER_MM / 8, 0.4)
    return Shim(
        tag=tag,
        thickness=Length(_some(random, 0.2, 2 * thick)) if random.random() < 0.98 else None,
        width=Length(width - _some(random, 0.03, 0.3)),
    )


def _some(random: Random, low_mm: float, high_mm: float) -> int:
    """A size in nm as someone measured it: whole tenths or whole micrometres."""
    step = random.choice((_TENTH_NM, 1_000))
    return max(round(random.uniform(low_mm, high_mm) * NM_PER_MM / step), 1) * step
