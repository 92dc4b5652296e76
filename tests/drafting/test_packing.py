"""Packing: in the room, apart, all of them, in few rooms."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drafting.packing import ORDERS, Packed, TooLargeError, pack, rooms

ROOM = (600.0, 300.0)
SIZES = st.lists(st.tuples(st.floats(5.0, 280.0), st.floats(5.0, 280.0)), min_size=1, max_size=25)


def boxes(
    laid: Sequence[Packed], sizes: list[tuple[float, float]]
) -> list[tuple[int, float, float, float, float]]:
    found = []
    for one in laid:
        w, h = sizes[one.box][::-1] if one.turned else sizes[one.box]
        found.append((one.room, one.left, one.bottom, one.left + w, one.bottom + h))
    return found


@given(SIZES)
def test_every_box_is_packed_once_in_the_room_and_apart(sizes: list[tuple[float, float]]) -> None:
    laid = pack(sizes, ROOM, 8.0)
    assert sorted(one.box for one in laid) == list(range(len(sizes)))
    for _, left, bottom, right, top in boxes(laid, sizes):
        assert left >= 0.0
        assert bottom >= 0.0
        assert right <= ROOM[0] + 1e-6
        assert top <= ROOM[1] + 1e-6
    for a, b in combinations(boxes(laid, sizes), 2):
        if a[0] == b[0]:
            away = max(b[1] - a[3], a[1] - b[3], b[2] - a[4], a[2] - b[4])
            assert away >= 8.0 - 1e-6


def test_two_halves_fill_one_room() -> None:
    laid = pack([(296.0, 300.0)] * 2, ROOM, 8.0)
    assert {one.room for one in laid} == {0}


def test_a_box_is_turned_where_only_that_fits() -> None:
    (one,) = pack([(250.0, 500.0)], ROOM, 8.0)
    assert one.turned


def test_what_is_too_large_is_refused() -> None:
    with pytest.raises(TooLargeError, match="a box of 301 x 601 is larger than 600 x 300") as raised:
        pack([(300.0, 600.0), (301.0, 601.0)], ROOM, 8.0)
    assert raised.value.box == 1


def test_nothing_fills_no_room() -> None:
    assert rooms(pack([], ROOM, 8.0)) == 0


def test_another_order_is_tried_where_it_saves_a_room() -> None:
    """Longest first spreads these over two rooms (found by search); all of them go into one."""
    sizes = [(130.0, 150.0), (140.0, 140.0), (320.0, 130.0), (80.0, 210.0), (220.0, 250.0)]
    assert rooms(pack(sizes, ROOM, 0.0, ORDERS[:1])) == 2
    assert rooms(pack(sizes, ROOM, 0.0)) == 1
