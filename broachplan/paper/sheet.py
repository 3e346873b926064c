"""A PDF in the making: the same drawing gives the same bytes, and a viewer is asked to print it at its own size."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas


class PdfPages:
    """Pages of one size; ``pen`` draws on the page that is open, in points from its lower left corner."""

    def __init__(self, page_size: tuple[float, float], title: str) -> None:
        from reportlab.pdfgen.canvas import Canvas

        self._bytes = BytesIO()
        self.pen: Canvas = Canvas(self._bytes, pagesize=page_size, invariant=1, pageCompression=1)
        self.pen.setTitle(title)
        self.pen.setCreator("broachplan")
        self.pen.setViewerPreference("PrintScaling", "None")

    def next_page(self) -> None:
        """Close the page that is open; the next begins with what is drawn on it."""
        self.pen.showPage()

    def done(self) -> bytes:
        """The whole file."""
        self.pen.save()
        return self._bytes.getvalue()
