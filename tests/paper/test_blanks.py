"""Sheets to measure a box of tools with: what is on them, and that nothing of it is lost."""

from __future__ import annotations

import pypdfium2
import pytest

from broachplan.errors import InputError
from broachplan.paper.blanks import blanks_pdf
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES
from tests.paper.pages import DOTS_PER_INCH, pictures

# ISO 216: A4 is 210 x 297 mm; letter is 8.5 x 11 in.
SIZES = {"a4": (210 / 25.4, 297 / 25.4), "letter": (8.5, 11.0)}


def words_of(pdf: bytes) -> list[str]:
    """The words on each page, on one line."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]
    finally:
        document.close()


@pytest.mark.parametrize("page", SIZES)
def test_a_sheet_says_of_every_figure_how_to_take_it_and_has_a_column_for_it(page: str) -> None:
    data, count = blanks_pdf(list(Kind), page)
    pages = words_of(data)
    assert len(pages) == count
    for kind in Kind:
        its = " ".join(each for each in pages if each.startswith(kind.plural.capitalize()))
        for figure in FIGURES[kind]:
            # Once over its drawing and once over its column.
            assert its.count(figure.label) >= 2, (kind, figure.name)
            assert figure.how[1:20] in its
            assert not figure.needed or f"{figure.label} *" in its
        assert "tag" in its
        assert "in or mm" in its
        assert "…" not in its
    assert data == blanks_pdf(list(Kind), page)[0]


@pytest.mark.parametrize("page", SIZES)
def test_a_printer_that_leaves_a_rim_white_loses_nothing(page: str) -> None:
    rim = round(0.4 * DOTS_PER_INCH)
    for picture in pictures(blanks_pdf(list(Kind), page)[0]):
        assert picture.size == pytest.approx([inches * DOTS_PER_INCH for inches in SIZES[page]], abs=1)
        inked = picture.point(lambda grey: 255 - grey).getbbox()
        assert inked is not None
        assert min(inked[0], inked[1], picture.width - inked[2], picture.height - inked[3]) >= rim


def test_a_page_that_is_none_is_refused_by_name() -> None:
    with pytest.raises(InputError, match="read “a5”; there are: a4, letter"):
        blanks_pdf([Kind.PIN], "a5")
