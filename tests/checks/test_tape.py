"""The tape check's verdicts by hand: which sheets may be used, and how to mend the others."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest

from layout.checks.tape import Distance, Judgement, SheetVerdict, TapedDistance, judge

SIGMA = 0.1
CORNERS = {"a": (0.0, 0.0), "b": (1000.0, 0.0), "c": (1000.0, 600.0), "d": (0.0, 600.0), "m": (500.0, 300.0)}
PAIRS = ("ab", "dc", "ad", "bc", "ac", "bd", "am", "bm", "cm", "dm")


def printed(p: tuple[float, float], x: float, y: float, skew: float) -> tuple[float, float]:
    """Where a print of these scales puts a point; the y axis leans to +x by `skew` degrees."""
    lean = math.radians(skew)
    return x * p[0] + y * math.sin(lean) * p[1], y * math.cos(lean) * p[1]


def distances(pairs: Sequence[str] = PAIRS) -> list[Distance]:
    return [Distance(a, b, CORNERS[b][0] - CORNERS[a][0], CORNERS[b][1] - CORNERS[a][1]) for a, b in pairs]


def taped(
    x: float, y: float, skew: float = 0.0, pairs: Sequence[str] = PAIRS, **off: float
) -> list[TapedDistance]:
    """What a faultless tape reads on such a print, `off` added to some."""
    readings = []
    for d in distances(pairs):
        ends = (printed(CORNERS[n], x, y, skew) for n in (d.start, d.end))
        readings.append(TapedDistance(d, math.dist(*ends) + off.get(d.start + d.end, 0.0), SIGMA))
    return readings


def judged(readings: Sequence[TapedDistance], **more: object) -> Judgement:
    return judge(distances(), readings, **more)  # type: ignore[arg-type]


def test_a_true_print_is_for_use():
    found = judged(taped(1.0, 1.0))
    assert found.verdict is SheetVerdict.USE
    assert (found.scale.x, found.scale.y) == pytest.approx((1.0, 1.0))
    assert found.scale.skew == pytest.approx(0.0, abs=1e-9)
    assert found.suspects == ()


@pytest.mark.parametrize(("x", "y", "skew"), [(1.01, 0.99, 0.2), (0.985, 1.015, -0.3), (1.0, 1.004, 0.0)])
def test_scales_and_skew_are_those_of_the_print(x: float, y: float, skew: float):
    found = judged(taped(x, y, skew))
    assert found.verdict is SheetVerdict.REPRINT
    assert (found.scale.x, found.scale.y, found.scale.skew) == pytest.approx((x, y, skew), abs=1e-9)
    assert found.compensation == pytest.approx((x, y))


def test_a_sheet_printed_with_the_compensation_is_true():
    x, y = judged(taped(1.008, 0.994)).compensation or (0.0, 0.0)
    assert judged(taped(1.008 / x, 0.994 / y)).verdict is SheetVerdict.USE


def test_the_compensation_is_the_old_value_times_the_scale():
    found = judged(taped(1.01, 0.99), printer=(1.002, 0.997))
    assert found.compensation == pytest.approx((1.002 * 1.01, 0.997 * 0.99))


def test_turned_the_drawings_x_corrects_the_papers_y():
    found = judged(taped(1.01, 0.99), printer=(1.002, 0.997), turned=True)
    assert found.compensation == pytest.approx((1.002 * 0.99, 0.997 * 1.01))


@pytest.mark.parametrize(
    ("x", "y", "verdict"),
    [
        (1.00149, 1.0, SheetVerdict.USE),
        (1.00151, 1.0, SheetVerdict.REPRINT),
        (1.0, 0.99851, SheetVerdict.USE),
        (1.0, 0.99849, SheetVerdict.REPRINT),
    ],
)
def test_the_limit_is_fifteen_hundredths_of_a_per_cent(x: float, y: float, verdict: SheetVerdict):
    assert judged(taped(x, y)).verdict is verdict


@pytest.mark.parametrize(("scale", "verdict"), [(1.0024, SheetVerdict.USE), (1.0026, SheetVerdict.REPRINT)])
def test_on_short_distances_the_limit_is_half_a_millimetre(scale: float, verdict: SheetVerdict):
    ways = ((200.0, 0.0), (0.0, 200.0), (-141.0, 141.0))
    short = [Distance("a", "b", *way) for way in ways]
    readings = [TapedDistance(d, d.true * scale, 0.05) for d in short]
    assert judge(short, readings).verdict is verdict


def test_skew_alone_is_said_and_no_numbers_are_offered():
    found = judged(taped(1.0, 1.0, 0.3))
    assert (found.verdict, found.skew_alone, found.compensation) == (SheetVerdict.REPRINT, True, None)


def test_skew_beside_a_wrong_scale_leaves_the_numbers_and_is_said():
    found = judged(taped(1.01, 1.0, 0.3))
    assert (found.verdict, found.skew_alone, found.skew_stays) == (SheetVerdict.REPRINT, False, True)
    assert found.compensation == pytest.approx((1.01, 1.0))


def test_skew_and_scale_that_fail_only_together_are_corrected_by_the_scale():
    found = judged(taped(1.001, 1.001, 0.12))
    assert (found.verdict, found.skew_alone, found.skew_stays) == (SheetVerdict.REPRINT, False, False)
    assert found.compensation is not None


@pytest.mark.parametrize(
    "pairs",
    [(), ("ab",), ("ab", "ad"), ("ab", "dc"), ("ab", "dc", "am"), ("ad", "bc")],
)
def test_too_few_readings_tell_nothing(pairs: Sequence[str]):
    found = judged(taped(1.0, 1.0, pairs=pairs))
    assert (found.verdict, found.compensation) == (SheetVerdict.UNDETERMINED, None)


def test_along_alone_tells_the_scale_along_and_no_other():
    found = judged(taped(1.004, 1.0, pairs=("ab", "dc")))
    assert found.scale.x == pytest.approx(1.004)
    assert (found.scale.y, found.scale.skew, found.uncertainty.y) == (None, None, None)


def test_three_readings_along_across_and_diagonal_are_enough_where_the_tape_is_good():
    assert judged(taped(1.0, 1.0, pairs=("ab", "ad", "ac"))).verdict is SheetVerdict.USE


def test_a_poor_tape_tells_nothing():
    poor = [TapedDistance(t.distance, t.measured, 2.0) for t in taped(1.0, 1.0)]
    assert judged(poor).verdict is SheetVerdict.UNDETERMINED


def test_undetermined_is_where_the_half_width_passes_the_limit():
    for sigma in (0.3, 0.45, 0.6, 0.75):
        found = judged([TapedDistance(t.distance, t.measured, sigma) for t in taped(1.0, 1.0)])
        wide = [e for e in found.checks if (e.half_width or 0.0) > e.distance.limit]
        assert (found.verdict is SheetVerdict.UNDETERMINED) == bool(wide)
        assert (found.verdict is SheetVerdict.USE) == (not wide)


def test_missing_readings_are_fine():
    assert judged(taped(1.0, 1.0, pairs=PAIRS[::2])).verdict is SheetVerdict.USE


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("error", [-8.0, 20.0])
def test_a_gross_misreading_is_named_and_decides_nothing(pair: str, error: float):
    found = judged(taped(1.0, 1.0, **{pair: error}))
    assert found.verdict is SheetVerdict.USE
    (suspect,) = found.suspects
    assert suspect.distance.start + suspect.distance.end == pair
    assert suspect.measured - suspect.distance.true == pytest.approx(error)
    assert suspect.expected == pytest.approx(suspect.distance.true)


def test_two_readings_of_which_nothing_tells_which_is_wrong_are_both_named():
    readings = taped(1.0, 1.0, pairs=("ab", "dc", "am", "cm", "ad", "bc"), ad=10.0)
    found = judged([r for r in readings if r.distance.start + r.distance.end not in ("am", "cm")])
    assert {s.distance.start + s.distance.end for s in found.suspects} == {"ad", "bc"}
    assert (found.wrong, found.verdict) == (1, SheetVerdict.UNDETERMINED)
    assert [s.expected for s in found.suspects] == [None, None]


def test_the_uncertainty_is_that_of_the_readings():
    """Two readings of one length along: the scale's deviation is sigma over length over root two."""
    found = judged(taped(1.0, 1.0, pairs=("ab", "dc")))
    assert found.uncertainty.x == pytest.approx(SIGMA / 1000.0 / math.sqrt(2))
