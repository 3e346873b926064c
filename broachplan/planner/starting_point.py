"""Where the passes begin: in the bare bore, or on the metal that an earlier pass left, with what its reading taught."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class StartingPoint:
    """The metal that the next pass finds, and by how much readings differ from the plain ones; in nm.

    Attributes
    ----------
    surface_nm : the reading of the metal that the next pass finds, above the bore's lower limit; None: the bare bore.
    deeper_nm, shallower_nm : offsets from the plain reading at the two ends of the hub; equal where one was measured.
    """

    surface_nm: int | None = None
    deeper_nm: int = 0
    shallower_nm: int = 0

    def __post_init__(self) -> None:
        if self.deeper_nm < self.shallower_nm:
            raise ValueError("the deeper end's offset must not be under the shallower end's")

    @property
    def offset_nm(self) -> int:
        """The offset that is shown: of two ends the mean, rounded half-even to 1 nm."""
        return mean_nm(self.deeper_nm, self.shallower_nm)

    @property
    def is_bare_bore(self) -> bool:
        """Whether nothing is known yet: no metal was cut and no offset learnt."""
        return self == BARE_BORE

    @property
    def uncounted_nm(self) -> int:
        """What is added where an offset would only make the entry of a new hub look safer than the plain figures."""
        return max(0, -self.offset_nm)


BARE_BORE = StartingPoint()


def on_read_metal(plain_nm: int, *read_nm: int) -> StartingPoint:
    """The same pieces continue: ``read_nm`` is what was measured (at one end or two) where ``plain_nm`` is the plain reading."""
    offsets = [read - plain_nm for read in read_nm]
    deeper, shallower = max(offsets), min(offsets)
    return StartingPoint(plain_nm + mean_nm(deeper, shallower), deeper, shallower)


def with_other_pieces(*read_nm: int) -> StartingPoint:
    """Another broach or bushing continues: its offset is not known, and the shallower end has more to cut."""
    return StartingPoint(min(read_nm))


def on_next_hub(offset_nm: int) -> StartingPoint:
    """A like hub with a bare bore, cut with the offset learnt on the hubs before."""
    return StartingPoint(None, offset_nm, offset_nm)


def mean_nm(*values_nm: int) -> int:
    """The mean, rounded half-even to 1 nm."""
    return round(Fraction(sum(values_nm), len(values_nm)))
