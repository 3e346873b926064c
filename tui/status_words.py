"""The status of a piece, who has what, and what was just done, in the words of the attendant's desk."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

from broachplan.crib.status_words import state_words
from tui.plain import plain

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known


def recognised(typed: str, known: Known) -> tuple[str, bool]:
    """What is meant by a tag or the name of a set, and whether it is a set; as typed where neither is known.

    A tag comes before a set of the same name, and letters may be of either case where that leaves no doubt.
    """
    typed = typed.strip()
    if typed in known.pieces:
        return typed, False
    if typed in known.sets:
        return typed, True
    found = [(tag, False) for tag in known.pieces if tag.casefold() == typed.casefold()]
    found += [(name, True) for name in known.sets if name.casefold() == typed.casefold()]
    return found[0] if len(found) == 1 else (typed, False)


def tags_of(typed: str, known: Known | None) -> tuple[str, ...]:
    """The tags in a list with commas, each once; a text without one, or the name of a set, stays whole."""
    if known is not None and recognised(typed, known)[1]:
        return (typed.strip(),)
    parts = (part.strip() for part in typed.split(","))
    return tuple(dict.fromkeys(part for part in parts if part)) or (typed.strip(),)


def about(typed: str, known: Known | None) -> str:
    """What is known of the tag or the set that is typed, in one line; empty where nothing is."""
    if known is None or not typed.strip():
        return ""
    what, is_set = recognised(typed, known)
    if is_set:
        return f"set {plain(what)}"
    status = known.pieces.get(what)
    return f"{plain(what)}: {plain(state_words(status, known.on))}" if status else ""


def about_all(tags: Sequence[str], known: Known | None) -> str:
    """As `about`, for a list of tags: how many they are, and what keeps any of them from being used."""
    if known is None or len(tags) < 2:
        return about(tags[0] if tags else "", known)
    states = {tag: about(tag, known) or f"{plain(tag)}: not in the crib" for tag in tags}
    kept = [line for line in states.values() if not line.endswith(": fit")]
    return f"{len(tags)} pieces, {'; '.join(kept) or 'all fit and in'}"


def offered(words: Sequence[str]) -> str:
    """Known words that begin with what is typed."""
    return f"-> completes {', '.join(f'“{plain(word)}”' for word in words)}" if words else ""


class Result(Protocol):
    """What came of an act, in its own words."""

    @property
    def lines(self) -> Sequence[str]: ...


def said(result: Result) -> str:
    """What came of an act, in one line of a form: what a set lacks, then its pieces, of many only how many they were."""
    short: Sequence[str] = getattr(result, "short", ())
    lines = result.lines[: len(result.lines) - len(short)]
    first = "; ".join(lines) if len(lines) < 4 else f"{lines[0]}; and {len(lines) - 1} more"
    return plain("; ".join((*short, first)))
