"""A job as it is typed: each cell that is wrong is named, and what is right reads back as the same."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from broachplan.questions.hub import JOB_COLUMNS
from broachplan.questions.jobs import COLUMNS
from broachplan.questions.read_job import WrongJob, read_job, texts_of

SEED = Path(__file__).parents[2] / "seed_inventory" / "jobs.csv"
RIGHT = {"due": "2031-05-28", "quantity": "4", "bore": "1 in +0.001 -0", "hub_length": "1-1/8 in"}
with SEED.open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))


def test_the_columns_of_a_list_are_those_of_the_demo_and_the_two_that_it_leaves_out() -> None:
    assert set(COLUMNS) == {*ROWS[0], "press_by", "after"}
    assert {*JOB_COLUMNS, "press"} < set(COLUMNS)


def test_every_job_of_the_demo_is_a_job_and_reads_back_as_the_same() -> None:
    for row in ROWS:
        job = read_job(row["number"], {name: text for name, text in row.items() if name != "number"})

        assert read_job(job.number, texts_of(job)) == job
        assert {name: text for name in JOB_COLUMNS if (text := row[name])}.items() <= job.question.items()


def test_what_is_left_empty_has_its_usual_value() -> None:
    job = read_job("J-1", RIGHT)

    assert (job.days, job.priority, job.press, job.press_by, job.after) == (1, 5, "", None, "")


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("due", "28.5.2031", "read “28.5.2031”; write a day such as 2031-05-28"),
        ("due", "", "nothing was written; write a day such as 2031-05-28"),
        ("quantity", "100,001", "read “100,001”; write a whole number from 1 to 100,000"),
        ("quantity", "", "nothing was written; write a whole number from 1 to 100,000"),
        ("days", "0", "read “0”; write a whole number from 1 to 60"),
        ("priority", "ten", "read “ten”; write a whole number from 1 to 9"),
        ("bore", "1", "read “1” without a unit"),
        ("hub_length", "", "nothing was written; write the length of the hub"),
        ("fit", "loose", "read “loose”; write 1, 2, close, normal or free"),
        ("press_by", "2031-05-29", "2031-05-29, which is after 2031-05-28, its due day"),
        ("note", "n" * 201, "at most 200 characters"),
        ("after", "J-1", "a job cannot follow itself"),
    ],
)
def test_a_cell_that_is_wrong_is_named_with_what_was_read(name: str, text: str, said: str) -> None:
    with pytest.raises(WrongJob, match=r"\w") as raised:
        read_job("J-1", {**RIGHT, name: text})

    assert list(raised.value.wrong) == [name]
    assert said in raised.value.wrong[name]


def test_all_cells_that_are_wrong_are_named_at_once() -> None:
    with pytest.raises(WrongJob, match="due") as raised:
        read_job("", {**RIGHT, "due": "soon", "days": "99", "note": "\x07"})

    assert set(raised.value.wrong) == {"number", "due", "days", "note"}
