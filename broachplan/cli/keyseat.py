"""``broachplan keyseat``: the milling card for the keyseat in a shaft."""

from __future__ import annotations

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson
from broachplan.cli.terminal import say, say_json
from broachplan.errors import ExitCode
from broachplan.questions.shaft import KeyseatQuestion


@asks(KeyseatQuestion)
def keyseat(question: KeyseatQuestion, as_json: AsJson = False) -> None:
    """Show how to mill the keyseat in a shaft: centre, depth, passes, length, readings.

    LENGTH is a number with its unit (in, thou, mm, cm, m): "1-3/8 in", "30 mm". What is not asked for is left out.
    Exit codes: 0 done, 3 the seat is too deep by the reading, 2 the input is wrong.

    \b
    Examples:
      broachplan keyseat --shaft "1-3/8 in" --key "3/8 in" --finder "0.5 in" \\
          --step "0.060 in" --cutter "3/8 in" --length "2 in" --speed "80 ft/min"
      broachplan keyseat --shaft "13/16 in" --number 607 --from "1-1/2 in"
    """
    from broachplan.keyways.milling_card import State
    from broachplan.questions.read_keyseat import read_card

    card = read_card(question)
    if as_json:
        from broachplan.cli.keyseat_json import as_dict

        say_json(as_dict(card))
    else:
        from broachplan.cli.layout import sheet_lines
        from broachplan.lengths import units_of
        from broachplan.sheets.milling import milling_sheet
        from broachplan.standards.iso_286 import read_sized

        say(sheet_lines(milling_sheet(card, units_of(read_sized(question.shaft).system))))
    past = card.after is not None and card.after.state is State.PAST
    raise typer.Exit(ExitCode.NO if past else ExitCode.DONE)
