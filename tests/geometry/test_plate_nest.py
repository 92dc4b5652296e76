"""Nesting: on the sheet, apart, all of them."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.geometry.plates.nest import Laid, nested

ROOM = (600.0, 300.0)
SIZES = st.lists(st.tuples(st.floats(5.0, 280.0), st.floats(5.0, 280.0)), min_size=1, max_size=25)


def boxes(laid: list[Laid], sizes: list[tuple[float, float]]) -> list[tuple[int, float, float, float, float]]:
    found = []
    for one in laid:
        w, h = sizes[one.part][::-1] if one.turned else sizes[one.part]
        found.append((one.sheet, one.left, one.bottom, one.left + w, one.bottom + h))
    return found


@given(SIZES)
def test_every_box_is_laid_once_on_the_sheet_and_apart(sizes: list[tuple[float, float]]) -> None:
    laid = nested(sizes, ROOM, 8.0)
    assert sorted(one.part for one in laid) == list(range(len(sizes)))
    for _, left, bottom, right, top in boxes(laid, sizes):
        assert left >= 0.0
        assert bottom >= 0.0
        assert right <= ROOM[0] + 1e-6
        assert top <= ROOM[1] + 1e-6
    for a, b in combinations(boxes(laid, sizes), 2):
        if a[0] == b[0]:
            away = max(b[1] - a[3], a[1] - b[3], b[2] - a[4], a[2] - b[4])
            assert away >= 8.0 - 1e-6


def test_two_halves_fill_one_sheet() -> None:
    laid = nested([(296.0, 300.0)] * 2, ROOM, 8.0)
    assert {one.sheet for one in laid} == {0}


def test_a_part_is_turned_where_only_that_fits() -> None:
    (one,) = nested([(250.0, 500.0)], ROOM, 8.0)
    assert one.turned


def test_what_is_too_large_is_refused() -> None:
    with pytest.raises(ValueError, match="larger than the sheet"):
        nested([(301.0, 601.0)], ROOM, 8.0)
