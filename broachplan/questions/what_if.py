"""What a change of the coming jobs would do to their verdicts, asked before the change is made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from broachplan.questions import kinds
from broachplan.questions.jobs import LINES, number_line
from broachplan.questions.line import line, several


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfRequest:
    """A job with other texts, or with ``new`` one more job; with ``dropped`` the same without it. Nothing is changed."""

    number: str = number_line()
    values: Mapping[str, str] = several(LINES)
    new: bool = line("New", kinds.FLAG, "It is not in the list yet.")
    dropped: bool = line("Dropped", kinds.FLAG, "It is not wanted any more.")
    on: str = line("On", kinds.DAY, "The day it is asked on; else today.", what="day")
