"""What every command prints through: lines for a terminal, one JSON object for a program."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Mapping
from typing import Any

# A terminal obeys control characters and lays out by the invisible ones; surrogates cannot be written at all.
_OBEYED = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\xad\u034f\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2\u115f\u1160\u17b4\u17b5"
    "\u180b-\u180f\u200b-\u200f\u2028-\u202e\u2060-\u206f\u3164\ud800-\udfff\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufffb"
    "\U000110bd\U000110cd\U00013430-\U0001343f\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff]"
)


def plain(text: str) -> str:
    """``text`` with every character that a terminal would obey instead of show written as its number."""
    return _OBEYED.sub(lambda found: f"\\u{ord(found.group()):04x}", text)


def say(lines: Iterable[str]) -> None:
    """Print lines of a result on stdout."""
    print("\n".join(plain(line) for line in lines))


def tell(line: str) -> None:
    """Print one line beside the result, on stderr."""
    print(plain(" ".join(line.split())), file=sys.stderr)


def say_json(answer: Mapping[str, Any]) -> None:
    """Print one JSON object on stdout, in plain ASCII so that its bytes do not depend on the terminal."""
    import json

    print(json.dumps(answer, indent=2))


def in_terminal() -> bool:
    """Whether someone sits at a terminal: keys come from it and results go to it."""
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stdout))


def make_printable() -> None:
    """Let every text be printed: what the terminal's encoding cannot show is written as its number."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")
