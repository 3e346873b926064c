"""What is asked of a piece: its figures by their descriptions, and the words that are kept beside them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from broachplan.crib.records import Condition, Record
from broachplan.errors import InputError
from broachplan.questions import kinds
from broachplan.questions.acts import by_line, note_line, tag_line
from broachplan.questions.line import Line, ValueKind, chosen, line, lines_of, several
from broachplan.tooling.figures import KIND_NAMES, Figure, Kind, Quantity
from broachplan.tooling.measures import read_figure, write_figure
from broachplan.tooling.pieces import FIGURES, PIECES
from broachplan.tooling.web_over import is_over

YES = "yes"
_HINTS = {
    Quantity.LENGTH: "as 0.251 in, 30 mm",
    Quantity.AREA: "as 0.004 in^2",
    Quantity.FORCE: "as 30 kN, 5 short tons",
    Quantity.COUNT: "a whole number",
}
_KINDS = {
    Quantity.LENGTH: kinds.LENGTH,
    Quantity.AREA: kinds.AREA,
    Quantity.FORCE: kinds.FORCE,
    Quantity.COUNT: kinds.COUNT,
}


# A web may be a reading over a broach in the slot.
_OVER = "0.625 in, or 1.44 in over BR-1"


def _line(
    name: str,
    label: str,
    kind: ValueKind,
    help: str,
    hint: str = "",
    *,
    needed: bool = False,
    choices: Iterable[str] = (),
) -> Line:
    option, what = f"--{name.replace('_', '-')}", name.replace("_", " ")
    offered = tuple((each, each) for each in choices)
    return Line(name, label, kind, help, hint, needed, offered, option, what)


WORDS = (
    _line("set", "set", kinds.SET_NAME, "The marked box that it belongs to.", "(the marked box)"),
    _line("home", "home", kinds.PLACE, "Cabinet, drawer, place.", "(cabinet/drawer/place)"),
    _line("condition", "condition", kinds.CONDITION_KEPT, "fit, worn or unfit.", choices=Condition),
    _line("note", "note", kinds.NOTE, "A note on the piece."),
    _line("measured_with", "measured with", kinds.WITH_WHAT, "With what it was measured."),
    _line("measured_on", "measured on", kinds.DAY, "When, for example 2031-05-28.", "(as 2031-05-28)"),
    _line("measured_by", "measured by", kinds.MEASURED_BY, "By whom."),
    _line(
        "measured_to",
        "measured to ±",
        kinds.WITHIN,
        'How well it was measured, to either side, for example "0.0002 in".',
        "(as 0.0002 in)",
    ),
    _line(
        "made_here",
        "made in house",
        kinds.YES_OR_NO,
        "Whether the shop made it for itself.",
        choices=("no", YES),
    ),
)
# Lines whose words may be known already.
KNOWN = ("set", "home", "measured_by", "by")
# What is kept for the next piece that is added: pieces are measured by the drawer.
KEPT = ("set", "home", "measured_with", "measured_on", "measured_by", "measured_to", "made_here")

# What a regrind is asked: what is measured after it, and what geometry's check needs.
HEIGHTS = ("first_tooth_height", "last_tooth_height")
CHECKS = ("ground_off", "relief")
FIGURES_REGROUND = (*HEIGHTS, "root_height", "front_length", "gullet_area")
WORDS_REGROUND = ("condition", "measured_with", "measured_on", "measured_by", "measured_to")


def _figure_line(figure: Figure) -> Line:
    needed = "plans need it; " if figure.needed else ""
    if figure.or_taken is not None:
        return _line(figure.name, figure.label, kinds.WEB, f"{figure.how}; {_OVER}", f"({needed}{_OVER})")
    hint = f"({needed}{_HINTS[figure.quantity]})"
    return _line(figure.name, figure.label, _KINDS[figure.quantity], figure.how, hint)


def figure_lines(kind: Kind) -> tuple[Line, ...]:
    """A line for each figure of a kind."""
    return tuple(map(_figure_line, FIGURES[kind]))


def lines_to_add(kind: Kind) -> tuple[Line, ...]:
    """The lines of a new piece: its figures, what they are checked with, then the words."""
    checks = (SLOT_DEPTH,) if kind is Kind.BUSHING else ()
    return (*figure_lines(kind), *checks, *WORDS)


def piece_lines(kind: Kind) -> tuple[Line, ...]:
    """A line for each figure of a kind, then the words."""
    return (*figure_lines(kind), *WORDS)


def every_line() -> tuple[Line, ...]:
    """The lines of all kinds, one for each name; the help says which kinds have such a figure."""
    having: dict[str, list[str]] = {}
    lines: dict[str, Line] = {}
    for kind in Kind:
        for each in figure_lines(kind):
            having.setdefault(each.name, []).append(kind.value)
            lines.setdefault(each.name, each)
    columns = (
        replace(line, help=f"{line.label} ({', '.join(having[name])})", needed=False)
        for name, line in lines.items()
    )
    return (*columns, *WORDS)


def regrind_lines() -> tuple[Line, ...]:
    """The lines of a regrind: both heights are needed, and geometry's check is not."""
    heights = chosen(figure_lines(Kind.BROACH), *HEIGHTS)
    also = chosen(figure_lines(Kind.BROACH), *FIGURES_REGROUND[len(HEIGHTS) :])
    else_so = {"condition": "fit, worn or unfit; else fit.", "measured_on": "When; else today."}
    off, relief = CHECKS
    return (
        *(
            replace(each, help=f"{each.label.capitalize()}, measured after it.", needed=True)
            for each in heights
        ),
        *(replace(each, help=f"{each.label.capitalize()}, where measured.") for each in also),
        _line(
            off,
            "ground off each face",
            kinds.LENGTH,
            "Taken off each face, for the check.",
            "(for the check: as 0.005 in)",
        ),
        _line(
            relief,
            "relief angle",
            kinds.ANGLE,
            "Relief angle, for the check, for example 2 deg.",
            "(for the check: as 2 deg)",
        ),
        *(replace(each, help=else_so.get(each.name, each.help)) for each in chosen(WORDS, *WORDS_REGROUND)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class AddRequest:
    """Take a new piece in. ``values`` are its figures and words; what is left out is not known."""

    kind: str = line(
        "kind",
        kinds.KIND,
        KIND_NAMES,
        needed=True,
        choices=tuple((each.value, each.value) for each in Kind),
        positional=True,
    )
    tag: str = line(
        "tag", kinds.TAG, "The tag of the piece.", hint="(as it is marked)", needed=True, positional=True
    )
    values: Mapping[str, str] = several(every_line())
    slot_depth: str = line(
        "slot depth",
        kinds.LENGTH,
        "Slot depth of a bushing, to check its web: depth gauge across the slot's mouth, or as drawn.",
        hint="(checks the web)",
    )
    sure: bool = line("sure", kinds.FLAG, "The web is right though it contradicts the slot depth.")
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class LookAgainRequest:
    """What of a piece that is to be added looks like a slip."""

    add: AddRequest


def sure_line() -> Any:
    """Somebody is sure of a figure that looks misread."""
    return line(
        "sure", kinds.FLAG, "Measured with care: take a figure although it jumps by more than 0.010 in."
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class EditRequest:
    """Change what is given in ``values``; the rest stays, and "" is for a figure not known any more.

    ``shown`` is the piece as it was shown before the edit, and ``version`` how often it had been changed by then;
    None where nothing was shown. A figure that jumps is kept where somebody is ``sure`` of it.
    """

    tag: str = line("tag", kinds.TAG, "The tag of the piece.", needed=True, positional=True)
    values: Mapping[str, str] = several(every_line())
    shown: Record | None = None
    version: int = 0
    sure: bool = sure_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class RegrindRequest:
    """Record what was measured on a broach after it was reground: both heights, and what else there is.

    A condition that is not given becomes fit. A height that jumps is kept where somebody is ``sure`` of it.
    """

    tag: str = tag_line("Tag", needed=True)
    values: Mapping[str, str] = several(regrind_lines())
    note: str = note_line()
    sure: bool = sure_line()
    by: str = by_line()

    @property
    def measured(self) -> dict[str, str]:
        """What was measured, without what geometry's check needs."""
        return {name: text for name, text in self.values.items() if name not in CHECKS}

    @property
    def grind(self) -> tuple[str, str]:
        """What was ground off each face, and the relief angle, for the check; both or neither."""
        off, relief = (self.values.get(name, "") for name in CHECKS)
        return off, relief


KIND, TAG, SLOT_DEPTH = chosen(lines_of(AddRequest), "kind", "tag", "slot_depth")
# Such forms name their lines in small letters.
NOTE, BY = (
    replace(line, label=line.name, hint=hint)
    for line, hint in zip(
        chosen(lines_of(RegrindRequest), "note", "by"),
        ("(for the history)", "(who is at the desk)"),
        strict=True,
    )
)


def as_typed(record: Record) -> dict[str, str]:
    """The values of the lines for a piece: figures exactly, so that a line left alone changes nothing."""
    piece, measured = record.piece, record.measured
    return {
        **{figure.name: write_figure(getattr(piece, figure.name)) for figure in piece.figures()},
        "set": record.set_name,
        "home": record.home,
        "condition": record.condition.value,
        "note": record.note,
        "measured_with": measured.with_what,
        "measured_on": measured.on.isoformat() if measured.on else "",
        "measured_by": measured.by,
        "measured_to": write_figure(measured.to),
        "made_here": YES if record.made_here else "no",
    }


def whole_reason(kind: Kind, tag: str, values: Mapping[str, str]) -> str:
    """Why figures that are valid alone are not valid together; empty where they are."""
    problem = whole_problem(kind, tag, values)
    return str(problem) if problem is not None else ""


def whole_problem(kind: Kind, tag: str, values: Mapping[str, str]) -> InputError | None:
    """What is wrong with figures that are valid alone; None where nothing is."""
    figures = {
        figure.name: read_figure(figure.quantity, text, figure.label)
        for figure in FIGURES[kind]
        if (text := values.get(figure.name, "")) and not is_over(text)
    }
    try:
        PIECES[kind](tag=tag, **figures)
    except InputError as error:
        return error
    return None
