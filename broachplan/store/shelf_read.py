"""What lies on the shelf for one hub, read with the bounds that the rules use."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from operator import attrgetter
from typing import Any, TypeVar, cast

from sqlalchemy import ColumnElement, Select, and_, func, select

from broachplan.crib.ahead import PieceState, Snapshot
from broachplan.crib.loans import Asker
from broachplan.crib.records import Condition, Measurement
from broachplan.crib.shelf import Beyond, Shelf
from broachplan.lengths import Length
from broachplan.planner.bounds import Bounds
from broachplan.store.holds import holds_on
from broachplan.store.records_read import record_tables
from broachplan.store.stored_pieces import LOAN_COLUMNS, loan_kept
from broachplan.store.tables import FIGURES_OF, LOAN, PIECE
from broachplan.store.transaction import Work
from broachplan.store.translate import MEASURED_COLUMNS, Measurings, Translator, figure_columns
from broachplan.tooling.drive import Drive, drive_by_note
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing, Piece, Press, Shim

NEAREST = 3
_OF_LOAN = len(LOAN_COLUMNS)
_P = TypeVar("_P", bound=Piece)
_Range = tuple[Length, Length]


def read_shelf(
    work: Work,
    bounds: Bounds | None = None,
    *,
    on: date | None = None,
    today: date | None = None,
    asker: Asker | None = None,
) -> Shelf:
    """A snapshot of what a plan may choose from.

    Parameters
    ----------
    bounds : see `read_snapshot`.
    on : the day of the work, for which pieces may be held and until which lent ones may come back; None asks about now.
    today : see `Snapshot.shelf_for`.
    asker : who asks and for which work: what is lent to them or for it, and held for it, counts as on the shelf.

    Retired pieces are left out. ``off`` of the shelf has the pieces that may not be used, and why.
    """
    days = (on,) if on else ()
    return read_snapshot(work, bounds, days).shelf_for(days, today=today, asker=asker or Asker())


def read_snapshot(work: Work, bounds: Bounds | None = None, days: Sequence[date] = ()) -> Snapshot:
    """The pieces that a plan may choose from, and what decides whether they are there on later days.

    Parameters
    ----------
    bounds : read only the pieces within them, and those whose bounded figure is not known; the others are counted,
        and the three nearest of each kind read. None reads the whole crib.
    days : the days that will be asked about, first and last and all between, whose holds are read.
    """
    reader = _Reader(work, days)
    width = bounds.width if bounds else None
    diameter = bounds.bushing_od if bounds else None
    broaches = reader.pieces(Broach, _within(Kind.BROACH, "keyway_width", width))
    bushings = reader.pieces(Bushing, _within(Kind.BUSHING, "outside_diameter", diameter))
    shims = reader.pieces(Shim, _shim_widths(bounds, broaches, bushings))
    presses = reader.pieces(Press, [None])
    broaches_beyond, bushings_beyond = Beyond(), Beyond()
    if width and diameter:
        broaches_beyond = Beyond(
            reader.count(Kind.BROACH) - len(broaches),
            nearest_broaches=reader.nearest(Broach, "keyway_width", width),
        )
        bushings_beyond = Beyond(
            reader.count(Kind.BUSHING) - len(bushings),
            nearest_bushings=reader.nearest(Bushing, "outside_diameter", diameter),
        )
    shelf = Shelf(
        broaches,
        bushings,
        shims,
        presses,
        broaches_beyond=broaches_beyond,
        bushings_beyond=bushings_beyond,
        homes=reader.homes,
        drives=reader.drives() if presses else {},
        measured=reader.measured,
    )
    return Snapshot(shelf, reader.states)


class _Reader:
    """Reads kinds of pieces in one transaction and gathers where they live and in what state they are."""

    def __init__(self, work: Work, days: Sequence[date] = ()) -> None:
        self._execute = work.connection.execute
        self._held = holds_on(work, days)
        # A server orders text as its language does; here, where the order decides what is left out, as Python does.
        plain = work.connection.dialect.name == "sqlite"
        self._by_tag = PIECE.c.tag if plain else PIECE.c.tag.collate("C")
        self.states: dict[str, PieceState] = {}
        self.homes: dict[str, str] = {}
        self.measured: dict[str, Measurement] = {}
        self._measurings = Measurings()

    def pieces(self, cls: type[_P], conditions: Iterable[ColumnElement[bool] | None]) -> tuple[_P, ...]:
        """The pieces that keep one of the conditions, by tag. No piece may keep two."""
        translator, found = Translator(cls.kind), []
        for condition in conditions:
            query = _query(cls.kind)
            rows = self._execute(query if condition is None else query.where(condition))
            for tag, home, how, day, by, within, condition, missing, *rest in rows:
                figures = rest[_OF_LOAN:]
                found.append(cast(_P, translator.piece(tag, figures)))
                if home:
                    self.homes[tag] = home
                if how or day or by or within is not None:
                    self.measured[tag] = self._measurings[how, day, by, within]
                held = self._held.get(tag)
                if condition != Condition.FIT or missing is not None or rest[0] is not None or held:
                    loan = None if rest[0] is None else loan_kept(tag, *rest[:_OF_LOAN])
                    self.states[tag] = PieceState(condition, missing, loan, held or {})
        return tuple(sorted(found, key=attrgetter("tag")))

    def drives(self) -> dict[str, Drive]:
        """What drives each press whose note says so."""
        query = select(PIECE.c.tag, PIECE.c.note).where(PIECE.c.kind == Kind.PRESS.value, PIECE.c.note != "")
        found = {tag: drive_by_note(note) for tag, note in self._execute(query.where(PIECE.c.retired == 0))}
        return {tag: drive for tag, drive in found.items() if drive is not Drive.NOT_KNOWN}

    def count(self, kind: Kind) -> int:
        """How many pieces of a kind the crib has."""
        query = select(func.count()).where(PIECE.c.kind == kind.value, PIECE.c.retired == 0)
        return self._execute(query).scalar_one()

    def nearest(self, cls: type[_P], name: str, within: _Range) -> tuple[_P, ...]:
        """The pieces least far outside the limits of one figure; ties by tag."""
        figures = FIGURES_OF[cls.kind]
        column = figures.c[name]
        below = _bare(cls.kind).where(column < within[0].nm).order_by(column.desc())
        above = _bare(cls.kind).where(column > within[1].nm).order_by(column)
        translator = Translator(cls.kind)
        found = [
            cast(_P, translator.piece(row[0], row[1:]))
            for query in (below, above)
            for row in self._execute(query.order_by(self._by_tag).limit(NEAREST))
        ]

        def distance(piece: _P) -> tuple[int, str]:
            size: Length = getattr(piece, name)
            return max(within[0].nm - size.nm, size.nm - within[1].nm), piece.tag

        return tuple(sorted(found, key=distance)[:NEAREST])


def _query(kind: Kind) -> Select[Any]:
    """Tag, home, how it was measured, condition, since when missing, open loan and figures of the pieces of a kind."""
    # A piece has one open loan at most, by a unique index.
    is_open = and_(LOAN.c.piece_id == PIECE.c.id, LOAN.c.returned.is_(None))
    measured = (PIECE.c[name] for name in MEASURED_COLUMNS)
    state = (PIECE.c.condition, PIECE.c.missing_since, *LOAN_COLUMNS)
    return (
        select(PIECE.c.tag, PIECE.c.home, *measured, *state, *_columns(kind))
        .select_from(record_tables(kind).outerjoin(LOAN, is_open))
        .where(PIECE.c.retired == 0)
    )


def _bare(kind: Kind) -> Select[Any]:
    """Tag and figures of the pieces of a kind."""
    query = select(PIECE.c.tag, *_columns(kind)).select_from(record_tables(kind))
    return query.where(PIECE.c.retired == 0)


def _columns(kind: Kind) -> Sequence[ColumnElement[Any]]:
    return [FIGURES_OF[kind].c[name] for name in figure_columns(kind)]


def _within(kind: Kind, name: str, limits: _Range | None) -> Iterator[ColumnElement[bool] | None]:
    """Within limits, and not known: two conditions, so that each is one range of the figure's index."""
    if limits is None:
        yield None
        return
    column = FIGURES_OF[kind].c[name]
    yield column.between(limits[0].nm, limits[1].nm)
    yield column.is_(None)


def _shim_widths(
    bounds: Bounds | None, broaches: Iterable[Broach], bushings: Iterable[Bushing]
) -> Iterator[ColumnElement[bool] | None]:
    """The widths that lie in a slot, as ranges that do not touch.

    Slots are those of the bushings, and any that could be cut for one of the broaches or for the keyway itself: what to
    make depends on the shims on hand.
    """
    if bounds is None:
        yield None
        return
    width = FIGURES_OF[Kind.SHIM].c.width
    ranges = [bounds.shim_width(bushing.slot_width) for bushing in bushings if bushing.slot_width]
    ranges += [bounds.shim_width_beside(wide) for wide in map(_widest, broaches) if wide]
    ranges.append(bounds.shim_width_for_keyway)
    for low, high in merged(ranges):
        yield width.between(low.nm, high.nm)
    yield width.is_(None)


def _widest(broach: Broach) -> Length | None:
    known = [width for width in (broach.keyway_width, broach.body_width) if width is not None]
    return max(known, default=None)


def merged(ranges: Iterable[_Range]) -> list[_Range]:
    """The ranges in order, those that meet joined into one."""
    joined: list[_Range] = []
    for low, high in sorted(ranges):
        if joined and low <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined
