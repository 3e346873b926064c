"""Coming work: jobs, what was done to each, and holds found by their day."""

import sqlalchemy as sa
from alembic import op

revision = "20261128c"
down_revision = "20261128b"
branch_labels = None
depends_on = None

_STATES = ("coming", "started", "done", "dropped")
_ACTS = ("added", "changed", "started", "set back", "finished", "dropped", "undone")
_NUMBER = 40
_JSON = 20_000


def upgrade() -> None:
    op.create_table(
        "job",
        sa.Column("id", sa.Integer, nullable=False),
        _words("job", "number", least=1, most=_NUMBER),
        _words("job", "key", least=1, most=2 * _NUMBER),
        sa.Column("state", sa.Text, nullable=False),
        _day("job", "due", nullable=False),
        _day("job", "press_by", nullable=True),
        _whole("job", "quantity", 100_000),
        _whole("job", "days", 60),
        _whole("job", "priority", 9),
        _words("job", "after", most=_NUMBER),
        _words("job", "drawing"),
        _words("job", "note"),
        _words("job", "question", least=2, most=_JSON),
        _words("job", "pieces", least=2, most=_JSON),
        _words("job", "held", least=2, most=_JSON),
        sa.PrimaryKeyConstraint("id", name="pk_job"),
        _one_of("job", "state", _STATES),
        sa.CheckConstraint("press_by <= due", name="ck_job_press_by_before"),
        sa.CheckConstraint(
            "(state = 'started') = (pieces <> '[]') AND (pieces = '[]') = (held = '[]')",
            name="ck_job_holds_started",
        ),
        sa.UniqueConstraint("number", name="uq_job_number"),
        sa.UniqueConstraint("key", name="uq_job_key"),
        sqlite_strict=True,
    )
    op.create_index("ix_job_state", "job", ["state"])
    op.create_table(
        "job_entry",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("action_id", sa.Integer, nullable=False),
        _words("job_entry", "number", least=1, most=_NUMBER),
        sa.Column("act", sa.Text, nullable=False),
        _words("job_entry", "changes", least=2, most=2 * _JSON),
        sa.PrimaryKeyConstraint("id", name="pk_job_entry"),
        _one_of("job_entry", "act", _ACTS),
        sa.UniqueConstraint("action_id", "number", name="uq_job_entry_action_id"),
        sa.ForeignKeyConstraint(["action_id"], ["action.id"], name="fk_job_entry_action_id_action"),
        sqlite_strict=True,
    )
    op.create_index("ix_job_entry_number", "job_entry", ["number"])
    op.create_index("ix_hold_day", "hold", ["day"])


def downgrade() -> None:
    op.drop_index("ix_hold_day", "hold")
    # What was done to jobs alone has no entry of a piece, and the older revision has no other place for it.
    op.execute(
        "UPDATE drawer_count SET after_action = (SELECT max(action.id) FROM action WHERE action.id <= drawer_count.after_action "
        "AND (action.id IN (SELECT action_id FROM entry) OR action.id IN (SELECT action_id FROM run_step))) "
        "WHERE after_action IS NOT NULL"
    )
    op.execute("CREATE TABLE job_actions AS SELECT DISTINCT action_id FROM job_entry")
    op.drop_table("job_entry")
    op.drop_table("job")
    op.execute(
        "DELETE FROM action WHERE id IN (SELECT action_id FROM job_actions) AND id NOT IN (SELECT action_id FROM entry)"
    )
    op.execute("DROP TABLE job_actions")


def _words(table: str, name: str, least: int = 0, most: int = 200) -> sa.Column:
    rule = sa.CheckConstraint(f"length({name}) BETWEEN {least} AND {most}", name=f"ck_{table}_{name}_length")
    return sa.Column(name, sa.Text, rule, nullable=False)


def _day(table: str, name: str, *, nullable: bool) -> sa.Column:
    return sa.Column(
        name,
        sa.Text,
        sa.CheckConstraint(f"length({name}) = 10", name=f"ck_{table}_{name}_iso"),
        nullable=nullable,
    )


def _whole(table: str, name: str, most: int) -> sa.Column:
    rule = sa.CheckConstraint(f"{name} BETWEEN 1 AND {most}", name=f"ck_{table}_{name}_range")
    return sa.Column(name, sa.Integer, rule, nullable=False)


def _one_of(table: str, name: str, words: tuple[str, ...]) -> sa.CheckConstraint:
    listed = ", ".join(repr(word) for word in words)
    return sa.CheckConstraint(f"{name} IN ({listed})", name=f"ck_{table}_{name}_known")
