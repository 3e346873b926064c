"""What is on the screen as a PDF to print."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from broachplan.paper.sheet_pages import sheet_pdf
from broachplan.questions.files import PrintSheetRequest
from broachplan.sheets.result import ResultSheet
from broachplan.shown import numbered
from broachplan.store.backup import crib_files
from broachplan.store.location import located
from broachplan.store.whole_file import ThereAlreadyError, check_places, write_named

__all__ = ["PrintedSheet", "ThereAlreadyError", "print_sheet"]


@dataclass(frozen=True, slots=True)
class PrintedSheet:
    """The file, and how many pages it has."""

    file: Path
    pages: int

    @property
    def lines(self) -> tuple[str, ...]:
        """What was written."""
        return (f"{numbered(self.pages, 'page')} in {self.file.absolute()}",)


def print_sheet(db: str | None, request: PrintSheetRequest, *, sheet: ResultSheet) -> PrintedSheet:
    """Write the sheet; ``db`` only so as never to replace the crib.

    Raises
    ------
    InputError : no such page, or the file may not have this name or cannot be written; a ThereAlreadyError where
        another file has the name.
    """
    data, pages = sheet_pdf(sheet, request.page or "letter")
    file = Path(request.file)
    check_places([file], "page", crib_files(located(db)), overwrite=request.overwrite)
    write_named({file: data}, overwrite=request.overwrite)
    return PrintedSheet(file, pages)
