"""Each step of a run has a digest, and each run a seal and its hubs in numbers."""

import json
from hashlib import sha256

import sqlalchemy as sa
from alembic import op

revision = "20261129a"
down_revision = "20261128c"
branch_labels = None
depends_on = None

_BEGUN = "id, letters, question, quantity, order_of, read_each, press, marks, job, drawing, settings, program"
# Earlier runs keep no numbers: they hang on the steps, which only the program understands.
_NOW = "state, why, parked, person, counts"
_STEP = (
    "id, run_id, step, action_id, act, load_number, hubs, pass_number, shims, plain, expected, low, high, hub, end_of, way, "
    "typed, t, with_what, doubtful, sure, piece, why, corrects, to_do, new_hubs"
)
_TAKEN = "id, run_id, step, piece_id, version, figures, measured_with, measured_on, measured_by, measured_to, lent_by_run"
_PIECE_NOW = "id, with_run, loan_id, booked_loan"


def upgrade() -> None:
    op.add_column("run", _words("run", "counts", 200))
    op.add_column("run", _words("run", "seal", 64))
    op.add_column("run_step", _words("run_step", "digest", 64))
    connection = op.get_bind()
    for (number,) in connection.execute(sa.text("SELECT id FROM run ORDER BY id")).all():
        _vouch(connection, number)


def downgrade() -> None:
    for table, name in (("run", "counts"), ("run", "seal"), ("run_step", "digest")):
        op.drop_column(table, name)


def _vouch(connection: sa.Connection, number: int) -> None:
    """Digests and seal of the rows as they are."""

    def rows(columns: str, table: str, key: str, more: str = "") -> list[list[object]]:
        query = sa.text(f"SELECT {columns} FROM {table} WHERE {key} = :number {more}")
        return [list(row) for row in connection.execute(query, {"number": number})]

    actions = "JOIN action ON action.id = run_step.action_id"
    columns = ", ".join(f"run_step.{name}" for name in _STEP.split(", "))
    steps = rows(
        f"{columns}, action.at, action.by_name", f"run_step {actions}", "run_id", "ORDER BY run_step.step"
    )
    taken = rows(_TAKEN, "run_piece", "run_id", "ORDER BY id")
    before = _digest("", rows(_BEGUN, "run", "id")[0])
    for step in steps:
        before = _digest(before, step, [piece for piece in taken if piece[2] == step[2]])
        connection.execute(
            sa.text("UPDATE run_step SET digest = :digest WHERE id = :id"), {"digest": before, "id": step[0]}
        )
    seal = _digest(before, rows(_NOW, "run", "id")[0], rows(_PIECE_NOW, "run_piece", "run_id", "ORDER BY id"))
    connection.execute(
        sa.text("UPDATE run SET seal = :seal WHERE id = :number"), {"seal": seal, "number": number}
    )


def _digest(before: str, row: list[object], more: list[list[object]] | None = None) -> str:
    text = json.dumps([before, row, more or []], separators=(",", ":"))
    return sha256(text.encode()).hexdigest()


def _words(table: str, name: str, most: int) -> sa.Column[str]:
    rule = sa.CheckConstraint(f"length({name}) BETWEEN 0 AND {most}", name=f"ck_{table}_{name}_length")
    return sa.Column(name, sa.Text, rule, nullable=False, server_default=sa.text("''"))
