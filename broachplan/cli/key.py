"""``broachplan key``: the key for a shaft, and the figures of shaft and hub by the standard."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from broachplan.cli.options import AsJson
from broachplan.cli.terminal import say, say_json

if TYPE_CHECKING:
    from broachplan.keyways.key import KeySize
    from broachplan.keyways.keyway import Standard


def key(
    shaft: Annotated[str, typer.Option("--shaft", metavar="LENGTH", help="Diameter of the shaft or bore.")],
    standard: Annotated[
        str,
        typer.Option(
            "--standard",
            metavar="NAME",
            help="inch, metric, woodruff or woodruff-metric; else by the shaft's unit.",
        ),
    ] = "",
    size: Annotated[
        str, typer.Option("--key", metavar="SIZE", help="Key width, or width x height; else the standard's.")
    ] = "",
    number: Annotated[
        str, typer.Option("--number", metavar="NUMBER", help="Inch Woodruff key by its number, such as 808.")
    ] = "",
    hub_key: Annotated[
        str, typer.Option("--hub-key", metavar="SIZE", help="The hub's key, where it differs: a stepped key.")
    ] = "",
    shape: Annotated[str, typer.Option("--shape", metavar="NAME", help="square, rectangular or taper.")] = "",
    fit: Annotated[
        str,
        typer.Option("--fit", metavar="NAME", help="Class 1 or 2 (inch); close, normal or free (metric)."),
    ] = "",
    length: Annotated[
        str, typer.Option("--length", metavar="LENGTH", help="Length of the keyseat: how far it may lean.")
    ] = "",
    no_top_clearance: Annotated[
        bool, typer.Option("--no-top-clearance", help="A metric key that fits on its top.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Tell the key for a shaft, and what to measure on shaft and hub.

    LENGTH is a number with its unit (in, thou, mm, cm, m): "7/8 in", "22 mm". The figures are those of the nominal
    size. A SIZE is a width, or width x height. Exit codes: 0 done, 2 the input is wrong.

    \b
    Examples:
      broachplan key --shaft "7/8 in" --key "1/4 in"
      broachplan key --shaft "1 in" --number 808
      broachplan key --shaft "1 in" --key "1/4 in" --hub-key "5/16 in"
    """
    from broachplan.keyways.key import read_fit, read_key, read_shape, standard_of
    from broachplan.keyways.parallel import joint
    from broachplan.lengths import parse_length, read_limits

    written = read_limits(shaft, "shaft")
    used = _standard(standard, number) or standard_of(written.system)
    answer = joint(
        written.limits.nominal,
        standard=used,
        key=_key(size, number, used),
        shape=read_shape(shape) if shape else None,
        fit=read_fit(fit) if fit else None,
        top_clearance=not no_top_clearance,
        hub_key=read_key(hub_key, used) if hub_key else None,
        length=parse_length(length, "length") if length else None,
    )
    if as_json:
        from broachplan.cli.key_json import as_dict

        say_json(as_dict(answer))
    else:
        from broachplan.cli.key_words import in_words

        say(in_words(answer))


def _standard(named: str, number: str) -> Standard | None:
    """The standard that is named; a number speaks of the inch Woodruff one."""
    from broachplan.errors import InputError, quoted
    from broachplan.keyways.key import read_standard
    from broachplan.keyways.keyway import Standard

    standard = read_standard(named) if named else None
    if not number:
        return standard
    if standard not in (None, Standard.WOODRUFF):
        raise InputError(
            f"key number: read {quoted(number)}; only inch Woodruff keys have numbers, not {standard} ones"
        )
    return Standard.WOODRUFF


def _key(size: str, number: str, standard: Standard) -> KeySize | None:
    from broachplan.errors import InputError, quoted
    from broachplan.keyways.key import read_key, read_number

    if size and number:
        raise InputError(f"key: read {quoted(size)} and the number {quoted(number)}; give one of them")
    if number:
        return read_number(number)
    return read_key(size, standard) if size else None
