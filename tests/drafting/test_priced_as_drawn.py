"""What a callout draws is what it was priced by: its words, its lines and its arrowheads, at every place."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

import numpy as np
import pytest
from shapely import box
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, MultiPoint, Polygon
from shapely.ops import unary_union

from layout.drafting.calls import AngleCall, Call, CheckCall, LengthCall, NoteCall
from layout.drafting.dimensions import explode
from layout.drafting.entities import Entity, Line, Polyline, Text
from layout.drafting.lettering import text_box
from layout.drafting.obstacles import HARD, Proposals, Scene
from layout.drafting.placer import place
from layout.drafting.scene import scene
from layout.drafting.style import Layer

CALLS: dict[str, Call] = {
    "long": LengthCall("a", "reach", (0.0, 0.0), (170.0, 30.0), direction=0.0),
    "short": LengthCall("a", "reach", (0.0, 0.0), (17.0, 30.0), direction=0.0),
    "leaning": LengthCall("a", "length", (0.0, 0.0), (170.0, 90.0), direction=200.0),
    "upright": LengthCall("a", "stack", (10.0, 0.0), (170.0, 190.0), direction=90.0, side=1),
    "check": CheckCall("a", "A", (0.0, 0.0), (170.0, -90.0)),
    "angle": AngleCall("a", "a", vertex=(5.0, 9.0), start=(99.0, 9.0), end=(-5.0, 99.0), radii=(30.0, 45.0)),
    "note": NoteCall("lower\nend", (3.0, 4.0)),
}


def _places(call: Call) -> Iterator[tuple[Proposals, int, tuple[Entity, ...]]]:
    for batch in chain(call.batches(), call.seam_batches()):
        for k in range(len(batch.offer.proposals.prices)):
            yield batch.offer.proposals, k, batch.offer.make(k)


def _words_box(row: np.ndarray) -> Polygon:
    cx, cy, a, b, ux, uy = row.tolist()
    return translate(rotate(box(-a, -b, a, b), np.degrees(np.arctan2(uy, ux)), origin=(0, 0)), cx, cy)


@pytest.mark.parametrize("name", CALLS)
def test_words_are_drawn_where_they_were_priced(name: str):
    """Outside the box that kept off the outlines they lie on one."""
    for offered, k, made in _places(CALLS[name]):
        held = _words_box(offered.boxes.rows[k]).buffer(1e-6)
        words = [t for e in made for t in explode(e) if isinstance(t, Text)]
        assert words
        assert all(held.contains(Polygon(text_box(t))) for t in words)


@pytest.mark.parametrize("name", CALLS)
def test_no_line_is_drawn_that_was_not_priced(name: str):
    """It runs through the words of another callout, which never knew of it."""
    for offered, k, made in _places(CALLS[name]):
        rows = offered.lines.rows[offered.line_group == offered.group[k]]
        priced = unary_union([LineString([row[:2], row[2:]]) for row in rows]).buffer(1.21)
        lines = [e for each in made for e in explode(each) if isinstance(e, Line)]
        assert all(priced.contains(LineString([e.start, e.end])) for e in lines)


@pytest.mark.parametrize("name", [name for name in CALLS if name not in ("check", "note")])
def test_arrowheads_are_drawn_where_pages_were_asked_for_them(name: str):
    """On a seam of two pages an arrowhead is cut in two."""
    for offered, k, made in _places(CALLS[name]):
        heads = offered.arrows[offered.arrow_group == offered.group[k]]
        drawn = [e for each in made for e in explode(each) if isinstance(e, Polyline)]
        assert len(drawn) == len(heads) == 2
        for head in heads:
            least = min(MultiPoint(head).hausdorff_distance(MultiPoint(e.points)) for e in drawn)
            assert least < 1e-6


def test_a_check_is_lettered_beside_what_lies_across_its_middle():
    """All its places stood at the middle, so a tube across it left the check without its letter."""
    call = CheckCall("a", "A", (0.0, 0.0), (300.0, 0.0))
    wall = [Line((150.0, -50.0), (150.0, 50.0), Layer.OUTLINE)]
    (free,) = place([call], Scene()).groups
    (group,) = place([call], scene([(wall, HARD)])).groups
    at = [t.at[0] for made in (free, group) for e in made for t in explode(e) if isinstance(t, Text)]
    assert abs(at[0] - 150.0) < 20.0 < abs(at[-1] - 150.0)


def test_the_line_of_a_check_runs_on_both_sides_of_its_letter_and_past_neither_point():
    """One of its two pieces began farther off and ended beyond the cross that the tape is laid to."""
    start, end = np.array((0.0, 0.0)), np.array((170.0, -90.0))
    u = (end - start) / np.hypot(*(end - start))
    for _, _, made in _places(CALLS["check"]):
        texts = [t for e in made for t in explode(e) if isinstance(t, Text)]
        across = [float((np.array(corner) - start) @ u) for t in texts for corner in text_box(t)]
        pieces = [(e.start, e.end) for e in made if isinstance(e, Line)]
        (low, first), (second, high) = sorted(sorted((np.array(ends) @ u).tolist()) for ends in pieces)
        assert 0.0 < low < first < min(across) + 1e-6
        assert max(across) - 1e-6 < second < high < np.hypot(*(end - start))
        assert first - low == pytest.approx(high - second)
        assert min(across) - first == pytest.approx(second - max(across))
