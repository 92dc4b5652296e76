"""Is a plotted sheet true? Tape readings between its crosses tell, and tell how to correct it.

A print makes of the drawing's x and y axes what the printer, the paper and the weather will:

    y printed |   / skew      x axis:  scale.x long for each mm of the drawing
              |  /            y axis:  scale.y long, leaning to +x by skew
              | /
              |/____ x        a distance (dx, dy) is printed
                              sqrt(x^2 dx^2 + 2 x y sin(skew) dx dy + y^2 dy^2) long

The three are fitted to the readings, and where these show it a fourth: the tape's hook, which adds the
same to every reading, long or short. The verdict is on the drawing's own check distances, as
the fit makes them, so that no single reading decides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np

from layout.checks.fit import HALF_WIDTH_95, Fit, FitModel, Floats, fitted

LIMIT_PART, LIMIT_LEAST = 0.0015, 0.5
"""A check distance may be off by 0.15 % or 0.5 mm, whichever is greater."""

LEAST_HOOKED = 5
"""Readings that tell a hook that is off from a scale: the three of the print, it, and one more."""
MOST_HOOK = 3.0
"""A hook is loose or bent by no more than this, mm: common practice."""
HOOK_SEEN = 0.1
"""In deviations of its own: less is no hook at all, and the sheet is judged by its limits to the letter."""
MOST_NEXT = 3
"""Readings that are asked for next, at most."""
_UNKNOWN = 1e-9
"""Information that stands for none: what nothing has measured is very wide, not infinite."""

_START = (1.0, 1.0, 0.0)


class SheetVerdict(StrEnum):
    """What to do with the sheet."""

    USE = "use"
    REPRINT = "reprint"
    UNDETERMINED = "undetermined"


class Distance(NamedTuple):
    """Two named points and the way from one to the other on the drawing, mm."""

    start: str
    end: str
    dx: float
    dy: float

    @property
    def true(self) -> float:
        """The distance drawn."""
        return math.hypot(self.dx, self.dy)

    @property
    def limit(self) -> float:
        """How far it may be off on paper."""
        return max(LIMIT_PART * self.true, LIMIT_LEAST)


@dataclass(frozen=True)
class TapedDistance:
    """A distance with what the tape read and the reading's standard deviation, mm."""

    distance: Distance
    measured: float
    sigma: float


class SuspectDistance(NamedTuple):
    """A reading set aside; `expected` is what the others say it should read, None where they cannot."""

    distance: Distance
    measured: float
    expected: float | None


class Axes(NamedTuple):
    """One number for each of the print's x scale, y scale and skew (degrees); None where not known."""

    x: float | None
    y: float | None
    skew: float | None


class Estimated(NamedTuple):
    """A check distance: what the fit makes of it and the 95 % half-width of that; None where unknown."""

    distance: Distance
    estimate: float | None
    half_width: float | None

    @property
    def known(self) -> bool:
        """Whether it is known well enough to judge it by its limit."""
        return self.half_width is not None and self.half_width <= self.distance.limit

    @property
    def within(self) -> bool:
        """Whether the estimate is within the limit."""
        return self.estimate is not None and abs(self.estimate - self.distance.true) <= self.distance.limit


class Judgement(NamedTuple):
    """The verdict with all it rests on.

    `compensation` is what the printer's x and y are to be set to, along the paper's axes; None
    where there is nothing to say. `skew_alone` says that the sheet fails by its skew only, which
    no compensation corrects; `skew_stays` that it would still fail by it once the scales are corrected.
    `wrong` is how many of the suspects are misread at least. `found` is False where no print at all
    has these readings. `hook` is what the tape likely adds to every reading, mm, already taken off; None
    where the readings show none. `next` are the distances that would settle it, best first, where they
    have not. `hook_or_stretch` says that a hook that is off would explain the readings as well as the
    paper does.
    """

    verdict: SheetVerdict
    scale: Axes
    uncertainty: Axes
    suspects: tuple[SuspectDistance, ...]
    wrong: int
    checks: tuple[Estimated, ...]
    compensation: tuple[float, float] | None
    skew_alone: bool
    skew_stays: bool
    scatter: float
    found: bool = True
    hook: float | None = None
    next: tuple[Distance, ...] = ()
    hook_or_stretch: bool = False


def judge(
    checks: Sequence[Distance],
    readings: Sequence[TapedDistance],
    printer: tuple[float, float] = (1.0, 1.0),
    turned: bool = False,
    *,
    sigma: float = 0.5,
) -> Judgement:
    """Judge a sheet by `readings` of any of its distances.

    `printer` is the compensation the sheet was printed with, along the paper's axes; `turned`
    says that the drawing's x lies along printer.y; `sigma` is the deviation of a reading yet to be taken, mm.
    """
    model = _model(readings)
    fit = fitted(model)
    scale, deviation = _axes(fit)
    estimated = tuple(_estimate(fit, checks))
    if not all(e.known for e in estimated):
        verdict = SheetVerdict.UNDETERMINED
    else:
        verdict = SheetVerdict.USE if all(e.within for e in estimated) else SheetVerdict.REPRINT
    either = verdict is SheetVerdict.REPRINT and _hook_explains(model, fit, checks)
    if either:
        verdict = SheetVerdict.UNDETERMINED
    failing = verdict is SheetVerdict.REPRINT
    x, y, skew = (float(p) for p in fit.parameters)
    skew_fails = failing and not _all_within(checks, (1.0, 1.0, skew))
    skew_alone = skew_fails and _all_within(checks, (x, y, 0.0))
    corrected = None
    if verdict is not SheetVerdict.UNDETERMINED and not skew_alone:
        along, square = (y, x) if turned else (x, y)
        corrected = printer[0] * along, printer[1] * square
    return Judgement(
        verdict,
        scale,
        deviation,
        tuple(_suspects(fit, readings)),
        wrong=fit.wrong,
        checks=estimated,
        compensation=corrected,
        skew_alone=skew_alone,
        skew_stays=skew_fails and not skew_alone,
        scatter=fit.scatter,
        found=fit.found,
        hook=fit.causes.get(0),
        next=_best_next(checks, readings, fit, sigma) if verdict is SheetVerdict.UNDETERMINED else (),
        hook_or_stretch=either,
    )


def _hook_explains(model: FitModel, fit: Fit, checks: Sequence[Distance]) -> bool:
    """Whether a sheet that seems to fail is true if the tape's hook is off, by no more than a hook may be.

    Within one deviation, where the readings show anything of a hook.
    """
    if model.causes is None or fit.causes:
        return False
    hooked = fitted(model.with_causes((0,)))
    axes, hook = hooked.parameters[:3], float(hooked.parameters[3])
    ways, true = _ways(checks), np.array([c.true for c in checks])
    limits = np.array([c.limit for c in checks])
    gradients = np.hstack([_gradients(ways, axes), np.zeros((len(ways), 1))])
    off = np.abs(printed_lengths(ways, axes) - true)
    own = float(hooked.deviations(np.eye(4)[3:])[0])
    spread = hooked.deviations(gradients) if abs(hook) > HOOK_SEEN * own else 0.0
    return hooked.found and abs(hook) <= MOST_HOOK and bool(np.all(off <= limits + spread))


def _best_next(
    checks: Sequence[Distance], readings: Sequence[TapedDistance], fit: Fit, sigma: float
) -> tuple[Distance, ...]:
    """The distances not read yet that make every check distance known, or the nearest to it, best first."""
    used = [r for r, kept in zip(readings, fit.used, strict=True) if kept]
    done = {frozenset((r.distance.start, r.distance.end)) for r in readings}
    left = [d for d in checks if frozenset((d.start, d.end)) not in done]
    at = fit.parameters
    information = _UNKNOWN * np.eye(3) + _information(used, at) / fit.scatter**2
    gradients, limits = _gradients(_ways(checks), at), np.array([d.limit for d in checks])

    def worst(known: Floats) -> float:
        try:
            variance = np.einsum("ki,ij,kj->k", gradients, np.linalg.inv(known), gradients)
        except np.linalg.LinAlgError:
            return math.inf
        return float(np.max(HALF_WIDTH_95 * np.sqrt(np.maximum(variance, 0.0)) / limits))

    chosen: list[Distance] = []
    while left and len(chosen) < MOST_NEXT and worst(information) > 1.0:
        with_each = [information + _information([TapedDistance(d, d.true, sigma)], at) for d in left]
        best = int(np.argmin([worst(known) for known in with_each]))
        information = with_each[best]
        chosen.append(left.pop(best))
    return tuple(chosen)


def _information(readings: Sequence[TapedDistance], at: Floats) -> Floats:
    """What readings tell of x scale, y scale and skew: the inverse of their covariance, (3, 3)."""
    weighed = _gradients(_ways([r.distance for r in readings]), at)
    weighed = weighed / np.array([r.sigma for r in readings], dtype=float).reshape(-1, 1)
    return np.asarray(weighed.T @ weighed)


def printed_lengths(ways: Floats, axes: tuple[float, float, float] | Floats) -> Floats:
    """How long the distances with these ways (k, 2) are on a print of x scale, y scale and skew (rad), mm."""
    x, y, skew = axes
    dx, dy = ways[:, 0], ways[:, 1]
    square = (x * dx) ** 2 + 2 * x * y * np.sin(skew) * dx * dy + (y * dy) ** 2
    return np.asarray(np.sqrt(np.maximum(square, 0.0)))


def _gradients(ways: Floats, axes: Floats) -> Floats:
    """Derivatives of `printed_lengths` by x scale, y scale and skew, (k, 3); NaN for a point."""
    x, y, skew = axes
    dx, dy = ways[:, 0], ways[:, 1]
    along_x = x * dx * dx + y * np.sin(skew) * dx * dy
    along_y = y * dy * dy + x * np.sin(skew) * dx * dy
    lean = x * y * np.cos(skew) * dx * dy
    with np.errstate(all="ignore"):
        return np.asarray(np.stack([along_x, along_y, lean], axis=1) / printed_lengths(ways, axes)[:, None])


def _ways(distances: Sequence[Distance]) -> Floats:
    return np.array([(d.dx, d.dy) for d in distances], dtype=float).reshape(-1, 2)


def _model(readings: Sequence[TapedDistance]) -> FitModel:
    ways = _ways([r.distance for r in readings])
    return FitModel(
        np.array([r.measured for r in readings], dtype=float),
        np.array([r.sigma for r in readings], dtype=float),
        lambda p: printed_lengths(ways, p),
        lambda p: _gradients(ways, p),
        start=np.array(_START),
        causes=np.ones((len(readings), 1)) if len(readings) >= LEAST_HOOKED else None,
    )


def _axes(fit: Fit) -> tuple[Axes, Axes]:
    """The print's axes with their standard deviations, skew in degrees."""
    deviations = fit.deviations(np.eye(3))
    degrees = np.array([1.0, 1.0, math.degrees(1.0)])
    shown = [
        (float(p), float(s)) if math.isfinite(s) else (None, None)
        for p, s in zip(fit.parameters * degrees, deviations * degrees, strict=True)
    ]
    return Axes(*(p for p, _ in shown)), Axes(*(s for _, s in shown))


def _estimate(fit: Fit, distances: Sequence[Distance]) -> list[Estimated]:
    ways = _ways(distances)
    values = printed_lengths(ways, fit.parameters)
    widths = HALF_WIDTH_95 * fit.deviations(_gradients(ways, fit.parameters))
    return [
        Estimated(d, float(v), float(w)) if math.isfinite(v + w) else Estimated(d, None, None)
        for d, v, w in zip(distances, values, widths, strict=True)
    ]


def _all_within(checks: Sequence[Distance], axes: tuple[float, float, float]) -> bool:
    values = printed_lengths(_ways(checks), axes)
    return all(abs(float(v) - c.true) <= c.limit for c, v in zip(checks, values, strict=True))


def _suspects(fit: Fit, readings: Sequence[TapedDistance]) -> list[SuspectDistance]:
    aside = [readings[i] for i in fit.suspects]
    expected = _estimate(fit, [r.distance for r in aside])
    return [SuspectDistance(r.distance, r.measured, e.estimate) for r, e in zip(aside, expected, strict=True)]
