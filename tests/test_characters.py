"""One table of the characters that no text may hold serves what is stored, quoted, printed and drawn."""

from __future__ import annotations

import pytest

from broachplan.characters import UNSEEN, escaped, first_unseen, masked
from broachplan.cli.terminal import plain as printed
from broachplan.crib.words import hidden
from broachplan.errors import quoted
from tui.plain import plain as drawn


def test_what_may_be_stored_is_shown_as_it_is_and_what_is_masked_may_not_be_stored() -> None:
    every = "".join(map(chr, range(0x110000)))
    refused = set(UNSEEN.findall(every))
    stored = UNSEEN.sub("", every)

    assert hidden(stored) == ""
    assert drawn(stored) == stored
    assert printed(stored) == stored
    assert {was for was, now in zip(every, drawn(every), strict=True) if was != now} == refused
    for sign in sorted(refused)[::97]:
        assert hidden(sign), hex(ord(sign))
        assert sign not in quoted(sign), hex(ord(sign))
        assert sign == "\n" or printed(sign) != sign, hex(ord(sign))


@pytest.mark.parametrize(
    ("text", "first"), [("plain", ""), ("Müller ½", ""), ("a\x1b[31m", "\x1b"), ("\u0600", "\u0600")]
)
def test_the_first_character_that_may_not_be_there_is_found(text: str, first: str) -> None:
    assert first_unseen(text) == first


def test_a_character_is_written_as_its_number_or_masked_in_its_place() -> None:
    assert escaped("a\u202eb") == "a\\u202eb"
    assert masked("a\u202eb\nc") == "a?b c"
