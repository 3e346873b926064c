"""``broachplan run``: the list of its commands, each loaded only when it runs."""

from __future__ import annotations

import typer

from broachplan.cli.late import Late, late_group

_CUTTING, _RIGHTING, _LOOKING = (f"broachplan.cli.run_{name}" for name in ("cutting", "righting", "looking"))

COMMANDS = {
    "start": Late(_CUTTING, "start", "Start a run: plan a hub, and lend its pieces for it."),
    "show": Late(_LOOKING, "show", "Show a run: what is next, and every step."),
    "list": Late(_LOOKING, "list_", "List the runs, the latest first."),
    "pushed": Late(_CUTTING, "pushed", "Book the push that is due."),
    "read": Late(_CUTTING, "read", "Book the reading after a pass."),
    "again": Late(_CUTTING, "again", "Let a second push of the same shims be next."),
    "replan": Late(_CUTTING, "replan", "Take the other plan that was offered."),
    "gauging": Late(_CUTTING, "gauging", "Change how often hubs are gauged."),
    "measured": Late(_RIGHTING, "measured", "Change a figure of a piece measured again in mid run."),
    "correct": Late(_RIGHTING, "correct", "Put a step right: the shims, the reading."),
    "gone": Late(_RIGHTING, "gone", "A shim of the run is missing."),
    "broken": Late(_RIGHTING, "broken", "The broach broke."),
    "scrap": Late(_RIGHTING, "scrap", "Scrap a hub."),
    "accept": Late(_RIGHTING, "accept", "Accept a hub as it is."),
    "aside": Late(_RIGHTING, "aside", "Set a hub aside for now."),
    "stop": Late(_CUTTING, "stop", "Stop for now; the tools stay out."),
    "park": Late(_CUTTING, "park", "Put the tools back into the crib between two passes."),
    "resume": Late(_CUTTING, "resume", "Resume a run that is stopped or parked."),
    "end": Late(_CUTTING, "end", "End a run, or give it up."),
    "export": Late(_LOOKING, "export", "Write runs, steps and pieces as CSV files."),
}

run_app = typer.Typer(cls=late_group(COMMANDS), rich_markup_mode=None)


@run_app.callback()
def run() -> None:
    """Carry out a plan at the press: start, push, read, and what else happens on the way."""
