"""The commands that there are, and a command line read by typer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import typer
import typer.main

from broachplan.cli.late import Late, late_group
from broachplan.cli.terminal import plain, say, say_on_stderr
from broachplan.errors import INTERRUPTED, ExitCode, without_passwords

_LONGEST_USAGE_LINE = 240

COMMANDS = {
    "start": Late(
        "broachplan.cli.start", "start", "Take the first tools in, step by step, and plan today's hub."
    ),
    "plan": Late("broachplan.cli.plan", "plan", "Pick the bushing and the shim passes for one hub."),
    "key": Late(
        "broachplan.cli.key", "key", "Show the key for a shaft, and what to measure on shaft and hub."
    ),
    "keyseat": Late(
        "broachplan.cli.keyseat",
        "keyseat",
        "Show how to mill the keyseat in a shaft: centre, depth, passes, length, readings.",
    ),
    "strength": Late(
        "broachplan.cli.strength",
        "strength",
        "Show how long a key must be for its torque, and what gives way first.",
    ),
    "crib": Late(
        "broachplan.cli.crib_group",
        "crib_app",
        "Bring pieces into the crib, write them out, list, show, lend, return, hold and count them.",
    ),
    "run": Late(
        "broachplan.cli.run_group",
        "run_app",
        "Carry out a plan at the press: start, push, read, and what else happens on the way.",
    ),
    "jobs": Late(
        "broachplan.cli.jobs_group",
        "jobs_app",
        "Keep the list of coming work: bring jobs in, start them, finish them.",
    ),
    "shortages": Late(
        "broachplan.cli.shortages",
        "shortages",
        "Show which coming jobs cannot be cut, and what is missing; with offers, what to buy.",
    ),
    "data": Late(
        "broachplan.cli.data",
        "data_app",
        "Check the crib's database, back it up, restore it, bring it up to date.",
    ),
    "settings": Late("broachplan.cli.settings", "settings_app", "Show and change the shop's limits."),
    "demo": Late("broachplan.cli.demo", "demo", "Make the demo toolroom and plan its first hub."),
}

app = typer.Typer(
    name="broachplan",
    cls=late_group(COMMANDS),
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
    invoke_without_command=True,
)


def _show_version(wanted: bool) -> None:
    if wanted:
        from importlib import metadata

        say([f"broachplan {metadata.version('broachplan')}"])
        raise typer.Exit


@app.callback()
def broachplan(
    context: typer.Context,
    version: Annotated[  # noqa: ARG001 - acts by its callback
        bool,
        typer.Option("--version", callback=_show_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    """Plan a hub's keyway from the broaches, bushings and shims in the drawer.

    Without a command: the screens, where there is a terminal; else this help.

    \b
    Example:
      broachplan plan --bore "1 in" --key "1/4 in" --hub-length "1-1/8 in"
    """
    if context.invoked_subcommand is None:
        say(context.get_help().splitlines())


def invoke(arguments: Sequence[str]) -> int:
    """Run one command to its exit code; a line that typer cannot read is reported in one line."""
    command = typer.main.get_command(app)
    try:
        with command.make_context("broachplan", list(arguments)) as context:
            command.invoke(context)
    except typer.Exit as leave:
        return leave.exit_code
    except typer.Abort:
        return INTERRUPTED
    except typer.TyperException as error:
        say_on_stderr(_usage_line(error))
        return ExitCode.BAD_INPUT
    return ExitCode.DONE


def _usage_line(error: typer.TyperException) -> str:
    context = getattr(error, "ctx", None)
    command = context.command_path if context is not None else "broachplan"
    message = plain(" ".join(without_passwords(error.format_message()).split())).rstrip(".")
    if len(message) > _LONGEST_USAGE_LINE:
        message = f"{message[:_LONGEST_USAGE_LINE]}…"
    return f"{command}: {message}; {command} --help shows more"
