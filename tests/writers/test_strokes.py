"""What the pen draws, and the numbers it is told in."""

from __future__ import annotations

import math

import pytest

from layout.drafting.entities import (
    Align,
    AngleDimension,
    ControlPoint,
    DatumLine,
    Drawing,
    LengthDimension,
    Text,
)
from layout.drafting.lettering import text_start, text_width
from layout.drafting.style import LAYER_PENS, Layer
from layout.drafting.vector import along
from layout.errors import WriteError
from layout.sheets.sheet import Placement, Rect, Sheet
from layout.writers.strokes import (
    Drawn,
    Lettered,
    apply,
    arc_curves,
    held_points,
    marks,
    marks_of,
    placement_matrix,
    plain,
    spans,
)


def bezier(p0, p1, p2, p3, t):
    u = 1 - t
    return tuple(
        u**3 * a + 3 * u * u * t * b + 3 * u * t * t * c + t**3 * d
        for a, b, c, d in zip(p0, p1, p2, p3, strict=True)
    )


@pytest.mark.parametrize(("start", "end"), [(0.0, 360.0), (-30.0, 200.0), (12.0, 12.5), (350.0, 371.0)])
def test_arc_as_curves_stays_within_two_tenths_of_a_micrometre_of_its_circle(start, end) -> None:
    radius, centre = 350.0, (100.0, -50.0)
    at = along(centre, start, radius)
    curves = arc_curves(centre, radius, start, end)
    assert len(curves) >= (end - start) / 30 - 1e-9
    for c1, c2, stop in curves:
        for i in range(21):
            x, y = bezier(at, c1, c2, stop, i / 20)
            assert math.hypot(x - centre[0], y - centre[1]) == pytest.approx(radius, abs=2e-4)
        at = stop
    assert at == pytest.approx(along(centre, end, radius))


def test_spans_are_equal_and_no_wider_than_asked() -> None:
    pieces = spans(-10.0, 80.5, 30.0)
    assert len(pieces) == 4
    assert pieces[0][0] == -10.0
    assert pieces[-1][1] == 80.5
    assert all(b - a == pytest.approx(22.625) for a, b in pieces)


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (0.0, "0"),
        (-0.0, "0"),
        (-4e-7, "0"),
        (1e-6, "0.000001"),
        (1e-300, "0"),
        (1e15, "1000000000000000"),
        (-12.5, "-12.5"),
        (100.0, "100"),
        (2 / 3, "0.666667"),
    ],
)
def test_coordinates_are_plain_decimals(value: float, shown: str) -> None:
    assert plain(value) == shown


@pytest.mark.parametrize("turn", [0, 1, 2, 3, -1])
@pytest.mark.parametrize("stretch", [(1.0, 1.0), (1.0021, 0.9963)])
def test_matrix_does_what_the_sheet_says(turn: int, stretch: tuple[float, float]) -> None:
    placement = Placement(Drawing("d"), 31.0, -12.0, turn)
    sheet = Sheet("s", "a0", "drawing", 1189.0, 841.0, (placement,), Drawing("f"), stretch)
    for p in ((0.0, 0.0), (601.3, 70.0), (-411.2, 68.5)):
        assert apply(placement_matrix(sheet, placement), p) == pytest.approx(
            sheet.to_page(placement.to_sheet(p))
        )
        assert apply(placement_matrix(sheet, None), p) == pytest.approx(sheet.to_page(p))


def test_every_entity_becomes_marks_on_its_own_layer(sample: Drawing) -> None:
    for entity in sample:
        for mark in marks(entity):
            assert mark.layer is entity.layer
    kinds = [type(m) for m in marks_of(sample)]
    texts = sum(isinstance(e, Text) for e in sample)
    dimensions = [e for e in sample if isinstance(e, LengthDimension | AngleDimension)]
    labels = sum(1 for d in dimensions if d.label)
    assert kinds.count(Lettered) == texts + len(dimensions) + labels


def test_a_dimension_is_one_mark_of_lines_and_one_for_each_word() -> None:
    d = LengthDimension(
        "d",
        (0.0, 0.0),
        (50.0, 0.0),
        0.0,
        line_at=(0.0, 20.0),
        text_at=(25.0, 22.0),
        text_angle=0.0,
        label="label",
    )
    lines, label, value = marks(d)
    assert isinstance(lines, Drawn)
    assert lines.pen == LAYER_PENS[Layer.DIM]
    assert [m.text.text for m in (label, value) if isinstance(m, Lettered)] == ["label", "50.0"]


def test_control_points_and_blank_texts_draw_nothing() -> None:
    assert list(marks(ControlPoint("bb", (0.0, 0.0)))) == []
    assert list(marks(Text((0.0, 0.0), "  ", 5.0))) == []


def test_an_unended_datum_line_is_refused() -> None:
    with pytest.raises(WriteError, match=r"datum line through \(1\.0, 2\.0\)"):
        list(marks(DatumLine((1.0, 2.0), 0.0)))


@pytest.mark.parametrize(("align", "part"), [(Align.START, 0.0), (Align.MIDDLE, 0.5), (Align.END, 1.0)])
def test_text_starts_where_its_alignment_puts_it(align: Align, part: float) -> None:
    text = Text((10.0, 20.0), "head tube", 5.0, angle=90.0, align=align)
    assert text_start(text) == pytest.approx((10.0, 20.0 - part * text_width("head tube", 5.0)))


def test_points_outside_the_clip_or_the_paper_are_not_held() -> None:
    names = {"in": (50.0, 50.0), "edge": (90.0, 50.0), "clipped": (95.0, 50.0), "off": (150.0, 50.0)}
    drawing = Drawing("d", tuple(ControlPoint(n, at) for n, at in names.items()))
    clipped = Placement(drawing, 0.0, 0.0, 0, Rect(10.0, 10.0, 90.0, 90.0))
    whole = Placement(drawing, 0.0, 0.0)
    for placement, held in ((clipped, ["in", "edge"]), (whole, ["in", "edge", "clipped"])):
        sheet = Sheet("s", "100x100", "drawing", 100.0, 100.0, (placement,), Drawing("f"))
        assert list(held_points(sheet)) == held


def test_points_close_to_the_papers_edge_are_held_and_close_beyond_it_are_not() -> None:
    """A point half a millimetre inside was not held, so nothing looked for its cross."""
    inside = {"left": (0.5, 50.0), "right": (99.5, 50.0), "top": (50.0, 69.5), "bottom": (50.0, 0.5)}
    beyond = {"w": (-0.5, 50.0), "e": (100.5, 50.0), "n": (50.0, 70.5), "s": (50.0, -0.5)}
    drawing = Drawing("d", tuple(ControlPoint(n, at) for n, at in {**inside, **beyond}.items()))
    sheet = Sheet("s", "100x70", "drawing", 100.0, 70.0, (Placement(drawing, 0.0, 0.0),), Drawing("f"))
    assert held_points(sheet) == inside


def test_one_name_in_two_places_is_refused() -> None:
    drawing = Drawing("d", (ControlPoint("bb", (10.0, 10.0)),))
    placements = (Placement(drawing, 0.0, 0.0), Placement(drawing, 20.0, 0.0))
    sheet = Sheet("s", "100x100", "drawing", 100.0, 100.0, placements, Drawing("f"))
    with pytest.raises(WriteError, match="bb is on sheet s twice"):
        held_points(sheet)
