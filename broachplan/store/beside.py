"""The rest of the box: what a figure that was just measured is compared with."""

from __future__ import annotations

from typing import Any

from sqlalchemy import func, select

from broachplan.crib.doubts import SAME_DIAMETER, SAME_SLOT, Beside
from broachplan.lengths import Length
from broachplan.store.records_read import record_tables
from broachplan.store.tables import FIGURES_OF, PIECE
from broachplan.store.transaction import Work
from broachplan.tooling.figures import Kind, Quantity
from broachplan.tooling.pieces import FIGURES

_MOST_WEBS = 20


def beside(work: Work, kind: Kind, tag: str, values: dict[str, Any]) -> Beside:
    """What the crib has beside a piece; ``values`` are its figures as columns hold them."""
    others = (PIECE.c.retired == 0, PIECE.c.tag != tag)
    table = FIGURES_OF[kind]
    lengths = [figure.name for figure in FIGURES[kind] if figure.quantity is Quantity.LENGTH]
    asked = [each for name in lengths for each in _asked(table.c[name])]
    found = list(
        work.connection.execute(select(*asked).select_from(record_tables(kind)).where(*others)).one()
    )
    ranges = {
        name: (Length(found[3 * place + 1]), Length(found[3 * place + 2]))
        for place, name in enumerate(lengths)
        if found[3 * place] >= 2
    }
    return Beside(_webs(work, tag, values) if kind is Kind.BUSHING else {}, ranges)


def _asked(column: Any) -> tuple[Any, ...]:
    return func.count(column), func.min(column), func.max(column)


def _webs(work: Work, tag: str, values: dict[str, Any]) -> dict[str, Length]:
    outside, slot = values.get("outside_diameter"), values.get("slot_width")
    if outside is None or slot is None:
        return {}
    table = FIGURES_OF[Kind.BUSHING]
    query = (
        select(PIECE.c.tag, table.c.web)
        .select_from(record_tables(Kind.BUSHING))
        .where(
            PIECE.c.retired == 0,
            PIECE.c.tag != tag,
            table.c.web.is_not(None),
            table.c.outside_diameter.between(outside - SAME_DIAMETER.nm, outside + SAME_DIAMETER.nm),
            table.c.slot_width.between(slot - SAME_SLOT.nm, slot + SAME_SLOT.nm),
        )
        .order_by(func.abs(table.c.web - (values.get("web") or 0)))
        .limit(_MOST_WEBS)
    )
    return {tag: Length(web) for tag, web in work.connection.execute(query)}
