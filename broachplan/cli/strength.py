"""``broachplan strength``: how long a key must be for its torque, and what gives way first. An advisory."""

from __future__ import annotations

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson
from broachplan.cli.terminal import say, say_json
from broachplan.errors import ExitCode
from broachplan.questions.shaft import StrengthQuestion


@asks(StrengthQuestion)
def strength(question: StrengthQuestion, as_json: AsJson = False) -> None:
    """Show how long a key must be for its torque, and what gives way first.

    Advisory only, never a release for use: the engineer or the person responsible in your shop decides. Exit codes: 0
    worked out, 3 the length given is short of what is needed, 2 the input is wrong.

    \b
    Examples:
      broachplan strength --shaft "35 mm" --torque "300 N m" --safety 2 \\
          --yield "360 MPa" --length "40 mm"
      broachplan strength --shaft "1-1/2 in" --power "5 hp" --rpm 340 \\
          --yield "60 ksi" --safety 3
    """
    from broachplan.questions.read_strength import read_strength

    answer = read_strength(question)
    if as_json:
        from broachplan.cli.strength_json import as_dict

        say_json(as_dict(answer))
    else:
        from broachplan.cli.layout import sheet_lines
        from broachplan.lengths import units_of
        from broachplan.sheets.strength import strength_sheet
        from broachplan.standards.iso_286 import read_sized

        say(sheet_lines(strength_sheet(answer, units_of(read_sized(question.shaft).system))))
    raise typer.Exit(ExitCode.NO if answer.enough is False else ExitCode.DONE)
