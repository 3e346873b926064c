"""Pieces lost, broken, sent out for regrinding and received; back and not yet inspected; sets lent without some pieces."""

import sqlalchemy as sa
from alembic import op

revision = "20261129d"
down_revision = "20261129c"
branch_labels = None
depends_on = None

_ACTS = (
    *("received", "changed", "inspected", "lent", "returned", "retired", "undone", "held", "released"),
    *("booked", "reground", "counted"),
)
_NEW_ACTS = ("lost", "broken", "sent", "back")
_CONDITIONS = ("fit", "worn", "unfit")
_NEW_CONDITION = "uninspected"


def upgrade() -> None:
    flag = sa.CheckConstraint("sent IN (0, 1)", name="ck_loan_sent_flag")
    op.add_column("loan", sa.Column("sent", sa.Integer, flag, nullable=False, server_default=sa.text("0")))
    length = sa.CheckConstraint("length(lacked) BETWEEN 0 AND 2000", name="ck_loan_lacked_length")
    op.add_column("loan", sa.Column("lacked", sa.Text, length, nullable=False, server_default=sa.text("''")))
    _hold_to("entry", "act", _ACTS, (*_ACTS, *_NEW_ACTS))
    _hold_to("piece", "condition", _CONDITIONS, (*_CONDITIONS, _NEW_CONDITION))


def downgrade() -> None:
    # What was sent would be lent in the older revision, and its history would lead to something else.
    newer = f"SELECT (SELECT count(*) FROM entry WHERE {_rule('act', _NEW_ACTS)})"
    newer += f" + (SELECT count(*) FROM piece WHERE {_rule('condition', (_NEW_CONDITION,))})"
    if op.get_bind().scalar(sa.text(f"{newer} + (SELECT count(*) FROM loan WHERE sent = 1 OR lacked <> '')")):
        raise ValueError("the crib has acts or pieces that the older revision does not know")
    _hold_to("piece", "condition", (*_CONDITIONS, _NEW_CONDITION), _CONDITIONS)
    _hold_to("entry", "act", (*_ACTS, *_NEW_ACTS), _ACTS)
    op.drop_column("loan", "lacked")
    op.drop_column("loan", "sent")


def _hold_to(table: str, column: str, old: tuple[str, ...], new: tuple[str, ...]) -> None:
    """The words that a column takes."""
    connection = op.get_bind()
    if connection.dialect.name == "postgresql":
        name = f"ck_{table}_{column}_known"
        op.drop_constraint(name, table)
        op.create_check_constraint(name, table, _rule(column, new))
        return
    # SQLite alters no constraint, so that the table is made anew from its own words, and keeps the rest of its rules.
    parts = connection.execute(
        sa.text("SELECT type, sql FROM sqlite_master WHERE tbl_name = :of AND sql IS NOT NULL"), {"of": table}
    ).all()
    (sql,) = (words for kind, words in parts if kind == "table")
    assert _rule(column, old) in sql
    body = sql.split("(", 1)[1].replace(_rule(column, old), _rule(column, new))
    connection.exec_driver_sql(f"CREATE TABLE {table}_new ({body}")
    connection.exec_driver_sql(f"INSERT INTO {table}_new SELECT * FROM {table}")
    connection.exec_driver_sql(f"DROP TABLE {table}")
    connection.exec_driver_sql(f"ALTER TABLE {table}_new RENAME TO {table}")
    for kind, words in parts:
        if kind == "index":
            connection.exec_driver_sql(words)


def _rule(column: str, words: tuple[str, ...]) -> str:
    return f"{column} IN ({', '.join(map(repr, words))})"
