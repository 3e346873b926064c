"""The tables behind the rows, for reading and writing in bulk by SQLAlchemy Core."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import MetaData, Table

from broachplan.store import job_rows, rows, run_rows
from broachplan.store.columns import Row
from broachplan.tooling.figures import Kind

# Their classes declare the tables when they are loaded.
_DECLARED = (rows, run_rows, job_rows)
METADATA: MetaData = Row.metadata
PIECE: Table = METADATA.tables["piece"]
LOAN: Table = METADATA.tables["loan"]
HOLD: Table = METADATA.tables["hold"]
ACTION: Table = METADATA.tables["action"]
ENTRY: Table = METADATA.tables["entry"]
WEAR: Table = METADATA.tables["wear"]
COUNT: Table = METADATA.tables["drawer_count"]
COUNT_LINE: Table = METADATA.tables["count_line"]
SETTING: Table = METADATA.tables["setting"]
RUN: Table = METADATA.tables["run"]
RUN_PIECE: Table = METADATA.tables["run_piece"]
RUN_STEP: Table = METADATA.tables["run_step"]
JOB: Table = METADATA.tables["job"]
JOB_ENTRY: Table = METADATA.tables["job_entry"]
FIGURES_OF: Mapping[Kind, Table] = {kind: METADATA.tables[kind.value] for kind in Kind}
