"""What is answered where a screen asks before something typed is lost."""

from __future__ import annotations

from enum import StrEnum


class LeaveAnswer(StrEnum):
    """What is to become of what is typed."""

    SAVE = "save"
    LEAVE = "leave"
