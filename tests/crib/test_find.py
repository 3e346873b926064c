"""The one search box: words, sizes, what fits a bore and what cuts a width."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.crib.find import Finder, Purpose, Sought, SoughtSize, cutting_widths, read_sought, unfinished
from broachplan.crib.records import Record
from broachplan.errors import InputError
from broachplan.keyways.parallel import hub_keyway
from broachplan.lengths import Length, Limits
from broachplan.planner.bounds import bounds_of
from broachplan.settings import Settings
from broachplan.standards.named import Standard
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim

INCH = Length.inches


def found(text: str, piece: Piece, state: str = "fit", **about: str) -> tuple[str, ...] | None:
    return Finder(read_sought(text), Settings()).found_by(Record(piece=piece, **about), state)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "words", "sizes"),
    [
        ("BR-0250 birch", ("br-0250", "birch"), ()),
        ("1 1/4 in bushing", ("bushing",), (("1 1/4 in", Purpose.ANY),)),
        ("fits 30 mm", (), (("30 mm", Purpose.BORE),)),
        ("CUTS: 1/4 in shelf", ("shelf",), (("1/4 in", Purpose.WIDTH),)),
        ("cuts nothing", ("cuts", "nothing"), ()),
        ("0.25", ("0.25",), ()),
        ("30mm 6 mm", (), (("30mm", Purpose.ANY), ("6 mm", Purpose.ANY))),
    ],
)
def test_sizes_are_distinguished_from_words(
    text: str, words: tuple[str, ...], sizes: tuple[tuple[str, Purpose], ...]
) -> None:
    sought = read_sought(text)

    assert sought.words == words
    assert tuple((size.text, size.purpose) for size in sought.sizes) == sizes


@given(st.text(max_size=60))
def test_every_text_is_read_and_what_finds_nothing_by_a_size_is_looked_for_as_words(text: str) -> None:
    sought = read_sought(text)

    assert len(sought.words) <= len(text.split())
    if not sought.sizes:
        note = " ".join(text.split())
        assert found(text, Shim(tag="S-1"), note=note) == ()


def test_a_search_that_never_ends_is_refused() -> None:
    with pytest.raises(InputError, match="find: read 201 characters; at most 200"):
        read_sought("a" * 201)
    assert read_sought("a" * 200).words == ("a" * 200,)


def test_words_are_looked_for_in_tag_kind_set_home_note_state_and_names() -> None:
    shim = Shim(tag="SH-1")
    about = {"set_name": "box Elm", "home": "C/2", "note": "burr on one end"}

    for text in ("sh-1", "SHIM", "elm", "c/2", "burr end", "kim", "lent kim elm"):
        assert found(text, shim, "lent to Kim since 2031-05-02", **about) == ()
    assert found("elm oak", shim, **about) is None
    made = Finder(read_sought("made in house"), Settings())
    assert made.found_by(Record(piece=shim, made_here=True), "fit") == ()
    assert made.found_by(Record(piece=shim), "fit") is None


@given(st.integers(10**7, 60 * 10**6), st.integers(10**7, 60 * 10**6))
def test_what_fits_a_bore_is_what_the_planner_takes_for_it(bore: int, outside: int) -> None:
    bushing = Bushing(tag="G-1", outside_diameter=Length(outside))
    keyway = hub_keyway(Limits.exactly(INCH(1)), standard=Standard.INCH)
    low, high = bounds_of(keyway, Length(bore), Settings()).bushing_od

    sought = Sought((), (SoughtSize("this", Length(bore), Purpose.BORE),))
    by = Finder(sought, Settings()).found_by(Record(piece=bushing), "fit")

    assert (by == ("fits a bore of this",)) == (low.nm <= outside <= high.nm)


@pytest.mark.parametrize(
    ("width", "lower", "upper"),
    [
        # ASME B17.1, hub keyway of a 1/4 in key: +0.002 over it; ISO 286, 6 mm: P9 from -0.042, D10 to +0.078.
        (INCH("1/4"), INCH("0.2500"), INCH("0.2520")),
        (Length.mm(6), Length.mm("5.958"), Length.mm("6.078")),
    ],
)
def test_what_cuts_a_width_lies_within_the_standards_limits_of_that_key(
    width: Length, lower: Length, upper: Length
) -> None:
    limits = cutting_widths(width)

    assert min(each.lower for each in limits) == lower
    assert max(each.upper for each in limits) >= upper
    for size, is_found in ((lower, True), (upper, True), (Length(lower.nm - 1), False)):
        by = found(
            "cuts 1/4 in" if width == INCH("1/4") else "cuts 6 mm", Broach(tag="B-1", keyway_width=size)
        )
        assert (by is not None) == is_found


def test_a_width_that_no_standard_knows_is_cut_by_what_is_near_it() -> None:
    odd = INCH(9)

    assert cutting_widths(odd) == (Limits(odd, INCH("8.995"), INCH("9.005")),)


def test_a_size_alone_finds_figures_near_it_and_says_which() -> None:
    bushing = Bushing(tag="G-1", outside_diameter=INCH("0.9985"), slot_width=INCH("0.2520"), web=INCH("0.3"))

    assert found("1 in", bushing) == ("fits a bore of 1 in", "outside diameter")
    assert found("1/4 in", bushing) == ("slot width",)
    assert found("1/4 in 1 in", bushing) == ("slot width", "fits a bore of 1 in", "outside diameter")
    assert found("1/2 in", bushing) is None
    # A nominal size is meant for figures within 0.005 in of it (common practice, no source).
    for slot, is_found in (("0.2550", True), ("0.2450", True), ("0.2551", False), ("0.2449", False)):
        near = Bushing(tag="G-2", slot_width=INCH(slot))
        assert found("1/4 in", near) == (("slot width",) if is_found else None)
    assert found("fits 1/4 in", bushing, note="takes the 1/4 in broach") is None
    assert found("1/2 in", bushing, note="for the 1/2 in hubs") == ()


@pytest.mark.parametrize(
    ("text", "before", "begun"),
    [
        ("shelf fits", "shelf", "fits"),
        ("fits 1 1/4 i", "", "fits 1 1/4 i"),
        ("elm Cuts: 30", "elm", "Cuts: 30"),
        ("bore 2", "", "bore 2"),
        ("bore", "bore", ""),
        ("shelf 2 cuts", "shelf 2", "cuts"),
        ("fits 1 1 1 1", "fits 1 1 1 1", ""),
        ("fits 30 mm", "fits 30 mm", ""),
        ("cuts nothing", "cuts nothing", ""),
        ("fits 30 mm elm", "fits 30 mm elm", ""),
        ("30", "30", ""),
        ("", "", ""),
    ],
)
def test_a_size_still_being_typed_is_split_from_the_text_before_it(
    text: str, before: str, begun: str
) -> None:
    assert unfinished(text) == (before, begun)


@pytest.mark.parametrize("text", ["sign out", "signed out", "issue", "checked out kim", "book out"])
def test_a_piece_that_is_lent_is_found_by_the_other_words_for_it(text: str) -> None:
    piece = Shim(tag="S-1", thickness=INCH("0.062"))

    assert found(text, piece, "lent to Kim since 2031-05-02") == ()
    assert found(text, piece) is None
