"""The band of a reading: how far the gauge may honestly read from the figure, either way."""

from __future__ import annotations

from broachplan.lengths import Length


def band(reading: Length, play: Length, stacked: int, joint_film: Length) -> tuple[Length, Length]:
    """Lowest and highest likely reading.

    Parameters
    ----------
    play : largest bore less the bushing's outside diameter; not taken up, it leaves the keyway shallow by all of it.
    stacked : shims in the last stack; each joint, one more than the shims, may hold ``joint_film`` of oil.

    Source: geometry of the set-up; the film of 5 to 10 µm a joint is from memory.
    """
    return reading - play, reading + joint_film * (stacked + 1)
