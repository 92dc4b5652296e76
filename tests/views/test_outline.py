"""Mitre shadows: every point lies on both surfaces, by substitution; covers by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drafting.vector import along, distance
from layout.views.outline import STEP, Bar, Disc, Post, covered, end_curve, outline


def off_axis(p: tuple[float, float], at: tuple[float, float], axis: float) -> float:
    u = (math.cos(math.radians(axis)), math.sin(math.radians(axis)))
    return (p[0] - at[0]) * u[1] - (p[1] - at[1]) * u[0]


@given(
    angle=st.floats(35, 145),
    r=st.floats(8, 20),
    more=st.floats(0.0, 12.0),
    heading=st.floats(-180, 180),
)
def test_a_shadow_lies_on_both_tubes(angle: float, r: float, more: float, heading: float):
    main = r + more
    start = along((0.0, 0.0), heading, -400.0)
    bar = Bar("branch", start, (0.0, 0.0), r, r, (), (Post((0.0, 0.0), main, heading + angle),))
    for k, (at, post) in enumerate(end_curve(bar)):
        z = r * math.sin(math.radians(STEP * k))
        assert post == 0
        assert abs(off_axis(at, start, heading)) == pytest.approx(
            abs(r * math.cos(math.radians(STEP * k))), abs=1e-9
        )
        assert math.hypot(off_axis(at, (0.0, 0.0), heading + angle), z) == pytest.approx(main, abs=1e-9)
        assert distance(at, start) < 400.0 + 3 * main


def test_square_tubes_of_equal_size_meet_in_straight_lines():
    """Equal radii at 90 degrees give the mitre of sheet-metal handbooks: two lines at 45 degrees."""
    bar = Bar("branch", (-300.0, 0.0), (0.0, 0.0), 15.0, 15.0, (), (Post((0.0, 0.0), 15.0, 90.0),))
    for (x, y), _ in end_curve(bar):
        assert x == pytest.approx(-abs(y), abs=1e-9)


def test_a_cone_is_cut_where_its_own_radius_meets_the_shell():
    bar = Bar("stay", (-400.0, 0.0), (0.0, 0.0), 7.0, 11.0, (), (Post((0.0, 0.0), 20.0),))
    for k, (at, _) in enumerate(end_curve(bar)):
        assert math.hypot(*at) == pytest.approx(20.0, abs=1e-6)
        r = bar.radius_at(at[0] + 400.0)
        assert at[1] == pytest.approx(r * math.cos(math.radians(STEP * k)), abs=1e-6)


def test_of_two_posts_the_first_met_cuts():
    near, far = Post((-50.0, 0.0), 10.0, 90.0), Post((0.0, 0.0), 10.0, 90.0)
    bar = Bar("tube", (-300.0, 0.0), (0.0, 0.0), 5.0, 5.0, (), (far, near))
    assert {post for _, post in end_curve(bar)} == {1}


def test_an_end_without_posts_is_square():
    bar = Bar("tube", (0.0, 0.0), (100.0, 0.0), 10.0, 10.0)
    assert {round(x, 9) for (x, _), _ in end_curve(bar)} == {100.0}
    assert len(outline(bar)) == 4


@pytest.mark.parametrize(
    ("at", "direction", "reach"),
    [
        ((0.0, 0.0), 0.0, 100.0),
        ((0.0, 0.0), 180.0, 20.0),
        ((0.0, 0.0), 90.0, 20.0),
        ((50.0, 0.0), 90.0, 10.0),
        ((50.0, 30.0), 90.0, 0.0),
        ((200.0, 0.0), 180.0, 0.0),
    ],
)
def test_cover_is_measured_through_parts_that_touch(at, direction, reach):
    parts = [Bar("tube", (0.0, 0.0), (100.0, 0.0), 10.0, 10.0), Disc((0.0, 0.0), 20.0)]
    assert covered(at, direction, parts) == pytest.approx(reach, abs=1e-9)
