"""A nanometre beyond the widths shown, no slot and no broach serves the hub."""

from __future__ import annotations

import pytest

from broachplan.tooling.figures import Kind
from tests.planner.setups import NM, SetUp
from tests.planner.test_make import EVEN_STEPS, NO_BUSHING, made, with_pieces


@pytest.mark.parametrize(
    ("blocked", "kind", "figure"),
    [
        (NO_BUSHING, Kind.BUSHING, "slot_width"),
        (EVEN_STEPS, Kind.BROACH, "keyway_width"),
        (EVEN_STEPS, Kind.BROACH, "body_width"),
    ],
)
def test_a_width_a_nanometre_beyond_the_limits_shown_does_not_ready_the_hub(
    blocked: SetUp, kind: Kind, figure: str
) -> None:
    make = next(make for make in blocked.answer().make if make.kind is kind)
    low, high = make.limits[figure]
    beyond = (high + NM,) if figure == "body_width" else (low - NM, high + NM)

    for size in beyond:
        answer = with_pieces(blocked, [made(make, 0, **{figure: size})]).answer()
        assert not answer.ready, size.nm
