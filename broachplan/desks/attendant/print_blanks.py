"""Sheets to write measured figures on, as a PDF."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from broachplan.paper.blanks import blanks_pdf
from broachplan.questions.files import BlanksRequest
from broachplan.shown import numbered
from broachplan.store.backup import crib_files
from broachplan.store.location import located
from broachplan.store.whole_file import check_places, write_named
from broachplan.tooling.figures import Kind, read_kind


@dataclass(frozen=True, slots=True)
class Blanks:
    """The file with the blanks, and how many pages it has."""

    file: Path
    pages: int

    @property
    def lines(self) -> tuple[str, ...]:
        """What was written, and what to do with it."""
        return (
            f"{numbered(self.pages, 'page')} of blanks: print them, measure, then `broachplan start` or `broachplan crib add`",
        )


def print_blanks(db: str | None, request: BlanksRequest) -> Blanks:
    """Write the sheets for a kind, or for all; ``db`` only so as never to replace the crib.

    Raises
    ------
    InputError : no such kind or page, or the file may not have this name, is there already or cannot be written.
    """
    kinds = [read_kind(request.kind)] if request.kind else list(Kind)
    data, pages = blanks_pdf(kinds, request.page)
    file = Path(request.file)
    check_places([file], "blanks", crib_files(located(db)), overwrite=request.overwrite)
    write_named({file: data}, overwrite=request.overwrite)
    return Blanks(file, pages)
