"""A figure that jumps from what was kept: more often mistyped or misread than worn, so that somebody has to be sure of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from broachplan.errors import InputError
from broachplan.lengths import Length, Units, show
from broachplan.shown import show_apart
from broachplan.tooling.figures import Figure, Kind, Quantity
from broachplan.tooling.pieces import FIGURES

# Common practice, no source: what wears or is reground moves by thousandths, what is misread by a turn of the micrometer.
MOST = Length.inches("0.010")
# Common practice, no source: amount and angle of a grind are known to better than that.
MOST_OF_GEOMETRY = 10


@dataclass(frozen=True, slots=True)
class Jump:
    """A length of a piece that moved further than such lengths do; ``by_geometry`` is how far a grind should have moved it."""

    figure: Figure
    old: Length
    new: Length
    by_geometry: Length | None = None

    def why(self, units: Units) -> InputError:
        """The refusal of it, with what was kept and what was read."""
        was, now = show_apart(units, self.old, self.new)
        moved = f"jumps by more than {show(MOST, units)}"
        if self.by_geometry is not None:
            by, down = show_apart(units, self.by_geometry, Length(abs(self.old.nm - self.new.nm)))
            moved = f"comes down by {down} where geometry says {by}"
        return InputError(
            self.figure.label,
            f"it was {was}, and a figure that {moved} is more often misread; measure again, or add that you are sure (--sure)",
            shown=now,
        )


class JumpError(InputError):
    """Figures jump and nobody is sure of them; ``lines`` say so of each."""

    def __init__(self, jumps: Sequence[Jump], units: Units) -> None:
        first, *rest = (each.why(units) for each in jumps)
        more = (" -> ".join(show_apart(units, each.old, each.new)) for each in jumps[1:])
        also = "".join(f"; {each.field} too: {words}" for each, words in zip(rest, more, strict=True))
        super().__init__(first.field, f"{first.right}{also}", shown=first.shown)
        self.lines = tuple(map(str, (first, *rest)))


def jumps(
    kind: Kind,
    before: Mapping[str, object],
    after: Mapping[str, object],
    by_geometry: Mapping[str, Length] | None = None,
) -> Iterator[Jump]:
    """The lengths of a piece that jump.

    Parameters
    ----------
    before, after : the figures of the piece by name, lengths in nm; None where one is not known, from and to which nothing
        jumps.
    by_geometry : how far a grind lowers some of them.
    """
    for figure in FIGURES[kind]:
        old, new = before.get(figure.name), after.get(figure.name)
        if figure.quantity is not Quantity.LENGTH or not isinstance(old, int) or not isinstance(new, int):
            continue
        should = (by_geometry or {}).get(figure.name)
        if should is not None and abs(new - old) > MOST_OF_GEOMETRY * should.nm:
            yield Jump(figure, Length(old), Length(new), should)
        elif abs(new - old) > MOST.nm:
            yield Jump(figure, Length(old), Length(new))


def check_jumps(
    kind: Kind,
    before: Mapping[str, object],
    after: Mapping[str, object],
    units: Units,
    by_geometry: Mapping[str, Length] | None = None,
) -> None:
    """Refuse lengths that jump; see `jumps`. ``units`` are those that the refusal shows.

    Raises
    ------
    JumpError : any does; it shows what was kept and what was read.
    """
    if found := list(jumps(kind, before, after, by_geometry)):
        raise JumpError(found, units)
