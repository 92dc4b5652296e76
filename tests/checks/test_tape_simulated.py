"""Simulated plots: how often the tape check is right, on every demo frame.

Each sheet is printed through an affine map of its own, read by a tape with an error of 0.3 mm
(one standard deviation, common practice for a steel tape read with care), with one reading in it
gross. The bounds are those the check was made for; the rates found are printed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from layout.bench.tape import checks
from layout.checks.tape import Distance, Judgement, SheetVerdict, TapedDistance, judge
from layout.frame.solve import Frame, solve
from layout.spec.load import load
from layout.views.side.plan import plan

SPECS = Path(__file__).parents[2] / "specs"
SHEETS = 500
TAPE = 0.3
SCALE, SKEW = 0.015, 0.3
GROSS = (8.0, 20.0)
GOOD, BAD = 0.0005, 0.004
STATED = 0.5
"""What a spec says of the tape where it says nothing."""


@dataclass(frozen=True)
class Plot:
    """A print of known scales (skew in degrees), whether it is good, and its readings with one gross."""

    x: float
    y: float
    good: bool
    readings: tuple[TapedDistance, ...]
    gross: Distance


def drawn(frame: Frame) -> list[Distance]:
    points = plan(frame).points
    return [
        Distance(c.start, c.end, points[c.end][0] - points[c.start][0], points[c.end][1] - points[c.start][1])
        for c in checks(points)
    ]


def affine(d: Distance, x: float, y: float, skew: float) -> float:
    lean = math.radians(skew)
    return math.hypot(x * d.dx + y * math.sin(lean) * d.dy, y * math.cos(lean) * d.dy)


def plots(frame: Frame, good: bool, stated: float, seed: int) -> Iterator[Plot]:
    """Sheets with every check distance within 0.05 % (good), or one over 0.4 % (bad), drawn at random."""
    rng = np.random.default_rng(seed)
    listed, made = drawn(frame), 0
    reach = (2 * GOOD, 2 * GOOD, math.degrees(2 * GOOD)) if good else (SCALE, SCALE, SKEW)
    while made < SHEETS:
        a, b, skew = (float(v) for v in rng.uniform(-1, 1, 3) * reach)
        on_paper = [affine(d, 1 + a, 1 + b, skew) for d in listed]
        worst = max(abs(p / d.true - 1) for p, d in zip(on_paper, listed, strict=True))
        if worst > GOOD if good else worst <= BAD:
            continue
        made += 1
        read = on_paper + rng.normal(0.0, TAPE, len(listed))
        slip = int(rng.integers(len(listed)))
        read[slip] += rng.choice((-1, 1)) * rng.uniform(*GROSS)
        readings = tuple(TapedDistance(d, float(r), stated) for d, r in zip(listed, read, strict=True))
        yield Plot(1 + a, 1 + b, good, readings, listed[slip])


def is_right(plot: Plot, found: Judgement) -> bool:
    return found.verdict is (SheetVerdict.USE if plot.good else SheetVerdict.REPRINT)


def is_named(plot: Plot, found: Judgement) -> bool:
    return any(s.distance is plot.gross for s in found.suspects)


def is_mended(plot: Plot, found: Judgement) -> bool | None:
    """Whether a replot with the numbers offered is within 0.1 % on both axes; None without numbers."""
    if found.compensation is None:
        return None
    x, y = found.compensation
    return abs(plot.x / x - 1) <= 0.001 and abs(plot.y / y - 1) <= 0.001


@pytest.fixture
def small_frame() -> Frame:
    """The demo with the shortest check distances."""
    return solve(load(SPECS / "small-650b.yaml"))


def test_a_thousand_plots_are_judged_right(demo_frame: Frame, capsys: pytest.CaptureFixture[str]):
    assert_rates(demo_frame, STATED, capsys)


def test_a_thousand_plots_are_judged_right_where_the_tape_is_stated(
    small_frame: Frame, capsys: pytest.CaptureFixture[str]
):
    assert_rates(small_frame, TAPE, capsys)


def assert_rates(frame: Frame, stated: float, capsys: pytest.CaptureFixture[str]) -> None:
    right: list[bool] = []
    named: list[bool] = []
    mended: list[bool] = []
    listed = drawn(frame)
    for good, seed in ((True, 1), (False, 2)):
        for plot in plots(frame, good, stated, seed):
            found = judge(listed, plot.readings)
            right.append(is_right(plot, found))
            named.append(is_named(plot, found))
            replot = is_mended(plot, found)
            mended += [] if replot is None else [replot]
    rates = {"right": np.mean(right), "named": np.mean(named), "mended": np.mean(mended)}
    with capsys.disabled():
        shown = ", ".join(f"{name} {100 * rate:.1f} %" for name, rate in rates.items())
        print(f"\n{frame.job.title}, tape stated {stated}: {shown}, numbers for {len(mended)} of 1000")
    assert len(right) == 2 * SHEETS and len(mended) > 900
    assert rates["right"] >= 0.99
    assert rates["named"] >= 0.95
    assert rates["mended"] >= 0.97


def test_the_simulation_can_fail(small_frame: Frame):
    """A tape ten times worse than stated is not judged right, so the rates above mean something."""
    rng = np.random.default_rng(3)
    wrong = 0
    for plot in plots(small_frame, True, TAPE, 4):
        loose = [
            TapedDistance(t.distance, t.measured + float(rng.normal(0, 3.0)), TAPE) for t in plot.readings
        ]
        wrong += not is_right(plot, judge(drawn(small_frame), loose))
    assert wrong > 0.1 * SHEETS
