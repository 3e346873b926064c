"""Text that would harm a terminal, a markup reader or a parser, and a real pseudo-terminal to see what comes through."""

from __future__ import annotations

import fcntl
import io
import os
import random
import re
import struct
import sys
import termios
import threading
import tty
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from unicodedata import category

import pytest
import typer.main

from broachplan.cli import app, commands

STRINGS = (
    "\x1b[31mred\x1b[0m",
    "\x1b[2J\x1b[1;1H",
    "\x1b]0;title\x07",
    "\x1b]8;;http://example.org\x1b\\link\x1b]8;;\x1b\\",
    "\x1b]52;c;cm0gLXJm\x07",
    "\x1bP+q544e\x1b\\",
    "\x1bc",
    "\x1b[?1049h",
    "\x1b[6n\x1b[5i",
    "\x9b31m\x9d0;t\x9c",
    "\x07\x08\x08\x08",
    "good\rbad",
    "good\nbad: all is well",
    "a\tb\x0b\x0c",
    "\x0e\x0f\x7f",
    "a\0b",
    "\x85\u2028\u2029",
    "0.25\u202eni 52.0\u202c",
    "\u2066a\u2069\u061c",
    "a\u200b\u200d\ufeffb",
    "soft\xadhyphen\u180e\u034f",
    "tag\U000e0041\U000e007f",
    "\ue000\U0010ffff\ufdd0",
    "lone \ud800 high",
    "lone \udcff low",
    "[red]danger[/red]",
    "[/]",
    "[link=file:///x]y[/link][@click=app.quit]z[/]",
    "{0}{x}%s%n%(a)s",
    "$(reboot)`id`;&|<>",
    "=1+1",
    "'; DROP TABLE piece; --",
    '"',
    "x" * 1_000_000,
    "z" + "\u0301" * 300,
    "9**9**9 in",
    "1e999999 in",
    "１．５ｉｎ ½⁄₄ 𝟙",
    "\U0001f469\u200d\U0001f527",
    "--help",
    "-",
)
_PARTS = (
    *(string[:40] for string in STRINGS),
    " ",
    "in",
    "1/4",
    "0.25",
    ",",
    "\x00",
    "\x1b[",
    "\x9b",
    "]",
    "é",
)
# Their own kind, for a screen or a terminal obeys them: controls, bidi and zero-width, surrogates, other line ends.
_FOREIGN = ("Cc", "Cf", "Cs", "Zl", "Zp")
# What the bar of an import itself sends; no string above has them.
_BAR = re.compile(r"\r?\x1b\[(?:2K|1A)|\x1b\[\?25[hl]|\x1b\[(?:0|3[2-6]|9[01])m")
_END = "\x1cend\n"


def many(count: int) -> list[str]:
    """That many strings, put together by chance from parts of those above; the same each time."""
    chance = random.Random(2031)
    return ["".join(chance.choices(_PARTS, k=chance.randint(1, 6))) for _ in range(count)]


def five_hundred() -> list[str]:
    """The strings above, and as many put together from them as make five hundred."""
    return [*STRINGS, *many(500 - len(STRINGS))]


def foreign(text: str) -> list[str]:
    """The characters of ``text`` that a terminal would obey; line ends are no such."""
    return sorted({character for character in text if character != "\n" and category(character) in _FOREIGN})


class _Keys(io.BytesIO):
    """What was typed at a terminal."""

    def isatty(self) -> bool:
        return True


class Terminal:
    """A pseudo-terminal of 80 by 24 with someone at the other end who reads all that comes."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self._patch = monkeypatch
        # Made once: it takes longer than most commands.
        command = typer.main.get_command(commands.app)
        monkeypatch.setattr(typer.main, "get_command", lambda _app: command)
        self._master, self._slave = os.openpty()
        # Raw, so that what is read is what was written.
        tty.setraw(self._slave)
        fcntl.ioctl(self._slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self._came, self._more = bytearray(), threading.Condition()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def run(self, *arguments: str, typed: Sequence[str] = ()) -> tuple[int, str]:
        """Run a command at this terminal; its exit code and all that the terminal was sent.

        ``typed`` are lines that somebody types; without any nobody sits there, and nothing is to be read.
        """
        with self._patch.context() as patch, open(os.devnull, "rb") as nobody:
            streams = [
                io.TextIOWrapper(io.FileIO(self._slave, "w", closefd=False), "utf-8") for _ in range(2)
            ]
            # Read ahead here: a command may leave lines unread, which the next would take for its own.
            keys = _Keys("".join(f"{line}\n" for line in typed).encode("utf-8", "surrogatepass"))
            patch.setattr(sys, "stdin", io.TextIOWrapper(keys if typed else nobody, "utf-8"))
            patch.setattr(sys, "stdout", streams[0])
            patch.setattr(sys, "stderr", streams[1])
            code = app.run(arguments)
            for stream in streams:
                stream.flush()
        os.write(self._slave, _END.encode())
        with self._more:
            assert self._more.wait_for(lambda: self._came.endswith(_END.encode()), timeout=60)
            shown = bytes(self._came[: -len(_END)]).decode("utf-8", "surrogateescape")
            self._came.clear()
        return int(code), shown

    def close(self) -> None:
        """Hang up."""
        os.close(self._slave)
        self._reader.join(timeout=60)
        os.close(self._master)

    def _read(self) -> None:
        while True:
            try:
                came = os.read(self._master, 65536)
            except OSError:
                return
            if not came:
                return
            with self._more:
                self._came += came
                self._more.notify()


@contextmanager
def terminal(monkeypatch: pytest.MonkeyPatch) -> Iterator[Terminal]:
    """A `Terminal` for as long as it is wanted."""
    made = Terminal(monkeypatch)
    try:
        yield made
    finally:
        made.close()


def in_order(arguments: Sequence[str], code: int, shown: str) -> None:
    """No crash, nothing that the terminal would obey, no page of frames, and not all of a long text."""
    short = [word[:60] for word in arguments]
    if arguments[:2] == ["crib", "import"]:
        shown = _BAR.sub("", shown)
    assert code in (0, 2, 3, 4, 5), f"{short!r} ended with {code}: {shown[:600]}"
    assert foreign(shown) == [], f"{short!r} sent {shown[:600]!r}"
    assert "Traceback" not in shown
    assert len(shown) < 500_000, f"{short!r} sent {len(shown)} characters"
