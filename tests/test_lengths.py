"""Lengths: what people write, read exactly or refused; what is shown; what is written to be read again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from fractions import Fraction
from time import perf_counter

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.lengths import (
    Length,
    Limits,
    System,
    Units,
    parse_length,
    read_length,
    read_limits,
    show,
    write_exact,
)

# The international inch of 1959 is exactly 25.4 mm; the rest are SI prefixes. Nanometres in each.
INCH, THOU, MM, CM, M = 25_400_000, 25_400, 10**6, 10**7, 10**9
TEN_METRES = 10_000_000_000

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

PINT = pint.UnitRegistry(non_int_type=Fraction)

words = st.sampled_from(WORDS)
gaps = st.sampled_from(["", " ", "  ", "\u00a0", "\u2009", "\u202f"])
lengths = st.integers(1, TEN_METRES).map(Length)


def half_even(value: Fraction) -> int:
    """The nearest whole number, a tie to the even one, by comparing remainders."""
    whole, rest = divmod(value.numerator, value.denominator)
    twice = 2 * rest - value.denominator
    return whole + (twice > 0 or (twice == 0 and whole % 2 == 1))


def of_a_size(value: Fraction, factor: int) -> int:
    """The length in nm, for sizes from 1 nm to 10 m."""
    nm = half_even(value * factor)
    assume(0 < nm <= TEN_METRES)
    return nm


@contextmanager
def refused(says: str) -> Iterator[None]:
    """Refused within a second, in one line that holds ``says``."""
    start = perf_counter()
    with pytest.raises(InputError, match=says) as raised:
        yield
    assert perf_counter() - start < 1
    assert str(raised.value).isprintable()
    assert len(str(raised.value)) < 250


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
@pytest.mark.parametrize("whole", ["", "3", "3 ", "3-"])
def test_a_vulgar_fraction_stands_for_its_numbers(sign: str, whole: str) -> None:
    expected = (3 if whole else 0) + Fraction(*SIGNS[sign])
    text = f'{whole}{sign}"'
    if whole == "3-":
        with refused("read “3-"):
            parse_length(text)
        return

    assert parse_length(text) == Length(half_even(expected * INCH))


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
    assert PINT.Quantity(Fraction(1), name).to("nm").magnitude == factor
    assert parse_length(f"1 {'in' if name == 'inch' else name}").nm == factor


# -- what is never guessed ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["22", "0.875", "7/8", "1 1/4", "1-1/4", "⅞", ".5", "22,5"])
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
        "1..5 in", "in", "22 mm mm", "22 mm 3", "mm 22", "22 mm, 3", "1' 2\"", "22 m m", "22 in;", "$(ls) in", "١٢ mm",
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
@pytest.mark.parametrize("shape", ["{}22 mm", "2{}2 mm", "22{} mm", "22 {}mm", "22 m{}m", "22 mm{}"])
def test_a_control_or_hidden_character_is_refused_wherever_it_stands(sign: str, shape: str) -> None:
    with refused(f"read “.*\\\\u{ord(sign):04x}"):
        parse_length(shape.format(sign))
    with refused(f"read “.*\\\\u{ord(sign):04x}"):
        read_limits(f"{shape.format(sign)} +0.1 -0.1")


@pytest.mark.parametrize("text", ["", " ", "   \u00a0"])
def test_nothing_at_all_is_told_as_nothing(text: str) -> None:
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


def told(read: Callable[[str], object], text: str) -> str:
    """What is said of a text that is refused; empty when it is read."""
    try:
        read(text)
    except InputError as error:
        return str(error)
    return ""


@given(st.text(max_size=60))
def test_any_text_at_all_is_read_or_refused_in_one_line(text: str) -> None:
    for read in (parse_length, read_limits):
        message = told(read, text)
        assert len(message.splitlines()) <= 1
        assert message.isprintable()


@given(st.text('0123456789/-., ½⁄+±inmthouc"', max_size=40))
def test_any_text_of_the_grammars_own_signs_is_read_or_refused(text: str) -> None:
    for read in (parse_length, read_limits):
        message = told(read, text)
        assert not message or "read “" in message or "nothing was given" in message


def test_the_message_names_the_figure() -> None:
    with refused("^hub length: read “22” without a unit"):
        parse_length("22", "hub length")


# -- limits ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "nominal", "lower", "upper"),
    [
        ("1 in +0.001 -0.000", INCH, INCH, INCH + THOU),
        ("1 in -0.000 +0.001", INCH, INCH, INCH + THOU),
        ("1 in +0.001/-0.000", INCH, INCH, INCH + THOU),
        ("1 in +0.001 / -0", INCH, INCH, INCH + THOU),
        ("1 in +0.001 in -0.002 in", INCH, INCH - 2 * THOU, INCH + THOU),
        ('1" +1/64 -1/32', INCH, INCH - INCH // 32, INCH + INCH // 64),
        ("8 mm +0.018 -0.018", 8 * MM, 8 * MM - 18_000, 8 * MM + 18_000),
        ("8 mm ±0.018", 8 * MM, 8 * MM - 18_000, 8 * MM + 18_000),
        ("8 mm +/-0.018", 8 * MM, 8 * MM - 18_000, 8 * MM + 18_000),
        ("8 mm +- 0,018 mm", 8 * MM, 8 * MM - 18_000, 8 * MM + 18_000),
        ("25 mm +0.021 0", 25 * MM, 25 * MM, 25 * MM + 21_000),
        ("25 mm 0 +0.021", 25 * MM, 25 * MM, 25 * MM + 21_000),
        ("25mm+0.021-0", 25 * MM, 25 * MM, 25 * MM + 21_000),
        ("8 mm -0.015 -0.051", 8 * MM, 8 * MM - 51_000, 8 * MM - 15_000),
        ("8 mm +0.098 +0.040", 8 * MM, 8 * MM + 40_000, 8 * MM + 98_000),
        ("8 mm \u22120.015 \u22120.051", 8 * MM, 8 * MM - 51_000, 8 * MM - 15_000),
        ("875 thou +1 -0", 875 * THOU, 875 * THOU, 876 * THOU),
        ("2.5 cm +0.01 -0", 25 * MM, 25 * MM, 25 * MM + 100_000),
    ],
)
def test_deviations_are_in_the_unit_of_the_size(text: str, nominal: int, lower: int, upper: int) -> None:
    written = read_limits(text)

    assert written.limits == Limits(Length(nominal), Length(lower), Length(upper))
    assert written.toleranced


@given(
    st.integers(1000, 99_999),
    st.integers(-9999, 9999),
    st.integers(-9999, 9999),
    st.sampled_from([("in", INCH, System.INCH), ("mm", MM, System.METRIC)]),
)
def test_limits_lie_by_their_deviations_from_the_nominal(
    size: int, one: int, other: int, unit: tuple[str, int, System]
) -> None:
    word, factor, system = unit
    text = f"{Fraction(size, 1000)} {word}" if size % 7 == 0 else f"{size // 1000}.{size % 1000:03d} {word}"
    deviations = " ".join(f"{'-' if d < 0 else '+'}0.{abs(d):04d}" for d in (one, other))
    nominal = Fraction(size, 1000) * factor
    low, high = (half_even(Fraction(d, 10_000) * factor) for d in sorted((one, other)))
    assume(half_even(nominal) + low > 0)

    limits, read_system, toleranced = read_limits(f"{text} {deviations}")

    assert limits == Limits(*(Length(half_even(nominal) + d) for d in (0, low, high)))
    assert (read_system, toleranced) == (system, True)
    assert limits.spread == Length(high - low)


def test_a_size_alone_has_limits_of_no_width_and_is_told_apart() -> None:
    limits, system, toleranced = read_limits("1-1/4 in")

    assert limits == Limits.exactly(Length(31_750_000))
    assert limits.spread == Length(0)
    assert (system, toleranced) == (System.INCH, False)
    assert read_limits("1-1/4 in +0 -0").toleranced


@pytest.mark.parametrize(
    "text",
    [
        "1 in +0.001", "1 in 0.001", "1 in 0.001 -0.001", "1 in +0.001 -0.001 +0", "1 in ±0.001 -0", "1 in ±",
        "1 in +0.001 mm -0.001 mm", "1 in +-", "1 in 0", "1 in 0 1/64 -1/64", "1 in 0-1/64 -1/64", "1 in to 2 in",
        "1 in - 2 in", "1 in +1e-3 -0", "1 in +0.001 - 0.001x", "1 in H7", "1 in +.001 -.001;",
    ],
)  # fmt: skip
def test_deviations_that_are_not_both_there_are_refused(text: str) -> None:
    with refused("after the size write both deviations in its unit, for example 1 in \\+0.001 -0.000"):
        read_limits(text)


def test_a_deviation_with_an_ambiguous_comma_is_refused_too() -> None:
    with refused("could be 1.000 or 1000"):
        read_limits("25 mm +1,000 -0")


def test_a_lower_limit_must_be_above_zero_and_an_upper_one_within_ten_metres() -> None:
    assert read_limits("1 mm +0 -0.999999").limits.lower == Length(1)
    assert read_limits("9 m +1 -0").limits.upper == Length(TEN_METRES)
    with refused("the lower limit must be above zero"):
        read_limits("1 mm +0 -1")
    with refused("the upper limit must not be over 10 m"):
        read_limits("9 m +1.000000001 -0")


def test_limits_may_be_written_in_eighty_characters_and_no_more() -> None:
    text = "1 in +0.001 -" + "0" * 67
    assert len(text) == 80
    assert read_limits(text).limits.upper == Length(INCH + THOU)
    with refused("at most 80 characters"):
        read_limits(text + "0")


def test_limits_hold_their_ends_and_nothing_a_nanometre_beyond() -> None:
    limits = Limits(Length(5), Length(10), Length(20))

    assert [nm for nm in range(8, 23) if Length(nm) in limits] == list(range(10, 21))


def test_limits_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(InputError, match="the lower limit must not be above the upper limit"):
        Limits(Length(15), Length(20), Length(10))


# -- writing and showing ---------------------------------------------------------------------------------------


@given(lengths)
def test_what_is_written_reads_back_as_the_same_length(length: Length) -> None:
    assert parse_length(write_exact(length)) == length


@given(st.integers(1, 393 * 10**6).map(lambda millionths: Length.inches(Fraction(millionths, 10**6))))
def test_millionths_of_an_inch_read_back_as_the_same_length(length: Length) -> None:
    assert parse_length(write_exact(length)) == length


@pytest.mark.parametrize(
    ("nm", "text"),
    [(INCH, "1 in"), (MM, "1 mm"), (254_000, "0.01 in"), (127 * MM, "5 in"), (1, "0.000001 mm"), (22_225_000, "0.875 in"),
     (396_875, "0.015625 in"), (-THOU, "-0.001 in"), (0, "0 in")],
)  # fmt: skip
def test_a_length_is_written_in_the_unit_that_takes_fewer_signs(nm: int, text: str) -> None:
    assert write_exact(Length(nm)) == text


@given(st.integers(-TEN_METRES, TEN_METRES))
def test_shown_decimals_are_the_nearest_with_ties_to_even(nm: int) -> None:
    shown_inch, shown_mm = show(Length(nm), Units.INCH), show(Length(nm), Units.MM)

    assert shown_inch.endswith(" in")
    assert shown_mm.endswith(" mm")
    assert Fraction(shown_inch[:-3]) == Fraction(half_even(Fraction(nm * 10_000, INCH)), 10_000)
    assert Fraction(shown_mm[:-3]) == Fraction(half_even(Fraction(nm, 1000)), 1000)
    assert len(shown_inch[:-3].split(".")[1]) == 4
    assert len(shown_mm[:-3].split(".")[1]) == 3


@pytest.mark.parametrize(
    ("nm", "inch", "mm"),
    [(1270, "0.0000 in", "0.001 mm"), (3810, "0.0002 in", "0.004 mm"), (500, "0.0000 in", "0.000 mm"),
     (1500, "0.0001 in", "0.002 mm"), (-1270, "0.0000 in", "-0.001 mm"), (22_225_000, "0.8750 in", "22.225 mm")],
)  # fmt: skip
def test_half_of_the_last_place_goes_to_the_even_figure(nm: int, inch: str, mm: str) -> None:
    assert (show(Length(nm), Units.INCH), show(Length(nm), Units.MM)) == (inch, mm)


@given(st.integers(1, 64 * 300))
def test_sixty_fourths_are_shown_as_fractions_in_lowest_terms(sixty_fourths: int) -> None:
    length = Length(sixty_fourths * INCH // 64)

    shown = show(length, Units.FRACTION)

    assert parse_length(shown) == length
    fraction = shown[:-3].split("-")[-1]
    if "/" in fraction:
        over, under = map(int, fraction.split("/"))
        assert Fraction(over, under).denominator == under


@pytest.mark.parametrize(
    ("nm", "text"),
    [(31_750_000, "1-1/4 in"), (22_225_000, "7/8 in"), (2 * INCH, "2 in"), (396_875, "1/64 in"),
     (-31_750_000, "-1-1/4 in"), (396_876, "0.0156 in"), (0, "0 in"), (8 * MM, "0.3150 in")],
)  # fmt: skip
def test_what_is_no_sixty_fourth_is_shown_in_decimals(nm: int, text: str) -> None:
    assert show(Length(nm), Units.FRACTION) == text


# -- arithmetic ------------------------------------------------------------------------------------------------


@given(st.integers(), st.integers(), st.integers(-1000, 1000))
def test_lengths_add_and_compare_as_whole_nanometres(one: int, other: int, times: int) -> None:
    assert Length(one) + Length(other) == Length(one + other)
    assert Length(one) - Length(other) == Length(one - other)
    assert Length(one) * times == Length(one * times)
    assert -Length(one) == Length(-one)
    assert abs(Length(one)) == Length(abs(one))
    assert (Length(one) < Length(other)) == (one < other)
    assert bool(Length(one)) == (one != 0)


def test_ten_shims_of_a_tenth_make_exactly_one_millimetre() -> None:
    assert sum((Length.mm("0.1") for _ in range(10)), Length(0)) == Length.mm(1)
    assert Length.inches("0.1") * 3 == Length.inches("0.3")
