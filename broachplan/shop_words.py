"""The shop's own words for lending, returning and the crib, on screens, sheets and messages. Commands and files keep theirs."""

from __future__ import annotations

import re
from enum import StrEnum
from typing import NamedTuple


class LendWord(StrEnum):
    """How a shop calls handing a piece out."""

    LEND = "lend"
    CHECK_OUT = "check out"
    SIGN_OUT = "sign out"
    BOOK_OUT = "book out"
    ISSUE = "issue"


class ReturnWord(StrEnum):
    """How a shop calls taking a piece back."""

    RETURN = "return"
    CHECK_IN = "check in"
    SIGN_IN = "sign in"
    BOOK_IN = "book in"


class CribWord(StrEnum):
    """How a shop calls the place."""

    CRIB = "crib"
    TOOL_CRIB = "tool crib"
    TOOL_STORE = "tool store"
    STORES = "stores"
    TOOLROOM = "toolroom"


_PAST = {
    LendWord.CHECK_OUT: "checked out",
    LendWord.SIGN_OUT: "signed out",
    LendWord.BOOK_OUT: "booked out",
    LendWord.ISSUE: "issued",
}
_BACK = {ReturnWord.CHECK_IN: "checked in", ReturnWord.SIGN_IN: "signed in", ReturnWord.BOOK_IN: "booked in"}
# A command that is named in a text, and what is quoted in it, are left as they are.
_KEPT = re.compile(r"`[^`]*`|“[^”]*”|--?\w[\w-]*")


class ShopWords(NamedTuple):
    """The words of one shop."""

    lend: LendWord = LendWord.LEND
    giving_back: ReturnWord = ReturnWord.RETURN
    crib: CribWord = CribWord.CRIB

    def sentence(self, text: str) -> str:
        """A line about a piece, which may hold names and notes of others: only the turns that say who has it are changed.

        >>> ShopWords(LendWord.CHECK_OUT).sentence("S-1 lent to Kim")
        'S-1 checked out to Kim'
        """
        if self.lend in _PAST:
            text = re.sub(r"\blent to\b", f"{_PAST[self.lend]} to", text)
        if self.giving_back in _BACK:
            back = _BACK[self.giving_back]
            text = re.sub(r"\bis back from\b", f"is {back} from", text)
            text = re.sub(r"\breturned from\b", f"{back} from", text)
        return text

    def label(self, text: str) -> str:
        """A text of ours alone, as a title, a key or its explanation: each of the words in it.

        >>> ShopWords(LendWord.ISSUE, crib=CribWord.STORES).label("LEND   what is in the crib")
        'ISSUE   what is in the stores'
        """
        if self == ShopWords():
            return text
        kept, at, parts = _KEPT.finditer(text), 0, list[str]()
        for found in kept:
            parts += [self._each(text[at : found.start()]), found.group()]
            at = found.end()
        return "".join((*parts, self._each(text[at:])))

    def _each(self, text: str) -> str:
        words = ((r"lend", self.lend), (r"return", self.giving_back), (r"(?:tool )?crib", self.crib))
        text = self.sentence(text)
        for old, new in words:
            if str(new) != old:
                text = re.sub(rf"\b{old}\b", lambda found, new=new: _as(found.group(), new), text, flags=re.I)  # type: ignore[misc]
        return text


def _as(old: str, new: str) -> str:
    """A word in the letters of the one that it takes the place of."""
    return new.upper() if old.isupper() else new.capitalize() if old[:1].isupper() else str(new)
