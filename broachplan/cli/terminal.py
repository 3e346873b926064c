"""What every command prints through: lines for a terminal, one JSON object for a program."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from typing import Any, TextIO

from broachplan.characters import escaped
from broachplan.errors import OutputError


def plain(text: str) -> str:
    """``text`` with every character that a terminal would obey instead of show written as its number."""
    return "\n".join(map(escaped, text.split("\n")))


def say(lines: Iterable[str]) -> None:
    """Print lines of a result on stdout."""
    print("\n".join(plain(line) for line in lines))


def say_on_stderr(line: str) -> None:
    """Print one line beside the result, on stderr."""
    if sys.stderr is None:
        return
    with suppress(OSError):
        # There is nowhere left to say that this cannot be written.
        print(plain(" ".join(line.split())), file=sys.stderr, flush=True)


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


class _Output:
    """A stream with failures of its own type; None is one that was closed before we began."""

    def __init__(self, stream: TextIO | None) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Write it, or as much as the stream keeps for later."""
        if self._stream is None:
            raise OutputError("it is closed")
        with _failing():
            return self._stream.write(text)

    def flush(self) -> None:
        """Write what was kept."""
        if self._stream is not None:
            with _failing():
                self._stream.flush()

    def isatty(self) -> bool:
        """Whether it goes to a terminal."""
        return self._stream is not None and self._stream.isatty()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


@contextmanager
def _failing() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        # The reader has seen enough: no failure.
        raise
    except OSError as error:
        raise OutputError((error.strerror or type(error).__name__).lower()) from error


@contextmanager
def checked_output() -> Iterator[None]:
    """Within this block, and at its end, stdout that cannot be written raises `OutputError`."""
    before = sys.stdout
    output: Any = _Output(before)
    sys.stdout = output
    try:
        yield
        output.flush()
    finally:
        sys.stdout = before


def drop_output() -> None:
    """Let what stdout still keeps go nowhere: the interpreter tries once more on its way out, and would complain."""
    with suppress(OSError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
