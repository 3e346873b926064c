"""The band of a reading: from the plain figure, deeper by the play and by oil in the joints."""

from __future__ import annotations

from broachplan.lengths import Length


def band(reading: Length, play: Length, stacked: int, joint_film: Length) -> tuple[Length, Length]:
    """Lowest and highest likely reading.

    The plain reading holds where the back of the bushing bears on the wall opposite the keyway, as the cut presses
    it. A gap there, or oil between the pieces, lifts the broach toward the keyway, so both can only cut deeper.

    Parameters
    ----------
    play : largest bore less the bushing's outside diameter, the widest gap there can be.
    stacked : shims in the last stack; each joint, one more than the shims, may hold ``joint_film`` of oil.

    Source: geometry of the set-up; the film of oil is from memory.
    """
    return reading, reading + play + joint_film * (stacked + 1)
