"""Runs at the press: each with its steps, and the pieces as it uses them."""

import sqlalchemy as sa
from alembic import op

revision = "20261128b"
down_revision = "20261128a"
branch_labels = None
depends_on = None

_STATES = ("running", "stopped", "done", "abandoned")
_ACTS = (
    *("started", "pushed", "part_way", "not_pushed", "read", "not_read", "again", "replanned", "measured"),
    *("corrected", "gone", "broken", "scrapped", "accepted", "aside", "stopped", "parked", "resumed"),
    *("ended", "abandoned"),
)
_JSON = 20_000
_LONG_JSON = 1_000_000


def upgrade() -> None:
    op.create_table(
        "run",
        sa.Column("id", sa.Integer, nullable=False),
        _word("letters"),
        _word("state"),
        _words("run", "why"),
        _flag("run", "parked"),
        _words("run", "person", least=1, most=100),
        _words("run", "question", least=2, most=_JSON),
        _number("run", "quantity", 100_000, nullable=False),
        _word("order_of"),
        _number("run", "read_each", 999_999, nullable=False),
        _words("run", "press", most=40),
        _words("run", "marks", least=2, most=_LONG_JSON),
        _words("run", "job", most=100),
        _words("run", "drawing"),
        _words("run", "settings", least=2, most=_JSON),
        _words("run", "program", least=1, most=40),
        sa.PrimaryKeyConstraint("id", name="pk_run"),
        _one_of("run", "state", _STATES),
        _one_of("run", "order_of", ("loads", "passes")),
        sa.CheckConstraint("length(letters) = 4", name="ck_run_letters_four"),
        sa.CheckConstraint("parked = 0 OR state = 'stopped'", name="ck_run_parked_stopped"),
        sqlite_strict=True,
    )
    op.create_index("ix_run_state", "run", ["state"])
    op.create_table(
        "run_step",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("run_id", sa.Integer, nullable=False),
        sa.Column("step", sa.Integer, nullable=False),
        sa.Column("action_id", sa.Integer, nullable=False),
        _word("act"),
        _number("run_step", "load_number", 100_000),
        _words("run_step", "hubs", least=2, most=_LONG_JSON),
        _number("run_step", "pass_number", 100_000),
        _words("run_step", "shims", least=2, most=_JSON),
        *(sa.Column(name, _wide()) for name in ("plain", "expected", "low", "high")),
        _number("run_step", "hub", 100_000),
        _word("end_of"),
        _word("way"),
        _words("run_step", "typed"),
        sa.Column("t", _wide()),
        _words("run_step", "with_what", most=100),
        _flag("run_step", "doubtful"),
        _flag("run_step", "sure"),
        _words("run_step", "piece", most=40),
        _words("run_step", "why"),
        sa.Column("corrects", sa.Integer),
        _words("run_step", "to_do", least=2, most=_JSON),
        _words("run_step", "new_hubs", least=2, most=_JSON),
        sa.PrimaryKeyConstraint("id", name="pk_run_step"),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name="fk_run_step_run_id_run"),
        sa.ForeignKeyConstraint(["action_id"], ["action.id"], name="fk_run_step_action_id_action"),
        _one_of("run_step", "act", _ACTS),
        _one_of("run_step", "end_of", ("", "top", "bottom")),
        _one_of("run_step", "way", ("", "inside", "block", "wall", "floor")),
        sa.CheckConstraint("step >= 1", name="ck_run_step_step_least"),
        sa.CheckConstraint("corrects < step", name="ck_run_step_corrects_earlier"),
        sa.UniqueConstraint("run_id", "step", name="uq_run_step_run_id"),
        sa.UniqueConstraint("action_id", name="uq_run_step_action_id"),
        sqlite_strict=True,
    )
    _pieces()


def _pieces() -> None:
    op.create_table(
        "run_piece",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("run_id", sa.Integer, nullable=False),
        sa.Column("step", sa.Integer, nullable=False),
        sa.Column("piece_id", sa.Integer, nullable=False, autoincrement=False),
        sa.Column("version", sa.Integer, nullable=False),
        _words("run_piece", "figures", least=2, most=_JSON),
        _words("run_piece", "measured_with"),
        sa.Column(
            "measured_on",
            sa.Text,
            sa.CheckConstraint("length(measured_on) = 10", name="ck_run_piece_measured_on_iso"),
        ),
        _words("run_piece", "measured_by"),
        _size("run_piece", "measured_to"),
        _flag("run_piece", "lent_by_run"),
        _flag("run_piece", "with_run"),
        sa.Column("loan_id", sa.Integer),
        sa.Column("booked_loan", sa.Integer),
        sa.PrimaryKeyConstraint("id", name="pk_run_piece"),
        sa.ForeignKeyConstraint(
            ["run_id", "step"], ["run_step.run_id", "run_step.step"], name="fk_run_piece_run_id_run_step"
        ),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name="fk_run_piece_piece_id_piece"),
        sa.ForeignKeyConstraint(["loan_id"], ["loan.id"], name="fk_run_piece_loan_id_loan"),
        sa.ForeignKeyConstraint(["booked_loan"], ["loan.id"], name="fk_run_piece_booked_loan_loan"),
        sa.CheckConstraint("version >= 1", name="ck_run_piece_version_least"),
        sa.UniqueConstraint("run_id", "step", "piece_id", name="uq_run_piece_run_id"),
        sqlite_strict=True,
    )
    op.create_index("ix_run_piece_piece_id", "run_piece", ["piece_id"])
    op.create_index(
        "uq_run_piece_with_run",
        "run_piece",
        ["piece_id"],
        unique=True,
        sqlite_where=sa.text("with_run = 1"),
        postgresql_where=sa.text("with_run = 1"),
    )


def downgrade() -> None:
    op.drop_table("run_piece")
    # What a run did to no piece has no entry, and the older revision has no other place for it.
    op.execute(
        "UPDATE drawer_count SET after_action = (SELECT max(entry.action_id) FROM entry WHERE entry.action_id <= drawer_count.after_action) "
        "WHERE after_action IS NOT NULL"
    )
    op.execute("CREATE TABLE step_actions AS SELECT action_id FROM run_step")
    op.drop_table("run_step")
    op.drop_table("run")
    op.execute(
        "DELETE FROM action WHERE id IN (SELECT action_id FROM step_actions) AND id NOT IN (SELECT action_id FROM entry)"
    )
    op.execute("DROP TABLE step_actions")


def _wide() -> sa.types.TypeEngine[int]:
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def _size(table: str, name: str) -> sa.Column[int]:
    return sa.Column(name, _wide(), sa.CheckConstraint(f"{name} > 0", name=f"ck_{table}_{name}_positive"))


def _word(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=False)


def _words(table: str, name: str, *, least: int = 0, most: int = 200) -> sa.Column[str]:
    rule = sa.CheckConstraint(f"length({name}) BETWEEN {least} AND {most}", name=f"ck_{table}_{name}_length")
    return sa.Column(name, sa.Text, rule, nullable=False)


def _number(table: str, name: str, most: int, *, nullable: bool = True) -> sa.Column[int]:
    rule = sa.CheckConstraint(f"{name} BETWEEN 1 AND {most}", name=f"ck_{table}_{name}_range")
    return sa.Column(name, sa.Integer, rule, nullable=nullable)


def _flag(table: str, name: str) -> sa.Column[int]:
    rule = sa.CheckConstraint(f"{name} IN (0, 1)", name=f"ck_{table}_{name}_flag")
    return sa.Column(name, sa.Integer, rule, nullable=False, server_default=sa.text("0"))


def _one_of(table: str, name: str, words: tuple[str, ...]) -> sa.CheckConstraint:
    return sa.CheckConstraint(f"{name} IN ({', '.join(map(repr, words))})", name=f"ck_{table}_{name}_known")
