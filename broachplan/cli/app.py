"""The command line's frame: the screens or a command, and the one place where errors turn into words."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from broachplan import saved
from broachplan.cli.terminal import checked_output, drop_output, in_terminal, make_printable, say_on_stderr
from broachplan.errors import (
    INTERRUPTED,
    NOBODY_READS,
    OUTPUT_FAILED,
    AskedFirst,
    BroachplanError,
    ExitCode,
    OutputError,
)


def main() -> None:
    """The console entry."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command line to its exit code; whatever goes wrong becomes one line on stderr."""
    make_printable()
    saved.begin()
    try:
        with checked_output():
            return _act(arguments)
    except BroachplanError as error:
        asks = isinstance(error, AskedFirst) and "anyway" in error.yes
        yes = " (--anyway does it all the same)" if asks else ""
        for line in f"broachplan: {error}{yes}".splitlines():
            say_on_stderr(line)
        return error.code
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        drop_output()
        return NOBODY_READS
    except OutputError as error:
        kept = saved.noted()
        say_on_stderr(f"broachplan: {kept}{', but ' if kept else ''}the output could not be written: {error}")
        drop_output()
        return OUTPUT_FAILED
    except Exception as error:
        from broachplan.cli.report import as_user_error

        shown = as_user_error(error, arguments)
        say_on_stderr(f"broachplan: {shown}")
        return shown.code


def _act(arguments: Sequence[str]) -> int:
    if not arguments and in_terminal():
        # Nothing of the commands is loaded for it: that takes a fifth of the time until the first screen is seen.
        from broachplan.cli.screens import open_screens

        open_screens()
        return ExitCode.DONE
    from broachplan.cli.commands import invoke

    return invoke(arguments)
