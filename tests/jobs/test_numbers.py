"""The number that is offered for one more job."""

from __future__ import annotations

import pytest

from broachplan.jobs.numbers import next_number


@pytest.mark.parametrize(
    ("numbers", "after"),
    [
        (("J-701", "J-730", "J-712"), "J-731"),
        (("J-099",), "J-100"),
        (("J-009", "J-010", "Smith's hub", "4711"), "J-011"),
        (("7031",), "7032"),
        (("Smith's hub",), ""),
        ((), ""),
        (("J-999999999",), "J-1000000000"),
    ],
)
def test_one_more_job_gets_the_number_after_the_highest_of_the_usual_sort(
    numbers: tuple[str, ...], after: str
) -> None:
    assert next_number(numbers) == after
