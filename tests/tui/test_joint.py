"""The joint's screen: shaft, key and hub in one view, the milling card, the strength advisory."""

from __future__ import annotations

from broachplan.cut.joint_picture import JointSection
from broachplan.questions.hub import PlanRequest
from tests.tui.driving import LARGE, SMALL, Drive, Driver, assert_golden, drive
from tui.app import BroachplanApp
from tui.screens.desk import DeskScreen
from tui.screens.joint import JointScreen
from tui.shaft_forms import start_for
from tui.widgets.choice import Choice
from tui.widgets.entry import EntryLine
from tui.widgets.field_form import FieldForm
from tui.widgets.section_view import SectionView

OFF_TABLE = {"bore": "1-3/8 in +0.001 -0", "key": "3/8 in"}


class JointAlone(BroachplanApp):
    """The screen as the desk opens it on the hub in its form, without the desk."""

    async def open_desk(self) -> None:
        start = dict.fromkeys(("bore", "key", "standard", "shape", "fit", "no_top_clearance"), "")
        await self.push_screen(JointScreen(start_for(start | OFF_TABLE), str))


def at_joint(act: Driver, size: tuple[int, int] = SMALL) -> None:
    drive(act, size=size, question=None, app_of=JointAlone)


async def fill(at: Drive, **lines: str) -> None:
    for name, text in lines.items():
        at.app.screen.query_one(f"#{name}", EntryLine).value = text
    await at.settle()


def choose(at: Drive, name: str, value: str) -> None:
    at.app.screen.query_one(f"#{name}", Choice).value = value


def figures(at: Drive) -> list[str]:
    return at.words("#joint-text").splitlines()


def flat(at: Drive) -> str:
    """The figures in one line, wherever their lines were broken."""
    return " ".join(at.words("#joint-text").split())


def under(at: Drive, heading: str) -> dict[str, str]:
    """The named figures under a heading."""
    lines = figures(at)
    start = next(place for place, line in enumerate(lines) if line.startswith(heading)) + 1
    found: dict[str, str] = {}
    for line in lines[start:]:
        if not line.startswith(" "):
            break
        found[line[1:11].strip()] = line[12:].strip()
    return found


def test_the_joint_opens_on_the_hub_in_the_form_and_what_is_settled_goes_into_it() -> None:
    async def act(at: Drive) -> None:
        for key in ("f10", "ctrl+o"):
            await at.press(key)
            assert isinstance(at.app.screen, JointScreen)
            assert at.app.screen.query_one("#shaft", EntryLine).value == "1-3/8 in"
            assert at.app.screen.query_one("#key", EntryLine).value == "3/8 in"
            await at.press("escape")
            assert isinstance(at.app.screen, DeskScreen)
            assert at.desk.query_one("#bore", EntryLine).value == "1-3/8 in +0.001 -0"
        await at.press("f10")
        await fill(at, key="607")
        await at.press("f5")
        assert isinstance(at.app.screen, DeskScreen)
        assert at.desk.query_one("#standard", Choice).value == "woodruff"
        assert at.desk.query_one("#key", EntryLine).value == "607"
        assert at.desk.query_one("#bore", EntryLine).value == "1-3/8 in +0.001 -0"
        await at.press("f10")
        await fill(at, shaft="1 in")
        await at.press("f5")
        assert at.desk.query_one("#bore", EntryLine).value == "1 in"

    drive(act, question=PlanRequest(hub_length="1 in", **OFF_TABLE))


def test_shaft_key_and_hub_share_one_view_close_up_and_stepped_where_the_hub_s_key_is_another() -> None:
    """ASME B17.1: y = (D - sqrt(D^2 - W^2)) / 2 = 0.02606 in; the floor y + W / 2 below the top; D - y + W / 2 over the key."""

    async def act(at: Drive) -> None:
        assert "key 3/8 x 3/8 in, square, class 1" in at.words("#headline")
        assert under(at, "Shaft")["from top"] == "0.2136 in"
        assert under(at, "Shaft")["at wall"] == "0.1875 in"
        assert under(at, "Shaft with its key")["over key"].startswith("1.5364")
        assert under(at, "Shaft with its key")["arc"].startswith("0.0261")
        assert under(at, "Key: bar stock")["width"] == "0.3730 to 0.3750 in"
        assert {"at sides", "on top"} <= set(under(at, "Key: key stock"))
        assert "off centre" in under(at, "Position, at most")
        assert "is not the table's" in flat(at)
        assert "B17.1" in flat(at)
        await fill(at, shaft="2 in", key="")
        assert {"fillet", "chamfer"} <= set(under(at, "Corners (from memory)"))

        await at.press("f6", "pagedown")
        assert at.app.screen.query_one(SectionView).close
        assert at.app.screen.query_one("#joint-scroll").scroll_y == 10
        await at.press("pageup")
        assert at.app.screen.query_one("#joint-scroll").scroll_y == 0

        await fill(at, shaft="1 in", key="1/4 in", hub_key="5/16 in")
        assert under(at, "Key: bar stock")["each side"].startswith("0.0312 in")
        assert at.words("#headline").startswith("stepped: shaft 1/4 x 1/4 in, hub 5/16 x 5/16 in")
        section = at.app.screen.query_one(SectionView).section
        assert isinstance(section, JointSection)
        assert len(section.key) == 2

    at_joint(act)


def test_a_woodruff_number_alone_names_its_standard_and_metric_figures_are_in_millimetres() -> None:
    """ASME B17.2 by Shigley: number 607 goes 0.2763 in deep. ISO 773: an 8 x 7 key for 22 to 30 mm, its seat 4 mm deep."""

    async def act(at: Drive) -> None:
        await fill(at, shaft="13/16 in", key="607")
        assert "Woodruff key 607" in at.words("#headline")
        assert under(at, "Shaft")["at wall"] == "0.2763 in"
        assert "diameter" in under(at, "Cutter 607 (from memory)")
        assert "SOME FIGURES FROM MEMORY" in figures(at)[0]

        await fill(at, shaft="30 mm", key="")
        assert under(at, "Shaft")["S"].startswith("26.000, ")
        assert at.app.screen.query_one(SectionView).section is not None
        await at.press("f9")
        assert under(at, "Shaft")["S"].startswith("1.0236, ")

    at_joint(act)


CANNOT_BE = (
    ({"key": "999"}, "", "the table has 202"),
    ({"key": "808"}, "metric", "only inch Woodruff keys have numbers"),
    ({"shaft": "1"}, "", "without a unit"),
    ({"key": "2 in"}, "", "must be less than"),
    ({"hub_key": "808"}, "metric", "without a unit"),
    ({"shaft": ""}, "", "needed"),
    ({"key": "808", "length": "1 in"}, "", "leave the length out"),
)


def test_an_impossible_question_shows_its_reason_in_place_of_the_figures() -> None:
    async def act(at: Drive) -> None:
        for lines, standard, shown in CANNOT_BE:
            choose(at, "standard", standard)
            await fill(at, **{"shaft": "1-3/8 in", "key": "", "hub_key": "", "length": ""} | lines)
            assert shown in flat(at)
            assert at.app.screen.query_one("#said").has_class("-wrong")
            assert at.app.screen.query_one(SectionView).section is None
            assert at.app.screen.check_action("to_hub", ()) is None

    at_joint(act)


def test_the_milling_card_shows_centre_passes_and_what_is_left_and_a_woodruff_key_s_height_and_place() -> (
    None
):
    """Whole steps of 0.060 in and the rest; by ASME B17.1 between 0.2136 and 0.2256 below the top of the arc.

    12 x 80 / (pi x 3/8) turns a minute. Of the Woodruff card: half the cutter's 3/16 in and half the shaft's 13/16 in.
    """

    async def act(at: Drive) -> None:
        await at.press("f3")
        assert at.app.focused is at.app.screen.query_one("#finder")
        await fill(
            at,
            finder="0.5 in",
            cutter="3/8 in",
            step="0.060 in",
            depth_limits="+0.000 -0.012",
            speed="80 ft/min",
            length="2 in",
        )
        assert under(at, "Centre")["total"] == "0.9375 in"
        assert under(at, "Depth, by your limits")["depth"] == "0.2136, 0.2136 to 0.2255 in"
        assert under(at, "Depth, by your limits")["over key"] == "1.5364, 1.5245 to 1.5364 in"
        passes = next(place for place, line in enumerate(figures(at)) if line.startswith("Passes: 4"))
        assert figures(at)[passes + 2].split() == ["1", "0.0600", "in", "0.0600", "in", "1.3150", "in"]
        assert figures(at)[passes + 3].split() == ["2", "0.0600", "in", "0.1200", "in", "1.2550", "in"]
        assert any(line.startswith("Spindle: 815") for line in figures(at))
        assert any(line.startswith(" round") for line in figures(at))
        await fill(at, measured="1.6 in")
        assert figures(at)[0].startswith("STILL TO TAKE OFF: 0.0696 in")
        await fill(at, measured="1.53 in")
        assert figures(at)[0].startswith("DONE")
        await fill(at, measured="1.51 in")
        assert flat(at).startswith("CANNOT TELL: 1.5100 in over the key, and the key's height is not known.")
        await fill(at, key_height="0.375 in")
        assert flat(at).startswith("PAST: 1.5100 in over the key is 0.0144 in too deep")

        await fill(
            at,
            key_height="",
            shaft="13/16 in",
            key="607",
            cutter="",
            depth_limits="",
            length="",
            measured="",
            from_end="1-1/2 in",
        )
        assert under(at, "Height")["1/2 shaft"] == "0.40625 in"
        assert under(at, "Along the shaft")["to middle"].startswith("1.5000 in")
        assert "edge datum" in under(at, "Feed in")

    at_joint(act)


def test_a_length_without_a_cutter_is_no_mistake_and_a_figure_that_cannot_be_is() -> None:
    async def act(at: Drive) -> None:
        await at.press("f3")
        await fill(at, length="1 in")
        assert not at.app.screen.query_one("#said").has_class("-wrong")
        await fill(at, cutter="1/2 in")
        assert "must not be wider than the keyseat" in flat(at)
        await fill(at, cutter="half")
        assert "!Cutter" in str(at.app.screen.query_one("#mill-form #labels").render())
        await at.press("f2")
        assert under(at, "Shaft")

    at_joint(act)


def test_the_lines_of_two_forms_are_one_column_to_the_keys_and_each_text_of_a_burst_lands_in_its_line() -> (
    None
):
    async def act(at: Drive) -> None:
        await at.press("f3")
        await at.burst("1", "space", "i", "n", "tab", "2", "space", "i", "n", "down", "3", "space", "m", "m")
        lines = [
            at.app.screen.query_one(f"#{name}", EntryLine).value for name in ("finder", "cutter", "from_end")
        ]
        assert lines == ["1 in", "2 in", "3 mm"]

        await at.press("f3", "up")
        assert at.app.focused is at.app.screen.query_one("#length")
        await at.press("tab", "tab")
        assert at.app.focused is at.app.screen.query_one("#cutter")
        await at.press("f2")
        assert not at.app.screen.query_one("#mill-form", FieldForm).display
        assert at.app.focused is at.app.screen.query_one("#shaft")

    at_joint(act)


def test_strength_says_first_that_it_is_no_release_and_then_the_length_which_a_woodruff_key_has_not() -> None:
    """300 N m on a 35 mm shaft, a 10 x 8 key of 360 MPa, factor 2: 19.0 mm by shear, 23.8 mm by bearing."""

    async def act(at: Drive) -> None:
        await fill(at, shaft="35 mm", key="")
        await at.press("f4")
        assert flat(at).startswith("Advisory only, never a release for use")
        assert "the safety factor that you choose" in flat(at)
        assert not at.app.screen.query_one("#said").has_class("-wrong")
        await fill(at, torque="300 N m", safety_factor="2", key_yield="360 MPa")
        assert flat(at).startswith("Advisory only, never a release for use")
        assert "Advisory only" in at.words("#safety")
        assert at.words("#headline") == "LENGTH NEEDED: 23.810 mm"
        await fill(at, length="20 mm")
        assert at.words("#headline") == "TOO SHORT: 23.810 mm is needed"
        await fill(at, straight="30 mm")
        assert at.words("#headline") == "LENGTH NEEDED: 23.810 mm"
        assert " weakest    key in bearing" in figures(at)
        assert under(at, "key in bearing")["needed"] == "23.810 mm"
        assert "Note: not checked, for no strength was given: shaft in bearing, hub in bearing" in flat(at)
        assert "1 remark with the figures" in at.words("#said")

        await fill(at, shaft="13/16 in", key="607", length="", straight="")
        assert "strength is reckoned for parallel keys" in flat(at)

    at_joint(act)


def test_the_screens_look_as_they_were_kept() -> None:
    async def small(at: Drive) -> None:
        assert_golden("joint_80x24", at.screen())
        await at.press("f3")
        await at.burst(*"1/2", "space", *"in", "down", *"3/8", "space", *"in")
        assert_golden("milling_80x24", at.screen())

    async def large(at: Drive) -> None:
        assert_golden("joint_140x45", at.screen())

    at_joint(small)
    at_joint(large, LARGE)
