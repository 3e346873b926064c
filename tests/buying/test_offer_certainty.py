"""How certain it is that one offer serves a job, and what is to be asked of the seller."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from broachplan.buying.how_sure import OfferCertainty, OfferJudge, least_certain
from broachplan.buying.limits import HowSure
from broachplan.buying.offered import stocked, trust_in
from broachplan.buying.offers import Between, Offer, OfferBook, OfferedPiece
from broachplan.buying.verdicts import Judge
from broachplan.crib.ahead import Snapshot
from broachplan.lengths import Length
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from broachplan.tooling.measures import number_of
from broachplan.tooling.pieces import Bushing
from tests.buying.shop import MONDAY, job, stock
from tests.planner.setups import MM, SetUp

DAY = MONDAY.replace(day=20)
NM = 1_000_000
THE_WEB = 12 * NM
CUTS = replace(SetUp().settings, make_shim_cost=500, make_shim_days=1)


def bushing(web: tuple[int, int] | None = None, **changed: int) -> OfferedPiece:
    """The set-up's bushing as it is offered."""
    of = SetUp().bushing
    assert of.outside_diameter is not None
    assert of.slot_width is not None
    figures = {"outside_diameter": of.outside_diameter.nm, "slot_width": of.slot_width.nm} | changed
    spans = {name: Between(nm, nm) for name, nm in figures.items()}
    return OfferedPiece.of(Kind.BUSHING, spans | ({"web": Between(*web)} if web else {}))


def certainty(
    piece: OfferedPiece, crib: Snapshot | None = None, settings: Settings | None = None, day: date = DAY
) -> OfferCertainty:
    """Of one offered piece for the set-up's job, in a crib without its bushing."""
    settings = settings or SetUp().settings
    book = OfferBook((Offer("it", (piece,), 100, 2),), currency="USD")
    found = stocked(crib or stock(bushings=0), book, MONDAY, likely=True)
    judge = Judge(found.crib, settings, MONDAY, trust=trust_in(found, settings, measure=True))
    return OfferJudge(judge, found).certainty(found.units[0], job(day=day))


def own(*webs: str) -> Snapshot:
    """A crib with bushings of like slot for another bore, 30 mm, of these webs."""
    like = SetUp().bushing
    others = tuple(
        Bushing(tag=f"D{at}", outside_diameter=MM(30), slot_width=like.slot_width, web=MM(web))
        for at, web in enumerate(webs)
    )
    crib = stock(bushings=0)
    return replace(crib, shelf=replace(crib.shelf, bushings=others))


def test_a_bushing_whose_web_is_given_is_sure() -> None:
    assert certainty(bushing((THE_WEB, THE_WEB))) == OfferCertainty(HowSure.SURE)


def test_a_web_that_leaves_the_reading_within_its_limits_at_both_ends_is_sure() -> None:
    # The plan reads 28.1 mm, its limits are 28.05 and 28.15 mm.
    assert certainty(bushing((THE_WEB - 50_000, THE_WEB + 50_000))).certainty is HowSure.SURE


def test_a_web_that_may_pass_the_limits_is_to_be_measured_and_the_values_that_do_are_said() -> None:
    found = certainty(bushing((THE_WEB - 60_000, THE_WEB + 60_000)))
    assert found.certainty is HowSure.MEASURE
    assert (THE_WEB - 50_000, THE_WEB + 50_000) in found.values["web"]


def test_a_shim_that_may_leave_the_limits_is_to_be_measured_and_its_thickness_is_said() -> None:
    # Two shims of 1 mm are there; with a third the reading is 27.2 mm and the third, and must be 28.05 to 28.15 mm.
    spans = {"thickness": Between(800_000, NM), "width": Between(7 * NM, 7 * NM)}
    crib = stock(shims=SetUp().shims[:2])
    found = certainty(OfferedPiece.of(Kind.SHIM, spans), crib)
    assert (found.certainty, found.values) == (HowSure.MEASURE, {"thickness": ((850_000, 950_000),)})


@pytest.mark.parametrize(
    ("name", "limits", "do"),
    [
        # A bore of 25 mm takes 24.873 to 25 mm; a broach 7 mm wide a slot of 7 to 7.1016 mm.
        ("outside_diameter", (24_980_000, 25_010_000), (24_980_000, 25_000_000)),
        ("slot_width", (6_990_000, 7_020_000), (7_000_000, 7_020_000)),
    ],
)
def test_a_bushing_that_may_not_fit_is_to_be_measured_and_what_fits_is_said(
    name: str, limits: tuple[int, int], do: tuple[int, int]
) -> None:
    found = certainty(bushing((THE_WEB, THE_WEB)).with_figure(name, Between(*limits)))
    assert (found.certainty, found.values) == (HowSure.MEASURE, {name: (do,)})


def test_a_tolerance_on_one_height_of_a_broach_alone_is_to_be_measured_at_best() -> None:
    of = SetUp().broach
    figures = {each.name: number_of(getattr(of, each.name)) for each in of.figures()}
    exact = {name: Between(number, number) for name, number in figures.items() if number is not None}
    both = {"first_tooth_height": 12 * NM, "last_tooth_height": 13_200_000}
    alike = {name: Between(nm - 5_000, nm + 5_000) for name, nm in both.items()}
    crib = stock(broaches=0)
    found = [
        certainty(OfferedPiece.of(Kind.BROACH, exact | some), crib).certainty
        for some in (alike, dict(list(alike.items())[:1]))
    ]
    assert found == [HowSure.SURE, HowSure.MEASURE]


def test_where_the_shop_cuts_shims_one_that_is_cut_to_measure_makes_it_sure() -> None:
    found = certainty(bushing((THE_WEB - 60_000, THE_WEB + 60_000)), settings=CUTS)
    assert found == OfferCertainty(HowSure.SHIM)


def test_a_shim_is_cut_after_receipt_and_is_there_the_day_after_that() -> None:
    # Ordered on Monday: the bushing comes on Wednesday, the shim is cut by Thursday, and used on Friday.
    unsure = bushing((THE_WEB - 60_000, THE_WEB + 60_000))
    found = [
        certainty(unsure, settings=CUTS, day=MONDAY + timedelta(days=days)).certainty for days in (2, 3, 4)
    ]
    assert found == [HowSure.NO, HowSure.MEASURE, HowSure.SHIM]


def test_a_web_that_is_wrong_at_every_value_is_no() -> None:
    assert certainty(bushing((THE_WEB + 2 * NM, THE_WEB + 3 * NM))).certainty is HowSure.NO


def test_a_web_that_is_not_given_is_never_guessed_and_what_would_do_is_said() -> None:
    found = certainty(bushing(), own("17.0", "17.0"))
    assert (found.certainty, found.ask, found.own) == (HowSure.NOT_JUDGED, ((Kind.BUSHING, "web"),), None)
    assert any(low <= THE_WEB <= high for low, high in found.values["web"])


def test_three_own_bushings_of_that_slot_say_which_web_is_likely() -> None:
    od = SetUp().bushing.outside_diameter
    assert od is not None
    # Outside diameter less web of the shop's own, 30 mm less its web, is that of the bushing wanted.
    depth = od - Length(THE_WEB)
    found = certainty(bushing(), own(*[str((30 * NM - depth.nm) / NM)] * 3))
    assert found.certainty is HowSure.LIKELY
    assert found.own is not None
    assert (found.own.tags, found.own.least, found.own.most) == (("D0", "D1", "D2"), depth.nm, depth.nm)
    assert any(low <= THE_WEB <= high for low, high in found.values["web"])


def test_a_bushing_that_goes_into_no_bore_is_no_whatever_else_is_not_given() -> None:
    assert certainty(bushing(outside_diameter=31 * NM)).certainty is HowSure.NO


@pytest.mark.parametrize("kind", [Kind.BROACH, Kind.SHIM])
def test_a_piece_of_which_nothing_is_given_is_not_judged(kind: Kind) -> None:
    found = certainty(OfferedPiece.of(kind, {}))
    assert found.certainty is HowSure.NOT_JUDGED
    assert {each for each, _ in found.ask} == {kind}


def test_the_least_certain_of_several_is_that_of_a_line() -> None:
    assert least_certain([HowSure.SHIM, HowSure.SURE]) is HowSure.SHIM
    assert least_certain([HowSure.LIKELY, HowSure.MEASURE]) is HowSure.LIKELY
