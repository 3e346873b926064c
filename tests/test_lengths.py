"""Lengths as people write them: read exactly, or refused in one line."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from broachplan.characters import first_unseen
from broachplan.errors import InputError
from broachplan.lengths import (
    Length,
    System,
    parse_length,
    read_length,
    read_limits,
)
from tests.exact_lengths import CM, INCH, MM, TEN_METRES, THOU, M, half_even, refused
from tests.pints_own import pint_quantity

# Each unit as people write it.
WORDS = [
    *((word, INCH) for word in ("in", "in.", "inch", "inches", '"', "″", "”", "IN", "Inch")),
    *((word, THOU) for word in ("thou", "Thou")),
    *((word, MM) for word in ("mm", "MM", "millimetre", "millimetres", "millimeter", "millimeters")),
    *((word, CM) for word in ("cm", "centimetre", "centimetres", "centimeter", "centimeters")),
    *((word, M) for word in ("m", "metre", "metres", "meter", "meters")),
]
SIGNS = {
    "½": (1, 2), "⅓": (1, 3), "⅔": (2, 3), "¼": (1, 4), "¾": (3, 4), "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5),
    "⅘": (4, 5), "⅙": (1, 6), "⅚": (5, 6), "⅐": (1, 7), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8),
    "⅑": (1, 9), "⅒": (1, 10),
}  # fmt: skip

words = st.sampled_from(WORDS)
gaps = st.sampled_from(["", " ", "  ", "\u00a0", "\u2009", "\u202f"])


def of_a_size(value: Fraction, factor: int) -> int:
    """The length in nm, for sizes from 1 nm to 10 m."""
    nm = half_even(value * factor)
    assume(0 < nm <= TEN_METRES)
    return nm


# -- reading ---------------------------------------------------------------------------------------------------


@given(
    st.integers(0, 9999), st.text("0123456789", min_size=1, max_size=9), st.sampled_from(".,"), words, gaps
)
def test_a_decimal_with_either_mark_is_read_exactly(
    whole: int, decimals: str, mark: str, word: tuple[str, int], gap: str
) -> None:
    assume(mark == "." or len(decimals) != 3 or whole in (0, *range(1000, 10_000)))
    unit, factor = word
    nm = of_a_size(whole + Fraction(int(decimals), 10 ** len(decimals)), factor)

    assert parse_length(f"{whole}{mark}{decimals}{gap}{unit}") == Length(nm)


@given(st.text("0123456789", min_size=1, max_size=6), st.sampled_from(".,"), words)
def test_a_decimal_may_begin_with_its_mark(decimals: str, mark: str, word: tuple[str, int]) -> None:
    unit, factor = word
    nm = of_a_size(Fraction(int(decimals), 10 ** len(decimals)), factor)

    assert parse_length(f"{mark}{decimals} {unit}") == Length(nm)


@given(st.integers(1, 99_999), words, gaps)
def test_a_whole_number_is_read_exactly(whole: int, word: tuple[str, int], gap: str) -> None:
    unit, factor = word
    nm = of_a_size(Fraction(whole), factor)

    assert parse_length(f"{whole}{gap}{unit}") == Length(nm)


@given(st.integers(1, 999), st.integers(1, 256), st.sampled_from("/\u2044"), words, gaps)
def test_a_fraction_with_either_slash_is_read_exactly(
    over: int, under: int, slash: str, word: tuple[str, int], gap: str
) -> None:
    unit, factor = word
    nm = of_a_size(Fraction(over, under), factor)

    assert parse_length(f"{over}{slash}{under}{gap}{unit}") == Length(nm)


@given(
    st.integers(1, 99), st.integers(1, 128), st.integers(0, 127), st.sampled_from([" ", "-", "  ", "\u00a0", "\u2212"]), words
)  # fmt: skip
def test_a_mixed_number_is_its_whole_and_its_fraction_together(
    whole: int, under: int, over: int, joint: str, word: tuple[str, int]
) -> None:
    assume(over < under)
    unit, factor = word
    nm = of_a_size(whole + Fraction(over, under), factor)

    assert parse_length(f"{whole}{joint}{over}/{under} {unit}") == Length(nm)


@pytest.mark.parametrize("sign", SIGNS)
def test_a_vulgar_fraction_stands_for_its_numbers(sign: str) -> None:
    part = Fraction(*SIGNS[sign])
    for text, expected in ((sign, part), (f"3{sign}", 3 + part), (f"3 {sign}", 3 + part)):
        assert parse_length(f'{text}"') == Length(half_even(expected * INCH))
    with refused("read “3-"):
        parse_length(f'3-{sign}"')


@pytest.mark.parametrize(
    "text", ["1-1/4 in", "1 1/4 in", '1-1/4"', "1¼ in", "1.25 in", "1,25 inches", "1250 thou", "31.75 mm", "3.175 cm"]
)  # fmt: skip
def test_an_inch_and_a_quarter_is_one_length_however_written(text: str) -> None:
    assert parse_length(text) == Length(31_750_000)


def test_a_size_between_two_nanometres_goes_to_the_even_one() -> None:
    # 1/128 in = 198 437.5 nm and 3/128 in = 595 312.5 nm.
    assert parse_length("1/128 in") == Length(198_438)
    assert parse_length("3/128 in") == Length(595_312)
    assert Length.inches("1/128") == Length(198_438)
    assert Length.mm("0.0000025") == Length(2)


@pytest.mark.parametrize(("word", "factor"), WORDS)
def test_each_unit_belongs_to_its_system(word: str, factor: int) -> None:
    expected = System.INCH if factor in (INCH, THOU) else System.METRIC

    assert read_length(f"1 {word}") == (Length(factor), expected)


@pytest.mark.parametrize(
    ("name", "factor"), [("inch", INCH), ("thou", THOU), ("mm", MM), ("cm", CM), ("m", M)]
)
def test_the_five_factors_are_pints_own(name: str, factor: int) -> None:
    assert pint_quantity()(Fraction(1), name).to("nm").magnitude == factor
    assert parse_length(f"1 {'in' if name == 'inch' else name}").nm == factor


# -- what is never guessed ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["30", "0.625", "5/8", "1 1/4", "1-1/4", "⅝", ".5", "30,5"])
def test_a_bare_number_is_refused_for_want_of_its_unit(text: str) -> None:
    with refused("without a unit; write a number and its unit, for example 1-1/4 in"):
        parse_length(text)


@pytest.mark.parametrize(
    ("text", "point", "joined"),
    [("22,500 mm", "22.500", "22500"), ("1,125 in", "1.125", "1125"), ("999,999 thou", "999.999", "999999")],
)
def test_a_comma_before_three_digits_could_mean_two_things(text: str, point: str, joined: str) -> None:
    with refused(f"could be {point} or {joined}: write it with a point or without the comma"):
        parse_length(text)


@pytest.mark.parametrize(
    ("text", "nm"), [("22,5 mm", 22_500_000), ("0,500 in", 12_700_000), ("1000,500 mm", 1_000_500_000), ("22,5000 mm", 22_500_000)]
)  # fmt: skip
def test_a_comma_that_can_only_be_a_decimal_mark_is_one(text: str, nm: int) -> None:
    assert parse_length(text) == Length(nm)


@pytest.mark.parametrize(
    "text", ["0 in", "0.000 mm", "0/4 in", "-1 in", "-0.5 mm", "\u22121 in", "- 1 in", "0.0000004 mm"]
)  # fmt: skip
def test_a_size_that_is_not_above_zero_is_refused(text: str) -> None:
    with refused("must be above zero"):
        parse_length(text)


def test_ten_metres_is_the_longest_length_there_is() -> None:
    assert parse_length("10 m") == Length(TEN_METRES)
    with refused("must not be over 10 m"):
        parse_length("10000.000001 mm")


@pytest.mark.parametrize(
    "text",
    [
        "9**9**9 in", "1e5 mm", "1E5 mm", "1_000 mm", "0x10 mm", "inf mm", "nan in", "+1 in", "1+1 in", "1/2/3 in",
        "1 1/2 1/2 in", "½½ in", "1½/2 in", "1.5 1/2 in", "1.1/2 in", "1/2.5 in", "1,234.5 mm", "1.234,5 mm", "1. in",
        "1..5 in", "in", "30 mm mm", "30 mm 3", "mm 30", "30 mm, 3", "1' 2\"", "30 m m", "30 in;", "$(ls) in", "١٢ mm",
        "２２ mm", "22 ｍｍ", "² in", "22 µm²",
    ],
)  # fmt: skip
def test_what_is_outside_the_grammar_is_refused(text: str) -> None:
    with refused("read “"):
        parse_length(text)


@pytest.mark.parametrize("unit", ["ft", "µm", "km", "yd", "nm", "inchs", "mm.", "thou.", "ton", "i", "mils"])
def test_an_unknown_unit_is_refused_with_those_there_are(unit: str) -> None:
    with refused("use in, thou, mm, cm or m|write a number and its unit"):
        parse_length(f"1 {unit}")


@pytest.mark.parametrize(
    "sign", ["\x00", "\x07", "\x08", "\t", "\n", "\r", "\x0b", "\x1b", "\x1f", "\x7f", "\x85", "\xad", "\u200b",
             "\u200f", "\u2028", "\u2029", "\u202e", "\u2066", "\u2069", "\u3000", "\ufeff"],
)  # fmt: skip
def test_a_control_or_hidden_character_is_refused_anywhere(sign: str) -> None:
    for shape in ("{}30 mm", "3{}0 mm", "30{} mm", "30 {}mm", "30 m{}m", "30 mm{}"):
        with refused(f"read “.*\\\\u{ord(sign):04x}"):
            parse_length(shape.format(sign))
    with refused(f"read “.*\\\\u{ord(sign):04x}"):
        read_limits(f"{shape.format(sign)} +0.1 -0.1")


@pytest.mark.parametrize("text", ["", " ", "   \u00a0"])
def test_an_empty_text_is_reported_as_empty(text: str) -> None:
    with refused("bore: nothing was given; write a number and its unit"):
        parse_length(text, "bore")


def test_forty_characters_are_read_and_more_are_not_looked_at() -> None:
    assert parse_length("0" * 36 + "1 mm") == Length(MM)
    with refused(r"\(41 characters\); at most 40 characters"):
        parse_length("0" * 37 + "1 mm")
    for long in ("9" * 5000 + " mm", "1/" * 2500 + "2 in", "(" * 5000, " " * 5000 + "1 in", "½" * 5000):
        with refused(rf"\({len(long)} characters\); at most 40 characters"):
            parse_length(long)


def test_a_fraction_of_nothing_or_of_more_than_one_beside_a_whole_is_refused() -> None:
    with refused("must not have zero below the line"):
        parse_length("1/0 in")
    with refused("in a mixed number the fraction must be below one"):
        parse_length("1-5/4 in")
    with refused("in a mixed number the fraction must be below one"):
        parse_length("1 4/4 in")
    assert parse_length("5/4 in") == parse_length("1-1/4 in")


def shown(read: Callable[[str], object], text: str) -> str:
    """What is said of a text that is refused; empty when it is read."""
    try:
        read(text)
    except InputError as error:
        return str(error)
    return ""


@given(st.text(max_size=60))
def test_any_text_at_all_is_read_or_refused_in_one_line(text: str) -> None:
    for read in (parse_length, read_limits):
        message = shown(read, text)
        assert len(message.splitlines()) <= 1
        assert first_unseen(message) == ""


@given(st.text('0123456789/-., ½⁄+±inmthouc"', max_size=40))
def test_any_text_of_the_grammars_own_signs_is_read_or_refused(text: str) -> None:
    for read in (parse_length, read_limits):
        message = shown(read, text)
        assert not message or "read “" in message or "nothing was given" in message


def test_the_message_names_the_figure() -> None:
    with refused("^hub length: read “22” without a unit"):
        parse_length("22", "hub length")
