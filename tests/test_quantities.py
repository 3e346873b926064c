"""Forces and areas: read exactly through Pint, written to be read again, and never from raw text."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from time import perf_counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.lengths import Units
from broachplan.quantities import Area, Force, parse_area, parse_force, show_force, write_area, write_force
from tests.pints_own import pint_quantity

# The pound is 0.45359237 kg (1959) and standard gravity 9.80665 m/s2 (CGPM 1901): 1 lbf = 4.4482216152605 N exactly.
LBF_IN_N = Fraction(45_359_237, 10**8) * Fraction(980_665, 10**5)
IN2_IN_MM2 = Fraction(254, 10) ** 2
FORCES = {"kN": Fraction(1000), "N": Fraction(1), "lbf": LBF_IN_N}
AREAS = {"mm^2": Fraction(1), "mm²": Fraction(1), "in^2": IN2_IN_MM2, "in²": IN2_IN_MM2}

decimals = st.tuples(st.integers(0, 10**6), st.text("0123456789", min_size=1, max_size=6))


def value_of(parts: tuple[int, str]) -> Fraction:
    return parts[0] + Fraction(int(parts[1]), 10 ** len(parts[1]))


def test_a_pound_force_is_exactly_4_4482216152605_newtons() -> None:
    assert Fraction("4.4482216152605") == LBF_IN_N
    assert parse_force("10000000000 lbf") == Force(44_482_216_152_605)


def test_a_square_inch_is_exactly_645_16_square_millimetres() -> None:
    assert parse_area("1 in^2") == Area(645_160_000_000_000)
    assert parse_area("1000 in²") == Area(645_160_000_000_000_000)
    # There is no float behind the factor: 24 digits more come out as well.
    assert parse_area("1000000000000 in^2") == Area(64_516 * 10**22)


@pytest.mark.parametrize(("name", "factor"), [("kilonewton", 1000), ("newton", 1), ("pound_force", LBF_IN_N)])
def test_pints_own_definitions_agree_on_force(name: str, factor: Fraction) -> None:
    quantity = pint_quantity()

    assert quantity(Fraction(1), name).to("newton").magnitude == factor
    assert quantity(Fraction(1), "inch ** 2").to("mm ** 2").magnitude == IN2_IN_MM2


@given(decimals, st.sampled_from(sorted(FORCES)))
def test_a_force_is_read_to_the_nearest_millinewton(parts: tuple[int, str], unit: str) -> None:
    newtons = value_of(parts) * FORCES[unit]
    text = f"{parts[0]}.{parts[1]} {unit}"
    if round(newtons * 1000) == 0:
        with pytest.raises(InputError, match="must be above zero"):
            parse_force(text)
        return

    force = parse_force(text)

    assert abs(force.mn - newtons * 1000) <= Fraction(1, 2)
    assert force.newtons == force.mn / 1000


@given(decimals, st.sampled_from(sorted(AREAS)))
def test_an_area_is_read_to_the_nearest_square_nanometre(parts: tuple[int, str], unit: str) -> None:
    mm2 = value_of(parts) * AREAS[unit]
    text = f"{parts[0]}.{parts[1]}{unit}"
    if mm2 == 0:
        with pytest.raises(InputError, match="must be above zero"):
            parse_area(text)
        return

    assert abs(parse_area(text).nm2 - mm2 * 10**12) <= Fraction(1, 2)


@given(st.integers(1, 10**18))
def test_a_written_force_reads_back_as_the_same_force(mn: int) -> None:
    assert parse_force(write_force(Force(mn))) == Force(mn)


@given(st.integers(1, 10**24))
def test_a_written_area_reads_back_as_the_same_area(nm2: int) -> None:
    assert parse_area(write_area(Area(nm2))) == Area(nm2)


@pytest.mark.parametrize(
    ("text", "mn"), [("30 kN", 30_000_000), ("30kn", 30_000_000), ("500 N", 500_000), (" .5 N ", 500), ("6000 LBF", 26_689_330)]
)  # fmt: skip
def test_the_three_units_of_force_are_read_in_either_case(text: str, mn: int) -> None:
    assert parse_force(text) == Force(mn)


@pytest.mark.parametrize("text", ["3 ton", "3 tons", "3 t", "3 TON", "3ton", "ton"])
def test_a_bare_ton_is_refused_for_there_are_three(text: str) -> None:
    with pytest.raises(InputError) as refused:
        parse_force(text, "rated force")
    assert str(refused.value) == (
        f"rated force: read “{text}”; there are three tons: "
        "write short ton (2,000 lbf), long ton (2,240 lbf) or tonne (2,204.6 lbf)"
    )


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("20 short tons", "force_ton"), ("1 Short Ton", "force_ton"), ("2.5 short-ton", "force_ton"),
        ("12 long tons", "UK_force_ton"), ("1 long ton", "UK_force_ton"),
        ("30 tonnes", "force_metric_ton"), ("1 tonne", "force_metric_ton"), ("3 metric tons", "force_metric_ton"),
    ],
)  # fmt: skip
def test_a_ton_that_says_which_is_the_force_that_pint_knows_by_that_name(text: str, unit: str) -> None:
    number = Fraction(text.partition(" ")[0])

    assert parse_force(text).mn == round(pint_quantity()(number, unit).to("newton").magnitude * 1000)


def test_the_three_tons_are_those_of_the_handbooks() -> None:
    # 2,000 lbf and 2,240 lbf; 1,000 kgf of 9.80665 N (BIPM, SI brochure: standard gravity).
    assert parse_force("1 short ton") == parse_force("2000 lbf")
    assert parse_force("1 long ton") == parse_force("2240 lbf")
    assert parse_force("1 tonne") == parse_force("9806.65 N")
    assert parse_force("1 tonne").newtons == pytest.approx(parse_force("2204.6 lbf").newtons, rel=2e-5)


@pytest.mark.parametrize(
    "text",
    ["", "30", "kN", "-3 kN", "+3 kN", "3e3 N", "3,5 kN", "9**9**9 N", "3 kgf", "3 kN/m", "1/2 kN", "3 mm^2", "30\nkN",
     "30 kN\t", "\x1b30 kN", "٣ N", "30 k\u200bN", "3 kN kN", "nan N", "inf N", "9" * 5000 + " N", " " * 5000 + "1 N"],
)  # fmt: skip
def test_what_is_no_number_and_unit_is_refused_in_one_line_within_a_second(text: str) -> None:
    start = perf_counter()
    with pytest.raises(
        InputError, match="write a number and its unit, for example 30 kN, 500 N or 6000 lbf"
    ) as one:
        parse_force(text)
    with pytest.raises(InputError, match=r"for example 0.012 in\^2 or 7.5 mm\^2") as other:
        parse_area(text.replace("3 mm^2", "3 N"))
    assert perf_counter() - start < 1
    assert str(one.value).isprintable()
    assert str(other.value).isprintable()


@pytest.mark.parametrize("text", ["0 N", "0.0004 N", "2000000000000000 N"])
def test_a_force_of_nothing_or_of_no_size_that_exists_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="it must be above zero and of a size that exists"):
        parse_force(text)


def test_a_force_is_shown_in_pounds_beside_inches_and_kilonewtons_beside_millimetres() -> None:
    # 6048.375 N / 4.4482216152605 N = 1359.7 lbf
    assert show_force(6048.375, Units.INCH) == "1,360 lbf"
    assert show_force(6048.375, Units.FRACTION) == "1,360 lbf"
    assert show_force(6048.375, Units.MM) == "6.05 kN"


def test_pint_is_not_loaded_before_a_quantity_is_read() -> None:
    code = (
        "import sys\n"
        "from broachplan.quantities import parse_force, write_force, Force\n"
        "write_force(Force(1))\n"
        "print('pint' in sys.modules)\n"
        "parse_force('1 N')\n"
        "print('pint' in sys.modules)\n"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert ran.stdout.split() == ["False", "True"]
