"""Lending from the command line: one line and the right exit code."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from broachplan.errors import ExitCode
from tests.cli.conftest import Run
from tests.cli.validity import valid


@pytest.fixture
def crib(home: Path, filled: str, monkeypatch: pytest.MonkeyPatch) -> str:  # noqa: ARG001 - the crib lies there
    """A crib with one piece of each kind."""
    monkeypatch.setenv("BROACHPLAN_DB", filled)
    return filled


@pytest.mark.usefixtures("crib")
def test_a_piece_is_lent_and_comes_back_in_one_line_each(run_here: Run) -> None:
    lent = run_here("crib", "lend", "B-250", "--to", "Kim", "--job", "7", "--due", "2999-05-09")
    back = run_here("crib", "return", "B-250", "--condition", "unfit", "--note", "chipped", "--by", "Joe")

    assert (lent.returncode, lent.stdout) == (0, "B-250 lent to Kim, due 2999-05-09, job 7\n")
    assert (back.returncode, back.stdout) == (
        0,
        "B-250 is back from Kim, out of service; keep it apart, no plan uses it until it is fit; its home is drawer 4\n",
    )
    history = " ".join(run_here("crib", "show", "B-250").stdout.partition("History")[2].split())
    assert "returned from Kim by Joe condition “fit” -> “unfit” note: chipped" in history
    assert "lent to Kim, due 2999-05-09, job 7" in history
    valid(run_here("crib", "show", "B-250", "--json").stdout, "piece")


@pytest.mark.usefixtures("crib")
@pytest.mark.parametrize(
    ("arguments", "code", "message"),
    [
        (("lend", "G-1000", "--to", "Kim"), ExitCode.STATE, "G-1000 is worn; only a fit piece is lent"),
        (("return", "B-250", "--condition", "fit"), ExitCode.STATE, "B-250 is not out"),
        (("lend", "B-25", "--to", "Kim"), ExitCode.BAD_INPUT, "the nearest: B-250"),
        (("lend", "B-250", "--to", "\x1b[31m"), ExitCode.BAD_INPUT, "U+001B must not be in it"),
        (("lend", "B-250"), ExitCode.BAD_INPUT, "Missing option '--to'"),
        (("lend", "--to", "Kim"), ExitCode.BAD_INPUT, "name one piece by its tag, or a set"),
        (("lend", "B-250", "--set", "a", "--to", "Kim"), ExitCode.BAD_INPUT, "name one piece by its tag"),
        (("return", "B-250", "--condition", "good"), ExitCode.BAD_INPUT, "write fit, worn or unfit"),
        (("out", "--on", "May"), ExitCode.BAD_INPUT, "on: read “May”; write a day"),
    ],
)
def test_what_cannot_be_is_one_line_and_its_exit_code(
    run_here: Run, arguments: tuple[str, ...], code: ExitCode, message: str
) -> None:
    ran = run_here("crib", *arguments)

    assert (ran.returncode, ran.stdout) == (code, "")
    assert message in ran.stderr
    assert ran.stderr.count("\n") == 1


@pytest.mark.usefixtures("crib")
def test_what_is_out_is_listed_for_people_and_for_programs(run_here: Run) -> None:
    run_here("crib", "lend", "B-250", "--to", "Kim", "--due", "2999-05-09")

    late = run_here("crib", "out", "--on", "2999-05-10").stdout
    assert late.splitlines()[0].split() == ["late", "tag", "kind", "with", "since", "due"]
    assert late.splitlines()[1].startswith("  OVERDUE  B-250  broach  Kim   2")
    assert late.endswith("1 piece out, 1 OVERDUE\n")
    assert run_here("crib", "out", "--on", "2999-05-09").stdout.endswith("1 piece out\n")
    answer = valid(run_here("crib", "out", "--on", "2999-05-10", "--json").stdout, "out")
    assert [(piece["tag"], piece["overdue"]) for piece in answer["pieces"]] == [("B-250", True)]


@pytest.mark.usefixtures("crib")
def test_a_set_is_lent_whole_and_listed_with_what_it_lacks(run_here: Run) -> None:
    assert run_here("crib", "sets").stdout == (
        "  set       pieces  state\n  inch set       1  complete\n1 set, 1 complete\n"
    )

    assert (
        run_here("crib", "lend", "--set", "inch set", "--to", "Kim").stdout
        == "set inch set (B-250) lent to Kim\n"
    )

    assert "  inch set       1  LACKS 1: B-250 lent to Kim since " in run_here("crib", "sets").stdout
    (box,) = valid(run_here("crib", "sets", "--json").stdout, "sets")["sets"]
    assert (box["complete"], box["out"]) == (False, ["B-250"])
    assert run_here("crib", "return", "--set", "inch set", "--condition", "fit").returncode == 0
    assert run_here("crib", "sets").stdout.endswith("1 set, 1 complete\n")


@pytest.mark.usefixtures("crib")
def test_a_set_is_joined_held_listed_and_split_in_a_line_each(run_here: Run) -> None:
    def message(*arguments: str) -> str:
        return run_here("crib", *arguments).stdout

    assert message("join", "box Elm", "B-250", "G-1000") == "B-250, G-1000 put into set box Elm\n"
    held = message(
        "hold", "--set", "box Elm", "--for", "J-7", "--day", "2999-05-08", "--until", "2999-05-09", "--anyway"
    )
    assert held == "B-250, G-1000 held from 2999-05-08 to 2999-05-09 for J-7\n"
    listed = message("holds")
    assert "2999-05-08 to 2999-05-09  B-250   broach   J-7\n" in listed
    assert listed.endswith("2 holds, 0 for today\n")
    released = message("release", "G-1000", "--day", "2999-05-08")
    assert released == "G-1000 released on 2999-05-08, held for J-7 until now\n"
    assert [each["first"] for each in valid(message("holds", "--json"), "holds")["holds"]] == [
        "2999-05-08",
        "2999-05-09",
    ]
    assert message("split", "box Elm", "G-1000") == "G-1000 taken out of set box Elm\n"
    other = run_here("crib", "hold", "B-250", "--for", "J-8", "--day", "2999-05-08")
    assert (other.returncode, other.stderr) == (
        ExitCode.STATE,
        "broachplan: B-250 is held on 2999-05-08 for J-7\n",
    )


@pytest.mark.usefixtures("crib")
def test_cuts_an_inspection_a_regrind_and_what_is_due_are_put_into_words(run_here: Run) -> None:
    def message(*arguments: str) -> str:
        return " ".join(run_here("crib", *arguments).stdout.split())

    run_here("settings", "set", "regrind_cuts", "20")
    run_here("crib", "lend", "B-250", "--to", "Kim")
    cut = ("--hubs", "4", "--passes", "5", "--hub-length", "1 in")
    back = message("return", "B-250", "--condition", "fit", *cut)
    assert "due for a regrind: 20 cuts and no regrind on record, the shop's limit is 20" in back
    assert "DUE B-250 20 20.0000 in" in message("due")
    assert "due for a regrind: 20 cuts and no regrind on record" in message("due")
    assert valid(run_here("crib", "due", "--json").stdout, "due")["broaches"][0]["wear"]["cuts"] == 20
    assert message("inspect", "G-1000", "--condition", "fit") == "G-1000 was worn and is fit"
    half = run_here("crib", "book", "B-250", "--hubs", "4")
    assert (half.returncode, "give hubs, passes and hub length, all of them or none" in half.stderr) == (
        2,
        True,
    )
    assert "total 40 cuts, 40.0000 in" in message("book", "B-250", *cut)
    regrind = (
        "--first-tooth-height",
        "0.01 in",
        "--last-tooth-height",
        "0.02 in",
        "--root-height",
        "0.005 in",
    )
    reground = message("regrind", "B-250", *regrind, "--ground-off", "0.01 in", "--relief", "2 deg", "--sure")
    assert reground.startswith("B-250 reground: ")
    assert reground.endswith("by geometry: 0.0003 in each; the measured heights are what is kept")
    shown = message("show", "B-250")
    assert "cut total 40 cuts, 40.0000 in; 0 cuts, nothing since the regrind on" in shown
    assert valid(run_here("crib", "show", "B-250", "--json").stdout, "piece")["piece"]["wear"]["cuts"] == 40


@pytest.mark.usefixtures("crib")
def test_pieces_are_found_by_their_words_and_by_what_they_serve(run_here: Run) -> None:
    named = run_here("crib", "find", "b-250").stdout
    assert named.splitlines()[1].split() == [
        "B-250",
        "broach",
        "0.2505",
        "in,",
        "0.4500",
        "in",
        "high",
        "drawer",
        "4",
        "fit",
    ]
    assert named.endswith("1 piece found\n")
    found = json.loads(run_here("crib", "find", "drawer", "--json").stdout)
    assert found["schema"] == "broachplan.found/1"
    assert "B-250" in {piece["tag"] for piece in found["pieces"]}
    assert run_here("crib", "find", "cuts", "9 in").stdout == "0 pieces found\n"


@pytest.mark.usefixtures("crib")
def test_a_lent_piece_found_worn_still_shows_who_has_it(run_here: Run) -> None:
    run_here("crib", "lend", "B-250", "--to", "Kim")
    run_here("crib", "edit", "B-250", "--condition", "worn")

    for words in (("list", "--kind", "broach"), ("show", "B-250"), ("find", "b-250")):
        shown = " ".join(run_here("crib", *words).stdout.split())
        assert "lent to Kim since" in shown, words
        assert "worn" in shown, words


@pytest.mark.usefixtures("crib")
def test_a_due_day_may_be_counted_from_today(run_here: Run) -> None:
    lent = run_here("crib", "lend", "B-250", "--to", "Kim", "--due", "+7 days").stdout

    due = date.today() + timedelta(days=7)
    assert lent == f"B-250 lent to Kim, due {due}\n"


def test_a_day_is_written_alike_wherever_one_is_asked_for(run_here: Run) -> None:
    for words in (
        ("plan", "--bore", "1 in", "--hub-length", "1 in", "--on"),
        ("crib", "out", "--on"),
        ("crib", "lend", "B-250", "--to", "Kim", "--due"),
        ("crib", "hold", "B-250", "--for", "J-7", "--day"),
        ("crib", "stock", "--on"),
    ):
        for day in ("20311201", "2031-W49-1", "1.12.2031"):
            ran = run_here(*words, day)
            assert ran.returncode == ExitCode.BAD_INPUT, (words, day)
            assert "write a day such as 2031-05-28" in ran.stderr, (words, day)


def test_a_key_s_number_is_read_where_its_size_is(run_here: Run) -> None:
    by_size = run_here("key", "--shaft", "1 in", "--key", "808")

    assert by_size.returncode == ExitCode.DONE
    assert by_size.stdout == run_here("key", "--shaft", "1 in", "--number", "808").stdout


def test_a_shop_that_checks_out_and_in_reads_so_and_its_commands_stay(run_here: Run, filled: str) -> None:
    for name, value in (("word_lend", "check out"), ("word_return", "check in")):
        assert run_here("settings", "set", name, value, "--db", filled).returncode == 0
    assert (
        run_here("crib", "lend", "B-250", "--to", "Kim", "--db", filled).stdout
        == "B-250 checked out to Kim\n"
    )
    assert "checked out to Kim since" in run_here("crib", "list", "--db", filled).stdout
    assert "checked out to Kim since" in run_here("crib", "show", "B-250", "--db", filled).stdout
    back = run_here("crib", "return", "B-250", "--condition", "fit", "--db", filled).stdout
    assert back.startswith("B-250 is checked in from Kim, fit")
    wrong = run_here("settings", "set", "word_lend", "give", "--db", filled)
    assert wrong.stderr.startswith(
        "broachplan: word_lend: read “give”; write lend, check out, sign out, book out or issue"
    )


@pytest.mark.usefixtures("crib")
def test_what_one_person_has_and_what_is_overdue_are_read_under_names_however_typed(
    run_here: Run, tmp_path: Path
) -> None:
    for tag, to, due in (
        ("B-250", "Kim B.", "2999-05-03"),
        ("S-1", "kim b.", "2999-05-02"),
        ("R-1", "Ann", "2999-06-01"),
    ):
        run_here("crib", "lend", tag, "--to", to, "--due", due)

    hers = run_here("crib", "out", "--to", "KIM B.").stdout
    assert "R-1" not in hers
    assert hers.endswith("2 pieces out\n")
    late = run_here("crib", "overdue", "--on", "2999-05-10", "--file", str(tmp_path / "late.pdf"))
    assert late.returncode == 0
    assert late.stdout.startswith("Overdue on 2999-05-10: 2 pieces with 1 person\n")
    assert all(word in late.stdout for word in ("B-250", "S-1", "2999-05-03", "1 page in "))
    assert "Ann" not in late.stdout
    assert (tmp_path / "late.pdf").read_bytes().startswith(b"%PDF")
    assert run_here("crib", "overdue", "--on", "2999-05-01").stdout == "Overdue on 2999-05-01: 0 pieces\n"
