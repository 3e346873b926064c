"""Is the crib's database whole, and all in it such as may be? Reads only."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from sqlalchemy import Connection, and_, exists, func, inspect, select

from broachplan.errors import StorageError
from broachplan.store import schema
from broachplan.store.engine import engine_for
from broachplan.store.histories import broken_histories
from broachplan.store.location import Location, located
from broachplan.store.outline import differences, expected, outline_of
from broachplan.store.records_read import record_query
from broachplan.store.settings_store import load_settings
from broachplan.store.tables import ACTION, ENTRY, FIGURES_OF, LOAN, METADATA, PIECE
from broachplan.store.translate import Translator
from broachplan.store.work import Work, told
from broachplan.tooling.figures import Kind

_MAGIC = b"SQLite format 3\0"
_WAL = 2


def check(db: str | None) -> tuple[str, ...]:
    """Everything that is wrong with a database, one line each; empty when it is well.

    Raises
    ------
    StorageError : it cannot be opened for reading at all, or is absent.
    """
    location = located(db)
    if location.path is not None and (found := _file_finding(location)):
        return (found,)
    engine = engine_for(location, read_only=True)
    try:
        with told(location), engine.connect() as connection:
            return tuple(_findings(Work(connection, location)))
    finally:
        engine.dispose()


def _file_finding(location: Location) -> str:
    """What the file itself tells before SQLite, which might write beside it, is asked."""
    path = location.path
    assert path is not None
    if not path.is_file():
        raise StorageError(
            f"{location.name}: {'it is not a file' if path.exists() else 'there is no such file'}"
        )
    try:
        with path.open("rb") as file:
            head = file.read(20)
    except OSError as error:
        raise StorageError(f"{location.name} cannot be read") from error
    if not head:
        return f"{location.name}: it is empty; any other command sets it up"
    if not head.startswith(_MAGIC):
        return f"{location.name}: it is not a database"
    if _WAL in head[18:20]:
        return f"{location.name}: its journal is a write-ahead log; any other command changes that"
    return ""


def _findings(work: Work) -> Iterator[str]:
    """Later questions make sense only where the earlier ones found nothing."""
    for step in _STEPS:
        found = list(step(work))
        yield from found
        if found and step in _STOP_AFTER:
            return


def _integrity(work: Work) -> Iterator[str]:
    if _is_sqlite(work.connection):
        for (said,) in work.connection.exec_driver_sql("PRAGMA integrity_check").all():
            if said != "ok":
                yield f"the file is damaged: {said}"


def _revision(work: Work) -> Iterator[str]:
    try:
        schema.check_revision(schema.revision_of(work.connection), work.location)
    except StorageError as error:
        yield str(error)


def _schema(work: Work) -> Iterator[str]:
    if _is_sqlite(work.connection):
        yield from (f"schema: {line}" for line in _outline(work) if line.startswith("table "))
        return
    found = inspect(work.connection)
    for table in METADATA.sorted_tables:
        if not found.has_table(table.name):
            yield f"schema: table {table.name} is missing"
            continue
        names = {column["name"] for column in found.get_columns(table.name)}
        yield from (
            f"schema: column {table.name}.{name} is missing" for name in sorted(set(table.c.keys()) - names)
        )


def _indexes(work: Work) -> Iterator[str]:
    """Without an index the rest can still be asked, and what the index held can be wrong."""
    if _is_sqlite(work.connection):
        yield from (f"schema: {line}" for line in _outline(work) if not line.startswith("table "))


def _outline(work: Work) -> Iterable[str]:
    return differences(outline_of(work.connection), expected())


def _references(work: Work) -> Iterator[str]:
    if _is_sqlite(work.connection):
        for table, row, other, _ in work.connection.exec_driver_sql("PRAGMA foreign_key_check").all():
            yield f"row {row} of {table} refers to {'an' if other == 'action' else 'a'} {other} that is not there"


def _kinds(work: Work) -> Iterator[str]:
    """One tag a piece, and one row of figures a piece, of its own kind."""
    execute = work.connection.execute
    twice = select(PIECE.c.tag).group_by(PIECE.c.tag).having(func.count() > 1).order_by(PIECE.c.tag)
    yield from (f"tag {tag} is on more than one piece" for tag in execute(twice).scalars())
    for kind, figures in FIGURES_OF.items():
        own = exists().where(figures.c.piece_id == PIECE.c.id)
        without = select(PIECE.c.tag).where(PIECE.c.kind == kind.value, ~own).order_by(PIECE.c.tag)
        yield from (f"{kind} {tag} has no row of figures" for tag in execute(without).scalars())
        others = (
            select(PIECE.c.tag, PIECE.c.kind)
            .where(and_(PIECE.c.kind != kind.value, own))
            .order_by(PIECE.c.tag)
        )
        yield from (f"{its} {tag} has figures of a {kind}" for tag, its in execute(others))


def _pieces(work: Work) -> Iterator[str]:
    for kind in Kind:
        translator = Translator(kind)
        for row in work.connection.execute(record_query(kind).order_by(PIECE.c.tag)).all():
            try:
                translator.record(row)
            except StorageError as error:
                yield str(error)


def _settings(work: Work) -> Iterator[str]:
    try:
        load_settings(work)
    except StorageError as error:
        yield str(error)


def _loans(work: Work) -> Iterator[str]:
    """One open loan a piece, and none of a piece that is retired."""
    is_open = LOAN.c.returned.is_(None)
    tags = select(PIECE.c.tag).join(LOAN, LOAN.c.piece_id == PIECE.c.id).where(is_open).order_by(PIECE.c.tag)
    twice = tags.group_by(PIECE.c.tag).having(func.count() > 1)
    for tag in work.connection.scalars(twice):
        yield f"piece {tag} has more than one open loan"
    for tag in work.connection.scalars(tags.where(PIECE.c.retired == 1).distinct()):
        yield f"piece {tag} is retired and has an open loan"


def _histories(work: Work) -> Iterator[str]:
    """Every entry can be read, has an action with it, and the last of each thing told is how the thing is."""
    try:
        yield from broken_histories(work)
    except StorageError as error:
        yield str(error)
    lone = select(ACTION.c.id).where(~exists().where(ENTRY.c.action_id == ACTION.c.id)).order_by(ACTION.c.id)
    yield from (f"action {id} has no entry" for id in work.connection.scalars(lone))


def _is_sqlite(connection: Connection) -> bool:
    return connection.dialect.name == "sqlite"


_Step = Callable[[Work], Iterator[str]]
_STEPS: tuple[_Step, ...] = (
    _integrity,
    _revision,
    _schema,
    _indexes,
    _references,
    _kinds,
    _pieces,
    _loans,
    _histories,
    _settings,
)
_STOP_AFTER: tuple[_Step, ...] = (_integrity, _revision, _schema)
