"""The columns of the desk's list of passes."""

from __future__ import annotations

from broachplan.sheets.result import Column

PASS_COLUMNS = (
    Column("pass", right=True),
    Column("shims", least=14),
    Column("total", right=True),
    Column("reads", right=True),
    Column("first bite", right=True, drops=3),
    Column("bite", right=True),
    Column("teeth", right=True, drops=2),
    Column("load", right=True, drops=1),
)
