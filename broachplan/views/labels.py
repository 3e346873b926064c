"""What was printed on labels, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.shown import numbered

if TYPE_CHECKING:
    from broachplan.desks.attendant.print_labels import Outlined, Printed


def printed_lines(printed: Printed | Outlined, file: str) -> tuple[str, str]:
    """What was written to which file; how to print it, and where a sheet that is used in part continues."""
    from broachplan.desks.attendant.print_labels import Outlined

    how = "print at actual size (100 %)"
    if isinstance(printed, Outlined):
        return f"the outlines of {printed.grid.name} written to {file}", how
    rest = f"; the last sheet continues at label {printed.next_start}" if printed.next_start else ""
    count = f"{numbered(printed.labels, 'label')} on {numbered(printed.pages, 'page')}"
    return f"{count} of {printed.grid.name} written to {file}", f"{how}{rest}"
