"""The guided first crib: begun or resumed, and each piece taken in as its last figure is answered."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace

from broachplan.crib.drafts import GuideDraft
from broachplan.desks.attendant.add_piece import add_piece
from broachplan.desks.attendant.edit_piece import edit_piece
from broachplan.desks.attendant.list_known import list_known
from broachplan.desks.attendant.look_again import look_again
from broachplan.desks.attendant.shop_settings import show_settings
from broachplan.desks.machinist.plan_hub import plan_hub
from broachplan.errors import InputError, StorageError
from broachplan.guide.fits import does_not_serve
from broachplan.guide.guide import NONE, Guide, Stage, as_words, from_words
from broachplan.guide.step import BeginGuideRequest, BegunGuide, StepOutcome, StepRequest
from broachplan.questions.line import Line
from broachplan.questions.piece import KIND, TAG, AddRequest, EditRequest, LookAgainRequest, whole_problem
from broachplan.questions.read_hub import read_hub_question
from broachplan.questions.reads import KnownRequest, SettingsRequest
from broachplan.store.drafts import keep_draft, kept_drafts
from broachplan.store.location import located
from broachplan.store.states import piece_with_tag
from broachplan.store.stored_pieces import stored_pieces
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind, read_kind
from broachplan.tooling.measures import read_figure
from broachplan.tooling.pieces import FIGURES, FigureError
from broachplan.tooling.web_over import is_over, read_over


def begin_guide(db: str | None, request: BeginGuideRequest) -> BegunGuide:
    """Where to begin. What was begun and not finished is taken over: a program that still runs writes its own again.

    Raises
    ------
    StorageError : the crib cannot be read.
    """
    known = list_known(db, KnownRequest())
    guide, here = Guide(taken=frozenset(known.pieces)), located(db)
    begun = [each for each in kept_drafts(here) if isinstance(each, GuideDraft)]
    found = replace(from_words(begun[-1].words), taken=guide.taken) if begun else guide
    # Where the folder cannot be written to, what is there stays there.
    with suppress(StorageError):
        if begun and begun[-1].session != request.session:
            keep_draft(here, GuideDraft(request.session, as_words(found)))
            keep_draft(here, GuideDraft(begun[-1].session))
    return BegunGuide(found, bool(found), len(known.pieces))


def step(db: str | None, request: StepRequest) -> StepOutcome:
    """Finish what is asked for now.

    Raises
    ------
    StorageError : the database cannot be used; nothing that was answered is lost by it.
    """
    guide = request.guide
    if guide.stage is Stage.HUB:
        return _hub(guide)
    if guide.stage is Stage.PLAN:
        return _planned(db, guide)
    if guide.kind is None:
        return StepOutcome(guide.of_kind(read_kind(guide.values[KIND.name])))
    return _web(db, guide, request) if guide.stage is Stage.WEB else _piece(db, guide, guide.kind, request)


def _hub(guide: Guide) -> StepOutcome:
    try:
        read_hub_question(guide.plan)
    except InputError as error:
        return StepOutcome(guide, wrong=str(error), at=_line_of(guide, error))
    return StepOutcome(guide.at(Stage.BUSHING))


def _planned(db: str | None, guide: Guide) -> StepOutcome:
    try:
        answer = plan_hub(db, guide.plan)
    except InputError as error:
        return StepOutcome(guide.at(Stage.HUB), wrong=str(error), at=_line_of(guide.at(Stage.HUB), error))
    return StepOutcome(guide.no_more(), answer=answer)


def _piece(db: str | None, guide: Guide, kind: Kind, request: StepRequest) -> StepOutcome:
    asked, later = _web_for_later(db, guide.add(request.by, sure=True))
    if (problem := whole_problem(kind, asked.tag, asked.values)) is not None:
        return StepOutcome(guide, wrong=str(problem), at=_line_of(guide, problem))
    if guide.sent and _is_there(db, kind, asked.tag, asked.values):
        return StepOutcome(guide.taken_in(), (f"{asked.tag} is in the crib already, with these figures",))
    try:
        if not request.sure:
            doubts = (
                *does_not_serve(guide, show_settings(db, SettingsRequest())),
                *look_again(db, LookAgainRequest(add=asked)),
            )
            if doubts:
                return StepOutcome(guide, doubts=doubts, at=doubts[0].figure)
        # A session that is cut off right after it must not take the piece in twice.
        with suppress(StorageError):
            keep_draft(located(db), GuideDraft(request.session, as_words(replace(guide, sent=True))))
        added = add_piece(db, asked)
    except InputError as error:
        at = _line_of(guide, error)
        taken = guide.taken | {asked.tag} if at == TAG.name else guide.taken
        return StepOutcome(replace(guide, taken=taken), wrong=str(error), at=at)
    return StepOutcome(guide.taken_in(), (*added.lines, *later))


def _web_for_later(db: str | None, asked: AddRequest) -> tuple[AddRequest, tuple[str, ...]]:
    """A web read over a broach that is still to be taken in is worked out after that; what was typed stays in the guide."""
    web = asked.values.get("web", "")
    if not is_over(web):
        return asked, ()
    broach = read_over(web).broach
    with reading(db) as work:
        if stored_pieces(work, [broach]):
            return asked, ()
    values = {name: text for name, text in asked.values.items() if name != "web"}
    return replace(asked, values=values), (f"its web is worked out once {broach} is in the crib",)


def _web(db: str | None, guide: Guide, request: StepRequest) -> StepOutcome:
    """The web of the bushing that was taken in before the broach."""
    web, bushing = guide.values["web"], guide.last[Kind.BUSHING]
    if web == NONE:
        return StepOutcome(guide.no_more())
    whole = replace(guide, values={**bushing, "web": web}).add(request.by, sure=True)
    try:
        doubts = () if request.sure else look_again(db, LookAgainRequest(add=whole))
        if doubts:
            return StepOutcome(guide, doubts=doubts, at="web")
        with_what = {
            name: text for name, text in whole.values.items() if name == "measured_with" and is_over(web)
        }
        values = {"web": web, **with_what}
        edited = edit_piece(db, EditRequest(tag=guide.bushing, values=values, by=request.by))
    except InputError as error:
        return StepOutcome(guide, wrong=str(error), at="web")
    return StepOutcome(guide.taken_in(), edited.lines)


def _is_there(db: str | None, kind: Kind, tag: str, texts: Mapping[str, str]) -> bool:
    """Whether the piece was taken in before with these figures: by a session that was cut off right after it."""
    with reading(db) as work:
        found = piece_with_tag(work, tag)
        in_use = [each for each in stored_pieces(work, [tag]) if not each.status.retired]
    if found is None or not in_use or found.record.piece.kind is not kind:
        return False
    kept = {figure: getattr(found.record.piece, figure.name) for figure in FIGURES[kind]}
    typed = {name: text for name, text in texts.items() if not is_over(text)}
    return all(
        value == read_figure(figure.quantity, typed[figure.name], figure.label)
        for figure, value in kept.items()
        if figure.name in typed
    )


def _line_of(guide: Guide, error: InputError) -> str:
    """The line that a refusal is about, else the last one."""
    if isinstance(error, FigureError):
        return error.figure

    def begins(line: Line) -> bool:
        return bool(line.what) and error.field.lower().startswith((line.what.lower(), line.label.lower()))

    return next((line.name for line in guide.lines if begins(line)), guide.lines[-1].name)
