"""Answers made by hand for the screens, and desks that give them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from broachplan.crib.entries import Act, Change, Entry, Stamp, changes_between
from broachplan.crib.loans import Loan, PieceStatus
from broachplan.crib.records import Condition, Measurement, Record
from broachplan.desks.attendant.list_known import Known
from broachplan.desks.attendant.list_pieces import CribPiece, PieceList
from broachplan.desks.attendant.show_piece import Difference, HistoryLine, Shown
from broachplan.errors import InputError
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits, Units
from broachplan.planner.answer import Answer, Band, Caution, Make, Nearest, Pass, Plan, Refusal, Rule, Warn
from broachplan.quantities import parse_force
from broachplan.questions.at_press import OpenRunsRequest
from broachplan.questions.hub import PlanRequest
from broachplan.questions.reads import KnownRequest, ListRequest, SettingsRequest, ShowRequest, TodayRequest
from broachplan.settings import Settings
from broachplan.standards.named import Shape, Standard
from broachplan.tooling.figures import Kind
from broachplan.tooling.hub import Hub
from broachplan.tooling.materials import find_material
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim
from tui.crib_rows import ListedPiece
from tui.desks import Desks


def inch(text: str) -> Length:
    return Length.inches(text)


def limits(lower: str, upper: str) -> Limits:
    return Limits(inch(lower), inch(lower), inch(upper))


QUESTION = PlanRequest(
    bore="1 in +0.001 -0", hub_length="1-1/2 in", key="1/4 in", hub_od="2 in", material="grey cast iron"
)
HUB = Hub(
    bore=limits("1", "1.001"),
    length=inch("1.5"),
    outside_diameter=inch("2"),
    material=find_material("grey cast iron"),
)
KEYWAY = Keyway(
    standard=Standard.INCH,
    shape=Shape.SQUARE,
    width=limits("0.25", "0.252"),
    reading=limits("1.114", "1.124"),
    aim=inch("1.119"),
    arc=inch("0.0159"),
    depth_at_wall=inch("0.13"),
    source="ASME B17.1",
    status="memory",
    remarks=("width limits of class 1 rest on memory",),
)
BROACH = Broach(
    tag="BR-250-A",
    keyway_width=inch("0.251"),
    body_width=inch("0.2505"),
    first_tooth_height=inch("0.5000"),
    last_tooth_height=inch("0.5550"),
    tooth_pitch=inch("0.375"),
    rising_teeth=12,
    root_height=inch("0.4"),
)
BUSHING = Bushing(tag="GB-1000-1", outside_diameter=inch("0.999"), slot_width=inch("0.253"), web=inch("0.46"))
PRESS = Press(tag="ARBOR-3", rated_force=parse_force("30 kN"))


def shim(thickness: str) -> Shim:
    return Shim(tag=f"SH-{thickness[2:]}", thickness=inch(thickness), width=inch("0.245"))


def one_pass(number: int, *thicknesses: str, force: float | None = 6000.0) -> Pass:
    stack = tuple(shim(thickness) for thickness in thicknesses)
    shims = sum((one.thickness for one in stack if one.thickness), Length(0))
    return Pass(
        number=number,
        stack=stack,
        shims=shims,
        reading=inch("1.015") + shims,
        first_bite=inch("0.0012"),
        largest_bite=inch("0.0052"),
        teeth_cutting=9,
        teeth_in_cut=5,
        force_low=force,
        force_high=None if force is None else force * 1.6,
    )


def plan(broach: Broach = BROACH, bushing: Bushing = BUSHING, *, force: float | None = 6000.0) -> Plan:
    return Plan(
        broach=broach,
        bushing=bushing,
        press=PRESS,
        passes=(
            one_pass(1, force=force),
            one_pass(2, "0.055", force=force),
            one_pass(3, "0.055", "0.049", force=force),
        ),
        reading=inch("1.119"),
        band=Band(inch("1.119"), inch("1.1215")),
        cautions=(
            Caution(Warn.BUSHING_SHORT, "the hub, 1.5000 in, is longer than the bushing [1.2500 in]"),
            Caution(Warn.SLENDER, "the buckling ratio is 2.4, under 3"),
        ),
        tip="a shim of 0.1040 in would save handling two",
    )


SECOND = Broach(
    tag="BR-250-B",
    keyway_width=inch("0.2505"),
    body_width=inch("0.25"),
    first_tooth_height=inch("0.5100"),
    last_tooth_height=inch("0.5450"),
    tooth_pitch=inch("0.375"),
    rising_teeth=12,
)
REFUSALS = (
    Refusal(Rule.WIDTH, 7, (Nearest("BR-312", None, "cuts 0.3125 in; the keyway is 0.2500 to 0.2520 in"),)),
    Refusal(Rule.SLOT_FIT, 1, (Nearest("BR-250-A", "GB-1000-[2]", "slot 0.2600 in is 0.0090 in too wide"),)),
)
READY = Answer(
    HUB,
    KEYWAY,
    Settings(),
    plans=(plan(), plan(SECOND)),
    refusals=REFUSALS,
    notes=("hardness not given: hard was not checked",),
)
BLOCKED = Answer(
    HUB,
    KEYWAY,
    Settings(),
    refusals=REFUSALS,
    make=(
        Make(
            Kind.BUSHING,
            {"outside_diameter": (inch("0.997"), inch("0.9995")), "web": (inch("0.4"), inch("0.47"))},
            {"outside_diameter": inch("0.999"), "web": inch("0.46")},
            "a bushing for this bore, to turn and slot",
        ),
    ),
)  # fmt: skip
SHELF = tuple(
    ListedPiece(
        Record(
            piece=piece,
            home=home,
            condition=condition,
            measured=Measurement("micrometer", date(2026, 3, 2), "Ida", inch("0.0002")),
        ),
        state,
        out="lent" in state,
        late="OVERDUE" in state,
    )
    for piece, home, condition, state in (
        (BROACH, "drawer 1", Condition.FIT, "fit"),
        (SECOND, "drawer 1", Condition.WORN, "worn"),
        (BUSHING, "drawer 2", Condition.FIT, "OVERDUE, lent to Tomas since 2026-03-02, due 2026-03-06"),
        (shim("0.055"), "box A", Condition.FIT, "fit"),
        (PRESS, "bay 3", Condition.FIT, "fit"),
    )
)


TODAY = date(2026, 3, 9)
LOAN = Loan("Tomas", date(2026, 3, 2), date(2026, 3, 6), "7031")


def known_of(shelf: Sequence[ListedPiece]) -> Known:
    """What a crib with these pieces knows."""
    return Known(
        TODAY,
        {
            listed.record.piece.tag: PieceStatus(
                listed.record.piece.tag,
                listed.record.piece.kind,
                listed.record.condition,
                loan=LOAN if listed.out else None,
            )
            for listed in shelf
        },
        ("box A",),
        ("drawer 1", "drawer 2"),
        ("Tomas", "Tove"),
        ("Ida",),
    )


KNOWN = known_of(SHELF)


def shown(listed: ListedPiece) -> Shown:
    """A piece with a history of its own: received, changed, lent."""
    # On the reader's clock, so that a kept screen is the same everywhere.
    by = Stamp(datetime(2026, 3, 2, 9, 30).astimezone(), "Ida")
    home = Change("home", "drawer 9", listed.record.home)
    entries = (
        (Entry(Act.LENT, by.at, by.by, "", changes_between({}, LOAN.values)), ()),
        (Entry(Act.CHANGED, by.at, by.by, "moved", (home,)), (Difference("home", home.old, home.new),)),
        (Entry(Act.RECEIVED, by.at), ()),
    )
    history = tuple(
        HistoryLine(
            entry, reported or tuple(Difference(each.name, each.old, each.new) for each in entry.changes)
        )
        for entry, reported in entries
    )
    status = KNOWN.pieces[listed.record.piece.tag]
    return Shown(listed.record, False, listed.state, Units.INCH, history=history, status=status)


class Bench:
    """Desks that remember what they were asked, know the shelf and change nothing."""

    def __init__(
        self, answer: Answer | Exception = READY, pieces: Sequence[ListedPiece] | Exception = SHELF
    ) -> None:
        self.answer = answer
        self.shelf = pieces
        self.asked: list[PlanRequest] = []

    def plan(self, _: str | None, asked: PlanRequest) -> Answer:
        self.asked.append(asked)
        if isinstance(self.answer, Exception):
            raise self.answer
        return self.answer

    def pieces(self, _: str | None, __: ListRequest) -> PieceList:
        if isinstance(self.shelf, Exception):
            raise self.shelf
        stored = tuple(CribPiece(listed.record, False, listed.state) for listed in self.shelf)
        return PieceList(stored, len(stored), 1, 1, Units.INCH)

    def known(self, _: str | None, __: KnownRequest) -> Known:
        return KNOWN if isinstance(self.shelf, Exception) else known_of(self.shelf)

    def show(self, _: str | None, asked: ShowRequest) -> Shown:
        by_tag = {listed.record.piece.tag: listed for listed in SHELF}
        return shown(by_tag[asked.tag])

    def desks(self, instead: Mapping[type, Callable[..., Any]] | None = None) -> Desks:
        """The desks of the bench; ``instead`` puts others in their place."""
        made: dict[type, Callable[..., Any]] = {
            PlanRequest: self.plan,
            ListRequest: self.pieces,
            KnownRequest: self.known,
            ShowRequest: self.show,
            SettingsRequest: lambda *_: Settings(),
            TodayRequest: lambda *_: TODAY,
            OpenRunsRequest: lambda *_: (),
        }
        return Desks({**made, **(instead or {})})


def refused(line: str) -> InputError:
    return InputError(line)
