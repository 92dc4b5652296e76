"""The frame that meets given numbers best: weighted least squares within bounds.

Each number weighs by its agreement; a default is held. Where the best frame misses a number
by more than its agreement, or cannot be built, the best is sought among those that do
neither (least squares with linear inequalities, made again at each step). Where there is none,
`excess` says by how much, in agreements, the worst must be missed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cache, cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from layout.geometry.bounded import least_squares_within
from layout.geometry.derivative import Floats, jacobian
from layout.geometry.equations import Equation
from layout.geometry.newton import Parameters
from layout.geometry.plane import Plane
from layout.geometry.sanity import Limit
from layout.geometry.starts import search_range

HELD = 0.01
"""Unit of an equation that must hold as it is, mm or degrees: its price while the search goes on."""
SLACK = 1e-5
"""Excess, in agreements, that is rounding."""
_STEPS = 30
_BOUND_STEPS = 16
_DONE = 1e-10
"""A step is the last where no unknown moves by more, mm or degrees."""
_NO_GAIN, _LITTLE_GAIN = 1e-6, 0.01
"""Shares of the squares that are no gain where numbers do not agree anyway, and where they are far off."""
_FAR = 4.0
"""Numbers whose squares are more than so many each are far from agreeing. Measured on 5,900 searches among 30
numbers, one or two of them wrong: none that came to agree gained so little while it was so far off."""
_LITTLE_FALL, _NEAR = 0.02, 0.05
"""The least share by which a step's excess falls, unless it is near already, in agreements. Measured on 1,300
searches within bounds: none that came to agree fell by less."""
_ROUNDING = 1e-6
"""A step no shorter than the one before, which moves no unknown by more, mm or degrees, is rounding."""
_SETTLED = 1e-6
"""A step within bounds is the last where it gains no more, as a share of the price."""
_RELAXED = 1e4
"""Price of one agreement of excess, beside that of one agreement of miss."""
_DAMPING = 1e-4
"""Pull toward where a step starts from, in agreements over an unknown's whole range: settles what is free."""
_LEAST, _DAMPED = 0.01, 1.0
_HARDER = 8.0
_STIFF = 1e4
"""A step is damped where it goes too far, and where it does not help: so much at least, then so many times
more, and at most so much. In agreements over an unknown's whole range."""


class Demand(NamedTuple):
    """One equation with the number it should equal.

    `unit` is what it may be missed by, mm or degrees, and its weight; a row that is not `bound` may
    be missed by any amount.
    """

    equation: Equation
    wanted: float
    unit: float
    bound: bool = True


class Question(NamedTuple):
    """What a frame is asked to meet: rows to keep by moving `columns`, and limits of what can be built."""

    columns: tuple[str, ...]
    rows: tuple[Demand, ...]
    limits: tuple[Limit, ...]


class Met(NamedTuple):
    """A frame, and its rows' misses (wanted less actual) in their units.

    `excess` is 0 where every bound row is met and the frame can be built. `held_back` says that the
    least squares lie beyond the bounds.
    """

    frame: Parameters
    misses: Floats
    excess: float
    held_back: bool = False

    @property
    def agrees(self) -> bool:
        """Whether every bound row is met and the frame can be built."""
        return self.excess <= SLACK

    def squares(self, rows: Iterable[Demand]) -> float:
        """Sum of the squared misses of the bound rows, in agreements."""
        return float(sum(m * m for m, r in zip(self.misses.tolist(), rows, strict=True) if r.bound))


def best(question: Question, start: Parameters) -> Met:
    """The frame near `start` that meets the question best.

    Within its bounds it is sought from the least squares and, since these may lead far away, from the
    start.
    """
    frame = least_squares(question, start)
    met = judged(question, frame)
    for begin in (frame, start):
        if not met.agrees:
            met = min(met, _within(question, begin), key=lambda m: m.excess)
    return met


def agreeing(question: Question, start: Parameters) -> Met | None:
    """The frame near `start` that meets the question best; None where it does not agree.

    Where all numbers are met within their units their squares are no more than their count: most that
    cannot agree are known by that, without looking for bounds.
    """
    frame = least_squares(question, start, _LITTLE_GAIN)
    met = judged(question, frame)
    if met.agrees:
        return met
    if not met.squares(question.rows) <= sum(r.bound for r in question.rows) * (1.0 + SLACK) ** 2:
        return None
    tried = (_within(question, f, _LITTLE_FALL) for f in (frame, start))
    return next((m for m in tried if m.agrees), None)


def least_squares(question: Question, start: Parameters, enough: float = 0.0) -> Parameters:
    """The frame near `start` with the least sum of squares, whether it agrees or not.

    Gauss-Newton, damped where a step does not help (Levenberg and Marquardt). A search that gains less than
    `enough` of the squares, far from agreeing, ends there.
    """
    frame, at, damping, before = start, _Straight(question, start), 0.0, math.inf
    far = _FAR * sum(r.bound for r in question.rows)
    with np.errstate(all="ignore"):
        for _ in range(_STEPS):
            step = at.least(damping)
            while _too_far(question.columns, step) and damping <= _STIFF:
                damping = max(_LEAST, damping * _HARDER)
                step = at.least(damping)
            moves = float(np.max(np.abs(step), initial=0.0))
            if moves < _DONE or damping > _STIFF or (before <= moves < _ROUNDING):
                break
            there = _moved(frame, question.columns, _capped(question.columns, step))
            new = _Straight(question, there)
            gain, before = at.size - new.size, moves
            if not gain >= -_DONE:
                damping = max(_DAMPED, damping * _HARDER)
                continue
            frame, at = there, new
            damping = damping / _HARDER if damping > _LEAST else 0.0
            asked_for = enough if at.size > far else 0.0
            if not damping and at.size > len(question.rows):
                asked_for = max(asked_for, _NO_GAIN)
            if 0.0 <= gain < asked_for * at.size:
                break
    return frame


def _too_far(columns: tuple[str, ...], step: Floats) -> bool:
    """Whether a step goes where no straight line leads, along what the numbers hardly settle."""
    return float(np.max(4.0 * np.abs(step) / _widths(columns), initial=0.0)) > 1.0


def _capped(columns: tuple[str, ...], step: Floats) -> Floats:
    """A step that moves no unknown by more than a quarter of its search range."""
    return step / max(1.0, float(np.max(4.0 * np.abs(step) / _widths(columns), initial=0.0)))


def _moved(frame: Parameters, columns: Sequence[str], step: Floats) -> Parameters:
    return {**frame, **{c: frame[c] + s for c, s in zip(columns, step.tolist(), strict=True)}}


def judged(question: Question, frame: Parameters) -> Met:
    """How a frame meets the question."""
    plane = Plane(frame)
    misses = np.array([(r.wanted - float(r.equation.function(plane))) / r.unit for r in question.rows])
    over = [limit.beyond(plane) for limit in question.limits]
    for miss, row in zip(np.abs(misses).tolist(), question.rows, strict=True):
        if row.bound:
            over.append(miss - 1.0)
        elif row.unit == HELD:
            over.append(miss)
    excess = max(over, default=0.0)
    return Met(frame, misses, max(0.0, excess) if math.isfinite(sum(over)) else math.inf)


def _within(question: Question, frame: Parameters, least_fall: float = 0.0) -> Met:
    """The best frame near `frame` among those that are within all bounds, or beyond them by least.

    A search whose excess falls by a smaller share than `least_fall` in a step, far from agreeing, ends there.
    """
    met = judged(question, frame)
    damping = _DAMPING
    for _ in range(_BOUND_STEPS):
        step = _Straight(question, met.frame, question.limits).within(damping)
        if step is None:
            break
        new = judged(question, _moved(met.frame, question.columns, _capped(question.columns, step)))
        gain = _price(met) - _price(new)
        if gain >= 0.0:
            slow = new.excess > _NEAR and new.excess > (1.0 - least_fall) * met.excess
            met = new._replace(held_back=True)
            if least_fall and slow:
                break
            damping = max(_DAMPING, damping / _HARDER)
            if gain < _SETTLED * max(1.0, _price(met)):
                break
        elif damping > _STIFF:
            break
        else:
            damping = max(_DAMPED, damping * _HARDER)
    return met


def _price(met: Met) -> float:
    price = float(met.misses @ met.misses) + (_RELAXED * met.excess) ** 2
    return price if math.isfinite(price) else math.inf


def clash(question: Question, frame: Parameters) -> tuple[int, ...]:
    """Bound rows that cannot be met together near `frame`, by index, while any fewer of them can.

    By a straight line from there; where they can be met, in no frame that can be built. All bound rows
    where that finds none.
    """
    for limits in ((), question.limits):
        straight = _Straight(question, frame, limits)
        members: list[int] = straight.bound.tolist()
        if straight.is_finite and not straight.holds(members):
            break
    else:
        return tuple(members)
    for row in list(members):
        rest = [m for m in members if m != row]
        if not straight.holds(rest):
            members = rest
    return tuple(members)


class _Straight:
    """A question made linear at one frame: misses and slopes of its rows in their units, and of limits.

    `size` is the sum of the squared misses.
    """

    def __init__(self, question: Question, frame: Parameters, limits: Sequence[Limit] = ()) -> None:
        rows, self.columns, self.limits = question.rows, question.columns, limits
        functions = [*(r.equation.function for r in rows), *(m.quantity for m in limits)]
        with np.errstate(all="ignore"):
            values, slopes = jacobian(functions, frame, self.columns)
        unit = np.array([r.unit for r in rows])
        self.miss = (np.array([r.wanted for r in rows]) - values[: len(rows)]) / unit
        self.slope = slopes[: len(rows)] / unit[:, None]
        self.size = float(self.miss @ self.miss)
        self.bound = np.flatnonzero([r.bound for r in rows])
        self.held = np.array([r.unit == HELD for r in rows], bool)
        self.beyond = values[len(rows) :], slopes[len(rows) :]

    @cached_property
    def _holding(self) -> tuple[Floats, Floats]:
        """The shortest step that closes the misses of what is held, and the directions that leave them."""
        q, r = np.linalg.qr(self.slope[self.held].T, mode="complete")
        count = r.shape[1]
        return q[:, :count] @ np.linalg.solve(r[:count].T, self.miss[self.held]), q[:, count:]

    def least(self, damping: float) -> Floats:
        """The step to the least squares, what is held being held."""
        at, across = self._holding
        slope, miss = self.slope[~self.held] @ across, self.miss[~self.held] - self.slope[~self.held] @ at
        if damping:
            pull = across * (damping / _widths(self.columns))[:, None]
            slope, miss = np.vstack([slope, pull]), np.append(miss, np.zeros(len(pull)))
        return np.asarray(at + across @ np.linalg.lstsq(slope, miss, rcond=None)[0], float)

    def within(self, damping: float) -> Floats | None:
        """The step to the least squares within all bounds; None where a value or slope is missing.

        One unknown more lets all bounds out together, at a high price.
        """
        if not self.is_finite:
            return None
        at, across = self._holding
        g, h = self._bounds(self.bound)
        slope, miss = self.slope[~self.held], self.miss[~self.held]
        pull = across * (damping / _widths(self.columns))[:, None]
        found = _loosened(np.vstack([slope @ across, pull]), miss - slope @ at, g @ across, h - g @ at)
        return None if found is None else at + across @ found

    @property
    def is_finite(self) -> bool:
        """Whether the frame has all values and slopes."""
        return bool(np.isfinite(self.slope).all() and all(np.isfinite(b).all() for b in self.beyond))

    def holds(self, rows: Sequence[int]) -> bool:
        """Whether a step meets these rows and the limits, whatever it makes of all others."""
        at, across = self._holding
        g, h = self._bounds(np.array(rows, int))
        widths = _widths(self.columns)[:, None]
        found = least_squares_within(across / widths, np.zeros(len(across)), g @ across, h - g @ at)
        return found is not None

    def _bounds(self, rows: NDArray[np.int_]) -> tuple[Floats, Floats]:
        """What a step must keep, as g step >= h: rows within their units, then limits."""
        slope, miss = self.slope[rows], self.miss[rows]
        g, h = [-slope, slope], [-1.0 - miss, miss - 1.0]
        for limit, value, along in zip(self.limits, *self.beyond, strict=True):
            for sign, end in ((1.0, limit.low), (-1.0, limit.high)):
                if math.isfinite(end):
                    g.append(sign * along[None] / limit.unit)
                    h.append(np.array([sign * (end - value) / limit.unit]))
        return np.vstack(g), np.concatenate(h)


@cache
def _widths(columns: tuple[str, ...]) -> Floats:
    return np.array([high - low for low, high in map(search_range, columns)])


def _loosened(slope: Floats, miss: Floats, g: Floats, h: Floats) -> Floats | None:
    """Least squares within bounds that one unknown more lets out together; rows beyond `miss` pull to 0."""
    count = slope.shape[1]
    e = np.zeros((len(slope) + 1, count + 1))
    e[:-1, :count] = slope
    e[-1, -1] = _RELAXED
    f = np.zeros(len(e))
    f[: len(miss)] = miss
    loose = np.ones((len(g) + 1, count + 1))
    loose[:-1, :count], loose[-1, :count] = g, 0.0
    found = least_squares_within(e, f, loose, np.append(h, 0.0))
    return None if found is None else found[:count]
