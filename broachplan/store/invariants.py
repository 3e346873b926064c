"""What must hold in every crib, each under its own name. Each asks only where those it rests on found nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Any

from sqlalchemy import (
    CheckConstraint,
    ColumnElement,
    CompoundSelect,
    Connection,
    Table,
    Text,
    and_,
    exists,
    func,
    inspect,
    literal_column,
    or_,
    select,
    union_all,
)

from broachplan.crib.words import hidden
from broachplan.errors import StorageError, quoted
from broachplan.store import schema
from broachplan.store.counts_check import broken_counts
from broachplan.store.engine import damages
from broachplan.store.histories import broken_histories
from broachplan.store.jobs_check import broken_jobs
from broachplan.store.outline import differences, expected, outline_of
from broachplan.store.records_read import record_query
from broachplan.store.runs_check import broken_runs
from broachplan.store.server_outline import expected_on_server, outline_on_server
from broachplan.store.settings_store import load_settings
from broachplan.store.tables import (
    ACTION,
    COUNT,
    ENTRY,
    FIGURES_OF,
    HOLD,
    JOB,
    JOB_ENTRY,
    LOAN,
    METADATA,
    PIECE,
    RUN_PIECE,
    RUN_STEP,
    WEAR,
)
from broachplan.store.transaction import Work
from broachplan.store.translate import Translator
from broachplan.tooling.figures import Kind

Find = Callable[[Work], Iterator[str]]
_DAYS = (
    PIECE.c.measured_on,
    PIECE.c.missing_since,
    LOAN.c.since,
    LOAN.c.returned,
    LOAN.c.due,
    HOLD.c.day,
    WEAR.c.ground_on,
    WEAR.c.inspected_on,
    RUN_PIECE.c.measured_on,
    JOB.c.due,
    JOB.c.press_by,
)
_MOMENTS = (ACTION.c.at, COUNT.c.at, COUNT.c.settled_at)


@dataclass(frozen=True, slots=True)
class Invariant:
    """A name, what holds, and what finds a line for each place where it does not; ``stops``: no more is asked then."""

    name: str
    about: str
    find: Find
    stops: bool = False


def _damage(work: Work) -> Iterator[str]:
    if _is_sqlite(work.connection):
        yield from (f"the file is damaged: {said}" for said in damages(work.connection))


def _revision(work: Work) -> Iterator[str]:
    try:
        schema.check_revision(schema.revision_of(work.connection), work.location)
    except StorageError as error:
        yield str(error)


def _tables(work: Work) -> Iterator[str]:
    found = {
        table: {column["name"] for column in columns}
        for (_, table), columns in inspect(work.connection).get_multi_columns().items()
    }
    for table in METADATA.sorted_tables:
        if table.name not in found:
            yield f"table {table.name} is missing"
            continue
        missing = set(table.c.keys()) - found[table.name]
        yield from (f"column {table.name}.{name} is missing" for name in sorted(missing))


def _schema(work: Work) -> Iterator[str]:
    connection = work.connection
    if _is_sqlite(connection):
        yield from differences(outline_of(connection), expected())
    else:
        yield from differences(outline_on_server(connection), expected_on_server(connection))


def _references(work: Work) -> Iterator[str]:
    for table, row in work.connection.execute(_lost_references()):
        yield f"row {row} of {table} that is not there"


@cache
def _lost_references() -> CompoundSelect[Any]:
    """All in one query, as most of what is asked here: a query costs more than the rows it goes through."""
    queries = []
    for table in METADATA.sorted_tables:
        key = next(iter(table.primary_key))
        for reference in sorted(table.foreign_keys, key=lambda each: each.parent.name):
            name, other = reference.column.table.name, reference.column.table.alias()
            there = exists().where(other.c[reference.column.name] == reference.parent)
            lost = f"{table.name} refers to {'an' if name.startswith('a') else 'a'} {name}"
            queries.append(select(_text(lost), key).where(reference.parent.is_not(None), ~there))
    return union_all(*queries)


def _rules(work: Work) -> Iterator[str]:
    broken = work.connection.scalars(_tables_with_a_broken_rule()).all()
    for table in METADATA.sorted_tables:
        if table.name not in broken:
            continue
        key = next(iter(table.primary_key))
        for rule in _rules_of(table):
            rows = select(key).select_from(table).where(literal_column(f"NOT ({rule})")).order_by(key)
            for row in work.connection.scalars(rows):
                yield f"row {row} of {table.name} breaks the rule {rule}"


@cache
def _tables_with_a_broken_rule() -> CompoundSelect[Any]:
    queries = []
    for table in METADATA.sorted_tables:
        if rules := _rules_of(table):
            broken = or_(*(literal_column(f"NOT ({rule})") for rule in rules))
            queries.append(select(_text(table.name)).where(exists().select_from(table).where(broken)))
    return union_all(*queries)


def _rules_of(table: Table) -> list[str]:
    constraints = [*table.constraints, *(rule for column in table.c for rule in column.constraints)]
    return sorted(str(rule.sqltext) for rule in constraints if isinstance(rule, CheckConstraint))


def _days(work: Work) -> Iterator[str]:
    for columns, right, what in (
        (_DAYS, _is_day, "day such as 2031-05-28"),
        (_MOMENTS, _is_moment, "moment such as 2031-05-28T09:30:00Z"),
    ):
        for column in columns:
            query = select(column).where(column.is_not(None)).distinct().order_by(column)
            for found in work.connection.scalars(query):
                if not right(found):
                    yield f"{column.table.name}.{column.name} holds {quoted(found)}, which is no {what}"


def _is_day(found: str) -> bool:
    try:
        return date.fromisoformat(found).isoformat() == found
    except ValueError:
        return False


def _is_moment(found: str) -> bool:
    try:
        return datetime.strptime(found, "%Y-%m-%dT%H:%M:%SZ").strftime("%Y-%m-%dT%H:%M:%SZ") == found
    except ValueError:
        return False


def _words(work: Work) -> Iterator[str]:
    for query in _texts():
        for name, found in work.connection.execute(query):
            if wrong := hidden(found):
                yield f"{name}: {wrong}"


@cache
def _texts() -> Sequence[CompoundSelect[Any]]:
    """Each text of a table once, with the name of its column; a query for each table."""
    return [
        union_all(
            *(
                select(_text(f"{table.name}.{column.name}"), column).where(column.is_not(None)).distinct()
                for column in columns
            )
        )
        for table in METADATA.sorted_tables
        if (columns := [column for column in table.c if isinstance(column.type, Text)])
    ]


def _text(words: str) -> ColumnElement[str]:
    return literal_column(f"'{words}'", Text)


def _tags(work: Work) -> Iterator[str]:
    twice = select(PIECE.c.tag).group_by(PIECE.c.tag).having(func.count() > 1).order_by(PIECE.c.tag)
    yield from (f"tag {tag} is on more than one piece" for tag in work.connection.scalars(twice))


def _figures(work: Work) -> Iterator[str]:
    for kind, tag, has in work.connection.execute(_wrong_figures()):
        yield f"{kind} {tag} has {f'figures of a {has}' if has else 'no row of figures'}"


@cache
def _wrong_figures() -> CompoundSelect[Any]:
    queries = []
    for kind, figures in FIGURES_OF.items():
        own, right = exists().where(figures.c.piece_id == PIECE.c.id), PIECE.c.kind == kind.value
        for wrong, has in ((and_(right, ~own), ""), (and_(~right, own), kind.value)):
            queries.append(select(PIECE.c.kind, PIECE.c.tag, _text(has)).where(wrong))
    return union_all(*queries)


def _pieces(work: Work) -> Iterator[str]:
    for kind in Kind:
        translator = Translator(kind)
        for row in work.connection.execute(record_query(kind).order_by(PIECE.c.tag)).all():
            try:
                translator.record(row)
            except StorageError as error:
                yield str(error)


def _loans(work: Work) -> Iterator[str]:
    is_open = LOAN.c.returned.is_(None)
    tags = select(PIECE.c.tag).join(LOAN, LOAN.c.piece_id == PIECE.c.id).where(is_open).order_by(PIECE.c.tag)
    twice = tags.group_by(PIECE.c.tag).having(func.count() > 1)
    for tag in work.connection.scalars(twice):
        yield f"piece {tag} has more than one open loan"
    for tag in work.connection.scalars(tags.where(PIECE.c.retired == 1).distinct()):
        yield f"piece {tag} is retired and has an open loan"
    for tag in work.connection.scalars(tags.where(PIECE.c.missing_since.is_not(None)).distinct()):
        yield f"piece {tag} is missing and has an open loan"


def _actions(work: Work) -> Iterator[str]:
    of_piece = exists().where(ENTRY.c.action_id == ACTION.c.id)
    of_run = exists().where(RUN_STEP.c.action_id == ACTION.c.id)
    of_job = exists().where(JOB_ENTRY.c.action_id == ACTION.c.id)
    lone = select(ACTION.c.id).where(~of_piece, ~of_run, ~of_job).order_by(ACTION.c.id)
    yield from (f"action {id} has no entry" for id in work.connection.scalars(lone))


def _histories(work: Work) -> Iterator[str]:
    try:
        yield from broken_histories(work)
    except StorageError as error:
        yield str(error)


def _settings(work: Work) -> Iterator[str]:
    try:
        load_settings(work)
    except StorageError as error:
        yield str(error)


def _is_sqlite(connection: Connection) -> bool:
    return connection.dialect.name == "sqlite"


INVARIANTS = (
    Invariant("damage", "SQLite finds every page, row and index of the file sound", _damage, stops=True),
    Invariant("revision", "the crib is of this program's revision", _revision, stops=True),
    Invariant("table", "every table and column that the program uses is there", _tables, stops=True),
    Invariant("schema", "tables, rules and indexes are exactly those of a new crib", _schema),
    Invariant("reference", "everything that a row refers to is there", _references),
    Invariant("rule", "every row obeys the rules of its table", _rules),
    Invariant("day", "every day and time exists in the calendar", _days),
    Invariant(
        "words",
        "no text contains control characters, hidden characters or characters that reverse the direction of writing",
        _words,
    ),
    Invariant("tag", "each tag is on one piece only", _tags),
    Invariant("figures", "each piece has one row of figures, and it is of the piece's kind", _figures),
    Invariant("piece", "the figures of each piece are possible for such a piece", _pieces),
    Invariant("loan", "a piece has at most one open loan, and none if it is retired or missing", _loans),
    Invariant(
        "action", "every action of a person records what it did to a piece, to a job or in a run", _actions
    ),
    Invariant("history", "the history of a piece leads to its present state in the crib", _histories),
    Invariant(
        "count",
        "what a count says of a tag is possible, and each difference of a settled count has its cause",
        broken_counts,
    ),
    Invariant(
        "run",
        "the steps of each run lead to its state, and its loans and wear agree with them",
        broken_runs,
    ),
    Invariant(
        "job",
        "the history of each job leads to what it is, and a started job has its holds",
        broken_jobs,
    ),
    Invariant("setting", "every setting is known, and its value is allowed", _settings),
)
