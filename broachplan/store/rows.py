"""The tables of a crib.

Rows are rows: SQLModel does not validate a table's class, so the frozen pieces validate, the CHECKs below repeat
their invariants, and `store.translate` goes between the two. The tables of the figures come from the descriptions at
the pieces' fields. Lengths are whole nanometres, areas square nanometres,
forces millinewtons, in 64-bit columns (32 bits end at 2.1 m). Days are ISO text, the same on every database.
"""

from __future__ import annotations

from types import new_class
from typing import Any

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    Text,
    UniqueConstraint,
    text,
)
from sqlmodel import Field

from broachplan.store.columns import (
    STRICT,
    WIDE,
    Row,
    count_column,
    day_column,
    id_column,
    is_one_of,
    less,
    moment_column,
    piece_column,
    size_column,
    sum_column,
    words_column,
)
from broachplan.tooling.figures import Figure, Kind, Quantity
from broachplan.tooling.pieces import PIECES, Piece

# Written out and not derived, as everything that a revision makes; a test compares them with the acts there are.
ACTS = (
    "received",
    "changed",
    "inspected",
    "lent",
    "returned",
    "retired",
    "undone",
    "held",
    "released",
    "booked",
    "reground",
    "counted",
    "lost",
    "broken",
    "sent",
    "back",
)


class PieceRow(Row, table=True):
    """One piece of any kind; ``version`` counts its changes."""

    __tablename__ = "piece"
    __table_args__ = (
        is_one_of("kind", tuple(kind.value for kind in Kind)),
        is_one_of("condition", ("fit", "worn", "unfit", "uninspected")),
        CheckConstraint("retired IN (0, 1)", name="retired_flag"),
        CheckConstraint("version >= 1", name="version_least"),
        UniqueConstraint("tag"),
        Index("ix_piece_kind_retired", "kind", "retired"),
        STRICT,
    )
    id: int | None = id_column()
    tag: str = words_column("tag", least=1, most=40)
    kind: str = Field(sa_column=Column("kind", Text, nullable=False))
    set_name: str = words_column("set_name")
    home: str = words_column("home")
    condition: str = Field(sa_column=Column("condition", Text, nullable=False))
    note: str = words_column("note")
    measured_with: str = words_column("measured_with")
    measured_on: str | None = day_column("measured_on")
    measured_by: str = words_column("measured_by")
    retired: int = Field(sa_column=Column("retired", Integer, nullable=False, server_default=text("0")))
    version: int = Field(sa_column=Column("version", Integer, nullable=False, server_default=text("1")))
    missing_since: str | None = day_column("missing_since")
    made_here: int = Field(
        sa_column=Column(
            "made_here",
            Integer,
            CheckConstraint("made_here IN (0, 1)", name="made_here_flag"),
            nullable=False,
            server_default=text("0"),
        )
    )
    measured_to: int | None = size_column("measured_to")


def _figure_row(piece: type[Piece]) -> type[Row]:
    """The class of the table that holds the figures of one kind of piece; it bears the kind's name."""
    kind, figures = piece.kind.value, piece.figures()
    rules: list[Any] = [less(figure.name, figure.below) for figure in figures if figure.below]
    rules += [CheckConstraint(sql, name=name) for name, sql in (each.check for each in figures if each.check)]
    rules += [Index(f"ix_{kind}_{figure.name}", figure.name) for figure in figures if figure.searched]
    columns = {figure.name: _figure(figure) for figure in figures}
    attributes = {
        "__module__": __name__,
        "__doc__": f"The figures of {piece.kind.plural}.",
        "__annotations__": {"piece_id": int} | dict.fromkeys(columns, int | None),
        "__tablename__": kind,
        "__table_args__": (*rules, STRICT),
        "piece_id": piece_column(key=True),
        **columns,
    }
    row: type[Row] = new_class(
        f"{piece.__name__}Row", (Row,), {"table": True}, lambda its: its.update(attributes)
    )
    return row


def _figure(figure: Figure) -> Any:
    return (
        count_column(figure.name, figure.least)
        if figure.quantity is Quantity.COUNT
        else size_column(figure.name)
    )


FIGURE_ROWS: dict[Kind, type[Row]] = {kind: _figure_row(piece) for kind, piece in PIECES.items()}


class LoanRow(Row, table=True):
    """A piece handed out, or ``sent`` out to be reground; ``lacked`` what its set lacked; open until ``returned``. A piece has one open loan at most.

    The entries are the history; this table serves the one question that must not have two answers.
    """

    __tablename__ = "loan"
    __table_args__ = (
        CheckConstraint("returned >= since", name="returned_after"),
        Index(
            "uq_loan_open",
            "piece_id",
            unique=True,
            sqlite_where=text("returned IS NULL"),
            postgresql_where=text("returned IS NULL"),
        ),
        STRICT,
    )
    id: int | None = id_column()
    piece_id: int = piece_column()
    to_name: str = words_column("to_name", least=1)
    since: str = day_column("since", nullable=False)
    returned: str | None = day_column("returned")
    job: str = words_column("job", default="")
    # One rule at the column: SQLite adds a column to a table but no rule of the table, and two would have no order.
    due: str | None = Field(
        sa_column=Column("due", Text, CheckConstraint("length(due) = 10 AND due >= since", name="due_after"))
    )
    sent: int = Field(
        sa_column=Column(
            "sent",
            Integer,
            CheckConstraint("sent IN (0, 1)", name="sent_flag"),
            nullable=False,
            server_default=text("0"),
        )
    )
    lacked: str = words_column("lacked", most=2_000, default="")


class HoldRow(Row, table=True):
    """A piece held for some work on one day."""

    __tablename__ = "hold"
    __table_args__ = (UniqueConstraint("piece_id", "day"), Index("ix_hold_day", "day"), STRICT)
    id: int | None = id_column()
    piece_id: int = piece_column()
    day: str = day_column("day", nullable=False)
    for_what: str = words_column("for_what", least=1)


class ActionRow(Row, table=True):
    """One act of a person on one or many pieces: when, by whom and where. ``undoes`` names the act that it takes back."""

    __tablename__ = "action"
    __table_args__ = (
        ForeignKeyConstraint(["undoes"], ["action.id"]),
        CheckConstraint("undoes < id", name="undoes_earlier"),
        UniqueConstraint("undoes"),
        STRICT,
    )
    id: int | None = id_column()
    at: str = moment_column("at")
    by_name: str = words_column("by_name", most=100)
    station: str = words_column("station", most=100, default="")
    undoes: int | None = Field(sa_column=Column("undoes", Integer))


class EntryRow(Row, table=True):
    """What one act did to one piece; ``changes`` is what `crib.entries` writes. Entries are only ever added."""

    __tablename__ = "entry"
    __table_args__ = (
        is_one_of("act", ACTS),
        UniqueConstraint("action_id", "piece_id"),
        Index("ix_entry_piece_id", "piece_id"),
        STRICT,
    )
    id: int | None = id_column()
    action_id: int = Field(sa_column=Column("action_id", Integer, ForeignKey("action.id"), nullable=False))
    piece_id: int = piece_column()
    act: str = Field(sa_column=Column("act", Text, nullable=False))
    note: str = words_column("note")
    changes: str = words_column("changes", least=2, most=20_000)


class WearRow(Row, table=True):
    """What a piece has done: cuts and the length cut in all, at its last regrind and at its last inspection.

    A piece without a row has done nothing that was booked, and was not inspected since its wear is kept.
    """

    __tablename__ = "wear"
    __table_args__ = (
        CheckConstraint("ground_cuts <= cuts AND ground_length <= cut_length", name="ground_before"),
        CheckConstraint("inspected_cuts <= cuts AND inspected_length <= cut_length", name="inspected_before"),
        STRICT,
    )
    piece_id: int = piece_column(key=True)
    cuts: int = sum_column("cuts", Integer, 1_000_000_000)
    cut_length: int = sum_column("cut_length", WIDE, 10**18)
    ground_cuts: int = sum_column("ground_cuts", Integer, 1_000_000_000)
    ground_length: int = sum_column("ground_length", WIDE, 10**18)
    inspected_cuts: int = sum_column("inspected_cuts", Integer, 1_000_000_000)
    inspected_length: int = sum_column("inspected_length", WIDE, 10**18)
    ground_on: str | None = day_column("ground_on")
    inspected_on: str | None = day_column("inspected_on")


class CountRow(Row, table=True):
    """A blind count of one drawer: when, by whom, and when its differences were settled, by which act if any.

    ``after_action`` is the last act on the crib before it: what was done to a piece later may have moved it.
    """

    __tablename__ = "drawer_count"
    __table_args__ = (
        ForeignKeyConstraint(["after_action"], ["action.id"]),
        ForeignKeyConstraint(["action_id"], ["action.id"]),
        CheckConstraint("after_action < action_id", name="action_later"),
        STRICT,
    )
    id: int | None = id_column()
    home: str = words_column("home", least=1)
    at: str = moment_column("at")
    by_name: str = words_column("by_name", most=100)
    after_action: int | None = Field(sa_column=Column("after_action", Integer))
    settled_at: str | None = moment_column("settled_at", nullable=True)
    action_id: int | None = Field(sa_column=Column("action_id", Integer))


class CountLineRow(Row, table=True):
    """One tag of a count: whether the books had it there, whether it was found, what differs, and the cause given."""

    __tablename__ = "count_line"
    __table_args__ = (
        is_one_of("difference", ("", "absent", "stray", "back", "found", "retired", "unknown")),
        CheckConstraint("expected IN (0, 1) AND found IN (0, 1)", name="flags"),
        UniqueConstraint("count_id", "tag"),
        STRICT,
    )
    id: int | None = id_column()
    count_id: int = Field(
        sa_column=Column("count_id", Integer, ForeignKey("drawer_count.id"), nullable=False)
    )
    tag: str = words_column("tag", least=1, most=40)
    expected: int = Field(sa_column=Column("expected", Integer, nullable=False))
    found: int = Field(sa_column=Column("found", Integer, nullable=False))
    difference: str = Field(sa_column=Column("difference", Text, nullable=False))
    cause: str = words_column("cause", most=100)


class SettingRow(Row, table=True):
    """One of the shop's settings, as text that `settings.changed` reads."""

    __tablename__ = "setting"
    __table_args__ = (STRICT,)
    name: str = Field(sa_column=Column("name", Text, primary_key=True))
    value: str = words_column("value", least=1)
