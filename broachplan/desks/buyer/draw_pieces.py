"""Drawings of the pieces that the shop makes itself so that a blocked job can be cut."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from broachplan.buying.missing import what_is_missing
from broachplan.crib.words import read_day
from broachplan.desks.attendant.clock import day
from broachplan.desks.buyer.outlook import read_outlook
from broachplan.errors import ExitCode, InputError
from broachplan.jobs.job import Job
from broachplan.lengths import Units
from broachplan.paper.drawing_files import drawing_pdf, drawing_svg
from broachplan.paper.drawn_page import drawn_page
from broachplan.paper.pages import page_size
from broachplan.paper.pieces_to_make import can_be_drawn, parts_of
from broachplan.planner.answer import Make
from broachplan.planner.tried import Trial
from broachplan.questions.jobs import JobDrawingRequest
from broachplan.shown import numbered
from broachplan.store.backup import crib_files
from broachplan.store.jobs import load_job
from broachplan.store.location import located
from broachplan.store.whole_file import check_places, write_named
from broachplan.store.work import reading

_FORMS = (".svg", ".pdf")


@dataclass(frozen=True, slots=True)
class DrawnPieces:
    """The pieces that were drawn, in the file's order, and the others that the job needs with them."""

    job: Job
    file: Path
    pieces: tuple[Make, ...]
    others: tuple[Make, ...]
    true_size: bool

    @property
    def code(self) -> ExitCode:
        """There is a drawing."""
        return ExitCode.DONE

    @property
    def lines(self) -> tuple[str, ...]:
        """What was drawn, what is needed beside it, and how to print it."""
        kinds = ", ".join(str(make.kind) for make in self.pieces)
        scale = "at their own size" if self.true_size else "at the scale that each page names"
        return (
            f"{numbered(len(self.pieces), 'drawing')} for job {self.job.number} ({kinds}), {scale}; print at 100 %",
            *(f"needed with it and not made here: {make.text}" for make in self.others),
            "check the figures with the shop's responsible person before the piece is made",
        )


@dataclass(frozen=True, slots=True)
class NothingDrawn:
    """There is nothing that the shop could make for the job; ``why`` in a sentence."""

    why: str

    @property
    def code(self) -> ExitCode:
        """The answer is no."""
        return ExitCode.NO

    @property
    def lines(self) -> tuple[str, ...]:
        """Why not."""
        return (self.why,)


def draw_pieces(db: str | None, request: JobDrawingRequest) -> DrawnPieces | NothingDrawn:
    """Draw the bushing and the shims of the first way out of a blocked job.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.

    Raises
    ------
    InputError : no such job, day or page; it is done or dropped; the file may not have this name, is there already or
        cannot be written.
    StorageError : the database cannot be used.
    """
    file, page = Path(request.file), page_size(request.page)
    if file.suffix.lower() not in _FORMS:
        raise InputError("file", "write a name that ends in .svg or .pdf", read=request.file)
    check_places([file], "drawing", crib_files(located(db)), overwrite=request.overwrite)
    with reading(db) as work:
        job = load_job(work, request.number)
        outlook = read_outlook(work, day(read_day(request.on, "day")))
    if not job.state.is_open:
        raise InputError(
            "number", "only what is still to be cut is drawn for", shown=f"job {job.number} is {job.state}"
        )
    judge = outlook.judge
    (coming,) = (one for one in outlook.coming if one.number == job.number)
    if judge.alone(coming).possible:
        return NothingDrawn(f"job {job.number} has a plan; nothing has to be made for it")
    trial = judge.trial(coming)
    makes = [make for make in what_is_missing(trial).make if make.way == 1]
    drawn = tuple(filter(can_be_drawn, makes))
    if not drawn:
        return NothingDrawn(_nothing(job, makes))
    purpose = f"For job {job.number}: bore {job.question.get('bore', '')}, {numbered(job.quantity, 'hub')}, due {job.due}"
    parts = parts_of(drawn, trial.hub.cut_length, _units(trial), purpose)
    pages = [drawn_page(part, page) for part in parts]
    data = (
        drawing_svg(pages)
        if file.suffix.lower() == ".svg"
        else drawing_pdf(pages, f"To make for job {job.number}")
    )
    write_named({file: data}, overwrite=request.overwrite)
    others = tuple(make for make in makes if not can_be_drawn(make))
    return DrawnPieces(job, file, drawn, others, all(one.true_size for one in pages))


def _nothing(job: Job, makes: list[Make]) -> str:
    if makes:
        return f"job {job.number} needs what the shop does not make itself: {makes[0].text}"
    return (
        f"no bushing and no shim would make job {job.number} possible; `broachplan shortages` says what would"
    )


def _units(trial: Trial) -> Units:
    """The units that the hub was asked in, unless the shop has set others."""
    return trial.settings.as_typed_in(trial.hub.system).shown_in
