"""``broachplan key``: the key for a shaft, and the figures of shaft and hub by the standard."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from broachplan.cli.terminal import AsJson, say, say_json

if TYPE_CHECKING:
    from broachplan.keyways.joint import Joint
    from broachplan.lengths import Length, Limits, Units

_WIDTH = 80
_INDENT = "  "


def key(
    shaft: Annotated[str, typer.Option("--shaft", metavar="LENGTH", help="Diameter of the shaft.")],
    standard: Annotated[
        str, typer.Option("--standard", metavar="NAME", help="inch or metric; else by the shaft's unit.")
    ] = "",
    size: Annotated[
        str, typer.Option("--key", metavar="SIZE", help="Key width, or width x height; else the standard's.")
    ] = "",
    shape: Annotated[str, typer.Option("--shape", metavar="NAME", help="square, rectangular or taper.")] = "",
    fit: Annotated[
        str,
        typer.Option("--fit", metavar="NAME", help="Class 1 or 2 (inch); close, normal or free (metric)."),
    ] = "",
    no_top_clearance: Annotated[
        bool, typer.Option("--no-top-clearance", help="A metric key that fits on its top.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Tell the key for a shaft, and what to measure on shaft and hub.

    LENGTH is a number with its unit (in, thou, mm, cm, m): "7/8 in", "22 mm". The figures are those of the nominal
    size. Exit codes: 0 done, 2 the input is wrong.

    \b
    Example:
      broachplan key --shaft "7/8 in" --key "1/4 in"
    """
    from broachplan.keyways.key import read_fit, read_key, read_shape, read_standard, standard_of
    from broachplan.keyways.parallel import joint
    from broachplan.lengths import read_limits

    written = read_limits(shaft, "shaft")
    answer = joint(
        written.limits.nominal,
        standard=read_standard(standard) if standard else standard_of(written.system),
        key=read_key(size) if size else None,
        shape=read_shape(shape) if shape else None,
        fit=read_fit(fit) if fit else None,
        top_clearance=not no_top_clearance,
    )
    if as_json:
        say_json(as_dict(answer))
    else:
        say(in_words(answer))


def as_dict(joint: Joint) -> dict[str, Any]:
    """The answer for other programs; lengths in whole nanometres."""
    return {
        "schema": "broachplan.key/1",
        "standard": joint.standard.value,
        "shape": joint.key.shape.value,
        "fit": joint.fit.value,
        "key": {"width_nm": joint.key.width.nm, "height_nm": joint.key.height.nm},
        "arc_nm": joint.arc.nm,
        "shaft": {
            **_limits("reading", joint.shaft.reading),
            "depth_from_top_nm": joint.shaft.depth.nm,
            **_limits("width", joint.shaft.width),
        },
        "hub": {
            **_limits("reading", joint.hub.reading),
            "depth_at_wall_nm": joint.hub.depth.nm,
            **_limits("width", joint.hub.width),
        },
        "over_key_nm": joint.over_key.nm,
        "source": joint.source,
        "status": joint.status,
        "remarks": list(joint.remarks),
    }


def _limits(name: str, limits: Limits) -> dict[str, int]:
    return {
        f"{name}_nm": limits.nominal.nm,
        f"{name}_lower_nm": limits.lower.nm,
        f"{name}_upper_nm": limits.upper.nm,
    }


def in_words(joint: Joint) -> list[str]:
    """The answer for people, in the standard's own unit with the other beside the main readings."""
    from broachplan.keyways.key import size_name
    from broachplan.keyways.keyway import Standard
    from broachplan.lengths import Units, show

    units, other = (Units.INCH, Units.MM) if joint.standard is Standard.INCH else (Units.MM, Units.INCH)

    def both(length: Length) -> str:
        return f"{show(length, units)} ({show(length, other)})"

    fit = f"class {joint.fit}" if joint.standard is Standard.INCH else f"{joint.fit} fit"
    return [
        f"Shaft {size_name(joint.diameter)}: key {joint.key.name}, {joint.key.shape}, {fit}",
        *_stock(joint, units),
        "",
        "Shaft",
        _row("floor to opposite side", both(joint.shaft.reading.nominal)),
        _row("limits", _between(joint.shaft.reading, units)),
        _row("top of arc to floor", both(joint.shaft.depth)),
        _row("keyseat width", _between(joint.shaft.width, units)),
        "",
        "Hub",
        _row("floor to opposite wall", both(joint.hub.reading.nominal)),
        _row("limits", _between(joint.hub.reading, units)),
        _row("depth at side wall", both(joint.hub.depth)),
        _row("keyway width", _between(joint.hub.width, units)),
        "",
        _row("height of arc", both(joint.arc)),
        _row("over shaft and key", both(joint.over_key)),
        "",
        *_wrapped(f"Source: {joint.source}{_marked(joint.status)}"),
        *(line for remark in joint.remarks for line in _wrapped(f"Note: {remark}")),
    ]


def _stock(joint: Joint, units: Units) -> list[str]:
    if joint.stock is None:
        return []
    width, height = (_between(limits, units) for limits in joint.stock)
    return [_row("key width", width), _row("key height", height)]


def _between(limits: Limits, units: Units) -> str:
    from broachplan.lengths import show

    return f"{show(limits.lower, units).split(' ')[0]} to {show(limits.upper, units)}"


def _row(name: str, value: str) -> str:
    return f"{_INDENT}{name:24}{value}"


def _marked(status: str) -> str:
    return "; some figures from memory" if status == "memory" else ""


def _wrapped(text: str) -> list[str]:
    import textwrap

    return textwrap.wrap(text, _WIDTH, subsequent_indent=_INDENT)
