"""Any day at the desk, act by act, against a plain model: the same answers, the same crib, and its books in order."""

from __future__ import annotations

import tempfile
from copy import deepcopy
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from broachplan.desks.attendant.add_piece import add_piece
from broachplan.desks.attendant.edit_piece import edit_piece
from broachplan.desks.attendant.lend_piece import lend_piece
from broachplan.desks.attendant.list_out import list_out
from broachplan.desks.attendant.retire_piece import retire_piece
from broachplan.desks.attendant.return_piece import return_piece
from broachplan.desks.attendant.show_piece import show_piece
from broachplan.desks.attendant.undo_last import undo_last
from broachplan.errors import BroachplanError, CribStateError, InputError
from broachplan.store.check import check
from broachplan.store.shelf_read import read_shelf
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
TAGS = ("S-1", "S-2", "S-3")
tags = st.sampled_from(TAGS)
conditions = st.sampled_from(["fit", "worn", "unfit"])


@dataclass
class Piece:
    """What the model knows of a piece."""

    home: str = ""
    condition: str = "fit"
    lent_to: str = ""
    retired: bool = False


class Day(RuleBasedStateMachine):
    """One crib and its model; ``before`` are the models to which undoing leads back."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.db = str(Path(self.folder.name) / "crib.db")
        self.model: dict[str, Piece] = {}
        self.before: list[dict[str, Piece]] = []

    def teardown(self) -> None:
        assert not self.model or check(self.db) == ()
        self.folder.cleanup()

    def done(self) -> None:
        self.before.append(deepcopy(self.model))

    def refused(self, tag: str, forbidden: bool) -> type[BroachplanError] | None:
        if tag not in self.model:
            return InputError
        return CribStateError if forbidden else None

    @rule(tag=tags)
    def receive(self, tag: str) -> None:
        told = {"thickness": "1 mm", "width": "6 mm"}
        if tag in self.model:
            with pytest.raises(InputError, match="which a shim"):
                add_piece(self.db, Kind.SHIM, tag, told, at=NOW)
            return
        add_piece(self.db, Kind.SHIM, tag, told, at=NOW)
        self.done()
        self.model[tag] = Piece()

    @rule(tag=tags, name=st.sampled_from(["Kim", "Ann"]))
    def lend(self, tag: str, name: str) -> None:
        piece = self.model.get(tag, Piece())
        wrong = self.refused(tag, piece.retired or bool(piece.lent_to) or piece.condition != "fit")
        if wrong:
            with pytest.raises(wrong, match=tag):
                lend_piece(self.db, tag, name, at=NOW)
            return
        lend_piece(self.db, tag, name, at=NOW)
        self.done()
        piece.lent_to = name

    @rule(tag=tags, condition=conditions)
    def take_back(self, tag: str, condition: str) -> None:
        piece = self.model.get(tag, Piece())
        if wrong := self.refused(tag, not piece.lent_to):
            with pytest.raises(wrong, match=tag):
                return_piece(self.db, tag, condition, at=NOW)
            return
        return_piece(self.db, tag, condition, at=NOW)
        self.done()
        piece.lent_to, piece.condition = "", condition

    @rule(tag=tags, condition=conditions, home=st.sampled_from(["", "drawer 4", "drawer 5"]))
    def edit(self, tag: str, condition: str, home: str) -> None:
        piece, told = self.model.get(tag, Piece()), {"condition": condition, "home": home}
        if wrong := self.refused(tag, piece.retired):
            with pytest.raises(wrong, match=tag):
                edit_piece(self.db, tag, told, at=NOW)
            return
        if edit_piece(self.db, tag, told, at=NOW).differences:
            self.done()
        piece.condition, piece.home = condition, home

    @rule(tag=tags)
    def retire(self, tag: str) -> None:
        piece = self.model.get(tag, Piece())
        if wrong := self.refused(tag, piece.retired or bool(piece.lent_to)):
            with pytest.raises(wrong, match=tag):
                retire_piece(self.db, tag, at=NOW)
            return
        retire_piece(self.db, tag, at=NOW)
        self.done()
        piece.retired = True

    @rule()
    def undo(self) -> None:
        if not self.before:
            with pytest.raises(CribStateError, match="nothing to undo"):
                undo_last(self.db, at=NOW)
            return
        undo_last(self.db, at=NOW)
        was = self.before.pop()
        # What was received cannot be made not to have been: it is retired, in every model further back too.
        self.model = {
            tag: was.get(tag, Piece(piece.home, piece.condition, "", True))
            for tag, piece in self.model.items()
        }

    @invariant()
    def every_piece_is_as_the_model_has_it(self) -> None:
        for tag, piece in self.model.items():
            shown = show_piece(self.db, tag)
            assert (shown.record.home, shown.record.condition, shown.retired) == (
                piece.home,
                piece.condition,
                piece.retired,
            )

    @invariant()
    def what_is_out_is_out_to_whom_the_model_says(self) -> None:
        out = {each.tag: each.loan.to for each in list_out(self.db, NOW.date())}

        assert out == {tag: piece.lent_to for tag, piece in self.model.items() if piece.lent_to}

    @invariant()
    def plans_choose_from_what_is_fit_and_there(self) -> None:
        with reading(self.db) as work:
            shelf = read_shelf(work)

        free = {shim.tag for shim in shelf.shims} - set(shelf.off)
        assert free == {
            tag
            for tag, piece in self.model.items()
            if piece.condition == "fit" and not piece.lent_to and not piece.retired
        }


class LongDay(Day):
    """The whole check after every act, which takes longer than the act."""

    @invariant()
    def the_books_are_in_order(self) -> None:
        assert check(self.db) == ()


class TestDay(Day.TestCase):
    settings = settings(max_examples=6, stateful_step_count=12, deadline=None)


@pytest.mark.nightly
class TestManyLongDays(LongDay.TestCase):
    settings = settings(max_examples=200, stateful_step_count=40, deadline=None)
