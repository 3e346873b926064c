"""Labels written from the screens."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.attending import Attending, attend
from tui.label_fields import label_lines, reason_against


def test_labels_are_written_to_the_file_named_and_replace_nothing_unasked(
    filled_file: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "labels.pdf"

    async def act(at: Attending) -> None:
        await at.type("f8", "=S-1")
        await at.type("f10", "l")
        # The chosen piece is filled in; what is not certain of the sheet is shown before anything is printed.
        assert (at.typed("what"), at.typed("file")) == ("S-1", "labels.pdf")
        assert "30 labels a sheet" in at.words("#sheet-words")
        assert "not sure" in at.words("#sheet-words")
        await at.type("f2")
        assert f"1 label on 1 page of letter-3x10 written to {file}" in at.words("#results")
        assert "continues at label 2" in at.words("#results")
        assert file.read_bytes().startswith(b"%PDF")
        # A scanner's list takes its place; the file is kept until somebody says otherwise.
        file.write_bytes(b"kept")
        await at.type("ctrl+u", "=s-1, B-250", "f2")
        assert "is there already. F2 replaces it" in at.screen()
        await at.press("escape")
        assert "stays as it was" in at.words("#said")
        assert file.read_bytes() == b"kept"
        await at.type("f2")
        await at.type("f2")
        assert "2 labels on 1 page" in at.words("#results")
        assert file.read_bytes().startswith(b"%PDF")
        # A wrong line shows its reason and stays to be corrected.
        await at.type("ctrl+u", "=s-1, nobody", "f2")
        assert "read “nobody”; no piece and no set in the crib is called so" in at.words("#said")
        assert at.typed("what") == "s-1, nobody"

    attend(filled_file, act)


def test_a_line_about_labels_that_will_not_do_is_refused_with_what_would() -> None:
    lines = {field.name: field for field in label_lines()}
    values = {field.name: field.choices[0][0] if field.choices else "" for field in lines.values()}

    def reason(name: str, text: str) -> str:
        return reason_against(lines[name], text, values, None)

    assert "has the labels 1 to 30" in reason("start", "31")
    assert "has the labels 1 to 30" in reason("start", "0")
    assert not reason("start", "30")
    assert reason("what", "S-1, B\x07")
    assert not reason("home", "C2/D3")
