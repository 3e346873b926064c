"""The guided first crib as a value: the order of its questions, and that no answer is ever lost."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from broachplan.guide.fits import does_not_serve
from broachplan.guide.guide import NONE, Guide, Stage, as_words, from_words, piece_questions
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES

HUB = {"bore": "1 in", "hub_length": "1-1/8 in", "key": "1/4 in", "material": NONE}
BUSHING = {"tag": "GU-1", "outside_diameter": "0.9985 in", "slot_width": "0.252 in", "web": "0.4 in"}


def at(stage: Stage, **values: str) -> Guide:
    return Guide(Stage.HUB, HUB, last={"bushing": BUSHING}).at(stage).filled(values)


def test_the_order_is_hub_web_broach_shims_and_then_the_plan() -> None:
    guide = Guide()
    assert [line.name for line in guide.lines] == ["bore", "hub_length", "key", "material"]
    guide = Guide(hub=HUB).at(Stage.BUSHING)
    # The web is the last figure of the bushing, after what it is checked with.
    assert [line.name for line in guide.lines] == [
        *("tag", "outside_diameter", "slot_width", "slot_depth", "web", "measured_with")
    ]
    guide = guide.filled(BUSHING).taken_in()
    assert (guide.stage, guide.kind) == (Stage.BROACH, Kind.BROACH)
    guide = guide.filled({"tag": "BR-1"}).taken_in()
    assert (guide.stage, guide.taken_in().stage, guide.no_more().stage) == (
        Stage.SHIMS,
        Stage.SHIMS,
        Stage.PLAN,
    )
    assert guide.no_more().no_more().stage is Stage.REST


def test_a_first_plan_asks_for_the_eight_figures_that_no_plan_can_do_without_and_no_other() -> None:
    asked = [line.name for kind in (Kind.BUSHING, Kind.BROACH, Kind.SHIM) for line in piece_questions(kind)]
    needed = [figure.name for kind in Kind for figure in FIGURES[kind] if figure.needed]
    assert len(needed) == 8
    assert set(asked) == {*needed, "tag", "slot_depth", "measured_with"}
    for kind in Kind:
        assert len(piece_questions(kind)) > 1


def test_tags_number_on_past_those_that_are_taken_and_no_figure_is_taken_by_itself() -> None:
    guide = at(Stage.SHIMS, tag="SH-0250-09", thickness="0.0312 in", width="0.248 in").taken_in()
    assert guide.offered("tag") == "SH-0250-10"
    assert (guide.same("width"), guide.same("tag"), guide.offered("width")) == ("0.248 in", "", "")
    taken = Guide(Stage.SHIMS, last=guide.last, taken=frozenset({"SH-0250-10", "SH-0250-11"}))
    assert taken.offered("tag") == "SH-0250-12"


@given(st.dictionaries(st.text(max_size=20), st.text(max_size=20)))
def test_a_file_that_anybody_may_have_changed_never_stops_the_guide(words: dict[str, str]) -> None:
    guide = from_words({**words, "stage": words.get("stage", "shims")})
    assert from_words(as_words(guide)) == (guide or Guide())


@given(
    st.sampled_from(list(Stage)),
    st.sampled_from(list(Kind)),
    st.dictionaries(
        st.sampled_from(["tag", "web", "width", "thickness", "slot_width"]), st.text(min_size=1, max_size=9)
    ),
)
def test_what_was_answered_comes_back_from_the_disk_as_it_was(
    stage: Stage, kind: Kind, values: dict[str, str]
) -> None:
    begun = Guide(stage, HUB, rest=kind.value if stage is Stage.REST else "", last={"bushing": BUSHING})
    guide = begun.filled(values)
    assert from_words(as_words(guide)) == guide
    assert guide.stage is Stage.HUB or guide.hub == HUB


def test_a_step_back_asks_the_last_answer_again_and_keeps_the_others() -> None:
    guide = at(Stage.BUSHING, tag="GU-2", outside_diameter="0.9985 in")
    assert dict(guide.back().answers) == {"tag": "GU-2"}
    # From the first line of a piece back to the hub's last.
    hub = guide.back().back().back()
    assert (hub.stage, hub.next_line and hub.next_line.name) == (Stage.HUB, "material")


def test_a_piece_that_does_not_serve_todays_hub_is_asked_about() -> None:
    limits = Settings()

    def asked(stage: Stage, **values: str) -> list[str]:
        return [doubt.figure for doubt in does_not_serve(at(stage, **values), limits)]

    assert asked(Stage.BUSHING, outside_diameter="0.9985 in") == []
    assert asked(Stage.BUSHING, outside_diameter="1.0005 in") == ["outside_diameter"]
    # A figure of another bushing: 0.050 in too small.
    assert asked(Stage.BUSHING, outside_diameter="0.9485 in") == ["outside_diameter"]
    assert asked(Stage.BROACH, keyway_width="0.2505 in") == []
    assert asked(Stage.BROACH, keyway_width="0.1875 in") == ["keyway_width", "keyway_width"]
    assert asked(Stage.SHIMS, width="0.248 in") == []
    assert asked(Stage.SHIMS, width="0.253 in") == ["width"]
    assert asked(Stage.SHIMS, width="6 mm") == []
    assert asked(Stage.SHIMS, width="3 mm") == ["width"]


def test_a_size_is_no_tag_and_a_figure_may_be_left_for_later() -> None:
    guide = at(Stage.BUSHING)
    tag, outside, *_ = guide.lines
    assert "which is a size; type the mark on the piece" in guide.reason_against(tag, "24,98 mm")
    assert guide.reason_against(tag, "GU-7") == ""
    assert "without a unit" in guide.reason_against(outside, "0.9985")
    assert guide.reason_against(outside, "25 mm") == ""
    left = at(Stage.BUSHING, tag="GU-7", outside_diameter=NONE, web="0.4 in").add()
    assert (left.tag, dict(left.values)) == ("GU-7", {"web": "0.4 in"})
