"""The columns of the desk's two lists."""

from __future__ import annotations

from broachplan.sheets.result import Column

PLAN_COLUMNS = (
    Column("broach", least=8, tags=True),
    Column("bushing", least=8, tags=True),
    Column("pass", right=True),
    Column("reads", right=True),
    Column("load", right=True, drops=1),
    Column("!", right=True),
    Column("may read", drops=3),
    Column("press", drops=2),
)
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
