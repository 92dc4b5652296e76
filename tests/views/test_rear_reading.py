"""No rear end on tiles can be misread: the demos on A4, odd frames on letter."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from odd_frames import ODD
from reading import ON_TARGET, Misreadings, misreadings

from layout.frame.solve import Frame, solve
from layout.sheets.compose import SheetArrangement
from layout.sheets.media import medium
from layout.sheets.tiles.lay import tile_arrangement
from layout.spec.load import loads
from layout.views.rear.sheet import draft_rear

DEMOS = sorted(p.stem for p in (Path(__file__).parents[2] / "specs").glob("*.yaml"))
CASES = [*((name, "a4") for name in DEMOS), *((name, "letter") for name in list(ODD)[::3])]


@pytest.fixture(params=CASES, ids="-".join, scope="module")
def found(request: pytest.FixtureRequest, frame_named: Callable[[str], Frame]) -> Misreadings:
    name, paper = request.param
    frame = solve(loads(ODD[name].text, f"{name}.yaml")) if name in ODD else frame_named(name)
    rear = draft_rear(frame)
    tiling = tile_arrangement(SheetArrangement(rear.view, rear.panels), medium(paper))
    return misreadings(tiling.composition.drawing, tiling.grid.seams())


def test_lines_of_one_part_run_through_no_words_of_another(found: Misreadings) -> None:
    """Parts were placed one by one: a seat stay's dimension ran through a chain stay's name."""
    assert found.crossed == ()


def test_leaders_pass_the_tips_of_others_by(found: Misreadings) -> None:
    """A stay's leader ran over the ring that "drive side" ended in."""
    assert found.leaders_cross == 0
    assert max(found.tips) <= ON_TARGET


def test_no_words_arrows_or_crosses_lie_by_a_seam(found: Misreadings) -> None:
    assert found.on_seam == () and found.nearer == ()
