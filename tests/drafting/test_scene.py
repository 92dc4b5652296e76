"""Obstacles in groups: what lettering pays to lie on them."""

from __future__ import annotations

import numpy as np
import pytest

from layout.drafting.entities import Line, Text
from layout.drafting.meeting import Boxes, Pieces
from layout.drafting.obstacles import HARD, Box, Proposals
from layout.drafting.scene import by_layer, scene, squares
from layout.drafting.style import Layer

LEVEL = Line((-10.0, 0.0), (10.0, 0.0), Layer.OUTLINE)
UPRIGHT = Line((0.0, -10.0), (0.0, 10.0), Layer.CENTRE)


def price(groups, at=(0.0, 0.0), half=1e-6) -> float:
    """What a tiny box costs at a point: next to nothing of a line lies under it."""
    box = Boxes(np.array([Box(at, half, half, 0.0).row()]))
    alone = np.zeros(1, dtype=np.intp)
    proposal = Proposals(box, np.zeros(1), alone, Pieces.joined(()), line_group=alone[:0])
    return float(scene(groups).frozen().crossing(proposal)[0])


def test_prices_of_groups_add_where_their_strokes_cross():
    groups = [([LEVEL], 24.0), ([UPRIGHT], 8.0)]
    assert price(groups) == pytest.approx(32.0, rel=1e-6)
    assert price(groups, (5.0, 0.0)) == pytest.approx(24.0, rel=1e-6)
    assert price(groups, (5.0, 5.0)) == 0.0


def test_words_are_in_the_way_of_nothing_until_they_are_placed():
    assert price([([Text((0.0, 0.0), "words", 3.5)], 24.0)]) == 0.0


def test_only_the_layers_named_are_as_dear_as_thick_lines():
    groups = list(by_layer([LEVEL, UPRIGHT], (Layer.OUTLINE,), 6.0))
    assert price(groups, (5.0, 0.0)) == pytest.approx(HARD, rel=1e-6)
    assert price(groups, (0.0, 5.0)) == pytest.approx(6.0, rel=1e-6)


def test_a_square_is_kept_clear_about_each_point():
    groups = [(squares([(0.0, 0.0), (50.0, 0.0)], 5.0), HARD)]
    assert price(groups, (50.0, 4.0), half=1.5) >= HARD
    assert price(groups, (25.0, 0.0), half=1.5) == 0.0
    assert price(groups, (50.0, 7.0), half=1.5) == 0.0
