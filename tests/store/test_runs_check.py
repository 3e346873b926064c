"""The check folds every run again: what its rows say of it, its loans and its wear must follow from the steps."""

from __future__ import annotations

import re

import pytest

from broachplan.store.check import check
from tests.databases import execute
from tests.desks.machinist.runs.press import begin, crib, pushed

TAMPERED = {
    "UPDATE run SET state = 'stopped', why = 'past'": "its state is kept as stopped, and its steps lead to running",
    "UPDATE run SET state = 'done'": "its state is kept as done, and its steps lead to running",
    "UPDATE run SET state = 'stopped', parked = 1": "its parking is kept as 1, and its steps lead to nothing",
    "UPDATE run SET letters = 'AAAA'": "its code is kept as AAAA, and its steps lead to",
    "UPDATE run_piece SET with_run = 0 WHERE id = 1": "K is in use by the steps, and not kept so",
    "UPDATE run_piece SET loan_id = NULL WHERE id = 1": "K is in use and has no open loan",
    "UPDATE loan SET returned = since WHERE id = (SELECT loan_id FROM run_piece WHERE id = 1)": "K is in use and has no open loan",
    "UPDATE broach SET root_height = root_height + 1": "K is in use with another root height than the crib has",
    "UPDATE run_step SET step = 9 WHERE step = 3": "step 9 comes after step 2",
    "UPDATE run_step SET act = 'part_way' WHERE step = 3": "its state is kept as running, and its steps lead to stopped",
    "UPDATE run_step SET pass_number = 3 WHERE step = 3": "step 3: pass 3 of load 1 is not due",
    "UPDATE run_step SET hubs = '[1,2]' WHERE step = 3": "step 3: hubs .1, 2. are not those of load 1 in work",
    "UPDATE run_step SET plain = plain + 1 WHERE step = 3": "step 3: its plain reading does not follow from its pieces",
    "UPDATE run_step SET shims = '[]' WHERE step = 3": "step 3: its plain reading does not follow from its pieces",
    "UPDATE run_piece SET figures = '{}' WHERE id = 1": "a run that cannot be, 1: broach K: not measured",
    "UPDATE run_step SET shims = '[\"Z\"]' WHERE step = 3": "step 3: Z is no piece of the run",
    "UPDATE run_step SET new_hubs = '[]' WHERE step = 1": "a list where names were to be",
    "UPDATE run_step SET new_hubs = '{}' WHERE step = 1": "a run that cannot be, 1: 'press'",
    'UPDATE run SET question = \'{"bore":"1"}\'': "a run that cannot be, 1:",
    'UPDATE run SET question = \'{"bore":"1 in","hub_length":"1 in","colour":"red"}\'': "a run that cannot be, 1:",
    'UPDATE run SET settings = \'{"units":"furlong"}\'': "a run that cannot be, 1: units",
    "UPDATE run_piece SET figures = '{\"colour\":1}' WHERE id = 1": "K has no colour",
    "UPDATE run_piece SET figures = '[1' WHERE id = 1": "a run that cannot be, 1:",
    'UPDATE entry SET changes = \'{"cuts":[1,3],"cut_length":[17000000,51000000]}\' WHERE substr(changes, 1, 13) = \'{"cuts":[1,2]\'': "step 3 makes 1 cuts with K, and what was booked is 2 on K",
}


@pytest.mark.parametrize("sql", TAMPERED)
def test_what_does_not_follow_from_the_steps_is_found(db: str, sql: str) -> None:
    begin(crib(db))
    pushed(db)
    pushed(db)
    assert check(db) == ()

    execute(db, sql)

    findings = [line for line in check(db) if line.startswith("run: ")]
    assert any(re.search(TAMPERED[sql], line) for line in findings), check(db)


def test_a_run_without_its_pieces_is_found(db: str) -> None:
    begin(crib(db))

    execute(db, "DELETE FROM run_piece WHERE piece_id = (SELECT id FROM piece WHERE tag = 'G')")

    assert "run: run 1: G is in its plan and not among its pieces" in check(db)
