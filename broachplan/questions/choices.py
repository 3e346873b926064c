"""What a line offers to pick from: the value that is kept, and its word in a form."""

from __future__ import annotations

from broachplan.standards.named import OFFERED, OFFERED_SHAPES, Standard, one_of

STANDARD_NAMES = one_of(OFFERED)
STANDARDS = tuple((each.value, each.label) for each in OFFERED)
SHAPE_NAMES = one_of(OFFERED_SHAPES)
SHAPES = (("", "by the table"), *((each.value, each.value) for each in OFFERED_SHAPES))
FIT_NAMES = "Class 1 or 2 (inch); close, normal or free (metric)."
FITS = (
    ("", "usual"),
    *((fit.value, f"class {fit}, inch") for fit in Standard.INCH.fits),
    *((fit.value, f"{fit}, metric") for fit in Standard.METRIC.fits),
)
TOP_CLEARANCE = (("", "yes"), ("no", "none (DIN 6885-1)"))
BORE_FORMS = (("", "through"), ("blind", "blind"), ("tapered", "tapered"))
CONDITIONS = (
    ("", "not inspected yet"),
    ("fit", "fit for use"),
    ("worn", "worn"),
    ("unfit", "out of service"),
)
RETURN_CONDITIONS = (("", "inspect it first"), *CONDITIONS[1:], ("uninspected", "inspect it later"))
NO_OR_YES = (("", "no"), ("yes", "yes"))
ORDERS = (("", "fewer things to pick up"), ("loads", "each load whole"), ("passes", "all through each pass"))
WAYS = (
    ("", "inside, floor to far wall"),
    ("block", "over a block in the keyway"),
    ("wall", "depth at the side wall"),
    ("floor", "floor to floor"),
)
BROACH_CONDITIONS = (("", "the window inspects it"), *CONDITIONS[1:])
