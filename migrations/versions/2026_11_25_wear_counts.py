"""Wear of a piece, blind counts of a drawer, pieces that are missing or were made in house; acts of all of these."""

import sqlalchemy as sa
from alembic import op

revision = "20261125b"
down_revision = "20261125a"
branch_labels = None
depends_on = None

_BEFORE = ("received", "changed", "inspected", "lent", "returned", "retired", "undone")
_ACTS = (*_BEFORE, "held", "released", "booked", "reground", "counted")
_MOST_CUTS = 1_000_000_000
_MOST_LENGTH = 10**18


def upgrade() -> None:
    op.add_column("piece", _day("piece", "missing_since"))
    op.add_column("piece", _made_here())
    _allow_acts(_ACTS)
    op.create_table(
        "wear",
        sa.Column("piece_id", sa.Integer, nullable=False, autoincrement=False),
        *(column for name in ("", "ground_", "inspected_") for column in _sums(name)),
        _day("wear", "ground_on"),
        _day("wear", "inspected_on"),
        sa.PrimaryKeyConstraint("piece_id", name="pk_wear"),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name="fk_wear_piece_id_piece"),
        sa.CheckConstraint(
            "ground_cuts <= cuts AND ground_length <= cut_length", name="ck_wear_ground_before"
        ),
        sa.CheckConstraint(
            "inspected_cuts <= cuts AND inspected_length <= cut_length", name="ck_wear_inspected_before"
        ),
        sqlite_strict=True,
    )
    op.create_table(
        "drawer_count",
        sa.Column("id", sa.Integer, nullable=False),
        _words("drawer_count", "home", least=1),
        _moment("drawer_count", "at", nullable=False),
        _words("drawer_count", "by_name", most=100),
        sa.Column("after_action", sa.Integer),
        _moment("drawer_count", "settled_at", nullable=True),
        sa.Column("action_id", sa.Integer),
        sa.PrimaryKeyConstraint("id", name="pk_drawer_count"),
        sa.ForeignKeyConstraint(["after_action"], ["action.id"], name="fk_drawer_count_after_action_action"),
        sa.ForeignKeyConstraint(["action_id"], ["action.id"], name="fk_drawer_count_action_id_action"),
        sa.CheckConstraint("after_action < action_id", name="ck_drawer_count_action_later"),
        sqlite_strict=True,
    )
    op.create_table(
        "count_line",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("count_id", sa.Integer, nullable=False),
        _words("count_line", "tag", least=1, most=40),
        sa.Column("expected", sa.Integer, nullable=False),
        sa.Column("found", sa.Integer, nullable=False),
        sa.Column("difference", sa.Text, nullable=False),
        _words("count_line", "cause", most=100),
        sa.PrimaryKeyConstraint("id", name="pk_count_line"),
        sa.ForeignKeyConstraint(
            ["count_id"], ["drawer_count.id"], name="fk_count_line_count_id_drawer_count"
        ),
        sa.CheckConstraint(
            "difference IN ('', 'absent', 'stray', 'back', 'found', 'retired', 'unknown')",
            name="ck_count_line_difference_known",
        ),
        sa.CheckConstraint("expected IN (0, 1) AND found IN (0, 1)", name="ck_count_line_flags"),
        sa.UniqueConstraint("count_id", "tag", name="uq_count_line_count_id"),
        sqlite_strict=True,
    )


def downgrade() -> None:
    op.drop_table("count_line")
    op.drop_table("drawer_count")
    op.drop_table("wear")
    # What the older revision has no word for becomes the nearest that it has.
    op.execute(
        "UPDATE entry SET act = 'changed' WHERE act IN ('held', 'released', 'booked', 'reground', 'counted')"
    )
    _allow_acts(_BEFORE)
    op.drop_column("piece", "made_here")
    op.drop_column("piece", "missing_since")


def _allow_acts(acts: tuple[str, ...]) -> None:
    rule = f"act IN ({', '.join(map(repr, acts))})"
    if op.get_context().dialect.name != "sqlite":
        op.drop_constraint("ck_entry_act_known", "entry", type_="check")
        op.create_check_constraint("ck_entry_act_known", "entry", rule)
        return
    # SQLite alters no rule. Nothing refers to this table, so it is made anew under another name.
    op.create_table(
        "entry_anew",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("action_id", sa.Integer, nullable=False),
        sa.Column("piece_id", sa.Integer, nullable=False),
        sa.Column("act", sa.Text, nullable=False),
        _words("entry", "note"),
        _words("entry", "changes", least=2, most=20_000),
        sa.PrimaryKeyConstraint("id", name="pk_entry"),
        sa.ForeignKeyConstraint(["action_id"], ["action.id"], name="fk_entry_action_id_action"),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name="fk_entry_piece_id_piece"),
        sa.CheckConstraint(rule, name="ck_entry_act_known"),
        sa.UniqueConstraint("action_id", "piece_id", name="uq_entry_action_id"),
        sqlite_strict=True,
    )
    columns = "id, action_id, piece_id, act, note, changes"
    op.execute(f"INSERT INTO entry_anew ({columns}) SELECT {columns} FROM entry")
    op.drop_table("entry")
    op.rename_table("entry_anew", "entry")
    op.create_index("ix_entry_piece_id", "entry", ["piece_id"])


def _made_here() -> sa.Column[int]:
    rule = sa.CheckConstraint("made_here IN (0, 1)", name="ck_piece_made_here_flag")
    return sa.Column("made_here", sa.Integer, rule, nullable=False, server_default=sa.text("0"))


def _sums(when: str) -> tuple[sa.Column[int], sa.Column[int]]:
    cuts, length = f"{when}cuts", f"{when or 'cut_'}length"
    wide = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
    return (
        sa.Column(
            cuts,
            sa.Integer,
            sa.CheckConstraint(f"{cuts} BETWEEN 0 AND {_MOST_CUTS}", name=f"ck_wear_{cuts}_range"),
            nullable=False,
            server_default=sa.text("0"),
        ),
        sa.Column(
            length,
            wide,
            sa.CheckConstraint(f"{length} BETWEEN 0 AND {_MOST_LENGTH}", name=f"ck_wear_{length}_range"),
            nullable=False,
            server_default=sa.text("0"),
        ),
    )


def _day(table: str, name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text, sa.CheckConstraint(f"length({name}) = 10", name=f"ck_{table}_{name}_iso"))


def _moment(table: str, name: str, *, nullable: bool) -> sa.Column[str]:
    rule = sa.CheckConstraint(f"length({name}) = 20", name=f"ck_{table}_{name}_iso")
    return sa.Column(name, sa.Text, rule, nullable=nullable)


def _words(table: str, name: str, *, least: int = 0, most: int = 200) -> sa.Column[str]:
    rule = sa.CheckConstraint(f"length({name}) BETWEEN {least} AND {most}", name=f"ck_{table}_{name}_length")
    return sa.Column(name, sa.Text, rule, nullable=False)
