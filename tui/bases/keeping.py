"""What the forms of the attendant's rarer acts share: they stay open for the next tag, as lending does."""

from __future__ import annotations

from typing import ClassVar

from tui.bases.hand import HandScreen
from tui.desks import Desks


class KeepingScreen(HandScreen):
    """The screen's name is its ``NAME``; ``start`` fills lines beside the tag and who is at the desk."""

    NAME: ClassVar[str]

    def __init__(self, db: str | None, desks: Desks, tag: str, by: str, **start: str) -> None:
        super().__init__(db, desks, {"tag": tag, "by": by, **start}, name=self.NAME)

    @property
    def first_line(self) -> str:
        """With a piece at hand, the first line that is needed; enter comes back to the tag for the next."""
        missing = (field.name for field in self.FIELDS if field.needed and not self.form.value(field.name))
        return next(missing, "tag")
