"""Two frames over each other: true scale, dashed and drawn, differences, nothing overlaps."""

from __future__ import annotations

from functools import partial
from itertools import permutations
from pathlib import Path

import pytest
from crowding import overlaps, stroke
from reading import near_seams
from shapely.geometry import Point as Spot

from layout.drafting.bounds import bounds
from layout.drafting.entities import Circle, Line, Polyline, Text, pen_of
from layout.drafting.style import Layer, Pattern
from layout.drafting.view import View
from layout.frame.solve import Frame, solve
from layout.sheets.compose import SheetArrangement
from layout.sheets.forms import form_room
from layout.sheets.media import medium
from layout.sheets.tiles.lay import tile_arrangement
from layout.spec.load import load
from layout.views.compare import FIRST, differences, overlay, overlay_tables, panels, table_pages

SPECS = Path(__file__).parents[2] / "specs"
NAMES = [p.stem for p in sorted(SPECS.glob("*.yaml"))]
PAIRS = [*permutations(NAMES[:3], 2), ("tourer", "track"), ("track", "tourer")]


@pytest.fixture(scope="module")
def frames() -> dict[str, Frame]:
    return {n: solve(load(SPECS / f"{n}.yaml")) for n in NAMES}


def laid(first: Frame, second: Frame) -> View:
    """Both over each other, their tubes known by their sizes."""
    return overlay(first, second)


@pytest.mark.parametrize(("a", "b"), PAIRS)
def test_nothing_overlaps(frames: dict[str, Frame], a: str, b: str) -> None:
    first, second = frames[a], frames[b]
    arrangement = SheetArrangement(laid(first, second), panels(first, second, (a, b)))
    assert overlaps(arrangement.composed(None, None).drawing) == []
    assert overlaps(arrangement.composed(*arrangement.least_size).drawing) == []


@pytest.mark.parametrize(("a", "b"), PAIRS)
def test_both_lie_at_true_scale_on_one_bb_heading_as_the_second(
    frames: dict[str, Frame], a: str, b: str
) -> None:
    first, second = frames[a], frames[b]
    at = laid(first, second).core.points()
    forward = -1.0 if second.heading == "left" else 1.0
    for prefix, frame in ((FIRST, first), ("", second)):
        assert at[f"{prefix}bb"] == (0.0, 0.0)
        for name in ("rear_axle", "front_axle", "head_tube_top", "seat_tube_top", "top_tube_at_head"):
            x, y = frame.plane.points[name]
            assert at[prefix + name] == pytest.approx((forward * x, y), abs=1e-9)


def test_the_first_is_dashed_and_the_second_drawn(frames: dict[str, Frame]) -> None:
    view = laid(frames["tourer"], frames["all-road"])
    tubes = [e for e in view.core if isinstance(e, Line | Polyline | Circle)]
    dashed = [e for e in tubes if e.layer is Layer.HIDDEN]
    drawn = [e for e in tubes if e.layer is Layer.OUTLINE]
    assert len(dashed) > 10 and len(drawn) > 10
    assert {pen_of(e).pattern for e in dashed} == {Pattern.DASHED}
    assert {pen_of(e).pattern for e in drawn} == {Pattern.CONTINUOUS}
    # Each seat tube's edge passes its own top end's circle: dashed ones belong to the first frame.
    x, y = frames["tourer"].plane.points["seat_tube_top"]
    radius = frames["tourer"].plane.sizes["seat_tube"].second / 2
    edges = [Spot(x, y).distance(stroke(e)) for e in dashed if isinstance(e, Polyline)]
    assert any(d == pytest.approx(radius) for d in edges)


def test_notes_say_how_far_the_second_lies_from_the_first(frames: dict[str, Frame]) -> None:
    old, new = frames["tourer"], frames["all-road"]
    said = [e.text for e in laid(old, new).core if isinstance(e, Text)]
    dx = new.plane.points["head_tube_top"][0] - old.plane.points["head_tube_top"][0]
    dy = new.plane.points["head_tube_top"][1] - old.plane.points["head_tube_top"][1]
    assert f"head tube top: {dx:+.1f} ahead, {dy:+.1f} up" in said
    assert "saddle of the second" in said
    # Heading left, ahead is still ahead.
    left = [e.text for e in laid(new, frames["track"]).core if isinstance(e, Text)]
    ahead = frames["track"].plane.points["front_axle"][0] - new.plane.points["front_axle"][0]
    assert any(t.startswith(f"front axle: {ahead:+.1f} ahead") for t in left)


def test_a_frame_against_itself_is_the_same(frames: dict[str, Frame]) -> None:
    frame = frames["hardtail"]
    said = [e.text for e in laid(frame, frame).core if isinstance(e, Text)]
    assert "head tube top: the same" in said
    assert all(d.cells[2] == "" for d in differences(frame, frame))


def test_differences_are_second_less_first_where_both_are_known(frames: dict[str, Frame]) -> None:
    found = {d.name: d for d in differences(frames["tourer"], frames["all-road"])}
    assert found["rear_centre"].cells == ("450.0", "430.0", "-20.0")
    assert found["seat_angle"].unit == "deg"
    assert found["head_angle"].cells == ("71.50", "71.50", "")
    assert (found["bar_x"].first, found["bar_x"].difference) == (None, None)
    assert found["bar_x"].cells[0] == found["bar_x"].cells[2] == ""


@pytest.mark.parametrize(("a", "b"), PAIRS[:2])
def test_the_tables_pages_hold_every_row(frames: dict[str, Frame], a: str, b: str) -> None:
    width, height = form_room(medium("a4"))
    found = differences(frames[a], frames[b])
    made = table_pages(frames[a], frames[b], (a, b), width, height)
    for page in made:
        box = bounds(page)
        assert box is not None
        assert (box.left, box.right) == pytest.approx((0.0, width))
        assert 0.0 <= box.bottom and box.top == pytest.approx(height)
        assert overlaps(page) == []
    words = [e for page in made for e in page if isinstance(e, Text) and e.at[1] < height - 16.0]
    rows = [e for e in words if e.height == 3.5]
    assert len(rows) == sum(1 + sum(1 for c in d.cells if c) for d in found)


def test_on_tiles_the_overlay_shows_both_frames_and_its_notes_keep_off_seams(frames):
    """It went on a roll alone."""
    first, second = frames["tourer"], frames["all-road"]
    arrangement = SheetArrangement(
        overlay(first, second), {}, tables=partial(overlay_tables, first, second, ("tourer", "all-road"))
    )
    tiling = tile_arrangement(arrangement, medium("a4"))
    drawing = tiling.composition.drawing
    assert list(near_seams(drawing, tiling.grid.seams())) == []
    assert {"bb", "first_bb", "rear_axle", "first_rear_axle", "head_tube_top"} <= drawing.points().keys()
    pages = arrangement.table_pages(190.0, 277.0, tiling.composition.lost)
    said = {e.text for page in pages for e in page if isinstance(e, Text)}
    assert {"wheelbase", "owner", "Cautions"} <= said


def test_no_wheel_of_the_overlay_is_heavier_than_another(frames):
    """The first frame's were drawn 0.35 wide, over the second's of 0.25."""
    view = overlay(frames["tourer"], frames["all-road"])
    wheels = [e for group in view.surroundings for e in group if e.layer is Layer.WHEEL]
    assert len(wheels) >= 8
    assert {pen_of(e).width for e in wheels} == {0.25}


def test_on_tiles_a_bar_by_a_seam_has_no_cross(frames):
    """Its cross lay two millimetres from a seam."""
    first, second = frames["hardtail"], frames["small-650b"]
    view = overlay(first, second)
    arrangement = SheetArrangement(view, panels(first, second, ("hardtail", "small-650b")))
    tiling = tile_arrangement(arrangement, medium("a4"))
    drawing = tiling.composition.drawing
    assert "first_bar" in view.core.points() and "first_bar" not in drawing.points()
    assert list(near_seams(drawing, tiling.grid.seams())) == []
