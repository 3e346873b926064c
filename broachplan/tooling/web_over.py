"""The web of a bushing taken over a broach in its slot, where no ball anvil reaches the slot floor.

The broach's back lies on the slot floor with nothing between. A micrometer with flat anvils square to the slot floor
touches the bushing's back and the edge of a tooth, so that it reads

    reading = web + height over that tooth        and        web = reading - height over that tooth

Rocked a little to either side, it reads more: turned by an angle t about the axis of the bore, the anvils are
R + (reading - R) cos t + B/2 sin |t| apart (R half the outside diameter, B the width of the tooth), which grows up to
tan t = B / 2(reading - R), some 5 to 10 degrees; along the bore the length of bushing and broach adds to it likewise.
So the least reading near square is the right one. Both measurements may be off: the web is known as well as the two
together.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from broachplan.errors import InputError
from broachplan.lengths import LONGEST_TEXT, Length, parse_length, write_exact
from broachplan.tooling.tags import LONGEST_TAG, checked_tag

_OVER = re.compile(
    r"(?P<reading>.+?)\s+over\s+(?P<tag>.+?)(?:\s+(?:at\s+)?(?P<tooth>first|last)(?:\s+tooth)?)?",
    re.IGNORECASE,
)
# A length, a tag and a tooth; a longer text is not looked at.
_LONGEST = LONGEST_TEXT + LONGEST_TAG + len(" over  at first tooth")
# What is kept of how the web was measured holds this.
OVER_BROACH = "over broach"


class Tooth(StrEnum):
    """The tooth that the anvil was on; all that finish are as high as the last."""

    FIRST = "first"
    LAST = "last"

    @property
    def height(self) -> str:
        """The name of the figure that says how high it is."""
        return f"{self.value}_tooth_height"


@dataclass(frozen=True, slots=True)
class WebOver:
    """A reading over a bushing with a broach in its slot."""

    reading: Length
    broach: str
    tooth: Tooth = Tooth.LAST

    def web(self, height: Length) -> Length:
        """The web, the height over the tooth given.

        Raises
        ------
        InputError : the reading is not more than that height.
        """
        if self.reading <= height:
            raise InputError(
                "web",
                f"over the {self.tooth} tooth of {self.broach} it must be more than its height, {write_exact(height)}",
                shown=write_exact(self.reading),
            )
        return self.reading - height

    def words(self, height: Length) -> str:
        """How the web was measured, to be kept with the bushing: the broach's tag, the tooth and both figures."""
        figures = f"{write_exact(self.reading)} less {write_exact(height)}"
        return f"{OVER_BROACH} {self.broach}, {self.tooth} tooth: {figures}"


def is_over(text: str) -> bool:
    """Whether a text for a web means a reading over a broach."""
    return len(text) <= _LONGEST and _OVER.fullmatch(text.strip()) is not None


def read_over(text: str) -> WebOver:
    """A reading over a broach: ``1.4382 in over BR-0250-A``, with ``first tooth`` behind it where not over the last.

    Raises
    ------
    InputError : it is none, or its length or tag is none.
    """
    found = _OVER.fullmatch(text.strip()) if len(text) <= _LONGEST else None
    if found is None:
        raise InputError("web", "write a reading over a broach as 1.4382 in over BR-0250-A", read=text)
    tooth = Tooth((found["tooth"] or Tooth.LAST).lower())
    return WebOver(parse_length(found["reading"], "web"), checked_tag(found["tag"]), tooth)
