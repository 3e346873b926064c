"""``broachplan strength``: whether a key bears its torque, as an advisory."""

from __future__ import annotations

from typing import Annotated

import typer

from broachplan.cli.options import AsJson
from broachplan.cli.terminal import say, say_json
from broachplan.errors import ExitCode


def _words(option: str, metavar: str, about: str) -> typer.models.OptionInfo:
    return typer.Option(option, metavar=metavar, help=about)  # type: ignore[no-any-return]


def strength(
    shaft: Annotated[str, _words("--shaft", "LENGTH", "Diameter of the shaft.")],
    torque: Annotated[str, _words("--torque", "TORQUE", "In N m, lbf in or lbf ft.")] = "",
    power: Annotated[str, _words("--power", "POWER", "In kW, W or hp; with --rpm.")] = "",
    rpm: Annotated[str, _words("--rpm", "N", "Revolutions a minute.")] = "",
    key: Annotated[str, _words("--key", "SIZE", "Key width, or width x height; else the standard's.")] = "",
    standard: Annotated[str, _words("--standard", "NAME", "inch or metric; else by the shaft's unit.")] = "",
    length: Annotated[str, _words("--length", "LENGTH", "Straight length of the key.")] = "",
    safety: Annotated[str, _words("--safety", "N", "Safety factor of your choice, 1 or more.")] = "",
    key_yield: Annotated[
        str, _words("--yield", "STRESS", "Yield of the key, in MPa, N/mm2, psi or ksi.")
    ] = "",
    shear_strength: Annotated[
        str, _words("--shear-strength", "STRESS", "Of the key; else half its yield.")
    ] = "",
    bearing_strength: Annotated[
        str, _words("--bearing-strength", "STRESS", "Of the key; else its yield.")
    ] = "",
    shaft_yield: Annotated[
        str, _words("--shaft-yield", "STRESS", "Yield of the shaft; without a load, what it carries.")
    ] = "",
    hub_yield: Annotated[str, _words("--hub-yield", "STRESS", "Yield of the hub.")] = "",
    as_json: AsJson = False,
) -> None:
    """Tell how long a key must be for its torque, and what gives way first.

    Advisory only, never a release for use: the engineer or the person responsible in your shop decides. Exit codes: 0
    reckoned, 3 the length given is short of what is needed, 2 the input is wrong.

    \b
    Examples:
      broachplan strength --shaft "45 mm" --torque "600 N m" --safety 2 \\
          --yield "340 MPa" --length "50 mm"
      broachplan strength --shaft "1 in" --power "10 hp" --rpm 1750 \\
          --yield "50 ksi" --safety 3
    """
    from broachplan.keyways.strength_words import Written, read_strength

    answer = read_strength(
        Written(
            shaft=shaft,
            standard=standard,
            key=key,
            torque=torque,
            power=power,
            rpm=rpm,
            length=length,
            key_yield=key_yield,
            shear_strength=shear_strength,
            bearing_strength=bearing_strength,
            shaft_yield=shaft_yield,
            hub_yield=hub_yield,
            safety=safety,
        )
    )
    if as_json:
        from broachplan.cli.strength_json import as_dict

        say_json(as_dict(answer))
    else:
        from broachplan.cli.strength_text import in_words
        from broachplan.lengths import System, read_limits

        say(in_words(answer, read_limits(shaft).system is System.INCH))
    raise typer.Exit(ExitCode.NO if answer.enough is False else ExitCode.DONE)
