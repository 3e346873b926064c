"""The command line's frame: the screens or a command, and the one place where errors turn into words."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from broachplan.cli.terminal import in_terminal, make_printable, tell
from broachplan.errors import INTERRUPTED, NOBODY_READS, BroachplanError, ExitCode


def main() -> None:
    """The console entry."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command line to its exit code; whatever goes wrong becomes one line on stderr."""
    make_printable()
    try:
        code = _act(arguments)
        if sys.stdout is not None:
            sys.stdout.flush()
    except BroachplanError as error:
        for line in f"broachplan: {error}".splitlines():
            tell(line)
        return error.code
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # The interpreter flushes stdout once more on its way out, and would complain.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NOBODY_READS
    except Exception as error:
        from broachplan.cli.report import reported

        tell(f"broachplan: {reported(error, arguments)}")
        return ExitCode.OUR_FAULT
    return code


def _act(arguments: Sequence[str]) -> int:
    if not arguments and in_terminal():
        # Nothing of the commands is loaded for it: that takes a fifth of the time until the first screen is seen.
        from broachplan.cli.screens import open_screens

        open_screens()
        return ExitCode.DONE
    from broachplan.cli.commands import invoke

    return invoke(arguments)
