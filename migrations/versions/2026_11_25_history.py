"""The history of every piece, and what a loan is for and when it is due."""

import sqlalchemy as sa
from alembic import op

revision = "20261125a"
down_revision = "20261124a"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # Columns are added and no table is rebuilt: the rules stand at the columns.
    op.add_column("loan", _words("loan", "job", server_default=sa.text("''")))
    op.add_column("loan", _due())
    op.create_table(
        "action",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column(
            "at", sa.Text, sa.CheckConstraint("length(at) = 20", name="ck_action_at_iso"), nullable=False
        ),
        _words("action", "by_name", most=100),
        sa.Column("undoes", sa.Integer),
        sa.PrimaryKeyConstraint("id", name="pk_action"),
        sa.ForeignKeyConstraint(["undoes"], ["action.id"], name="fk_action_undoes_action"),
        sa.CheckConstraint("undoes < id", name="ck_action_undoes_earlier"),
        sa.UniqueConstraint("undoes", name="uq_action_undoes"),
        sqlite_strict=True,
    )
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("action_id", sa.Integer, nullable=False),
        sa.Column("piece_id", sa.Integer, nullable=False),
        sa.Column("act", sa.Text, nullable=False),
        _words("entry", "note"),
        _words("entry", "changes", least=2, most=20_000),
        sa.PrimaryKeyConstraint("id", name="pk_entry"),
        sa.ForeignKeyConstraint(["action_id"], ["action.id"], name="fk_entry_action_id_action"),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name="fk_entry_piece_id_piece"),
        sa.CheckConstraint(
            "act IN ('received', 'changed', 'inspected', 'lent', 'returned', 'retired', 'undone')",
            name="ck_entry_act_known",
        ),
        sa.UniqueConstraint("action_id", "piece_id", name="uq_entry_action_id"),
        sqlite_strict=True,
    )
    op.create_index("ix_entry_piece_id", "entry", ["piece_id"])


def downgrade() -> None:
    op.drop_table("entry")
    op.drop_table("action")
    op.drop_column("loan", "due")
    op.drop_column("loan", "job")


def _due() -> sa.Column[str]:
    rule = sa.CheckConstraint("length(due) = 10 AND due >= since", name="ck_loan_due_after")
    return sa.Column("due", sa.Text, rule)


def _words(
    table: str, name: str, *, least: int = 0, most: int = 200, server_default: sa.TextClause | None = None
) -> sa.Column[str]:
    rule = sa.CheckConstraint(f"length({name}) BETWEEN {least} AND {most}", name=f"ck_{table}_{name}_length")
    return sa.Column(name, sa.Text, rule, nullable=False, server_default=server_default)
