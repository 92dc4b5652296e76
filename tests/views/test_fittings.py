"""Fittings on paper: where the mark and its stroke lie, and what is said of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.drafting.entities import Circle, Line
from layout.frame.job import Fitting
from layout.frame.solve import solve
from layout.spec.load import loads
from layout.views.fittings import ACROSS, MARK, SitedFitting, draw_fittings, fitting_notes, hooked_words

BOTTLE = Fitting("bottle", "down_tube", 200.0, "bb", "up")
BRIDGE = Fitting("bridge", "seat_stay", 350.0, "axle", "back")


def test_a_fitting_that_faces_a_side_is_marked_on_the_edge_with_a_stroke_from_the_axis():
    circle, stroke = draw_fittings([SitedFitting(BOTTLE, (100.0, 50.0), 0.0, "", facing=90.0, off=17.0)])
    assert isinstance(circle, Circle) and isinstance(stroke, Line)
    assert (circle.centre, circle.radius) == ((100.0, 67.0), MARK)
    assert (stroke.start, stroke.end) == ((100.0, 50.0), (100.0, 67.0))


def test_a_fitting_that_faces_the_viewer_is_marked_on_the_axis_with_a_stroke_across_it():
    circle, stroke = draw_fittings([SitedFitting(BOTTLE, (100.0, 50.0), 90.0, "")])
    assert isinstance(circle, Circle) and isinstance(stroke, Line)
    assert circle.centre == (100.0, 50.0)
    assert (stroke.start, stroke.end) == ((100.0 - ACROSS, 50.0), (100.0 + ACROSS, 50.0))


@pytest.mark.parametrize(
    ("fitting", "said"),
    [
        (BOTTLE, "bottle 200.0 from BB, up; 190.0 from here"),
        (BRIDGE, "bridge 350.0 from axle; 190.0 from here"),
    ],
)
def test_the_words_say_where_to_hook_the_tape_and_the_side_but_not_of_a_bridge(fitting: Fitting, said: str):
    (note,) = fitting_notes([SitedFitting(fitting, (0.0, 0.0), 0.0, "190.0 from here")])
    assert note.name == said


def test_a_fitting_beyond_the_end_of_its_stay_is_told_past_it():
    """A hanger at the axle was "-28.0 from the end": no tape shows that."""
    text = (Path(__file__).parents[2] / "specs" / "tourer.yaml").read_text(encoding="utf-8")
    frame = solve(loads(text, "tourer.yaml"))
    (hanger,) = (f for f in frame.fittings if f.kind == "hanger")
    assert hooked_words(frame, hanger) == "28.0 past the end"
