"""``broachplan plan``: one hub, from the crib to the passes at the press."""

from __future__ import annotations

from typing import Annotated

import typer

from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.errors import ExitCode


def _words(option: str, metavar: str, about: str) -> typer.models.OptionInfo:
    return typer.Option(option, metavar=metavar, help=about)  # type: ignore[no-any-return]


def plan(
    bore: Annotated[str, _words("--bore", "LENGTH", "Bore, with limits where known.")],
    hub_length: Annotated[str, _words("--hub-length", "LENGTH", "Length of the cut in one hub.")],
    key: Annotated[str, _words("--key", "SIZE", "Key width, width x height, or Woodruff number.")] = "",
    shape: Annotated[str, _words("--shape", "NAME", "Key: square, rectangular or taper.")] = "",
    standard: Annotated[
        str,
        _words("--standard", "NAME", "inch, metric, woodruff or woodruff-metric; else by the bore's unit."),
    ] = "",
    fit: Annotated[str, _words("--fit", "NAME", "Class 1 or 2 (inch); close, normal or free (metric).")] = "",
    no_top_clearance: Annotated[
        bool, typer.Option("--no-top-clearance", help="A metric key that fits on its top.")
    ] = False,
    reading: Annotated[str, _words("--reading", "LIMITS", "Keyway floor to the opposite wall.")] = "",
    keyway_width: Annotated[str, _words("--keyway-width", "LIMITS", "Width of the keyway.")] = "",
    aim: Annotated[str, _words("--aim", "LENGTH", "Reading to aim for; else the middle of the limits.")] = "",
    hub_od: Annotated[str, _words("--hub-od", "LENGTH", "Outside diameter of the hub.")] = "",
    hardness: Annotated[str, _words("--hardness", "NUMBER", "Such as 28 HRC or 200 HB.")] = "",
    stack: Annotated[str, _words("--stack", "N", "Like hubs cut at once.")] = "",
    bore_form: Annotated[str, _words("--bore-form", "NAME", "through, blind or tapered.")] = "",
    material: Annotated[str, _words("--material", "NAME", "What the hub is made of.")] = "",
    press: Annotated[str, _words("--press", "TAG", "The press to use; else the smallest that will do.")] = "",
    on: Annotated[
        str,
        _words(
            "--on", "DATE", "Day of the work, such as 2031-05-28: pieces held for other work then stay out."
        ),
    ] = "",
    why: Annotated[str, _words("--why", "TAG|all", "Tell why this piece, or each piece, was refused.")] = "",
    plans: Annotated[
        str, _words("--plans", "N|all", "How many plans to work out in full; else the best 12.")
    ] = "",
    as_json: AsJson = False,
    db: Db = None,
) -> None:
    """Pick the bushing and the shim passes for one hub.

    LENGTH is a number with its unit (in, thou, mm, cm, m): "7/8 in", "22 mm". Limits follow it as deviations in
    the same unit: "1 in +0.001 -0.000". Exit codes: 0 a plan exists, 3 none does, 2 the input is wrong.

    \b
    Example:
      broachplan plan --bore "7/8 in +0.001 -0" --key "1/4 in" \\
          --hub-length "1-1/4 in" --material "grey iron 200 HB"
    """
    from broachplan.planner.question import Question, read_plans, read_question

    question = Question(
        bore=bore,
        hub_length=hub_length,
        key=key,
        shape=shape,
        standard=standard,
        fit=fit,
        no_top_clearance=no_top_clearance,
        reading=reading,
        keyway_width=keyway_width,
        aim=aim,
        hub_od=hub_od,
        hardness=hardness,
        stack=stack,
        bore_form=bore_form,
        material=material,
    )
    # What is typed wrong is told before the crib's machinery is loaded: that takes most of a second.
    read_question(question)
    if plans:
        read_plans(plans)
    from broachplan.desks.machinist.plan_hub import plan_hub

    answer = plan_hub(db, question, press=press, on=on, why=why, plans=plans)
    if as_json:
        from broachplan.cli.plan_json import as_dict

        say_json(as_dict(answer))
    else:
        from broachplan.cli.plan_words import in_words

        say(in_words(answer))
    raise typer.Exit(ExitCode.DONE if answer.ready else ExitCode.NO)
