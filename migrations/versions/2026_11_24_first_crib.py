"""The first crib: pieces and their figures, loans, holds, settings."""

import sqlalchemy as sa
from alembic import op

revision = "20261124a"
down_revision = None
branch_labels = None
depends_on = None

# SQLite's INTEGER has 64 bits, and its STRICT tables know no BIGINT.
WIDE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    _create_piece()
    _create_broach()
    _create_figures(
        "bushing", "outside_diameter", "slot_width", "web", "length", "collar_height", less=BUSHING
    )
    op.create_index("ix_bushing_outside_diameter", "bushing", ["outside_diameter"])
    _create_figures("shim", "thickness", "width", "length")
    op.create_index("ix_shim_width", "shim", ["width"])
    _create_figures("press", "rated_force", "opening", "throat", "stroke")
    _create_figures("pin", "diameter", "length")
    _create_figures("ring", "wall", "length")
    _create_loan()
    _create_hold()
    op.create_table(
        "setting",
        sa.Column("name", sa.Text, nullable=False),
        _words("setting", "value", least=1),
        sa.PrimaryKeyConstraint("name", name="pk_setting"),
        sqlite_strict=True,
    )


def downgrade() -> None:
    for table in ("setting", "hold", "loan", "ring", "pin", "press", "shim", "bushing", "broach", "piece"):
        op.drop_table(table)


BUSHING = (("slot_width", "outside_diameter"), ("web", "outside_diameter"))
BROACH = (("first_tooth_height", "last_tooth_height"), ("root_height", "first_tooth_height"))


def _create_piece() -> None:
    op.create_table(
        "piece",
        sa.Column("id", sa.Integer, nullable=False),
        _words("piece", "tag", least=1, most=40),
        sa.Column("kind", sa.Text, nullable=False),
        _words("piece", "set_name"),
        _words("piece", "home"),
        sa.Column("condition", sa.Text, nullable=False),
        _words("piece", "note"),
        _words("piece", "measured_with"),
        _day("piece", "measured_on", nullable=True),
        _words("piece", "measured_by"),
        sa.Column("retired", sa.Integer, server_default=sa.text("0"), nullable=False),
        sa.Column("version", sa.Integer, server_default=sa.text("1"), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_piece"),
        sa.CheckConstraint(
            "kind IN ('broach', 'bushing', 'shim', 'press', 'pin', 'ring')", name="ck_piece_kind_known"
        ),
        sa.CheckConstraint("condition IN ('fit', 'worn', 'unfit')", name="ck_piece_condition_known"),
        sa.CheckConstraint("retired IN (0, 1)", name="ck_piece_retired_flag"),
        sa.CheckConstraint("version >= 1", name="ck_piece_version_least"),
        sa.UniqueConstraint("tag", name="uq_piece_tag"),
        sqlite_strict=True,
    )
    op.create_index("ix_piece_kind_retired", "piece", ["kind", "retired"])


def _create_broach() -> None:
    op.create_table(
        "broach",
        sa.Column("piece_id", sa.Integer, nullable=False, autoincrement=False),
        _size("broach", "keyway_width"),
        _size("broach", "body_width"),
        _size("broach", "first_tooth_height"),
        _size("broach", "last_tooth_height"),
        _size("broach", "tooth_pitch"),
        _count("broach", "rising_teeth", 2),
        _count("broach", "finishing_teeth", 0),
        _size("broach", "root_height"),
        _size("broach", "front_length"),
        _size("broach", "overall_length"),
        _size("broach", "gullet_area"),
        *_piece_and_key("broach"),
        *_orders("broach", BROACH),
        sa.CheckConstraint(
            "coalesce(front_length, 0) + (rising_teeth + coalesce(finishing_teeth, 0) - 1) * tooth_pitch"
            " <= overall_length",
            name="ck_broach_overall_length_holds",
        ),
        sqlite_strict=True,
    )
    op.create_index("ix_broach_keyway_width", "broach", ["keyway_width"])


def _create_figures(table: str, *names: str, less: tuple[tuple[str, str], ...] = ()) -> None:
    op.create_table(
        table,
        sa.Column("piece_id", sa.Integer, nullable=False, autoincrement=False),
        *(_size(table, name) for name in names),
        *_piece_and_key(table),
        *_orders(table, less),
        sqlite_strict=True,
    )


def _create_loan() -> None:
    op.create_table(
        "loan",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("piece_id", sa.Integer, nullable=False),
        _words("loan", "to_name", least=1),
        _day("loan", "since", nullable=False),
        _day("loan", "returned", nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_loan"),
        _to_piece("loan"),
        sa.CheckConstraint("returned >= since", name="ck_loan_returned_after"),
        sqlite_strict=True,
    )
    # One open loan a piece, held by the database and not by counting first.
    open_loan = sa.text("returned IS NULL")
    op.create_index(
        "uq_loan_open", "loan", ["piece_id"], unique=True, sqlite_where=open_loan, postgresql_where=open_loan
    )


def _create_hold() -> None:
    op.create_table(
        "hold",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("piece_id", sa.Integer, nullable=False),
        _day("hold", "day", nullable=False),
        _words("hold", "for_what", least=1),
        sa.PrimaryKeyConstraint("id", name="pk_hold"),
        _to_piece("hold"),
        sa.UniqueConstraint("piece_id", "day", name="uq_hold_piece_id"),
        sqlite_strict=True,
    )


def _piece_and_key(table: str) -> tuple[sa.Constraint, ...]:
    return sa.PrimaryKeyConstraint("piece_id", name=f"pk_{table}"), _to_piece(table)


def _to_piece(table: str) -> sa.Constraint:
    return sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=f"fk_{table}_piece_id_piece")


def _orders(table: str, less: tuple[tuple[str, str], ...]) -> tuple[sa.Constraint, ...]:
    return tuple(
        sa.CheckConstraint(f"{small} < {large}", name=f"ck_{table}_{small}_less") for small, large in less
    )


def _size(table: str, name: str) -> sa.Column[int]:
    return sa.Column(name, WIDE, sa.CheckConstraint(f"{name} > 0", name=f"ck_{table}_{name}_positive"))


def _count(table: str, name: str, least: int) -> sa.Column[int]:
    rule = sa.CheckConstraint(f"{name} BETWEEN {least} AND 1000", name=f"ck_{table}_{name}_range")
    return sa.Column(name, sa.Integer, rule)


def _words(table: str, name: str, least: int = 0, most: int = 200) -> sa.Column[str]:
    rule = sa.CheckConstraint(f"length({name}) BETWEEN {least} AND {most}", name=f"ck_{table}_{name}_length")
    return sa.Column(name, sa.Text, rule, nullable=False)


def _day(table: str, name: str, *, nullable: bool) -> sa.Column[str]:
    rule = sa.CheckConstraint(f"length({name}) = 10", name=f"ck_{table}_{name}_iso")
    return sa.Column(name, sa.Text, rule, nullable=nullable)
