"""A dimension's lines and lettering, against what can be worked out by hand."""

from __future__ import annotations

import math

import pytest

from layout.drafting import dimensions
from layout.drafting.entities import AngleDimension, Arc, Circle, LengthDimension, Line, Polyline, Text
from layout.drafting.lettering import text_width
from layout.drafting.numbers import format_number
from layout.drafting.style import Layer


def level(**changes: object) -> LengthDimension:
    given: dict[str, object] = {
        "name": "front_centre",
        "start": (0.0, 0.0),
        "end": (100.0, 30.0),
        "direction": 0.0,
        "line_at": (7.0, 50.0),
        "text_at": (50.0, 52.0),
        "text_angle": 0.0,
    }
    return LengthDimension(**{**given, **changes})  # type: ignore[arg-type]


def corner(**changes: object) -> AngleDimension:
    given: dict[str, object] = {
        "name": "head_angle",
        "vertex": (10.0, 20.0),
        "start": (210.0, 20.0),
        "end": (10.0, 320.0),
        "radius": 80.0,
        "text_at": (80.0, 90.0),
    }
    return AngleDimension(**{**given, **changes})  # type: ignore[arg-type]


def of_kind(kind: type, drawn: tuple[object, ...]) -> list:
    return [e for e in drawn if isinstance(e, kind)]


@pytest.mark.parametrize(
    ("value", "decimals", "shown"),
    [
        (612.5, 1, "612.5"),
        (612.25, 1, "612.3"),
        (612.35, 1, "612.4"),
        (0.05, 1, "0.1"),
        (-0.04, 1, "0.0"),
        (-0.05, 1, "-0.1"),
        (72.9999999999, 2, "73.00"),
        (1e21, 0, "1000000000000000000000"),
        (2.5, 0, "3"),
        (1e-9, 3, "0.000"),
        (612.2499999999, 1, "612.3"),
    ],
)
def test_numbers_have_fixed_decimals_and_round_halves_away_from_zero(
    value: float, decimals: int, shown: str
) -> None:
    assert format_number(value, decimals) == shown


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_value_that_is_not_finite_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="not finite"):
        format_number(value, 1)


def test_level_dimension_has_line_extensions_and_two_arrows() -> None:
    drawn = dimensions.lines(level())
    line, left, right = of_kind(Line, drawn)
    assert (line.start, line.end) == ((0.0, 50.0), (100.0, 50.0))
    assert (left.start, left.end) == ((0.0, 2.0), (0.0, 52.0))
    assert right.start == pytest.approx((100.0, 32.0))
    assert right.end == pytest.approx((100.0, 52.0))
    tips = [p.points[1] for p in of_kind(Polyline, drawn)]
    assert tips == [(0.0, 50.0), (100.0, 50.0)]
    assert {e.layer for e in drawn} == {Layer.DIM}


def test_inside_arrows_lie_within_the_line_and_outside_arrows_beyond_it() -> None:
    inner = of_kind(Polyline, dimensions.lines(level()))
    assert all(0 <= x <= 100 for p in inner for x, _ in p.points)
    drawn = dimensions.lines(level(arrows_outside=True))
    outer = of_kind(Polyline, drawn)
    assert all(x < 0 or x > 100 for p in outer for x, _ in (p.points[0], p.points[2]))
    line = of_kind(Line, drawn)[0]
    back = max(-p.points[0][0] for p in outer)
    assert -line.start[0] > back > 0
    assert line.end[0] - 100 > back


def test_arrowhead_opens_thirty_degrees() -> None:
    for kind in (level(), corner()):
        for head in of_kind(Polyline, dimensions.lines(kind)):
            one, tip, two = head.points
            a = math.atan2(one[1] - tip[1], one[0] - tip[0])
            b = math.atan2(two[1] - tip[1], two[0] - tip[0])
            assert abs(math.degrees(math.remainder(a - b, math.tau))) == pytest.approx(30.0)


def test_line_runs_the_same_way_whichever_point_comes_first() -> None:
    there = dimensions.lines(level())
    back = dimensions.lines(level(start=(100.0, 30.0), end=(0.0, 0.0)))
    heads = {p.points[1]: {p.points[0], p.points[2]} for p in of_kind(Polyline, there)}
    assert {p.points[1]: {p.points[0], p.points[2]} for p in of_kind(Polyline, back)} == heads


def test_sloping_dimension_is_parallel_to_its_direction() -> None:
    d = level(direction=math.degrees(math.atan2(3, 4)), end=(80.0, 60.0), line_at=(0.0, 50.0))
    assert d.value == pytest.approx(100.0)
    line, left, _ = of_kind(Line, dimensions.lines(d))
    assert math.dist(line.start, line.end) == pytest.approx(100.0)
    assert (line.end[1] - line.start[1]) / (line.end[0] - line.start[0]) == pytest.approx(0.75)
    along = (left.end[0] - left.start[0]) * 4 + (left.end[1] - left.start[1]) * 3
    assert along == pytest.approx(0.0)


def test_a_line_through_its_points_needs_no_extensions() -> None:
    drawn = dimensions.lines(level(end=(100.0, 0.0), line_at=(0.0, 0.0)))
    assert len(of_kind(Line, drawn)) == 1


def test_without_its_line_only_lettering_is_left() -> None:
    d = level(line_drawn=False, label="drop")
    assert dimensions.lines(d) == ()
    assert [e.text for e in of_kind(Text, dimensions.explode(d))] == ["drop", "100.0"]


def test_angle_has_an_arc_between_its_arms_and_arrow_tips_at_its_ends() -> None:
    drawn = dimensions.lines(corner())
    (arc,) = of_kind(Arc, drawn)
    assert (arc.centre, arc.radius) == ((10.0, 20.0), 80.0)
    assert (arc.start_angle, arc.end_angle) == pytest.approx((0.0, 90.0))
    assert not of_kind(Line, drawn)
    first, last = (p.points[1] for p in of_kind(Polyline, drawn))
    assert first == pytest.approx((90.0, 20.0))
    assert last == pytest.approx((10.0, 100.0))


def test_arms_too_short_for_the_arc_are_extended() -> None:
    d = corner(start=(40.0, 20.0))
    (extension,) = of_kind(Line, dimensions.lines(d))
    assert extension.start == pytest.approx((42.0, 20.0))
    assert extension.end == pytest.approx((92.0, 20.0))


def test_small_angle_has_its_arrows_outside() -> None:
    tip = (10.0 + 80 * math.cos(0.05), 20.0 + 80 * math.sin(0.05))
    drawn = dimensions.lines(corner(end=tip))
    (arc,) = of_kind(Arc, drawn)
    assert arc.end_angle - arc.start_angle > 3 * math.degrees(0.05)
    lower, upper = of_kind(Polyline, drawn)
    assert max(y for _, y in (lower.points[0], lower.points[2])) < 20.0
    assert min(y for _, y in (upper.points[0], upper.points[2])) > tip[1]


def test_label_and_value_are_one_block_about_text_at() -> None:
    d = level(label="front centre", text_angle=90.0)
    label, value = dimensions.label_text(d), dimensions.value_text(d)
    assert label is not None
    assert (label.text, value.text) == ("front centre", "100.0")
    width = dimensions.block_width(d)
    assert label.at == pytest.approx((50.0, 52.0 - width / 2))
    end = value.at[1] + text_width(value.text, d.height)
    assert end == pytest.approx(52.0 + width / 2)
    gap = value.at[1] - (label.at[1] + text_width(label.text, d.height))
    assert gap == pytest.approx(dimensions.LABEL_GAP_RATIO * d.height)


def test_value_alone_is_centred_and_has_no_label() -> None:
    d = level()
    value = dimensions.value_text(d)
    assert dimensions.label_text(d) is None
    assert value.at[0] + text_width(value.text, d.height) / 2 == pytest.approx(50.0)


def test_angle_values_carry_the_degree_sign() -> None:
    assert dimensions.value_text(corner(decimals=2)).text == "90.00°"


@pytest.mark.parametrize("target", [(50.0, 20.0), (200.0, 60.0), (-50.0, 90.0), (45.0, 200.0)])
def test_leader_reaches_its_point_and_stays_off_the_lettering(target: tuple[float, float]) -> None:
    d = level(leader=target, line_drawn=False)
    (leader,) = of_kind(Line, dimensions.lines(d))
    assert leader.end == target
    half = dimensions.block_width(d) / 2
    for i in range(101):
        x = leader.start[0] + (leader.end[0] - leader.start[0]) * i / 100
        y = leader.start[1] + (leader.end[1] - leader.start[1]) * i / 100
        assert abs(x - 50) > half + 1 or y < 52 - 1 or y > 52 + d.height + 1


def test_other_entities_are_already_primitive() -> None:
    circle = Circle((0.0, 0.0), 1.0, Layer.OUTLINE)
    assert dimensions.explode(circle) == (circle,)
