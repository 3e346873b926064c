"""Start-up, whole processes: help and key against importing typer, the first screen against an empty Textual app."""

from __future__ import annotations

import fcntl
import os
import pty
import struct
import subprocess
import sys
import termios
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from tests.benchmarks.random_crib import make_crib
from tests.benchmarks.ratios import ROOT, Timed, Took, ended, process, shown, side_by_side

_TIMES = 21
# Each leaves at once when its first frame has been shown, without waiting for anything still under way.
_EMPTY = """
import os
from textual.app import App
class Empty(App):
    def on_ready(self):
        self.call_after_refresh(os._exit, 0)
Empty().run()
"""
_SCREENS = """
import os, sys
import tui.app
class Seen(tui.app.BroachplanApp):
    def on_ready(self):
        self.call_after_refresh(os._exit, 0)
tui.app.BroachplanApp = Seen
sys.argv = ["broachplan"]
from broachplan.cli.app import main
main()
"""


def main() -> int:
    """Print the three ratios."""
    typer = process(("-c", "import typer"))
    help_page = process(("-m", "broachplan", "--help"))
    key = process(("-m", "broachplan", "key", "--shaft", "1-3/8 in"))
    print(shown("--help against import typer", side_by_side(help_page, typer, _TIMES), 1.6), flush=True)
    print(shown('key --shaft "1-3/8 in" against it', side_by_side(key, typer, _TIMES), 2.2), flush=True)
    with TemporaryDirectory() as folder:
        file = Path(folder) / "crib.db"
        make_crib(file, 200, seed=1)
        screens = in_terminal(_SCREENS, {"BROACHPLAN_DB": str(file)})
        print(
            shown(
                "first screen against an empty app", side_by_side(screens, in_terminal(_EMPTY), _TIMES), 1.3
            )
        )
    return 0


def in_terminal(program: str, env: dict[str, str] | None = None) -> Timed:
    """A whole Python process in a terminal of its own, 80 columns by 24 lines."""

    def run() -> Took:
        ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        start = perf_counter()
        running = subprocess.Popen(
            [sys.executable, "-c", program],
            cwd=ROOT,
            env={**os.environ, "TERM": "xterm-256color", **(env or {})},
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            start_new_session=True,
        )
        os.close(theirs)
        try:
            _read_all(ours)
            return ended(running, start)
        finally:
            os.close(ours)

    return run


def _read_all(terminal: int) -> None:
    """Take what a program writes to its terminal, until it ends."""
    while True:
        try:
            if not os.read(terminal, 65536):
                return
        except OSError:  # Linux says so when the other end is closed.
            return
