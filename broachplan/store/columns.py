"""The columns that the tables share, each with its rule, and the class that all rows derive from."""

from __future__ import annotations

from typing import Any

from sqlalchemy import BigInteger, CheckConstraint, Column, ForeignKey, Integer, MetaData, Text, text
from sqlalchemy.orm import registry
from sqlmodel import Field, SQLModel

# Every constraint has a name, so that a later revision can alter it on any database.
NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
# SQLite's INTEGER has 64 bits, and its STRICT tables know no BIGINT.
WIDE = BigInteger().with_variant(Integer(), "sqlite")
STRICT = {"sqlite_strict": True}


class Row(SQLModel, registry=registry(metadata=MetaData(naming_convention=NAMES))):
    """What all tables share: one metadata of their own, with named constraints."""


def is_one_of(name: str, words: tuple[str, ...]) -> CheckConstraint:
    """A column holds one of a few words."""
    return CheckConstraint(f"{name} IN ({', '.join(repr(word) for word in words)})", name=f"{name}_known")


def less(smaller: str, larger: str) -> CheckConstraint:
    """Where both figures are known, one is smaller."""
    return CheckConstraint(f"{smaller} < {larger}", name=f"{smaller}_less")


def size_column(name: str) -> Any:
    """A length, area or force above zero; NULL where it is not known."""
    return Field(sa_column=Column(name, WIDE, CheckConstraint(f"{name} > 0", name=f"{name}_positive")))


def count_column(name: str, least: int) -> Any:
    """A count of teeth."""
    rule = CheckConstraint(f"{name} BETWEEN {least} AND 1000", name=f"{name}_range")
    return Field(sa_column=Column(name, Integer, rule))


def words_column(name: str, *, least: int = 0, most: int = 200, default: str | None = None) -> Any:
    """A text of a length within limits."""
    rule = CheckConstraint(f"length({name}) BETWEEN {least} AND {most}", name=f"{name}_length")
    given = None if default is None else text(repr(default))
    return Field(sa_column=Column(name, Text, rule, nullable=False, server_default=given))


def day_column(name: str, *, nullable: bool = True) -> Any:
    """A day as ISO text."""
    rule = CheckConstraint(f"length({name}) = 10", name=f"{name}_iso")
    return Field(sa_column=Column(name, Text, rule, nullable=nullable))


def moment_column(name: str, *, nullable: bool = False) -> Any:
    """A moment in universal time, to the second."""
    rule = CheckConstraint(f"length({name}) = 20", name=f"{name}_iso")
    return Field(sa_column=Column(name, Text, rule, nullable=nullable))


def sum_column(name: str, type_: Any, most: int) -> Any:
    """A sum that begins at nothing."""
    rule = CheckConstraint(f"{name} BETWEEN 0 AND {most}", name=f"{name}_range")
    return Field(sa_column=Column(name, type_, rule, nullable=False, server_default=text("0")))


def id_column() -> Any:
    """The key of a table."""
    return Field(sa_column=Column("id", Integer, primary_key=True))


def piece_column(*, key: bool = False) -> Any:
    """The piece that a row is about."""
    reference = ForeignKey("piece.id")
    column = Column("piece_id", Integer, reference, primary_key=key, nullable=False, autoincrement=False)
    return Field(sa_column=column)
