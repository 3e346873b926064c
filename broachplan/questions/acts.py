"""What the attendant asks the crib to do: one request for each act, as typed. Options, forms and checks derive from it.

The same request comes from a command and from a screen; the desk's function reads it and returns what came of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from broachplan.questions import kinds
from broachplan.questions.choices import CONDITIONS, RETURN_CONDITIONS
from broachplan.questions.line import Line, line

if TYPE_CHECKING:
    from broachplan.crib.drafts import Draft

# On a screen one line takes what three options take.
CUTS_LINE = Line(
    "has_cut",
    "Cuts",
    kinds.CUTS,
    "What it cut.",
    "(hubs x passes x length: 4 x 3 x 1 in)",
    what="cuts",
)


def tag_line(label: str = "Tag or set", *, needed: bool = False) -> Any:
    """The piece, or where there are sets a whole set."""
    about = "The tag of the piece, as typed or scanned."
    return line(label, kinds.TYPED_TAG, about, hint="(scan or type)", needed=needed, positional=True)


def _tags(needs: str) -> Any:
    return line("Tags", kinds.TYPED_TAG, needs, positional=True, many=True)


def _set() -> Any:
    return line("Set", kinds.NAME, "A whole set instead of one piece.", option="--set")


def _of_set(label: str, about: str, option: str) -> Any:
    """Tags of a set, with commas between them."""
    return line(label, kinds.TAG_LIST, about, hint="(TAG,TAG)", option=option, what=option[2:])


def _condition(about: str) -> Any:
    return line("Condition", kinds.CONDITION, about, needed=True, choices=CONDITIONS)


def _hubs() -> Any:
    return line("Hubs", kinds.WHOLE, "How many hubs a broach cut.")


def _passes() -> Any:
    return line("Passes", kinds.WHOLE, "In how many passes each.")


def _hub_length() -> Any:
    return line("Hub length", kinds.LENGTH, "How long the hubs were.")


def _anyway(about: str) -> Any:
    return line("Anyway", kinds.FLAG, about)


def note_line(about: str = "A note for the history.") -> Any:
    """Words for the history."""
    return line("Note", kinds.NOTE, about, hint="(for the history)")


def _first_day() -> Any:
    about, hint = "The day, for example 2031-05-28.", "(as 2031-05-28; +0 is today, +7 in a week)"
    return line("From", kinds.DAY_AHEAD, about, hint=hint, needed=True, option="--day", what="day")


def _last_day() -> Any:
    about = "The last day, where there are more."
    return line("Until", kinds.DAY_AHEAD, about, hint="(that day alone)", option="--until", what="until")


def by_line() -> Any:
    """Who does it."""
    about = "Who does it, for the history: any name."
    return line("By", kinds.NAME, about, hint="(who is at the desk; kept until you leave)")


@dataclass(frozen=True, slots=True, kw_only=True)
class LendRequest:
    """Hand a piece, or every piece of a set, to a person.

    ``job`` is what it is for: a piece held that day is lent for the work that it is held for and for no other. ``due``
    is a day, or ``+7`` for a week from the day of the loan.
    """

    tag: str = tag_line()
    set_name: str = _set()
    to: str = line("To", kinds.NAME, "Who gets it: any name.", hint="(any name)", needed=True)
    due: str = line(
        "Due",
        kinds.DAY_AHEAD,
        "Back by this day: 2031-05-28, or +7 for a week from now.",
        hint="(as 2031-05-28, or +7 days)",
    )
    job: str = line("Job", kinds.JOB_NUMBER, "What it is for, shown in the history.", hint="(its number)")
    lacking: str = _of_set("Without", "Of a set, the pieces that are not lent with it.", "--without")
    anyway: bool = _anyway("Lend it over days on which it is held for other work.")
    note: str = note_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnRequest:
    """Take back a piece, or what one person has of a set, and say what its inspection found. Cuts are a broach's.

    Of a set ``found`` is what is there, and the rest stays out; empty, all is there but what is ``lost``.
    """

    tag: str = tag_line()
    set_name: str = _set()
    borrower: str = line("From", kinds.NAME, "Who brings it back.", option="--from", what="from")
    found: str = _of_set("There", "Of a set, the pieces that are there; the rest stays out.", "--found")
    worn: str = _of_set("Worn", "Of a set, the pieces that are worn.", "--worn")
    lost: str = _of_set("Lost", "Of a set, the pieces that are lost.", "--lost")
    condition: str = line(
        "Condition",
        kinds.CONDITION_KEPT,
        "What the inspection found: fit, worn or unfit; or uninspected.",
        needed=True,
        choices=RETURN_CONDITIONS,
    )
    hubs: str = _hubs()
    passes: str = _passes()
    hub_length: str = _hub_length()
    note: str = note_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldRequest:
    """Keep a piece or a set for named work on a day, or from a day to another."""

    tag: str = tag_line()
    set_name: str = _set()
    for_what: str = line(
        "For",
        kinds.WORK,
        "The work, for example a job's number.",
        hint="(a job's number, or what the work is)",
        needed=True,
        option="--for",
        what="for",
    )
    first: str = _first_day()
    last: str = _last_day()
    anyway: bool = _anyway("Hold it though it is out then, missing or not fit.")
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseRequest:
    """Free a piece or a set on a day, or from a day to another, whatever it is held for."""

    tag: str = tag_line()
    set_name: str = _set()
    first: str = _first_day()
    last: str = _last_day()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectRequest:
    """Note what an inspection of a piece in the crib found."""

    tag: str = tag_line("Tag", needed=True)
    condition: str = _condition("What was found: fit, worn or unfit.")
    note: str = note_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class BookRequest:
    """Book what a broach has cut without returning it."""

    tag: str = tag_line("Tag", needed=True)
    hubs: str = _hubs()
    passes: str = _passes()
    hub_length: str = _hub_length()
    note: str = note_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundRequest:
    """Note that a missing piece turned up."""

    tag: str = tag_line("Tag", needed=True)
    note: str = note_line("Where it was, for the history.")
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class LostRequest:
    """Note that a piece is lost, out or in the crib; its loan ends so."""

    tag: str = tag_line("Tag", needed=True)
    note: str = note_line("What is known of it, for the history.")
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class BrokenRequest:
    """Note that a piece is broken, out or in the crib; its loan ends so, and it is out of service."""

    tag: str = tag_line("Tag", needed=True)
    note: str = note_line("How it broke, for the history.")
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class SendRequest:
    """Send a piece out to be reground or repaired. ``back`` is a day, or ``+7`` for a week from the day it goes."""

    tag: str = tag_line("Tag", needed=True)
    to: str = line("To", kinds.NAME, "Who regrinds or repairs it.", hint="(any name)", needed=True)
    back: str = line(
        "Back",
        kinds.DAY_AHEAD,
        "Expected back on this day: 2031-05-28, or +7 for a week from now.",
        hint="(as 2031-05-28, or +7 days)",
    )
    anyway: bool = _anyway("Send it over days on which it is held for other work.")
    note: str = note_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiveRequest:
    """Take in what was sent out; it waits for its inspection."""

    tag: str = tag_line("Tag", needed=True)
    note: str = note_line()
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireRequest:
    """Take a piece out of use for good."""

    tag: str = tag_line("Tag", needed=True)
    note: str = note_line("Why, for the history.")
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinRequest:
    """Put pieces, and all of another set where one is named, into the set ``into``, which may be a new one."""

    into: str = line(
        "Into set",
        kinds.NAME,
        "The name of the set.",
        hint="(a set's name; a new one makes a set)",
        needed=True,
        what="set",
        positional=True,
    )
    tags: tuple[str, ...] = _tags("The tags of the pieces.")
    set_name: str = line(
        "Set", kinds.NAME, "Another set, all of it; that one ends with this.", option="--set"
    )
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class SplitRequest:
    """Take pieces, or without tags all of them, out of the set ``out_of``, and put them into another where one is named."""

    out_of: str = line(
        "Out of set",
        kinds.NAME,
        "The name of the set.",
        hint="(its name)",
        needed=True,
        what="set",
        positional=True,
    )
    tags: tuple[str, ...] = _tags("The tags of the pieces.")
    into: str = line(
        "Into set",
        kinds.NAME,
        "Another set to put them into; else none.",
        hint="(none; or another one's name)",
    )
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class UndoRequest:
    """Take back an action by its number; without one, the last of who asks, else of this station."""

    action: int | None = line(
        "Act",
        kinds.ACT_NUMBER,
        "The number of the act, as crib history and crib show have it.",
        positional=True,
    )
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class CountRequest:
    """Keep what was found in a drawer; a tag given twice counts once."""

    drawer: str = line(
        "Drawer",
        kinds.DRAWER,
        "The first two parts of the homes in it, such as A/1.",
        needed=True,
        positional=True,
    )
    tags: tuple[str, ...] = _tags("What was found in it, as scanned.")
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleRequest:
    """Settle the differences of a count in one act.

    ``causes`` holds a cause for each tag that differs, ``rest`` the cause of those not named; ``moves`` the pieces that
    stay where they were found, each with its place in the drawer, which may be empty.
    """

    number: int = line("Count", kinds.COUNT_NUMBER, "The number of the count.", needed=True, positional=True)
    causes: Mapping[str, str] = field(default_factory=dict)
    rest: str = line("Rest", kinds.CAUSE, "Why all those differ that no --cause names.", option="--all")
    moves: Mapping[str, str] = field(default_factory=dict)
    by: str = by_line()


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingRequest:
    """Change one setting of the shop."""

    name: str = line("Name", kinds.NAME, "A name from settings show.", needed=True, positional=True)
    value: str = line(
        "Value", kinds.VALUE, "The new value, lengths with their unit.", needed=True, positional=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepDraftRequest:
    """Keep at this station what was scanned, or which causes were given, before a count is finished."""

    draft: Draft


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOverRequest:
    """What earlier sessions at this station entered in a form and could not save: this ``session`` has it from now on."""

    form: str
    session: str
