"""A blind count of one drawer: how it differs from the books, and what may be corrected after it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from broachplan.crib.homes import Home, Placed
from broachplan.crib.loans import already_out
from broachplan.crib.words import checked_words
from broachplan.errors import InputError

LONGEST_CAUSE = 100
_MOST_NAMED = 5


class Mismatch(StrEnum):
    """How what was found differs from the books."""

    NONE = ""
    ABSENT = "absent"
    STRAY = "stray"
    BACK = "back"
    FOUND = "found"
    RETIRED = "retired"
    UNKNOWN = "unknown"


# Those that were found here and may be given a home in this drawer.
MAY_MOVE = (Mismatch.STRAY, Mismatch.BACK, Mismatch.FOUND)
# Those that the books are corrected by; a stray piece is put back, unless it moves.
CORRECTED = (Mismatch.ABSENT, Mismatch.BACK, Mismatch.FOUND)


@dataclass(frozen=True, slots=True)
class CountLine:
    """One tag of a count: whether the books had it in the drawer, whether it was found, and the cause given later."""

    tag: str
    expected: bool
    found: bool
    mismatch: Mismatch
    cause: str = ""


@dataclass(frozen=True, slots=True)
class Count:
    """A count of one drawer with its lines by tag; ``settled`` is when its differences were, None while it is open.

    ``after_action`` is the number of the last act on the crib before it, 0 where there was none.
    """

    number: int
    drawer: Home
    at: datetime
    by: str = ""
    lines: tuple[CountLine, ...] = ()
    settled: datetime | None = None
    after_action: int = field(default=0, compare=False)

    @property
    def differences(self) -> tuple[CountLine, ...]:
        """The lines where the books and the drawer differ."""
        return tuple(line for line in self.lines if line.mismatch)

    @property
    def agreed(self) -> int:
        """How many pieces lie where the books have them."""
        return len(self.lines) - len(self.differences)


@dataclass(frozen=True, slots=True)
class ComparedLine:
    """A line of a count beside the books of now.

    ``books`` is None where no piece bears the tag; ``nearest`` are the tags most like it then. ``changed`` says what
    happened to the piece after the count; empty where the count still holds.
    """

    line: CountLine
    books: Placed | None = None
    nearest: tuple[str, ...] = ()
    changed: str = ""


def is_expected(piece: Placed, drawer: Home) -> bool:
    """Whether the books have a piece in the drawer now: neither out, nor retired, nor known to be missing."""
    status = piece.status
    here = not status.retired and status.loan is None and status.missing_since is None
    return here and Home.read(piece.home).is_in(drawer)


def mismatch_of(piece: Placed | None, drawer: Home, *, found: bool) -> Mismatch:
    """How the books differ from what was found; None is a tag that no piece bears."""
    if piece is None:
        return Mismatch.UNKNOWN if found else Mismatch.NONE
    if is_expected(piece, drawer):
        return Mismatch.NONE if found else Mismatch.ABSENT
    if not found:
        return Mismatch.NONE
    if piece.status.retired:
        return Mismatch.RETIRED
    if piece.status.loan is not None:
        return Mismatch.BACK
    return Mismatch.STRAY if piece.status.missing_since is None else Mismatch.FOUND


def compared(drawer: Home, books: Iterable[Placed], tags: Iterable[str]) -> tuple[CountLine, ...]:
    """The lines of a count by tag: what the books have in the drawer, and the tags that were found in it."""
    pieces, found = {piece.tag: piece for piece in books}, set(tags)
    expected = {tag for tag, piece in pieces.items() if is_expected(piece, drawer)}
    return tuple(
        CountLine(
            tag, tag in expected, tag in found, mismatch_of(pieces.get(tag), drawer, found=tag in found)
        )
        for tag in sorted(expected | found)
    )


def what_changed(line: CountLine, drawer: Home, piece: Placed | None, *, touched: bool) -> str:
    """Why the books are not corrected by a line any more; empty where they may be.

    ``touched`` says whether anything was done to the piece after the count.
    """
    if piece is None or (not touched and mismatch_of(piece, drawer, found=line.found) is line.mismatch):
        return ""
    return f"{line.tag} was changed after the count and {now_in_words(piece)}"


def now_in_words(piece: Placed) -> str:
    """Where the books have a piece: ``is lent to Kim since 2031-05-02``, ``lives in A/1/01``."""
    status = piece.status
    if status.retired:
        return "is retired"
    if status.loan is not None:
        return already_out(piece.tag, status.loan).removeprefix(f"{piece.tag} ")
    if status.missing_since is not None:
        return f"is missing since {status.missing_since}"
    return f"lives in {piece.home}" if Home.read(piece.home) else "has no home"


def checked_causes(lines: Sequence[CountLine], given: Mapping[str, str], rest: str = "") -> dict[str, str]:
    """A cause for each difference, by tag: the one given for it, else the one for the rest.

    Raises
    ------
    InputError : a tag that does not differ, a cause that is empty or too long, or a difference without one.
    """
    differ = [line.tag for line in lines if line.mismatch]
    if others := [tag for tag in given if tag not in differ]:
        raise InputError("cause", _those(differ), read=others[0], fault=", which does not differ")
    causes = {tag: checked_words(words, f"cause of {tag}", LONGEST_CAUSE) for tag, words in given.items()}
    rest = checked_words(rest, "all", LONGEST_CAUSE)
    if without := [tag for tag in differ if not causes.get(tag, rest)]:
        raise InputError(
            "cause",
            f"no cause given for {_some(without)}; write --cause TAG=WORDS for each, or --all WORDS for the rest",
        )
    return {tag: causes.get(tag, rest) for tag in differ}


def checked_moves(count: Count, places: Mapping[str, str]) -> dict[str, str]:
    """The new homes of pieces that stay in the drawer they were found in, by tag and place in it.

    Raises
    ------
    InputError : a tag that was not found there against the books, or a home that cannot be.
    """
    may = [line.tag for line in count.differences if line.mismatch in MAY_MOVE]
    for tag in places:
        if tag not in may:
            raise InputError("move", _those(may), read=tag, fault=": it cannot get a home here")
    return {
        tag: checked_words(str(count.drawer.at(place)), f"home of {tag}") for tag, place in places.items()
    }


def tag_and_words(text: str, tags: Iterable[str], what: str) -> tuple[str, str]:
    """``TAG=WORDS`` as the tag and the words; a tag may hold ``=`` itself, so the longest known one counts.

    Raises
    ------
    InputError : it does not begin with a possible tag and ``=``.
    """
    text = text.strip()
    # Of two tags that the text begins with, one begins the other, so the longer one sorts last.
    tag = max((tag for tag in tags if text.startswith(f"{tag}=")), default=text.partition("=")[0])
    if not tag or "=" not in text:
        raise InputError(what, "write TAG=WORDS, for example SH-0250-9=lent by word", read=text)
    return tag.strip(), text[len(tag) + 1 :].strip()


def _those(tags: Sequence[str]) -> str:
    return f"there are: {_some(tags)}" if tags else "there is none"


def _some(tags: Sequence[str]) -> str:
    more = f" and {len(tags) - _MOST_NAMED} more" if len(tags) > _MOST_NAMED else ""
    return f"{', '.join(tags[:_MOST_NAMED])}{more}"
