"""The lines of the machinist's form: what each is called and what it may hold.

Nothing of the trade is loaded here: the first screen shows these lines before anything is checked.
"""

from __future__ import annotations

from typing import NamedTuple

LABEL_WIDTH = 16


class Field(NamedTuple):
    """One line of the form; with ``choices`` (value and word) it is a choice, else it is typed in."""

    name: str
    label: str
    hint: str = ""
    needed: bool = False
    choices: tuple[tuple[str, str], ...] = ()

    @property
    def at_first(self) -> str:
        """What stands in the line before anything is typed."""
        return f"‹ {self.choices[0][1]} ›" if self.choices else self.hint


_STANDARDS = (
    ("", "as the bore"),
    ("inch", "inch, ASME B17.1"),
    ("metric", "metric, ISO 773"),
    ("woodruff", "Woodruff inch"),
    ("woodruff-metric", "Woodruff metric"),
)
_SHAPES = (("", "by the table"), ("square", "square"), ("rectangular", "rectangular"), ("taper", "taper"))
_FITS = (
    ("", "usual"),
    ("1", "class 1, inch"),
    ("2", "class 2, inch"),
    ("close", "close, metric"),
    ("normal", "normal, metric"),
    ("free", "free, metric"),
)
_BORE_FORMS = (("", "through"), ("blind", "blind"), ("tapered", "tapered"))

FIELDS: tuple[Field, ...] = (
    Field("bore", "Bore", "(as 1 in +0.001 -0)", needed=True),
    Field("hub_length", "Hub length", "(as 1-1/2 in)", needed=True),
    Field("key", "Key", "(the table's)"),
    Field("keyway_width", "Keyway width", "(the fit's limits)"),
    Field("reading", "Reading T", "(the table's)"),
    Field("aim", "Aim", "(middle)"),
    Field("standard", "Standard", choices=_STANDARDS),
    Field("shape", "Key shape", choices=_SHAPES),
    Field("fit", "Fit", choices=_FITS),
    Field("no_top_clearance", "Top clearance", choices=(("", "yes"), ("no", "none (DIN 6885-1)"))),
    Field("hub_od", "Hub outside", "(not known)"),
    Field("hardness", "Hardness", "(as 28 HRC)"),
    Field("material", "Material", "(not named)"),
    Field("stack", "Hubs stacked", "(1)"),
    Field("bore_form", "Bore form", choices=_BORE_FORMS),
    Field("press", "Press", "(the smallest)"),
    Field("on", "Day", "(as 2026-03-09)"),
)
