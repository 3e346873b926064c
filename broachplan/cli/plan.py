"""``broachplan plan``: one hub, from the crib to the passes at the press."""

from __future__ import annotations

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Brief, Db, Full
from broachplan.cli.terminal import say, say_json
from broachplan.errors import ExitCode, InputError
from broachplan.questions.hub import PlanRequest


@asks(PlanRequest)
def plan(
    request: PlanRequest, as_json: AsJson = False, brief: Brief = False, full: Full = False, db: Db = None
) -> None:
    """Pick the bushing and the shim passes for one hub.

    LENGTH is a number with its unit (in, thou, mm, cm, m): "1-1/2 in", "30 mm". Limits follow it as deviations in
    the same unit: "1 in +0.001 -0.000"; an ISO 286 zone may follow millimetres: "25 mm H7". The answer comes first, with the cautions by name; --full says the rest.
    Exit codes: 0 a plan exists, 3 none does, 2 the input is wrong.

    \b
    Example:
      broachplan plan --bore "1-1/2 in +0.001 -0" --key "3/8 in" \\
          --hub-length "1-3/4 in" --material "grey cast iron"

    \b
    What is left to do once a pass was gauged:
      broachplan plan --bore "1-1/2 in +0.001 -0" --key "3/8 in" \\
          --hub-length "1-3/4 in" --broach BR-0375-A --bushing GU-1500-0375-A \\
          --last-shims SH-0375-01 --measured "1.5873 in"
    """
    from broachplan.questions.read_after import read_after_question, read_way_question
    from broachplan.questions.read_hub import read_hub_question
    from broachplan.questions.texts import read_plans

    if brief and full:
        raise InputError("--brief", "name --brief or --full, not both")
    # Wrong input is refused before the crib's machinery is loaded: that takes most of a second.
    read_hub_question(request)
    if request.plans:
        read_plans(request.plans)
    read_after_question(request)
    gauge = read_way_question(request)
    from broachplan.desks.machinist.plan_hub import plan_hub

    answer = plan_hub(db, request)
    way = gauge.for_plan(answer)
    if as_json:
        from broachplan.cli.plan_json import as_dict

        say_json(as_dict(answer, way))
    else:
        from broachplan.cli.layout import sheet_lines
        from broachplan.sheets.answer import plan_sheet
        from broachplan.sheets.result import Detail

        detail = Detail.BRIEF if brief else Detail.FULL if full else Detail.USUAL
        others = bool(request.why or request.plans)
        say(sheet_lines(plan_sheet(answer, way, detail, others=others)))
    raise typer.Exit(ExitCode.DONE if answer.ready else ExitCode.NO)
