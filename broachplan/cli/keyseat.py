"""``broachplan keyseat``: the milling card for the keyseat in a shaft."""

from __future__ import annotations

from typing import Annotated

import typer

from broachplan.cli.options import AsJson
from broachplan.cli.terminal import say, say_json
from broachplan.errors import ExitCode


def _words(option: str, metavar: str, about: str) -> typer.models.OptionInfo:
    return typer.Option(option, metavar=metavar, help=about)  # type: ignore[no-any-return]


def keyseat(
    shaft: Annotated[str, _words("--shaft", "LENGTH", "Diameter of the shaft, with limits where known.")],
    standard: Annotated[
        str, _words("--standard", "NAME", "inch, metric, woodruff or woodruff-metric; else by the unit.")
    ] = "",
    key: Annotated[str, _words("--key", "SIZE", "Key width, or width x height; else the standard's.")] = "",
    number: Annotated[str, _words("--number", "NUMBER", "Inch Woodruff key, such as 808.")] = "",
    shape: Annotated[str, _words("--shape", "NAME", "square, rectangular or taper.")] = "",
    fit: Annotated[str, _words("--fit", "NAME", "Class 1 or 2 (inch); close, normal or free (metric).")] = "",
    finder: Annotated[str, _words("--finder", "LENGTH", "Diameter of the edge finder.")] = "",
    cutter: Annotated[str, _words("--cutter", "LENGTH", "Diameter of the cutter.")] = "",
    length: Annotated[str, _words("--length", "LENGTH", "Length of the key.")] = "",
    from_end: Annotated[
        str,
        _words("--from", "LENGTH", "Shaft's end to the key (Woodruff: its middle); else open at the end."),
    ] = "",
    step: Annotated[str, _words("--step", "LENGTH", "The deepest one pass may cut.")] = "",
    depth_limits: Annotated[
        str,
        _words("--depth-limits", "LIMITS", "Your own, of the reading: +0.000 -0.010 in; minus is deeper."),
    ] = "",
    speed: Annotated[
        str, _words("--speed", "SPEED", "Cutting speed in ft/min or m/min, from your book.")
    ] = "",
    key_height: Annotated[str, _words("--key-height", "LENGTH", "Height of the key as measured.")] = "",
    measured: Annotated[str, _words("--measured", "LENGTH", "What the micrometer reads now.")] = "",
    measured_over: Annotated[str, _words("--measured-over", "NAME", "Over what: key or floor.")] = "",
    as_json: AsJson = False,
) -> None:
    """Tell how to mill the keyseat in a shaft: centre, depth, passes, length, readings.

    LENGTH is a number with its unit (in, thou, mm, cm, m): "7/8 in", "22 mm". What is not asked for is left out.
    Exit codes: 0 done, 3 the seat is too deep by the reading, 2 the input is wrong.

    \b
    Examples:
      broachplan keyseat --shaft "7/8 in" --key "1/4 in" --finder "0.2 in" \\
          --step "0.050 in" --cutter "1/4 in" --length "1 in" --speed "90 ft/min"
      broachplan keyseat --shaft "7/8 in" --number 406 --from "1 in"
    """
    from broachplan.keyways.milling_card import State
    from broachplan.keyways.milling_words import Written, read_card

    card = read_card(
        Written(
            shaft=shaft,
            standard=standard,
            key=key,
            number=number,
            shape=shape,
            fit=fit,
            finder=finder,
            cutter=cutter,
            length=length,
            from_end=from_end,
            step=step,
            depth_limits=depth_limits,
            speed=speed,
            key_height=key_height,
            measured=measured,
            measured_over=measured_over,
        )
    )
    if as_json:
        from broachplan.cli.keyseat_json import as_dict

        say_json(as_dict(card))
    else:
        from broachplan.cli.keyseat_words import in_words

        say(in_words(card))
    past = card.after is not None and card.after.state is State.PAST
    raise typer.Exit(ExitCode.NO if past else ExitCode.DONE)
