"""A sheet on paper: all its lines, in their order, and no heading alone at the foot of a page."""

from __future__ import annotations

import re

import pypdfium2
import pytest

from broachplan.errors import InputError
from broachplan.paper.sheet_pages import COLUMNS, sheet_pdf
from broachplan.sheets.layout import lay_out
from broachplan.sheets.result import ResultSheet, Sentence, SheetBlock


def pages_of(data: bytes) -> list[list[str]]:
    """The lines of each page, without those at its foot."""
    document = pypdfium2.PdfDocument(data)
    found = []
    for page in document:
        lines = page.get_textpage().get_text_bounded().replace("\r", "").split("\n")
        found.append([line.strip() for line in lines if line.strip() and not line.startswith("page ")])
    return found


@pytest.mark.parametrize("page", ["letter", "a4"])
def test_every_line_is_on_a_page_and_no_heading_is_parted_from_what_is_below_it(page: str) -> None:
    blocks = tuple(
        SheetBlock(
            f"Heading {at}", tuple(Sentence(f"line {at} {line}, 0.5515 in") for line in range(at % 7 + 1))
        )
        for at in range(40)
    )
    sheet = ResultSheet("A long sheet", "long", blocks)

    data, count = sheet_pdf(sheet, page)
    pages = pages_of(data)

    assert len(pages) == count > 2
    said = ["A long sheet", *(line.text.strip() for line in lay_out(sheet, COLUMNS) if line.text)]
    assert [line for each in pages for line in each] == said
    assert not [each[-1] for each in pages if re.match("Heading", each[-1])]


def test_a_page_that_nobody_knows_is_refused() -> None:
    with pytest.raises(InputError, match="page: read “a9”; there are: a4, letter"):
        sheet_pdf(ResultSheet("A", "A", ()), "a9")
