"""One piece on a screen of its own: shown, changed, retired, and new ones taken in."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given

from broachplan.crib.entries import Act
from broachplan.crib.records import Record
from broachplan.lengths import Length
from broachplan.questions.piece import as_typed, piece_lines, whole_reason
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES
from tests.desks.doing import edit_piece, export_crib, lend_piece
from tests.desks.looking import list_pieces, show_piece
from tests.store.cribs import records
from tests.tui.attending import Attending, attend


def test_a_piece_is_changed_under_another_hand_without_losing_either(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        await at.type("f8", "=B-250", "enter")
        await at.type("f2", "end", "backspace", "backspace", "backspace")
        assert "without a unit" in at.words("#said")
        await at.type("f2")
        assert at.name == "edit"
        edit_piece(filled_file, "B-250", {"home": "drawer 9"}, by="Ann")
        await at.type("=1 in", *["down"] * 20, "=Joe", "f2")
        # 0.25051 in: the broach cannot cut wider than its teeth are, but nothing says so; it is kept as typed.
        assert "CHANGED MEANWHILE by somebody else: home “drawer 4” -> “drawer 9”" in at.words("#said")
        assert (at.typed("keyway_width"), at.typed("home")) == ("0.25051 in", "drawer 9")
        await at.type("f2")
        assert at.name == "piece"
        assert "drawer 9" in at.words("#record")
        assert "changed by Joe" in " ".join(at.words("#history").split())

    attend(filled_file, act)

    shown = show_piece(filled_file, "B-250")
    assert shown.record.home == "drawer 9"
    assert [reported.entry.by for reported in shown.history] == ["Joe", "Ann"]


def test_leaving_a_form_asks_where_something_was_typed_and_retiring_asks_once(filled_file: str) -> None:
    lend_piece(filled_file, "R-1", "Kim")

    async def act(at: Attending) -> None:
        await at.type("f8", "=N-1", "enter")
        await at.type("f2", "escape")
        assert at.name == "piece"
        await at.type("f2", "=1", "escape", "escape")
        assert (at.name, at.typed("diameter")) == ("edit", "1")
        await at.type("escape", "f8")
        assert at.name == "piece"
        await at.type("=R-1", "enter")
        await at.type("f4", "f2")
        assert "R-1 is lent to Kim" in at.words("#said")
        await at.type("=N-1", "enter")
        await at.type("f4", "enter", "escape", "f4", "=bent", "down", "=Joe", "f2")
        assert "N-1 is retired" in at.words("#said")
        assert "retired" in at.words("#title")
        await at.type("f4", "f2")
        assert at.name == "piece"
        await at.type("=nosuch", "enter")
        assert "no such tag" in at.words("#said")

    attend(filled_file, act)

    last = show_piece(filled_file, "N-1").history[0].entry
    assert (last.act, last.note, last.by) == (Act.RETIRED, "bent", "Joe")


def test_new_pieces_are_taken_in_one_after_the_other_and_a_refusal_loses_nothing(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        await at.type(
            "f8", "f6", "=S-1", "enter", "=Joe", "enter", "=9 mm", "up", "up", "up", "right", "right"
        )
        assert at.app.screen.query_one("#piece-form").has_class("-long-labels")
        await at.type("down", "down", "down", "f3")
        assert "Micrometer, in three places" in at.words("#pane-text")
        await at.type("escape")
        await at.type("=1 mm", "down", "down", "down", "down", "=drawer 7", "f2")
        assert "S-1" in at.words("#said")
        assert (at.typed("tag"), at.typed("thickness"), at.typed("home")) == ("S-1", "1 mm", "drawer 7")
        await at.type("up", "up", "up", "up", "up", "up", "end", "=0", "f2")
        assert "S-10, a shim, is in the crib; no plan uses it until these are measured: width" in at.words(
            "#said"
        )
        assert (at.typed("tag"), at.typed("thickness"), at.typed("home")) == ("", "", "drawer 7")
        # What was typed for another kind is still there.
        await at.type("up", "left", "left")
        assert at.typed("keyway_width") == "9 mm"
        await at.type("down", "=b", *["down"] * 4, "=4 in", "down", "=3 in", "f2")
        assert "it must be less than the last tooth height" in at.words("#said")
        # A bushing's web is checked against its slot depth, which stays for the next one.
        await at.type(*["up"] * 7, "right")
        await at.type("down", "ctrl+u", "=GU-9", "down", "down")
        await at.type("=2 in", "down", "=1/4 in", "down", "=0.45 in", "down", "down", "down", "=1.6 in", "f2")
        assert at.name == "confirm"
        assert "less slot depth is 0.4 in: 0.05 in apart" in at.words("#modal-text")
        await at.type("escape")
        assert (at.name, at.typed("tag"), at.typed("web")) == ("add", "GU-9", "0.45 in")
        await at.type("ctrl+u", "=0.4 in", "f2")
        assert "GU-9, a bushing, is in the crib" in at.words("#said")
        assert (at.typed("web"), at.typed("slot_depth")) == ("", "1.6 in")

    attend(filled_file, act)

    assert "S-10" in [kept.record.piece.tag for kept in list_pieces(filled_file)]


@given(records())
def test_a_form_left_alone_changes_nothing(record: Record) -> None:
    typed, kind = as_typed(record), record.piece.kind
    lines = {line.name: line for line in piece_lines(kind)}
    figures = [figure.name for figure in FIGURES[kind] if typed[figure.name]]

    assert {name: lines[name].kind.read(typed[name], name, {}) for name in figures} == {
        figure.name: value
        for figure in FIGURES[kind]
        if (value := getattr(record.piece, figure.name)) is not None
    }
    assert set(lines) == set(typed)
    assert not any(lines[name].reason_against(text, typed) for name, text in typed.items())
    assert whole_reason(kind, record.piece.tag, typed) == ""


@pytest.mark.parametrize(
    ("kind", "name", "wrong", "reason"),
    [
        (Kind.SHIM, "thickness", "1/16", "without a unit"),
        (Kind.PRESS, "rated_force", "3 ton", "rated force"),
        (Kind.BROACH, "gullet_area", "3 mm", "gullet area"),
        (Kind.BROACH, "rising_teeth", "12.5", "whole number"),
        (Kind.PIN, "measured_on", "May", "such as 2031-05-28"),
        (Kind.PIN, "measured_to", "0.0002", "without a unit"),
        (Kind.PIN, "note", "\x1b", "must not be in it"),
    ],
)
def test_a_line_of_a_piece_says_why_a_text_will_not_do(
    kind: Kind, name: str, wrong: str, reason: str
) -> None:
    line = next(each for each in piece_lines(kind) if each.name == name)

    assert reason in line.reason_against(wrong, {})


def test_a_figure_that_jumps_is_asked_about_before_it_is_kept(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        await at.type("f8", "=G-1000", "enter")
        await at.type("f2", "down", "down", *["backspace"] * 30, "=0.5601 in")
        assert (at.name, at.typed("web")) == ("edit", "0.5601 in")
        await at.type("f2")
        assert (at.name, at.words("#modal-title")) == ("confirm", "Measured right?")
        assert "web: read 0.5601 in; it was " in at.words("#modal-text")
        assert "--sure" not in at.words("#modal-text")
        await at.type("escape")
        assert (at.name, at.typed("web")) == ("edit", "0.5601 in")
        await at.type("f2")
        await at.type("f2")
        assert at.name == "piece"

    attend(filled_file, act)

    assert show_piece(filled_file, "G-1000").record.piece == replace(
        show_piece(filled_file, "G-1000").record.piece, web=Length.inches("0.5601")
    )


def test_pieces_come_in_from_a_file_once_what_changes_was_shown_and_agreed_to(
    filled_file: str, tmp_path: Path
) -> None:
    export_crib(filled_file, tmp_path / "old")
    edit_piece(filled_file, "B-250", {"root_height": "0.301 in", "measured_on": "2031-06-01"})
    (tmp_path / "shims.csv").write_text("tag,thickness,width\nS-77,0.02 in,0.25 in\n")

    async def act(at: Attending) -> None:
        await at.type("f8", "f10", "e", f"={tmp_path / 'old'}", "f2")
        assert (at.name, at.words("#modal-title")) == ("confirm", "Take older figures?")
        assert "B-250 was measured on 2031-06-01" in " ".join(at.words("#modal-text").split())
        await at.type("escape")
        assert at.words("#said") == "NOT DONE: nothing was written."
        await at.type("f2")
        await at.type("f2")
        assert at.words("#modal-title") == "Bring it in?"
        assert "to change: broach B-250" in " ".join(at.words("#modal-text").split())
        await at.type("escape", "up", *["backspace"] * 120, f"={tmp_path / 'shims.csv'}", "f2")
        assert "to add: shim S-77" in at.words("#modal-text")
        await at.type("f2")
        assert at.words("#said") == "DONE: 1 added, 0 changed, 0 as before"
        await at.type("f2")
        assert at.words("#said") == "Nothing to bring in: 1 as before."

    attend(filled_file, act)

    assert show_piece(filled_file, "S-77").record.piece.kind is Kind.SHIM
    assert str(show_piece(filled_file, "B-250").record.measured.on) == "2031-06-01"
