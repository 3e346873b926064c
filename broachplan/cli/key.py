"""``broachplan key``: the key for a shaft, and the figures of shaft and hub by the standard."""

from __future__ import annotations

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson
from broachplan.cli.terminal import say, say_json
from broachplan.questions.shaft import JointQuestion


@asks(JointQuestion)
def key(question: JointQuestion, as_json: AsJson = False) -> None:
    """Show the key for a shaft, and what to measure on shaft and hub.

    LENGTH is a number with its unit (in, thou, mm, cm, m): "1-3/8 in", "30 mm". The figures are those of the nominal
    size. A SIZE is a width, or width x height. Exit codes: 0 done, 2 the input is wrong.

    \b
    Examples:
      broachplan key --shaft "1-3/8 in" --key "3/8 in"
      broachplan key --shaft "13/16 in" --number 607
      broachplan key --shaft "1 in" --key "1/4 in" --hub-key "5/16 in"
    """
    from broachplan.questions.read_joint import read_joint

    answer = read_joint(question)
    if as_json:
        from broachplan.cli.key_json import as_dict

        say_json(as_dict(answer))
    else:
        from broachplan.cli.layout import sheet_lines
        from broachplan.lengths import units_of
        from broachplan.sheets.joint import joint_sheet
        from broachplan.standards.iso_286 import read_sized

        say(sheet_lines(joint_sheet(answer, units_of(read_sized(question.shaft).system))))
