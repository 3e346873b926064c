"""Any day at the desk, act by act, against a plain model of dicts: the same answers, the same crib, books in order."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import ExitStack
from copy import deepcopy
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from broachplan.crib.records import Condition
from broachplan.crib.shelf import Shelf
from broachplan.crib.wear import Booking
from broachplan.desks.machinist.plan_hub import plan_hub
from broachplan.errors import BroachplanError, CribStateError, InputError
from broachplan.lengths import Length, write_exact
from broachplan.planner.bands import with_bands
from broachplan.planner.plan import plan
from broachplan.questions.hub import PlanRequest
from broachplan.questions.read_hub import read_hub_question
from broachplan.settings import Settings
from broachplan.store.check import check
from broachplan.store.shelf_read import read_shelf
from broachplan.store.work import reading
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim
from tests import databases
from tests.desks.doing import (
    add_piece,
    break_piece,
    count_drawer,
    edit_piece,
    hold_piece,
    inspect_piece,
    join_set,
    lend_piece,
    lose_piece,
    receive_piece,
    regrind_piece,
    release_piece,
    retire_piece,
    return_piece,
    send_piece,
    settle_count,
    split_set,
    undo_act,
)
from tests.desks.looking import list_actions, list_holds, list_out, list_sets, show_piece
from tests.ground import emptied
from tests.planner.setups import SetUp

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
TODAY, TOMORROW = date(2031, 5, 2), date(2031, 5, 3)
UNIT = SetUp()
PIECES: dict[str, Piece] = {
    "K-1": replace(UNIT.broach, tag="K-1"),
    "K-2": replace(UNIT.broach, tag="K-2", gullet_area=None),
    "G-1": replace(UNIT.bushing, tag="G-1"),
    **{f"S-{number}": replace(shim, tag=f"S-{number}") for number, shim in enumerate(UNIT.shims, 1)},
}
# A hub that all of the pieces together serve, and fewer of them serve worse or not at all.
QUESTION = PlanRequest(
    bore="25 mm",
    hub_length="17 mm",
    keyway_width="7 mm ±0.02",
    reading="28.1 mm ±0.05",
    material="mild steel",
)
DRAWERS = ("A/1", "A/2")
Model = dict[str, dict[str, Any]]
tags = st.sampled_from(sorted(PIECES))
found = st.sampled_from(["fit", "fit", "worn", "unfit"])
conditions = st.sampled_from(["fit", "fit", "worn", "unfit", "uninspected"])
days = st.sampled_from([TODAY, TOMORROW])
work = st.sampled_from(["J-1", "J-2"])


def new() -> dict[str, Any]:
    """What the model knows of a piece that has just come in."""
    return {
        "home": "",
        "condition": "fit",
        "lent_to": "",
        "sent": False,
        "job": "",
        "retired": False,
        "set": "",
        "missing": False,
        "cuts": 0,
        "ground": 0,
        "held": {},
    }


def typed(piece: Piece) -> dict[str, str]:
    """Its figures as a person types them."""
    values = {figure.name: getattr(piece, figure.name) for figure in piece.figures()}
    return {
        name: write_exact(value) if isinstance(value, Length) else str(value)
        for name, value in values.items()
        if value is not None
    }


def in_drawer(piece: dict[str, Any], drawer: str) -> bool:
    """Whether a piece's home is in a drawer, however it is spelt."""
    return str(piece["home"]).replace(" ", "").upper().startswith(f"{drawer}/")


class Day(RuleBasedStateMachine):
    """One crib and its model; ``acts`` is what each act found: the pieces that it changed as they were, None where undone."""

    def __init__(self) -> None:
        super().__init__()
        self.left = ExitStack()
        self.db = self.left.enter_context(databases.database("new", emptied("day") / "crib.db"))
        self.model: Model = {}
        self.acts: list[dict[str, dict[str, Any] | None] | None] = []

    def teardown(self) -> None:
        with self.left:
            assert not self.model or check(self.db) == ()

    def act(self, tag: str, forbidden: Callable[[dict[str, Any]], bool], act: Callable[[], Any]) -> bool:
        """Do something to a piece that the model forbids or allows; whether it was done."""
        piece = self.model.get(tag)
        refused: type[BroachplanError] | None = InputError if piece is None else None
        if piece is not None and forbidden(piece):
            refused = CribStateError
        if refused:
            with pytest.raises(refused, match=tag):
                act()
            return False
        self.acts.append({tag: deepcopy(piece)})
        act()
        return True

    @rule(tag=tags, home=st.sampled_from(["", "A/1/01", "A/2/01"]))
    def receive(self, tag: str, home: str) -> None:
        piece = PIECES[tag]
        reported = {**typed(piece), "home": home}
        if tag in self.model:
            with pytest.raises(InputError, match=f"which a {piece.kind}"):
                add_piece(self.db, piece.kind, tag, reported, at=NOW)
            return
        self.acts.append({tag: None})
        add_piece(self.db, piece.kind, tag, reported, at=NOW)
        self.model[tag] = {**new(), "home": home}

    @rule(
        tag=tags, name=st.sampled_from(["Kim", "Ann"]), job=st.sampled_from(["", "J-1"]), anyway=st.booleans()
    )
    def lend(self, tag: str, name: str, job: str, anyway: bool) -> None:
        def forbidden(piece: dict[str, Any]) -> bool:
            wanted = piece["held"].get(TODAY, job) != job and not anyway
            return piece["retired"] or piece["lent_to"] or piece["missing"] or piece["condition"] != "fit" or wanted  # fmt: skip

        lend = lambda: lend_piece(self.db, tag, name, job=job, anyway=anyway, at=NOW)  # noqa: E731
        if self.act(tag, forbidden, lend):
            self.model[tag] |= {"lent_to": name, "job": job}

    @rule(tag=tags, condition=conditions, hubs=st.integers(0, 3))
    def take_back(self, tag: str, condition: str, hubs: int) -> None:
        booking = Booking(hubs, 2, Length.mm(17)) if hubs and tag[0] == "K" else None
        back = lambda: return_piece(self.db, tag, condition, booking=booking, at=NOW)  # noqa: E731
        if self.act(tag, lambda piece: not piece["lent_to"] or piece["sent"], back):
            self.model[tag] |= {"lent_to": "", "condition": condition}
            self.model[tag]["cuts"] += booking.cuts if booking else 0

    @rule(tag=tags, act=st.sampled_from([lose_piece, break_piece]))
    def lose_or_break(self, tag: str, act: Callable[..., object]) -> None:
        """Wherever it is; the loan ends so."""
        gone = lambda piece: piece["retired"] or piece["missing"]  # noqa: E731
        if self.act(tag, gone, lambda: act(self.db, tag, at=NOW)):
            now = {"missing": True} if act is lose_piece else {"condition": "unfit"}
            self.model[tag] |= {"lent_to": "", "sent": False, **now}

    @rule(tag=tags, anyway=st.booleans())
    def send(self, tag: str, anyway: bool) -> None:
        def forbidden(piece: dict[str, Any]) -> bool:
            return piece["retired"] or piece["lent_to"] or piece["missing"] or (piece["held"] and not anyway)

        send = lambda: send_piece(self.db, tag, "Northside", back="+1", anyway=anyway, at=NOW)  # noqa: E731
        if self.act(tag, forbidden, send):
            self.model[tag] |= {"lent_to": "Northside", "sent": True, "job": ""}

    @rule(tag=tags)
    def receive_back(self, tag: str) -> None:
        if self.act(tag, lambda piece: not piece["sent"], lambda: receive_piece(self.db, tag, at=NOW)):
            self.model[tag] |= {"lent_to": "", "sent": False, "condition": "uninspected"}

    @rule(tag=tags, condition=found)
    def inspect(self, tag: str, condition: str) -> None:
        def forbidden(piece: dict[str, Any]) -> bool:
            return piece["retired"] or piece["lent_to"] or piece["missing"]

        if self.act(tag, forbidden, lambda: inspect_piece(self.db, tag, condition, at=NOW)):
            self.model[tag]["condition"] = condition

    @rule(tag=st.sampled_from(["K-1", "K-2"]))
    def regrind(self, tag: str) -> None:
        def forbidden(piece: dict[str, Any]) -> bool:
            return piece["retired"] or piece["lent_to"] or piece["missing"]

        times = self.model.get(tag, new())["ground"] + 1
        heights = {
            name: write_exact(getattr(self.piece_of(tag, times), name))
            for name in ("first_tooth_height", "last_tooth_height")
        }
        if self.act(tag, forbidden, lambda: regrind_piece(self.db, tag, heights, at=NOW)):
            self.model[tag] |= {"ground": times, "condition": "fit"}

    @rule(tag=tags, home=st.sampled_from(["", "A/1/01", "a / 1/02", "A/2/01"]))
    def edit(self, tag: str, home: str) -> None:
        same = self.model.get(tag, new())["home"] == home
        if self.act(
            tag, lambda piece: piece["retired"], lambda: edit_piece(self.db, tag, {"home": home}, at=NOW)
        ):
            self.model[tag]["home"] = home
            if same:
                self.acts.pop()

    @rule(tag=tags)
    def retire(self, tag: str) -> None:
        def forbidden(piece: dict[str, Any]) -> bool:
            return piece["retired"] or piece["lent_to"]

        if self.act(tag, forbidden, lambda: retire_piece(self.db, tag, at=NOW)):
            self.model[tag]["retired"] = True

    @rule(tag=tags, name=st.sampled_from(["box Elm", "box Oak"]))
    def join(self, tag: str, name: str) -> None:
        same = self.model.get(tag, new())["set"] == name
        if self.act(tag, lambda piece: piece["retired"], lambda: join_set(self.db, name, [tag], at=NOW)):
            self.model[tag]["set"] = name
            if same:
                self.acts.pop()

    @precondition(lambda self: any(piece["set"] and not piece["retired"] for piece in self.model.values()))
    @rule(tag=tags)
    def split(self, tag: str) -> None:
        name = next(piece["set"] for piece in self.model.values() if piece["set"] and not piece["retired"])

        def forbidden(piece: dict[str, Any]) -> bool:
            return piece["retired"] or piece["set"] != name

        if self.act(tag, forbidden, lambda: split_set(self.db, name, [tag], at=NOW)):
            self.model[tag]["set"] = ""

    @rule(tag=tags, day=days, job=work, anyway=st.booleans())
    def hold(self, tag: str, day: date, job: str, anyway: bool) -> None:
        def forbidden(piece: dict[str, Any]) -> bool:
            if piece["held"].get(day) == job and not piece["retired"]:
                return False
            out = piece["sent"] or (piece["lent_to"] and piece["job"] != job and day == TODAY)
            unfit = piece["condition"] != "fit" and not piece["sent"]
            doubt = not anyway and (piece["missing"] or out or unfit)
            return piece["retired"] or day in piece["held"] or doubt

        same = self.model.get(tag, new())["held"].get(day) == job
        hold = lambda: hold_piece(self.db, tag, job, day.isoformat(), anyway=anyway, at=NOW)  # noqa: E731
        if self.act(tag, forbidden, hold):
            self.model[tag]["held"][day] = job
            if same:
                self.before.pop()

    @rule(tag=tags, day=days)
    def release(self, tag: str, day: date) -> None:
        let_go = lambda: release_piece(self.db, tag, day.isoformat(), at=NOW)  # noqa: E731
        if self.act(tag, lambda piece: day not in piece["held"], let_go):
            del self.model[tag]["held"][day]

    @rule(drawer=st.sampled_from(DRAWERS), found=st.sets(tags))
    def count(self, drawer: str, found: set[str]) -> None:
        """A blind count, settled at once; what it corrects is one act."""
        if not any(in_drawer(piece, drawer) and not piece["retired"] for piece in self.model.values()):
            with pytest.raises(InputError, match="no piece lives there"):
                count_drawer(self.db, drawer, sorted(found), at=NOW)
            return
        counted = count_drawer(self.db, drawer, sorted(found), at=NOW)
        differences = {line.tag for line in counted.count.differences}
        after = deepcopy(self.model)
        for tag, piece in after.items():
            there = not (piece["retired"] or piece["lent_to"] or piece["missing"])
            here = there and in_drawer(piece, drawer)
            assert (tag in differences) == (here != (tag in found))
            if tag in found and not piece["retired"]:
                back = {"condition": "uninspected"} if piece["lent_to"] else {}
                piece |= {"lent_to": "", "sent": False, "missing": False, **back}
            elif here:
                piece["missing"] = True
        assert found - set(self.model) <= differences
        if differences:
            settle_count(self.db, counted.count.number, {}, rest="not known", at=NOW)
        if after != self.model:
            self.acts.append({tag: self.model[tag] for tag in after if after[tag] != self.model[tag]})
            self.model = after

    @rule()
    def undo(self) -> None:
        counting = [place for place, found in enumerate(self.acts) if found is not None]
        if not counting:
            with pytest.raises(CribStateError, match="nothing to undo"):
                undo_act(self.db, at=NOW)
            return
        undo_act(self.db, at=NOW)
        self.go_back(counting[-1])

    @precondition(lambda self: self.acts)
    @rule(data=st.data())
    def undo_any(self, data: st.DataObject) -> None:
        """An act is undone if it is not yet, and no act that counts changed one of its pieces after it."""
        place = data.draw(st.integers(0, len(self.acts) - 1))
        numbers = [done.number for done in reversed(list_actions(self.db, 10_000)) if done.undoes is None]
        found = self.acts[place]
        later = {tag for each in self.acts[place + 1 :] if each is not None for tag in each}
        if found is None or later & found.keys():
            with pytest.raises(CribStateError, match="undone already" if found is None else "changed since"):
                undo_act(self.db, numbers[place], at=NOW)
            return
        undo_act(self.db, numbers[place], at=NOW)
        self.go_back(place)

    def go_back(self, place: int) -> None:
        """The pieces as an act found them; one that it added is there no more, and its tag is free."""
        found, self.acts[place] = self.acts[place], None
        for tag, piece in (found or {}).items():
            del self.model[tag]
            if piece is not None:
                self.model[tag] = piece

    @rule(day=days)
    def plan(self, day: date) -> None:
        """The plan from the crib is the plan from what the model says lies on the shelf."""
        hub, keyway = read_hub_question(QUESTION)
        pieces = [self.piece_of(tag) for tag, its in sorted(self.model.items()) if not its["retired"]]
        shelf = Shelf(
            broaches=tuple(piece for piece in pieces if isinstance(piece, Broach)),
            bushings=tuple(piece for piece in pieces if isinstance(piece, Bushing)),
            shims=tuple(piece for piece in pieces if isinstance(piece, Shim)),
            off={piece.tag: why for piece in pieces if (why := self.why_off(piece.tag, day))},
            homes={piece.tag: home for piece in pieces if (home := self.model[piece.tag]["home"])},
        )

        assert plan_hub(self.db, replace(QUESTION, on=day.isoformat())) == with_bands(
            plan(hub, keyway, shelf, Settings().as_typed_in(hub.system)), {}
        )

    def piece_of(self, tag: str, ground: int | None = None) -> Piece:
        """A piece as often reground as the model says: each regrind takes 0.01 mm off every tooth's height."""
        piece = PIECES[tag]
        times = self.model[tag]["ground"] if ground is None else ground
        if not isinstance(piece, Broach):
            return piece
        first, last = piece.first_tooth_height, piece.last_tooth_height
        assert first is not None
        assert last is not None
        lower = Length.mm("0.01") * times
        return replace(piece, first_tooth_height=first - lower, last_tooth_height=last - lower)

    def why_off(self, tag: str, day: date | None) -> str:
        piece = self.model[tag]
        reasons = [
            f"missing since {TODAY}" if piece["missing"] else "",
            self.out_words(piece, day),
            Condition(piece["condition"]).words if piece["condition"] != "fit" else "",
            f"held on {day} for {piece['held'][day]}" if day in piece["held"] else "",
        ]
        return "; ".join(filter(None, reasons))

    @staticmethod
    def out_words(piece: dict[str, Any], day: date | None) -> str:
        if not piece["lent_to"]:
            return ""
        due = f", due {TOMORROW}" if piece["sent"] and day else ""
        return f"{'sent' if piece['sent'] else 'lent'} to {piece['lent_to']} since {TODAY}{due}"

    @invariant()
    def every_piece_is_as_the_model_has_it(self) -> None:
        for tag, piece in self.model.items():
            shown = show_piece(self.db, tag, TODAY)
            assert shown.record.piece == self.piece_of(tag)
            assert (shown.record.home, shown.record.condition, shown.retired, shown.wear.cuts) == (
                piece["home"],
                piece["condition"],
                piece["retired"],
                piece["cuts"],
            )

    @invariant()
    def what_is_out_is_out_to_whom_the_model_says(self) -> None:
        out = {each.tag: each.loan.to for each in list_out(self.db, TODAY)}

        assert out == {tag: piece["lent_to"] for tag, piece in self.model.items() if piece["lent_to"]}

    @invariant()
    def plans_choose_from_what_is_fit_there_and_not_held(self) -> None:
        for day in (None, TODAY, TOMORROW):
            with reading(self.db) as unit:
                shelf = read_shelf(unit, on=day)
            there = {piece.tag for piece in (*shelf.broaches, *shelf.bushings, *shelf.shims)}

            kept = {tag for tag, piece in self.model.items() if not piece["retired"]}
            assert there == kept
            assert dict(shelf.off) == {tag: why for tag in kept if (why := self.why_off(tag, day))}

    @invariant()
    def every_hold_is_one_of_the_models(self) -> None:
        held = {(hold.tag, hold.first, hold.last): hold.for_what for hold in list_holds(self.db, TODAY)}

        days = {
            (tag, day): what
            for (tag, first, last), what in held.items()
            for day in (TODAY, TOMORROW)
            if first <= day <= last
        }
        assert days == {
            (tag, day): what
            for tag, piece in self.model.items()
            if not piece["retired"]
            for day, what in piece["held"].items()
        }

    @invariant()
    def every_set_has_the_pieces_that_the_model_puts_there(self) -> None:
        sets = {box.name: {piece.tag for piece in box.pieces} for box in list_sets(self.db)}

        inside: dict[str, set[str]] = {}
        for tag, piece in self.model.items():
            if piece["set"] and not piece["retired"]:
                inside.setdefault(piece["set"], set()).add(tag)
        assert sets == inside


class LongDay(Day):
    """The whole check after every act, which takes longer than the act."""

    @invariant()
    def the_books_are_in_order(self) -> None:
        assert check(self.db) == ()


@pytest.mark.usefixtures("either")
class TestDay(Day.TestCase):
    settings = settings(max_examples=databases.examples(5), stateful_step_count=14, deadline=None)


@pytest.mark.nightly
@pytest.mark.usefixtures("either")
class TestManyLongDays(LongDay.TestCase):
    settings = settings(max_examples=databases.examples(200), stateful_step_count=40, deadline=None)
