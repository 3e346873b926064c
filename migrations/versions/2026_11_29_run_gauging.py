"""A run has one act more: how often its hubs are gauged is changed on the way."""

import sqlalchemy as sa
from alembic import op

revision = "20261129b"
down_revision = "20261129a"
branch_labels = None
depends_on = None

_BEFORE = (
    *("started", "pushed", "part_way", "not_pushed", "read", "not_read", "again", "replanned", "measured"),
    *("corrected", "gone", "broken", "scrapped", "accepted", "aside", "stopped", "parked", "resumed"),
    *("ended", "abandoned"),
)
_NOW = (*_BEFORE, "gauging")


def upgrade() -> None:
    _hold_to(_BEFORE, _NOW)


def downgrade() -> None:
    # A run with such a step is not one that the older revision understands: it stays as it is.
    if op.get_bind().scalar(sa.text("SELECT count(*) FROM run_step WHERE act = 'gauging'")):
        raise ValueError("a run has a step that the older revision does not know")
    _hold_to(_NOW, _BEFORE)


def _hold_to(old: tuple[str, ...], new: tuple[str, ...]) -> None:
    """The acts that the table takes."""
    connection = op.get_bind()
    if connection.dialect.name == "postgresql":
        op.drop_constraint("ck_run_step_act_known", "run_step")
        op.create_check_constraint("ck_run_step_act_known", "run_step", _rule(new))
        return
    # SQLite alters no constraint, so that the table is made anew from its own words, and keeps the rest of its rules.
    (sql,) = connection.execute(sa.text("SELECT sql FROM sqlite_master WHERE name = 'run_step'")).one()
    assert _rule(old) in sql
    head, body = sql.split("(", 1)
    connection.exec_driver_sql(
        f"{head.replace('run_step', 'run_step_new')}({body.replace(_rule(old), _rule(new))}"
    )
    connection.exec_driver_sql("INSERT INTO run_step_new SELECT * FROM run_step")
    connection.exec_driver_sql("DROP TABLE run_step")
    connection.exec_driver_sql("ALTER TABLE run_step_new RENAME TO run_step")


def _rule(words: tuple[str, ...]) -> str:
    return f"act IN ({', '.join(map(repr, words))})"
