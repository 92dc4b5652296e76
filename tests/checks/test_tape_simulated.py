"""Simulated plots: how often the tape check is right, on every demo frame.

Each sheet is printed through an affine map of its own, read by a tape with an error of 0.3 mm
(one standard deviation, common practice for a steel tape read with care), with one reading in it
gross. The bounds are those the check was made for; the rates found are printed. A fifth of the sheets
are judged in the suite, all where WHOLE_STUDIES is set.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

import numpy as np
import pytest
from studies import WHOLE

from layout.bench.tape import checks
from layout.checks.tape import Distance, Judgement, SheetVerdict, TapedDistance, judge
from layout.frame.solve import Frame, solve
from layout.spec.load import load
from layout.views.side.plan import plan

SPECS = Path(__file__).parents[2] / "specs"
SHEETS = 500 if WHOLE else 100
HOOKED = 200 if WHOLE else 100
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


def test_plots_are_judged_right(demo_frame: Frame, capsys: pytest.CaptureFixture[str]):
    assert_rates(demo_frame, STATED, capsys)


def test_plots_are_judged_right_where_the_tape_is_stated(
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
        offered = f"numbers for {len(mended)} of {2 * SHEETS}"
        print(f"\n{frame.job.title}, tape stated {stated}: {shown}, {offered}")
    assert len(right) == 2 * SHEETS and len(mended) > 1.8 * SHEETS
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


HOOK = 0.4


@pytest.mark.parametrize("stated", [STATED, TAPE])
def test_a_hook_that_is_off_condemns_no_good_sheet_and_saves_no_bad_one(
    demo_frame: Frame, stated: float, capsys: pytest.CaptureFixture[str]
):
    """A hook 0.4 off adds the same to every reading; it was taken for a stretch of the paper."""
    listed = drawn(demo_frame)
    verdicts: dict[bool, list[SheetVerdict]] = {True: [], False: []}
    for good, seed in ((True, 5), (False, 6)):
        rng = np.random.default_rng(seed)
        for plot in islice(plots(demo_frame, good, stated, seed), HOOKED):
            off = HOOK * rng.choice((-1.0, 1.0))
            hooked = [replace(r, measured=r.measured + off) for r in plot.readings]
            verdicts[good].append(judge(listed, hooked).verdict)
    condemned = np.mean([v is SheetVerdict.REPRINT for v in verdicts[True]])
    used = sum(v is SheetVerdict.USE for v in verdicts[False])
    with capsys.disabled():
        rate = f"{100 * condemned:.1f} % of good sheets condemned"
        print(f"\n{demo_frame.job.title}, hook off: {rate}, {used} bad used")
    assert condemned <= 0.01
    assert used == 0


def test_a_hook_well_off_is_named_and_told_from_a_scale(demo_frame: Frame):
    """2 mm on every reading is the hook; 0.3 % on every reading is the paper."""
    listed = drawn(demo_frame)
    hooked = judge(listed, [TapedDistance(d, d.true + 2.0, TAPE) for d in listed])
    assert hooked.hook == pytest.approx(2.0, abs=0.01)
    assert hooked.suspects == ()
    assert hooked.verdict is not SheetVerdict.REPRINT
    assert hooked.scale.x == pytest.approx(1.0, abs=1e-5)
    stretched = judge(listed, [TapedDistance(d, d.true * 1.003, TAPE) for d in listed])
    assert stretched.hook is None
    assert stretched.verdict is SheetVerdict.REPRINT


def test_what_to_measure_next_settles_a_half_empty_form(demo_frame: Frame):
    """Half of the rows were empty and it ended undetermined, asking for all that were left."""
    listed = drawn(demo_frame)
    level = sorted(listed, key=lambda d: abs(d.dy))[:3]
    first = [TapedDistance(d, d.true, TAPE) for d in level]
    found = judge(listed, first, sigma=TAPE)
    assert found.verdict is SheetVerdict.UNDETERMINED
    assert 1 <= len(found.next) <= 3
    assert not set(found.next) & set(level)
    again = judge(listed, [*first, *(TapedDistance(d, d.true, TAPE) for d in found.next)], sigma=TAPE)
    assert again.verdict is SheetVerdict.USE
    assert again.next == ()
