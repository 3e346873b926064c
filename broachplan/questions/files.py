"""What is asked of files: pieces in and out, labels to print, and the crib's database kept safe."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.questions import kinds
from broachplan.questions.acts import by_line
from broachplan.questions.line import line
from broachplan.questions.piece import sure_line
from broachplan.questions.reads import kind_line, text_line

DEFAULT_GRID = "letter-3x10"


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportRequest:
    """Add and change pieces from CSV files and workbooks, known by their names or else by their headers: all or none.

    A row with figures older than the crib's, or with one that jumps, is refused unless it is said to take such.
    """

    paths: tuple[str, ...] = line(
        "Paths",
        kinds.PATH,
        "CSV files, .xlsx workbooks, or folders that hold them.",
        needed=True,
        positional=True,
        many=True,
    )
    older: bool = line(
        "Older", kinds.FLAG, "Take figures too that were measured before the crib's own, or on no day."
    )
    sure: bool = sure_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportPreviewRequest:
    """What an import would change; nothing is written."""

    asked: ImportRequest


@dataclass(frozen=True, slots=True, kw_only=True)
class ExportRequest:
    """Write all pieces that are not retired: a CSV file for each kind, or one workbook."""

    folder: str = line(
        "Folder",
        kinds.FOLDER,
        "Where to write; made if missing. FILE.xlsx: one workbook.",
        needed=True,
        positional=True,
    )
    xlsx: bool = line("Workbook", kinds.FLAG, "Write one workbook, crib.xlsx, in place of CSV files.")
    overwrite: bool = line("Overwrite", kinds.FLAG, "Replace files that are there; never a crib.")


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelsRequest:
    """Labels for the pieces with ``tags``, in that order; else for all that are not retired and are of all the rest.

    ``home`` is a whole home or its first parts: ``C2`` is every drawer of that cabinet. ``start`` is the first label to
    use of a sheet that is partly used, from 1 along the rows.
    """

    file: str = line("File", kinds.FILE, "The PDF to write.", positional=True)
    tags: tuple[str, ...] = line(
        "Tags", kinds.TAG, "This piece; as often as wanted.", option="--tag", many=True
    )
    kind: str = kind_line()
    text: str = text_line()
    set_name: str = line("Set", kinds.NAME, "Only those of this set.", option="--set")
    home: str = line("Home", kinds.HOME, "Only those at home here: C2/D3, or all of C2.")
    grid: str = line("Sheet", kinds.NAME, "The sheet of labels; --grids lists them.", default=DEFAULT_GRID)
    start: int = line(
        "From label", kinds.LABEL_NUMBER, "Begin at this label of a part-used sheet.", default=1
    )
    overwrite: bool = line("Overwrite", kinds.FLAG, "Replace the file if it is there already.")

    @property
    def narrowed(self) -> bool:
        """Whether anything but tags says which pieces."""
        return any(each.strip() for each in (self.kind, self.text, self.set_name, self.home))


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlinesRequest:
    """A page with the outlines of a sheet's labels, to try a printer with."""

    file: str
    grid: str = DEFAULT_GRID
    overwrite: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BlanksRequest:
    """Sheets to write measured figures on, a kind to a page: how to take each figure, and rows of blanks."""

    file: str = line("File", kinds.FILE, "The PDF to write.", needed=True, positional=True)
    kind: str = kind_line()
    page: str = line("Page", kinds.PAPER, "a4 or letter.", default="letter")
    overwrite: bool = line("Overwrite", kinds.FLAG, "Replace the file if it is there already.")


@dataclass(frozen=True, slots=True, kw_only=True)
class OverdueQuestion:
    """What should have been back, by person; with a ``file`` as a PDF to print too. ``on`` is the day, else today."""

    file: str = line("File", kinds.FILE, "The PDF to write; else none is written.")
    page: str = line("Page", kinds.PAPER, "a4 or letter.", default="letter")
    on: str = line("On", kinds.DAY, "The day that decides what is overdue; else today.")
    overwrite: bool = line("Overwrite", kinds.FLAG, "Replace the file if it is there already.")


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintSheetRequest:
    """Write a sheet that is on the screen as a PDF to print."""

    file: str = line("File", kinds.FILE, "The PDF to write.", needed=True)
    page: str = line("Page", kinds.PAPER, "a4 or letter.", hint="(letter)", default="letter")
    overwrite: bool = line("Overwrite", kinds.FLAG, "Replace the file if it is there already.")


@dataclass(frozen=True, slots=True, kw_only=True)
class BackupRequest:
    """Write the whole crib into one file that can show whether any bit of it has changed."""

    file: str = line("File", kinds.FILE, "The backup to write.", needed=True, positional=True)
    overwrite: bool = line("Overwrite", kinds.FLAG, "Replace a backup of that name.")
    with_findings: bool = line(
        "With findings", kinds.FLAG, "Beside --overwrite: replace it though the crib fails its check."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RestoreRequest:
    """Put the crib back from a backup."""

    file: str = line("File", kinds.FILE, "A backup, as data backup wrote it.", needed=True, positional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class UpgradeRequest:
    """Bring the database to the revision of this program; where there is none, make one."""
