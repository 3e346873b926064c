"""The guided first crib line by line, for a terminal without screens."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from secrets import token_hex

from broachplan.cli.layout import WIDTH, sheet_lines, wrap
from broachplan.cli.measuring import drawn_as
from broachplan.cli.terminal import plain, say
from broachplan.crib.drafts import GuideDraft
from broachplan.desks.attendant.first_crib import begin_guide, step
from broachplan.desks.attendant.keep_draft import keep_draft
from broachplan.errors import StorageError
from broachplan.guide.guide import NONE, SAME, Guide, Stage, as_words
from broachplan.guide.step import BeginGuideRequest, StepOutcome, StepRequest
from broachplan.guide.words import (
    ENDED,
    INTRODUCTION,
    KEYS,
    LATER,
    NEXT,
    REST_KEYS,
    STOPPED,
    command_of,
    opening,
)
from broachplan.planner.answer import Answer
from broachplan.questions.acts import KeepDraftRequest
from broachplan.questions.line import Line
from broachplan.sheets import taking
from broachplan.sheets.answer import plan_sheet
from broachplan.sheets.result import Detail
from broachplan.tooling.to_check import figure_to_take

HELP, BACK, STOP, YES = "?", "<", "stop", ("y", "yes")


class _Stopped(Exception):
    """Somebody stops here."""


class Dialogue:
    """Questions on stdout, answers from stdin, one a line; every answer is on the disk before the next question."""

    def __init__(self, db: str | None, by: str) -> None:
        self._db = db
        self._by = by
        self._session = token_hex(8)
        self._guide = Guide()
        self._headed: object = None

    def run(self) -> None:
        """Ask until somebody stops; what was answered is kept."""
        begun = begin_guide(self._db, BeginGuideRequest(session=self._session))
        self._guide = begun.guide
        self._say(opening(begun))
        try:
            while True:
                self._ask_next()
        except (_Stopped, EOFError, KeyboardInterrupt):
            self._stop()

    def _ask_next(self) -> None:
        line = self._guide.next_line
        if line is None:
            self._finish(sure=False)
            return
        self._head()
        text = self._read(self._prompt(line))
        if text == STOP:
            raise _Stopped
        if text == HELP:
            self._help(line)
        elif text == BACK:
            self._keep(self._guide.back())
        else:
            self._answer(line, text)

    def _answer(self, line: Line, text: str) -> None:
        guide, is_tag = self._guide, line.name == "tag"
        if text == NONE and is_tag:
            self._keep(guide.no_more())
            return
        if line.name == "kind" and self._other_way(text):
            return
        text = (guide.same(line.name) or text) if text == SAME else text
        text = text or guide.offered(line.name)
        if not text and not line.needed:
            text = NONE
        if not text:
            self._say([f"{line.label}: {line.hint or line.help}   {HELP} shows how"])
        elif reason := guide.reason_against(line, text):
            self._say([reason])
        else:
            self._keep(guide.answered(line.name, text))

    def _other_way(self, text: str) -> bool:
        """From the rest of the box to the plan again, or to another hub."""
        ways = {"plan": Stage.PLAN, "hub": Stage.HUB}
        if text not in ways:
            return False
        guide = self._guide.at(ways[text])
        self._keep(guide.filled({}) if text == "hub" else guide)
        return True

    def _finish(self, *, sure: bool) -> None:
        request = StepRequest(guide=self._guide, session=self._session, sure=sure, by=self._by)
        try:
            done = step(self._db, request)
        except StorageError as error:
            self._say([str(error)])
            self._read("enter tries again > ")
            return
        self._say(done.lines)
        if done.wrong:
            self._say([done.wrong])
            self._keep(done.guide.asked_again(done.at))
        elif done.doubts:
            self._doubted(done)
        else:
            self._keep(done.guide)
            if done.answer is not None:
                self._planned(done.answer)

    def _doubted(self, done: StepOutcome) -> None:
        """A slip is asked about while the piece is at hand; nothing is taken or refused without a word."""
        for doubt in done.doubts:
            self._say(["", f"Measured right? {doubt.words}."])
        text = self._read("enter: measure again   y: take it as typed > ")
        if text.lower() in YES:
            self._finish(sure=True)
        else:
            self._keep(done.guide.asked_again(done.at))

    def _planned(self, answer: Answer) -> None:
        say(["", *sheet_lines(plan_sheet(answer, detail=Detail.USUAL)), ""])
        self._say([*(NEXT if answer.ready else LATER), "The same plan at any time:"])
        say([command_of(self._guide.plan)])

    def _head(self) -> None:
        """Where this is, once for each stage and kind."""
        here = self._guide.stage, self._guide.kind
        if here != self._headed:
            self._headed = here
            kind = self._guide.kind
            keys = KEYS if kind or self._guide.stage is Stage.HUB else REST_KEYS
            what = f": {kind.plural}" if self._guide.stage is Stage.REST and kind else ""
            self._say(
                [
                    "",
                    f"{self._guide.title}{what}".upper(),
                    *(() if what else INTRODUCTION[self._guide.stage]),
                    keys,
                    "",
                ]
            )

    def _prompt(self, line: Line) -> str:
        guide = self._guide
        words = line.label if line.label[:1].islower() else line.label.lower()
        if line.name == "tag" and guide.kind:
            words = f"{guide.kind} tag"
        given = guide.offered(line.name)
        same = guide.same(line.name)
        shown = [f"[{given}]"] if given else [line.hint] if line.hint and not same else []
        shown += [f"({SAME} {same})"] if same else []
        return plain(" ".join([words, *shown]) + " > ")

    def _help(self, line: Line) -> None:
        figure = figure_to_take(self._guide.kind, line.name)
        if figure is not None:
            say(["", *taking.how_lines(figure, WIDTH, *drawn_as(self._db)), ""])
        else:
            self._say(["", line.help, line.hint, ""])

    def _keep(self, guide: Guide) -> None:
        """On the disk before anything else is asked."""
        self._guide = guide
        try:
            keep_draft(self._db, KeepDraftRequest(draft=GuideDraft(self._session, as_words(guide))))
        except StorageError as error:
            self._say([f"not kept for the next time: {error}"])

    def _stop(self) -> None:
        guide = self._guide
        if guide.stage is Stage.REST and not guide.values:
            self._keep(Guide())
            self._say(["", ENDED])
        else:
            self._say(["", STOPPED])

    def _read(self, prompt: str) -> str:
        sys.stdout.write(prompt)
        sys.stdout.flush()
        text = sys.stdin.readline()
        if not text:
            raise EOFError
        return text.strip()

    @staticmethod
    def _say(lines: Iterable[str]) -> None:
        say([part for line in lines for part in (wrap(line) or [""])])
