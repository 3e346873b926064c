"""Pieces: frozen values that refuse to exist wrong, and the table of figures they are made by."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields, replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.quantities import Area, Force
from broachplan.tooling.figures import Kind, Quantity
from broachplan.tooling.pieces import (
    FIGURES,
    PIECES,
    Broach,
    Bushing,
    Piece,
    Pin,
    Press,
    Ring,
    Shim,
)
from broachplan.tooling.tags import checked_tag

MM = Length.mm
BROACH = Broach(
    tag="K-8",
    keyway_width=MM(8),
    body_width=MM(8),
    first_tooth_height=MM(12),
    last_tooth_height=MM("13.2"),
    tooth_pitch=MM(8),
    rising_teeth=25,
    finishing_teeth=3,
    root_height=MM(9),
    front_length=MM(30),
    overall_length=MM(260),
    gullet_area=Area(7 * 10**12),
)
BUSHING = Bushing(tag="G-25", outside_diameter=MM(25), slot_width=MM(8), web=MM(12), length=MM(40))
A_VALUE = {Quantity.LENGTH: Length(1), Quantity.AREA: Area(1), Quantity.FORCE: Force(1), Quantity.COUNT: 2}
TOO_SMALL = {Quantity.LENGTH: Length(0), Quantity.AREA: Area(0), Quantity.FORCE: Force(0), Quantity.COUNT: -1}
ALL_FIGURES = [(kind, figure) for kind in Kind for figure in FIGURES[kind]]


@pytest.mark.parametrize("kind", Kind)
def test_the_table_of_figures_and_the_fields_of_a_piece_are_the_same(kind: Kind) -> None:
    names = [entry.name for entry in fields(PIECES[kind])]

    assert names == ["tag", *(figure.name for figure in FIGURES[kind])]
    assert PIECES[kind].kind is kind


def test_what_a_plan_needs_is_what_the_rules_look_at() -> None:
    needed = {kind: {f.name for f in FIGURES[kind] if f.needed} for kind in Kind}

    assert needed == {
        Kind.BROACH: {"keyway_width", "first_tooth_height", "last_tooth_height"},
        Kind.BUSHING: {"outside_diameter", "slot_width", "web"},
        Kind.SHIM: {"thickness", "width"},
        Kind.PRESS: set(),
        Kind.PIN: set(),
        Kind.RING: set(),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "figure"), ALL_FIGURES, ids=lambda value: getattr(value, "name", str(value))
)
def test_a_figure_that_is_not_known_is_missing_only_if_a_plan_needs_it(kind: Kind, figure: object) -> None:
    known = {f.name: A_VALUE[f.quantity] for f in FIGURES[kind] if f.needed and f is not figure}
    if kind is Kind.BROACH:
        known = {f.name: getattr(BROACH, f.name) for f in FIGURES[kind] if f is not figure}
    elif kind is Kind.BUSHING:
        known = {f.name: getattr(BUSHING, f.name) for f in FIGURES[kind] if f is not figure}

    piece = PIECES[kind](tag="X", **known)

    assert piece.missing == ((figure.label,) if figure.needed else ())


@pytest.mark.parametrize(
    ("kind", "figure"), ALL_FIGURES, ids=lambda value: getattr(value, "name", str(value))
)
def test_a_figure_below_its_least_is_refused_by_name(kind: Kind, figure: object) -> None:
    least = {"rising_teeth": 2, "finishing_teeth": 0}.get(figure.name, 1)
    value = least - 1 if figure.quantity is Quantity.COUNT else TOO_SMALL[figure.quantity]

    with pytest.raises(InputError, match=rf"^{figure.label}: read .*; it must be at least {least}$"):
        PIECES[kind](tag="X", **{figure.name: value})

    at_least = least if figure.quantity is Quantity.COUNT else A_VALUE[figure.quantity]
    assert getattr(PIECES[kind](tag="X", **{figure.name: at_least}), figure.name) == at_least


@pytest.mark.parametrize("name", ["rising_teeth", "finishing_teeth"])
def test_no_broach_has_more_than_a_thousand_teeth(name: str) -> None:
    assert getattr(Broach(tag="X", **{name: 1000}), name) == 1000
    with pytest.raises(InputError, match=r"read 1001; no broach has more than 1000"):
        Broach(tag="X", **{name: 1001})


def test_the_last_tooth_is_higher_than_the_first() -> None:
    assert replace(BROACH, last_tooth_height=BROACH.first_tooth_height + Length(1)).rise == Fraction(1, 24)
    with pytest.raises(
        InputError, match=r"^first tooth height 12 mm: it must be less than the last tooth height, 12 mm$"
    ):
        replace(BROACH, last_tooth_height=BROACH.first_tooth_height)


def test_the_root_lies_below_the_first_tooth() -> None:
    assert replace(BROACH, root_height=MM(12) - Length(1)).root_height == Length(11_999_999)
    with pytest.raises(
        InputError, match=r"^root height 12 mm: it must be less than the first tooth height, 12 mm$"
    ):
        replace(BROACH, root_height=MM(12))


def test_front_and_teeth_fit_the_overall_length() -> None:
    # 30 mm of front and 25 + 3 teeth, so 27 pitches of 8 mm: 246 mm.
    assert replace(BROACH, overall_length=MM(246)).toothed_length == MM(216)
    with pytest.raises(
        InputError, match=r"^overall length 245.999999 mm: front and teeth together take 246 mm"
    ):
        replace(BROACH, overall_length=MM(246) - Length(1))


def test_without_a_front_the_teeth_alone_must_fit() -> None:
    assert replace(BROACH, front_length=None, overall_length=MM(216)).overall_length == MM(216)
    with pytest.raises(InputError, match=r"front and teeth together take 216 mm"):
        replace(BROACH, front_length=None, overall_length=MM(216) - Length(1))


def test_no_finishing_teeth_are_taken_where_none_are_given() -> None:
    bare = replace(BROACH, finishing_teeth=None)

    assert (BROACH.teeth, bare.teeth) == (28, 25)
    assert bare.toothed_length == MM(8 * 24)
    assert bare.rise == BROACH.rise


@given(st.integers(1, 10**8), st.integers(1, 10**7), st.integers(2, 1000))
def test_the_rise_is_kept_as_an_exact_fraction(first: int, more: int, rising: int) -> None:
    broach = Broach(
        tag="X", first_tooth_height=Length(first), last_tooth_height=Length(first + more), rising_teeth=rising
    )

    assert broach.rise * (rising - 1) == more


def test_what_is_not_measured_gives_no_rise_and_no_length_of_teeth() -> None:
    for name in ("first_tooth_height", "last_tooth_height", "rising_teeth"):
        assert replace(BROACH, **{name: None}).rise is None
    assert replace(BROACH, tooth_pitch=None).toothed_length is None
    assert replace(BROACH, rising_teeth=None).teeth is None


@pytest.mark.parametrize(("name", "label"), [("slot_width", "slot width"), ("web", "web")])
def test_slot_and_web_are_less_than_the_bushings_outside_diameter(name: str, label: str) -> None:
    assert replace(BUSHING, **{name: MM(25) - Length(1)}) != BUSHING
    with pytest.raises(
        InputError, match=rf"^{label} 25 mm: it must be less than the outside diameter, 25 mm$"
    ):
        replace(BUSHING, **{name: MM(25)})
    assert replace(BUSHING, **{name: MM(26), "outside_diameter": None}).outside_diameter is None


@pytest.mark.parametrize("piece", [Broach, Bushing, Shim, Press, Pin, Ring])
def test_a_piece_may_be_in_the_crib_by_its_tag_alone(piece: type[Piece]) -> None:
    assert piece(tag="X-1").tag == "X-1"


def test_a_piece_cannot_be_changed() -> None:
    with pytest.raises(FrozenInstanceError, match=r"cannot assign to field"):
        BROACH.tag = "other"  # type: ignore[misc]


def test_pieces_are_the_same_when_all_their_figures_are() -> None:
    assert replace(BROACH) == BROACH
    assert len({BROACH, replace(BROACH), replace(BROACH, tag="K-9")}) == 2


@pytest.mark.parametrize("tag", ["K", "8", "K-8", "set 2/8 mm", "a" * 40, '1/4"(b)', "x~", "K:8;9"])
def test_a_tag_is_plain_signs_that_begin_with_a_letter_or_digit(tag: str) -> None:
    assert checked_tag(tag) == tag
    assert Shim(tag=tag).tag == tag


@pytest.mark.parametrize(
    "tag", ["", " ", " K", "K ", "-K", "=1+1", "@K", "a,b", "a" * 41, "K\n", "K\t8", "K\x1b[2J", "Kä", "K\u202e8", "٣"]
)  # fmt: skip
def test_any_other_tag_is_refused(tag: str) -> None:
    with pytest.raises(
        InputError, match=r"^tag: read “.*; use at most 40 plain characters without commas"
    ) as raised:
        Shim(tag=tag)

    assert str(raised.value).isprintable()


def test_kinds_have_their_plurals() -> None:
    assert [kind.plural for kind in Kind] == ["broaches", "bushings", "shims", "presses", "pins", "rings"]


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_has_a_size_that_lists_and_labels_show(kind: Kind) -> None:
    assert [figure.name for figure in FIGURES[kind] if figure.in_list is not None]
    assert [figure.name for figure in FIGURES[kind] if figure.on_label is not None]
