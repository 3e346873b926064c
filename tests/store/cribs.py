"""Records for the tests: a few written by hand, and strategies for any that may be."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import groupby
from typing import Any

from hypothesis import strategies as st

from broachplan.crib.records import Condition, Measurement, Record
from broachplan.lengths import Length
from broachplan.quantities import Area, Force
from broachplan.store.tables import FIGURES_OF, PIECE
from broachplan.store.translate import figure_values, piece_values
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind, Quantity
from broachplan.tooling.pieces import FIGURES, PIECES, Broach, Bushing, Pin, Press, Ring, Shim


def inch(text: str) -> Length:
    return Length.inches(text)


def small_crib() -> list[Record]:
    """One piece of each kind, with every figure of the broach."""
    broach = Broach(
        tag="B-250",
        keyway_width=inch("0.2505"),
        body_width=inch("0.249"),
        first_tooth_height=inch("0.4"),
        last_tooth_height=inch("0.45"),
        tooth_pitch=inch("0.375"),
        rising_teeth=20,
        finishing_teeth=2,
        root_height=inch("0.3"),
        front_length=inch("1"),
        overall_length=inch("10"),
        gullet_area=Area(9_000_000_000_000),
    )
    measured = Measurement("micrometer", date(2031, 5, 2), "Kim")
    return [
        Record(piece=broach, set_name="inch set", home="drawer 4", note="good, sharp", measured=measured),
        Record(
            piece=Bushing(
                tag="G-1000", outside_diameter=inch("0.9985"), slot_width=inch("0.2525"), web=inch("0.42")
            ),
            condition=Condition.WORN,
        ),
        Record(piece=Shim(tag="S-1", thickness=inch("0.05"), width=inch("0.248"), length=inch("4"))),
        Record(piece=Press(tag="P-1", rated_force=Force(30_000_000)), home="bench"),
        Record(piece=Pin(tag="N-1", diameter=inch("0.75"))),
        Record(piece=Ring(tag="R-1", wall=inch("0.125"))),
    ]


def fill(db: str, records: Iterable[Record]) -> None:
    """Put records into a crib, past the import."""
    with writing(db) as work:
        for kind, group in groupby(sorted(records, key=_kind), key=_kind):
            for record in group:
                made = work.connection.execute(PIECE.insert().values(piece_values(record)))
                figures = figure_values(record.piece)
                work.connection.execute(
                    FIGURES_OF[Kind(kind)].insert().values(piece_id=made.inserted_primary_key[0], **figures)
                )
        work.commit()


def _kind(record: Record) -> str:
    return record.piece.kind.value


tags = st.one_of(
    st.from_regex(r"[A-Za-z0-9](?:[ -+\--~]{0,20}[!-+\--~])?", fullmatch=True),
    st.from_regex(
        r"[0-9]{1,2}[-/. :][0-9]{1,4}|[0-9]{1,3}E[0-9]|(MAR|May|dec)[- ]?[0-9]{1,4}", fullmatch=True
    ),
)
# What an import lets through: no control or hidden characters, no space at either end.
words = (
    st.text(
        st.characters(
            categories=["L", "N", "P", "S", "Zs"], exclude_characters="\u2800\u3164\u115f\u1160\uffa0"
        ),
        max_size=30,
    )
    .map(str.strip)
    .filter(lambda text: len(text) <= 200)
)
# What a spreadsheet would make something else of, or a workbook's form.
CHANGED = (
    *(
        "=1+1",
        "'=1+1",
        "-2",
        "+1",
        "@x",
        "''+",
        "＝1",
        "1/16",
        "'1/16",
        "3-4",
        "1.5",
        "1 1/4",
        "1E5",
        "007",
        "12:30",
    ),
    *("10 a", "MAR1", "1 March 2031", "2031-05-02", "true", "#N/A", "_x0041_", "_x005F_x0041_", "'_x0041_"),
)
spoken = st.one_of(words, st.sampled_from((*CHANGED, "'", 'a"b', "a,b", "a;=1")))
lengths = st.integers(1, 10_000_000_000).map(Length)
days = st.dates(date(1990, 1, 1), date(2090, 1, 1))


@st.composite
def pieces(draw: st.DrawFn, kind: Kind) -> Any:
    """Any piece of a kind, with any of its figures not known."""
    values: dict[str, Any] = {}
    for figure in FIGURES[kind]:
        made = {
            Quantity.LENGTH: lengths,
            Quantity.AREA: st.integers(1, 10**18).map(Area),
            Quantity.FORCE: st.integers(1, 10**12).map(Force),
            Quantity.COUNT: st.integers(figure.least, 1000),
        }[figure.quantity]
        values[figure.name] = draw(st.none() | made)
    _in_order(values, "root_height", "first_tooth_height", "last_tooth_height")
    for smaller in ("slot_width", "web"):
        _in_order(values, smaller, "outside_diameter")
    if kind is Kind.BROACH:
        _long_enough(values)
    return PIECES[kind](tag=draw(tags), **values)


def _in_order(values: dict[str, Any], *names: str) -> None:
    known = [name for name in names if values.get(name) is not None]
    sizes = sorted({values[name] for name in known})
    for name in known[len(sizes) :]:
        values[name] = None
    for name, size in zip(known, sizes, strict=False):
        values[name] = size


def _long_enough(values: dict[str, Any]) -> None:
    if None in (values["rising_teeth"], values["tooth_pitch"], values["overall_length"]):
        return
    teeth = values["rising_teeth"] + (values["finishing_teeth"] or 0)
    least = values["tooth_pitch"].nm * (teeth - 1) + (values["front_length"] or Length(0)).nm
    if least > 10_000_000_000:
        values["overall_length"] = None
    else:
        values["overall_length"] = max(values["overall_length"], Length(least))


@st.composite
def records(draw: st.DrawFn, kinds: Iterable[Kind] = tuple(Kind)) -> Record:
    """Any record that the form of its kind can hold."""
    kind = draw(st.sampled_from(list(kinds)))
    piece = draw(pieces(kind))
    return Record(
        piece=piece,
        set_name=draw(spoken),
        home=draw(spoken),
        condition=draw(st.sampled_from(Condition)),
        note=draw(spoken),
        measured=Measurement(draw(spoken), draw(st.none() | days), draw(spoken), draw(st.none() | lengths)),
        made_here=draw(st.booleans()),
    )


def cribs(kinds: Iterable[Kind] = tuple(Kind), most: int = 12) -> st.SearchStrategy[list[Record]]:
    """Any crib: records of which no two share a tag."""
    return st.lists(records(kinds), max_size=most, unique_by=lambda record: record.piece.tag)
