"""Tubes that cannot be placed as they are described say which and why; hard but sound ones are placed."""

from __future__ import annotations

import math

import numpy as np
import pytest
from space_samples import FORMS, POINTS, REAR, SHELL_SIZE

from layout.geometry.space.form import EXTENDED, Form, round_form
from layout.geometry.space.frame import assemble
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.path import Bend, bent_path
from layout.geometry.space.stays import stay_path
from layout.geometry.space.vectors import Triad, X, Y, vector

CHORD = 400.0


def refusal(*bends: Bend) -> str:
    with pytest.raises(MisfitError) as caught:
        stay_path(vector(0.0, 0.0), vector(CHORD, 0.0), Y, bends)
    return str(caught.value)


def test_a_bend_at_the_very_end_is_told_the_end_and_no_made_up_length() -> None:
    """A bend at 0 was told to lie before 1000004.4, which is no length of any tube."""
    said = refusal(Bend(0.0, 5.0, 90.0, 100.0))
    assert said == (
        "the bend at 0 mm reaches from -4.4 to 4.4 mm. It begins before the tube's first end, at 0.0 mm."
    )


def test_a_bend_into_the_one_before_it_is_told_where_that_ends() -> None:
    said = refusal(Bend(100.0, 30.0, 0.0, 100.0), Bend(120.0, 30.0, 180.0, 100.0))
    assert said.endswith("It begins before the end of the bend at 100 mm, at 126.2 mm.")


def test_a_bend_past_the_far_end_is_told_where_that_is() -> None:
    with pytest.raises(MisfitError, match=r"It ends past the tube's second end, at 300\.0 mm"):
        bent_path(Triad(np.zeros(3), X, Y), 300.0, [Bend(295.0, 30.0, 0.0, 150.0)])


@pytest.mark.parametrize("name", ["chain_stay", "seat_stay"])
def test_a_misfit_names_the_stay_it_is_of(name: str) -> None:
    """With bends on both stays the chain stay was blamed for the seat stay's."""
    sound = {n: Form((16.0, 16.0), (16.0, 16.0), bends=(Bend(200.0, 5.0, 90.0, 100.0),))
             for n in ("chain_stay", "seat_stay")}  # fmt: skip
    wrong = Form((16.0, 16.0), (16.0, 16.0), bends=(Bend(2.0, 5.0, 90.0, 100.0),))
    assemble(POINTS, {**FORMS, **sound}, SHELL_SIZE, REAR)
    with pytest.raises(MisfitError) as caught:
        assemble(POINTS, {**FORMS, **sound, name: wrong}, SHELL_SIZE, REAR)
    assert caught.value.tube == name


def test_a_steep_cone_goes_on_past_its_ends_but_never_to_a_point() -> None:
    """80 to 20 over 60: 40 further on the straight line would be 20 below nothing."""
    profile = round_form(80.0, 20.0).profile(60.0)
    assert min(profile.heights) == pytest.approx(5.0)
    for t in (0.0, 30.0, 60.0, 65.0):
        assert float(profile.halves(t)[0]) == pytest.approx(40.0 - t / 2)
    assert profile.stations[0] == -EXTENDED
    assert math.isclose(profile.stations[1], 70.0)
