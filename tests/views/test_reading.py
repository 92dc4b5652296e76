"""No drawing can be misread: on the roll and on A4 tiles, for the demos and a tenth of the generated frames.

`pytest tests/views/test_reading.py --all-frames` measures all fifty.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from reading import Misreadings, misreadings

from layout.drafting.entities import Text
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.pipeline.draft import Draft, draft
from layout.sheets.compose import SheetArrangement
from layout.sheets.media import medium
from layout.sheets.tiles.lay import Tiling, tile_arrangement
from layout.views.side.view import AT_HEAD

FIRST, TENTH = 4, 10
MOST_TAPED = 18
FAR = 80.0
LONG = 40.0


DEMOS = sorted(p.stem for p in (Path(__file__).parent.parent.parent / "specs").glob("*.yaml"))
Names = Callable[[str], Frame]


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "name" in metafunc.fixturenames:
        step = 1 if metafunc.config.getoption("--all-frames") else TENTH
        names = [*DEMOS, *(f"generated-{k}" for k in range(FIRST, 50, step))]
        metafunc.parametrize("name", names, scope="module")


@dataclass(frozen=True)
class Read:
    """A frame's sheets and what could be misread on them."""

    draft: Draft
    roll: Misreadings
    tiling: Tiling
    tiles: Misreadings


def read_sheets(frame: Frame) -> Read:
    drafted = draft(frame, "frame.yaml")
    tiling = tile_arrangement(drafted.arrangement, medium("a4"))
    roll = SheetArrangement(drafted.view.view, {}).composed(None, None).drawing
    tiles = misreadings(tiling.composition.drawing, tiling.grid.seams())
    return Read(drafted, misreadings(roll), tiling, tiles)


@pytest.fixture(scope="module")
def sheets(name: str, frame_named: Names) -> Read:
    return read_sheets(frame_named(name))


def test_nothing_that_is_read_or_scribed_lies_near_a_seam(sheets: Read) -> None:
    assert list(sheets.tiling.grid.seams())
    assert sheets.tiles.on_seam == ()


def test_no_line_runs_through_words_or_digits(sheets: Read) -> None:
    assert sheets.roll.crossed == ()
    assert sheets.tiles.crossed == ()


def test_leaders_never_cross_and_are_short_enough_to_follow(sheets: Read) -> None:
    for found in (sheets.roll, sheets.tiles):
        assert found.leaders
        assert found.leaders_cross == 0
        assert max(found.leaders) < FAR + 5.0


def test_no_words_are_nearer_another_dimensions_line_than_their_own(sheets: Read) -> None:
    assert sheets.roll.nearer == () and sheets.tiles.nearer == ()


def test_leaders_end_on_what_they_name_and_are_short_on_a_roll(sheets: Read) -> None:
    for found in (sheets.roll, sheets.tiles):
        assert max(found.tips) <= 0.5
    assert sum(length > LONG for length in sheets.roll.leaders) <= 0.03 * len(sheets.roll.leaders)


def test_names_along_the_head_tube_stand_in_their_points_order(sheets: Read) -> None:
    """They stood about the head tube as each found room, and their leaders fanned out."""
    core = sheets.draft.view.view.core
    at = {words(name): place for name, place in core.points().items() if name in AT_HEAD}
    texts = [e for e in core if isinstance(e, Text) and e.text in at]
    named = sorted((at[e.text][1], e.at[1], e.at[1] - at[e.text][1]) for e in texts)
    assert len(named) >= 3
    assert [y for _, y, _ in named] == sorted(y for _, y, _ in named)
    assert max(step for *_, step in named) - min(step for *_, step in named) < 1e-6


def test_what_found_no_place_is_in_the_tables_by_name(sheets: Read) -> None:
    lost = sheets.tiling.composition.lost
    pages = sheets.draft.arrangement.table_pages(190.0, 277.0, lost)
    said = " ".join(getattr(e, "text", "") for page in pages for e in page)
    assert all(word in said for each in lost for word in each.split())


def test_an_all_road_frame_takes_at_most_eighteen_pages_to_tape(frame_named: Names) -> None:
    assert len(read_sheets(frame_named("all-road")).tiling.grid.kept) <= MOST_TAPED
