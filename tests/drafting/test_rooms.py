"""Where words, crosses and lines' ends may lie on pages that join."""

from __future__ import annotations

import math

import numpy as np
import pytest

from layout.drafting.rect import Rect
from layout.drafting.rooms import Rooms

LOWER, UPPER = Rect(0.0, 0.0, 100.0, 80.0), Rect(10.0, 90.0, 110.0, 200.0)
ROOMS = Rooms((LOWER.grown(5.0), UPPER.grown(5.0)), (LOWER, UPPER))


def test_a_part_of_a_drawing_is_lettered_between_its_own_levels_only():
    """A page below a part, or one that only touches its level, offered room for the part's words."""
    between = ROOMS.between(20.0, 90.0)
    assert between.words == (Rect(0.0, 20.0, 100.0, 80.0),)
    assert between.pages == (Rect(-5.0, 20.0, 105.0, 85.0), Rect(5.0, 85.0, 115.0, 90.0))
    assert ROOMS.between(95.0, math.inf).words == (Rect(10.0, 95.0, 110.0, 200.0),)
    assert ROOMS.between(-math.inf, 80.0).words == (LOWER,)
    assert ROOMS.between(80.0, 90.0).words == ()


def test_a_part_that_will_be_moved_sees_the_rooms_where_it_will_stand():
    """What lies in a room after it is moved back lies in the moved room before."""
    moved = ROOMS.moved(-30.0, 7.0)
    assert moved.words == (Rect(-30.0, 7.0, 70.0, 87.0), Rect(-20.0, 97.0, 80.0, 207.0))
    assert moved.pages == (Rect(-35.0, 2.0, 75.0, 92.0), Rect(-25.0, 92.0, 85.0, 212.0))


@pytest.mark.parametrize(
    ("box", "whole"),
    [
        (Rect(0.0, 0.0, 100.0, 80.0), True),
        (Rect(20.0, 20.0, 30.0, 30.0), True),
        (Rect(-0.1, 20.0, 30.0, 30.0), False),
        (Rect(20.0, -0.1, 30.0, 30.0), False),
        (Rect(20.0, 20.0, 100.1, 30.0), False),
        (Rect(20.0, 20.0, 30.0, 80.1), False),
        (Rect(20.0, 70.0, 30.0, 100.0), False),
        (Rect(101.0, 100.0, 110.0, 200.0), True),
    ],
)
def test_words_that_reach_out_of_a_room_on_one_side_are_not_held(box: Rect, whole: bool):
    """On a page as a whole: not half on each of two. One box and many at once are told alike."""
    reach = np.array([[box.right], [box.top], [-box.left], [-box.bottom]])
    assert ROOMS.hold(reach).tolist() == [whole]
    assert ROOMS.whole(box) is whole


def test_a_lines_end_is_on_a_page_where_a_crosss_centre_is_not_clear_of_its_edge():
    """A line may end in the overlap, where a cross would be cut through."""
    points = [(50.0, 40.0), (-4.0, 40.0), (-6.0, 40.0), (50.0, 84.0), (50.0, 204.0), (112.0, 50.0)]
    assert ROOMS.show(np.array(points)).tolist() == [True, True, False, True, True, False]
    assert [ROOMS.clear(at) for at in points] == [True, False, False, False, False, False]


def test_without_pages_nothing_is_held():
    """As where no page is left between two levels: no word is put where nothing is printed."""
    none = Rooms((), ())
    assert not none.hold(np.zeros((4, 1))).any()
    assert not none.show(np.zeros((1, 2))).any()
