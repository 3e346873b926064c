"""Drawings of pieces to make: dimensions read back from both forms, outlines that close, sizes true to scale."""

from __future__ import annotations

import re
from math import hypot, pi
from xml.etree import ElementTree

import pypdfium2
import pytest
from shapely import Point as Spot
from shapely import Polygon, box

from broachplan.lengths import Length, Units
from broachplan.paper.drawing_files import drawing_pdf, drawing_svg
from broachplan.paper.drawn_page import Blackened, DrawnPage, Stroke, Words, drawn_page
from broachplan.paper.lettering import ASCENT, DESCENT, Font, width_of
from broachplan.paper.pages import page_size
from broachplan.paper.piece_drawing import Edge, Outline, PieceDrawing, Point, straight
from broachplan.paper.pieces_to_make import can_be_drawn, part_of
from broachplan.planner.answer import Make
from broachplan.tooling.figures import Kind

MM, IN = Length.mm, Length.inches
SVG = "{http://www.w3.org/2000/svg}"
# From a quarter of an inch to nearly three.
BORES = ("1/4", "5/8", "1-1/8", "2-3/4")
FIGURES_NM = {Units.INCH: 25_400_000, Units.MM: 1_000_000}
SHORTEST = {"outside_diameter": "Ø ", "slot_width": "slot ", "web": "web ", "length": "length "}


def bushing(bore: str) -> Make:
    """A bushing a thou under its bore; slot a quarter of it, web a little less than half."""
    size = Length(sum(IN(part).nm for part in bore.split("-")))
    best = {
        "outside_diameter": size - IN("0.001"),
        "slot_width": Length(size.nm // 4),
        "web": Length(size.nm * 9 // 20),
        "length": Length(size.nm * 5 // 4),
        "collar_height": IN("1/8"),
    }
    near = Length(27_305)
    limits = {name: (length - near, length + near) for name, length in best.items()}
    return Make(Kind.BUSHING, limits, best, "turn and slot a bushing for broach K: 3 passes")


def shim(thickness: str) -> Make:
    best = {"thickness": MM(thickness), "width": MM("6.3")}
    limits = {name: (length - MM("0.0123"), length + MM("0.0117")) for name, length in best.items()}
    return Make(Kind.SHIM, limits, best, "cut for broach K in bushing G: then 4 passes")


CASES = [
    *((bushing(bore), units) for bore in BORES for units in FIGURES_NM),
    *((shim(thickness), units) for thickness in ("0.25", "2.5") for units in FIGURES_NM),
]


def part(make: Make, units: Units = Units.INCH) -> PieceDrawing:
    return part_of(make, MM(30), units, "For job J-1: bore 1 in, 2 hubs, due 2031-05-28")


def pages() -> list[DrawnPage]:
    return [
        drawn_page(part(make, units), page_size(page)) for make, units in CASES for page in ("a4", "letter")
    ]


def texts_of_svg(data: bytes) -> list[str]:
    return [each.text or "" for each in ElementTree.fromstring(data).iter(f"{SVG}text")]


def text_of_pdf(data: bytes) -> str:
    document = pypdfium2.PdfDocument(data)
    try:
        return " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)
    finally:
        document.close()


def read_back(text: str, before: str, unit_nm: int) -> tuple[float, float]:
    """The two limits that stand behind a word, in nm."""
    found = re.search(rf"{before}([0-9.]+) to ([0-9.]+) (?:in|mm)", text)
    assert found, (before, text)
    return float(found[1]) * unit_nm, float(found[2]) * unit_nm


@pytest.mark.parametrize(("make", "units"), CASES)
def test_the_limits_read_back_from_both_forms_are_those_of_the_piece(make: Make, units: Units) -> None:
    page = drawn_page(part(make, units), page_size("a4"))
    names = {**SHORTEST, "collar_height": "collar ", "thickness": "thick ", "width": "wide "}

    for text in (" ".join(texts_of_svg(drawing_svg([page]))), text_of_pdf(drawing_pdf([page], "to make"))):
        for name, (lower, upper) in make.limits.items():
            low, high = read_back(text, names[name], FIGURES_NM[units])
            # What is read lies within the limits, and no farther within than a tenth of a thou or two micrometres.
            assert -0.001 <= low - lower.nm < 2_600, (name, text)
            assert -0.001 <= upper.nm - high < 2_600, (name, text)


def test_outlines_that_do_not_close_cannot_be_described() -> None:
    with pytest.raises(ValueError, match="an outline breaks off at"):
        Outline(straight(Point(0, 0), Point(1, 0), Point(1, 1)))
    Outline(straight(Point(0, 0), Point(1, 0), Point(1, 1), Point(0, 0)))


@pytest.mark.parametrize("bore", BORES)
def test_the_end_of_a_bushing_is_its_circle_less_the_slot_down_to_the_web(bore: str) -> None:
    make = bushing(bore)
    size = {name: length.nm / 1_000_000 for name, length in make.best.items()}
    radius, half = size["outside_diameter"] / 2, size["slot_width"] / 2
    slot = box(-half, size["web"] - radius, half, 2 * radius)
    expected = Spot(0, 0).buffer(radius, quad_segs=200).difference(slot)

    body, ring = (
        Polygon([tuple(p) for edge in outline.edges for p in edge.points(pi / 720)])
        for outline in part(make).views[0].outlines
    )

    assert body.is_valid
    assert ring.is_valid
    assert body.symmetric_difference(expected).area < 1e-4 * expected.area
    assert body.intersection(ring).area < 1e-4 * body.area
    assert body.bounds[1] == pytest.approx(-radius)


@pytest.mark.parametrize("bore", BORES)
def test_the_section_cuts_web_and_collar_and_leaves_the_slot_open(bore: str) -> None:
    make = bushing(bore)
    size = {name: length.nm / 1_000_000 for name, length in make.best.items()}
    cut, beyond = (
        Polygon([tuple(p) for edge in outline.edges for p in edge.points()])
        for outline in part(make).views[1].outlines
    )

    assert cut.intersection(box(0, -99, 999, 99)).area == pytest.approx(size["web"] * size["length"])
    assert cut.touches(beyond)
    assert cut.bounds[2] - cut.bounds[0] == pytest.approx(size["length"] + size["collar_height"])


def arrow_tips(page: DrawnPage) -> list[Point]:
    return [mark.points[0] for mark in page.marks if isinstance(mark, Blackened)]


def test_a_part_that_has_room_is_drawn_as_large_as_it_is_and_others_at_the_scale_that_is_named() -> None:
    for make, units in CASES:
        described = part(make, units)
        page = drawn_page(described, page_size("letter"))
        said = next(m.text for m in page.marks if isinstance(m, Words) and m.text.startswith("SCALE"))
        scale = re.match(r"SCALE (\d+):(\d+)", said)
        assert scale is not None
        per_mm = 72 / 25.4 * int(scale[1]) / int(scale[2])
        tips = arrow_tips(page)
        spans = [hypot(b.x - a.x, b.y - a.y) for a, b in zip(tips[::2], tips[1::2], strict=True)]
        expected = [
            (abs(d.end.y - d.start.y) if d.side == "right" else abs(d.end.x - d.start.x)) * per_mm
            for view in described.views
            for d in view.dimensions
        ]
        if "thicker than it is" not in said:
            assert spans == pytest.approx(expected, abs=0.01)
        assert page.true_size is said.startswith("SCALE 1:1")
    assert drawn_page(part(bushing("1-1/8")), page_size("a4")).true_size
    assert not drawn_page(part(bushing("1/4")), page_size("a4")).true_size


def test_nothing_leaves_the_page_and_no_words_run_over_others() -> None:
    for page in pages():
        words = [mark for mark in page.marks if isinstance(mark, Words)]
        boxes = [
            box(
                w.at.x,
                w.at.y - DESCENT * w.size * 0.8,
                w.at.x + width_of(w.text, Font.WORDS, w.size),
                w.at.y + ASCENT * w.size * 0.9,
            )
            for w in words
        ]
        inside = box(18, 18, page.width - 18, page.height - 18)
        assert all(inside.contains(each) for each in boxes)
        strokes = [m for m in page.marks if isinstance(m, Stroke)]
        assert all(inside.contains(Spot(p)) for stroke in strokes for p in stroke.points)
        for at, one in enumerate(boxes):
            for other, its in zip(boxes[at + 1 :], words[at + 1 :], strict=True):
                assert not one.intersects(other), (words[at].text, its.text)


def test_each_drawing_says_what_is_free_whose_figures_have_no_source_and_who_decides() -> None:
    for make, units in CASES:
        said = " ".join(texts_of_svg(drawing_svg([drawn_page(part(make, units), page_size("a4"))])))
        assert "Break all edges" in said
        assert "Material: free for the shop to choose." in said
        assert "ommon practice, no source." in said
        assert "Check these figures with the shop's responsible person" in said
        assert make.text[1:] in said


def test_the_same_part_gives_the_same_bytes() -> None:
    def made() -> tuple[bytes, bytes]:
        page = [drawn_page(part(bushing("5/8")), page_size("a4"))]
        return drawing_svg(page), drawing_pdf(page, "to make")

    assert made() == made()


def test_a_broach_is_bought_and_not_drawn() -> None:
    assert not can_be_drawn(Make(Kind.BROACH, {}, {}, "a broach"))
    assert can_be_drawn(shim("1"))


def test_an_arc_runs_the_way_that_is_asked() -> None:
    quarter = Edge(Point(1, 0), Point(0, 1), Point(0, 0))

    assert quarter.sweep == pytest.approx(pi / 2)
    assert Edge(Point(1, 0), Point(0, 1), Point(0, 0), clockwise=True).sweep == pytest.approx(-3 * pi / 2)
    assert all(hypot(*point) == pytest.approx(1) for point in quarter.points())
