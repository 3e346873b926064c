"""Sessions of random keys in bursts: whatever is typed, the screens hold and so does the crib."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.monkey import Session, bound_keys, play, session, shrunk
from tui.screens.help import documented

SEEDS = [1, 6, 7]


@pytest.fixture
def ground(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the session's crib lies, and whatever the screens write under a name alone."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def assert_harmless(seed: int, bursts: int, ground: Path) -> None:
    """Play the session of a seed; one that fails is reported with the fewest keys that still fail."""
    at = session(seed, bursts)
    fault = play(at, ground)
    if fault:
        least = shrunk(at, lambda fewer: bool(play(fewer, ground)))
        pytest.fail(f"session {seed}: {fault}\nits keys: {at}\nthe fewest that still do it: {least}")


@pytest.mark.parametrize("seed", SEEDS)
def test_keys_in_any_order_end_no_session_and_spoil_no_crib(seed: int, ground: Path) -> None:
    assert_harmless(seed, 5, ground)


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(1_000, 1_200))
def test_keys_in_any_order_end_no_session_and_spoil_no_crib_all_night(seed: int, ground: Path) -> None:
    assert_harmless(seed, 14, ground)


def test_the_monkey_knows_every_key_that_is_bound_but_the_way_out() -> None:
    bound = {key for _, keys in documented() for binding in keys for key in binding.key.split(",")}

    assert bound - set(bound_keys()) == {"ctrl+q"}
    assert session(1, 8) == session(1, 8) != session(2, 8)


def test_a_session_that_fails_is_reported_by_the_keys_that_make_it_fail() -> None:
    at = Session((80, 24), (("f1", "f2"), ("f8", "=B-250", "enter"), ("tab",), ("f3", "~")))

    least = shrunk(at, lambda fewer: any("enter" in burst for burst in fewer.bursts))

    assert least == Session((80, 24), (("enter",),))
