"""Weighted least squares over readings, with misreadings found and set aside.

Readings of anything are fitted by parameters of anything: `linear` takes a design matrix,
`FitModel` a function and its derivative. Uncertainties are one standard deviation throughout.

Misreadings are found by the standardised residual (Baarda's data snooping): of all sets of
readings, from one upward, the smallest whose removal leaves the rest in agreement is suspect.
Sets that explain the readings as well are suspect with it: where one of two readings must be
wrong and nothing tells which, both are. A cause that several readings share (a gauge's false zero, a tape's
hook) is tried as one reading more: V in the place of the rows of S. Where it is likely its size is fitted.

The arithmetic is that by which a spec's numbers are searched (geometry/diagnosis/snooping.py).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from math import comb
from statistics import NormalDist
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from layout.geometry.diagnosis.snooping import WATCHED, gains, standardised, without

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Function = Callable[[Floats], Floats]

HALF_WIDTH_95 = 1.959964
"""Half-width of a 95 % interval over the standard deviation: normal distribution, two-sided."""

CRITICAL = 3.29
"""A larger standardised residual is a misreading: two-sided 0.1 % of a normal distribution."""

ACCUSED = 0.01
"""The part of sets of good readings that has one accused, at most: of many each must be further off."""

TELL_APART = 9.2
"""Two sets whose sums of squares differ by less cannot be told apart: 99 to 1, 2 ln 99."""

LIKELIER = 4.6
"""A cause that readings share is ten times likelier than a slip that looks like it, 2 ln 10:
where it explains them as well it is named alone."""

MOST_WRONG = 3
"""Misreadings looked for at once; more than that is no longer a set of good readings with slips."""

MOST_SETS = 20_000
"""Sets tried of one size: with more readings than this allows, smaller sets have to do."""

_RANK = 1e-9
"""Singular values below this part of the largest are zero: what no reading reaches."""
_REACHED = 1e-6
"""The part of a gradient (over its length) along unreached directions that counts as none."""
_STEPS = 50
_SETTLED = 1e-9
"""A step that moves every reading by less than this part of its sigma ends the search."""
_ROUNDS = 5


class FitModel(NamedTuple):
    """Readings and what they are readings of.

    `observed` and `sigma` (n); `predict` takes parameters (m) to readings (n), `derivative`
    to their derivatives (n, m); `start` (m) is where the search begins and where parameters
    stay that no reading reaches. `causes` (n, k) is what each cause that readings may share adds to
    every reading, for one unit of it.
    """

    observed: Floats
    sigma: Floats
    predict: Function
    derivative: Function
    start: Floats
    causes: Floats | None = None

    @property
    def shared(self) -> Floats:
        """The causes; none where the model names none."""
        return np.zeros((len(self.observed), 0)) if self.causes is None else self.causes

    def with_causes(self, likely: Sequence[int]) -> FitModel:
        """The same with the sizes of some causes as parameters more, after its own."""
        if not likely:
            return self
        own, added = len(self.start), self.shared[:, list(likely)]
        return FitModel(
            self.observed,
            self.sigma,
            lambda p: self.predict(p[:own]) + added @ p[own:],
            lambda p: np.hstack([self.derivative(p[:own]), added]),
            start=np.append(self.start, np.zeros(len(likely))),
        )


@dataclass(frozen=True)
class Fit:
    """Parameters (m) that fit the readings in use, and how well they are known.

    `residuals` are observed less predicted, set aside or not; `standardised` and `redundancy`
    are those of the fit with all readings. `suspects` are set aside, of which at least `wrong`
    are misread. `scatter` is 1, or how many times farther than stated the readings scatter
    where they disagree even without the suspects; `covariance` has it included. `found` is False
    where the readings lead to where the model has no value: the parameters are those of the start
    then, and nothing is known of them. `causes` are those of the model that are likely, with their sizes:
    readings keep their part in the fit then, less what the cause adds.
    """

    parameters: Floats
    covariance: Floats
    unreached: Floats
    residuals: Floats
    standardised: Floats
    redundancy: Floats
    suspects: tuple[int, ...]
    wrong: int
    scatter: float
    found: bool = True
    causes: Mapping[int, float] = field(default_factory=dict)

    @property
    def used(self) -> Bools:
        """Which readings the parameters were fitted to."""
        used = np.ones(len(self.residuals), dtype=bool)
        used[list(self.suspects)] = False
        return used

    def deviations(self, gradients: Floats) -> Floats:
        """One standard deviation of each quantity with these gradients (k, m); inf where none is known."""
        with np.errstate(all="ignore"):
            length = np.linalg.norm(gradients, axis=1)
            beyond = np.linalg.norm(gradients @ self.unreached, axis=1) > _REACHED * length
            variance = np.einsum("ki,ij,kj->k", gradients, self.covariance, gradients)
            return np.where(beyond, np.inf, np.sqrt(np.maximum(variance, 0.0)))


class _AstrayError(Exception):
    """The search stands where the model has no finite value or derivative."""


def linear(design: Floats, observed: Floats, sigma: Floats) -> FitModel:
    """The model of readings that are `design` (n, m) times the parameters."""
    return FitModel(observed, sigma, lambda p: design @ p, lambda _: design, start=np.zeros(design.shape[1]))


def fitted(model: FitModel) -> Fit:
    """The robust fit: suspects found, set aside, and the rest fitted again.

    They are looked for at the start first, so that a slip of a digit cannot carry the fit away
    before it is found, and then again where the others lead. Readings that lead to where the model
    has no value have no fit.
    """
    with np.errstate(all="ignore"):
        try:
            return _searched(model)
        except _AstrayError:
            return _nowhere(model)


def _searched(model: FitModel) -> Fit:
    own = len(model.start)
    first = found = _snooped(model, np.array(model.start, dtype=float))
    for _ in range(_ROUNDS):
        at = _solved(model.with_causes(found.causes), found.used)
        again = _snooped(model, at.parameters[:own])
        if (again.suspects, again.causes, again.wrong) == (found.suspects, found.causes, found.wrong):
            break
        found = again
    else:
        at = _solved(model.with_causes(found.causes), found.used)
    scatter = found.scatter
    return Fit(
        at.parameters[:own],
        at.covariance[:own, :own] * scatter**2,
        at.unreached[:own],
        model.observed - model.predict(at.parameters[:own]),
        standardised=first.standardised,
        redundancy=first.redundancy,
        suspects=found.suspects,
        wrong=found.wrong,
        scatter=scatter,
        causes=dict(zip(found.causes, at.parameters[own:].tolist(), strict=True)),
    )


def _nowhere(model: FitModel) -> Fit:
    """What is left to say where there is no fit: the start, and that nothing is known."""
    start = np.array(model.start, dtype=float)
    count, size = len(model.observed), len(start)
    none = np.zeros(count)
    residuals = model.observed - model.predict(start)
    return Fit(
        start,
        np.zeros((size, size)),
        np.eye(size),
        residuals,
        standardised=none,
        redundancy=none,
        suspects=(),
        wrong=0,
        scatter=1.0,
        found=False,
    )


class _Solved(NamedTuple):
    parameters: Floats
    covariance: Floats
    unreached: Floats


def _solved(model: FitModel, used: Bools) -> _Solved:
    """Least squares over the readings in use (Gauss-Newton).

    Steps are halved where they do not help, or lead to where the model has no value.
    """
    at = np.array(model.start, dtype=float)
    misfit = _whitened(model, at, used)
    for _ in range(_STEPS):
        reach = _reach(model, at, used)
        step = reach.inverse @ misfit
        before, size = float(misfit @ misfit), 1.0
        tried = _whitened(model, at + step, used)
        while not float(tried @ tried) <= before * (1 + 1e-12) and size > 1e-6:
            size /= 2
            tried = _whitened(model, at + size * step, used)
        if not np.isfinite(tried).all():
            break
        at, misfit = at + size * step, tried
        if not len(misfit) or float(np.max(np.abs(reach.design @ step))) < _SETTLED:
            break
    reach = _reach(model, at, used)
    covariance = reach.inverse @ reach.inverse.T
    return _Solved(at, _finite(covariance), _finite(reach.unreached))


class _Reach(NamedTuple):
    """The whitened design, its pseudo-inverse, orthonormal bases of its range and of what it misses."""

    design: Floats
    inverse: Floats
    range: Floats
    unreached: Floats


def _reach(model: FitModel, at: Floats, used: Bools) -> _Reach:
    """The design at `at`; columns are brought to one length first, so that units do not decide the rank."""
    design = _finite(model.derivative(at)[used] / model.sigma[used, None])
    scale = _finite(np.linalg.norm(design, axis=0))
    scale[scale == 0.0] = 1.0
    u, s, vt = np.linalg.svd(design / scale, full_matrices=True)
    rank = int(np.sum(s > _RANK * s[0])) if len(s) and s[0] > 0 else 0
    inverse = (vt[:rank].T / s[:rank]) @ u[:, :rank].T / scale[:, None]
    free = vt[rank:].T / scale[:, None]
    unreached = np.linalg.qr(free)[0] if free.shape[1] else free
    return _Reach(design, inverse, u[:, :rank], unreached)


def _finite(values: Floats) -> Floats:
    """The same numbers. Raises _AstrayError where one of them is none."""
    if not np.isfinite(values).all():
        raise _AstrayError
    return values


def _whitened(model: FitModel, at: Floats, used: Bools) -> Floats:
    return (model.observed - model.predict(at))[used] / model.sigma[used]


class _Snooped(NamedTuple):
    """Suspects of the model made linear at one place, with the residuals that tell."""

    standardised: Floats
    redundancy: Floats
    suspects: tuple[int, ...]
    causes: tuple[int, ...]
    wrong: int
    scatter: float

    @property
    def used(self) -> Bools:
        """Which readings are not suspect."""
        used = np.ones(len(self.redundancy), dtype=bool)
        used[list(self.suspects)] = False
        return used


def _snooped(model: FitModel, at: Floats) -> _Snooped:
    everything = np.ones(len(model.observed), dtype=bool)
    base = _reach(model, at, everything).range
    cofactors = np.eye(len(base)) - base @ base.T
    e = cofactors @ _finite(_whitened(model, at, everything))
    residuals, redundancy = standardised(e, cofactors), np.diag(cofactors).copy()
    count, ways = len(e), _ways(model)
    e, cofactors = ways.T @ e, ways.T @ cofactors @ ways
    likely, wrong = _suspects(e, cofactors, count)
    left, left_cofactors = without(e, cofactors, np.array(likely, dtype=int))
    scatter = 1.0
    if likely and np.max(np.abs(standardised(left, left_cofactors)), initial=0.0) > critical(count):
        left, freedom = left[:count], np.trace(left_cofactors[:count, :count])
        scatter = max(1.0, float(np.sqrt(left @ left / max(freedom, 1.0))))
    suspects = tuple(i for i in likely if i < count)
    causes = tuple(i - count for i in likely if i >= count)
    return _Snooped(residuals, redundancy, suspects, causes, wrong=wrong, scatter=scatter)


def _ways(model: FitModel) -> Floats:
    """What may be wrong, a column each, whitened: every reading alone, then every cause that some share."""
    shared = model.shared / model.sigma[:, None]
    length = np.linalg.norm(shared, axis=0)
    return np.hstack([np.eye(len(model.observed)), shared / np.where(length > 0.0, length, 1.0)])


def critical(readings: int) -> float:
    """The largest standardised residual that good readings have, by how many they are (Bonferroni).

    >>> critical(8), round(critical(25), 2)
    (3.29, 3.54)
    """
    return max(CRITICAL, NormalDist().inv_cdf(1.0 - ACCUSED / (2.0 * max(readings, 1))))


def _suspects(e: Floats, cofactors: Floats, readings: int) -> tuple[tuple[int, ...], int]:
    """What is likely wrong, and how much of it is at least.

    The first `readings` are readings; what follows are causes that some of them share.
    """
    watched = np.flatnonzero(np.diag(cofactors) > WATCHED)
    best: tuple[tuple[int, ...], int] = (), 0
    if np.max(np.abs(standardised(e, cofactors)), initial=0.0) <= critical(readings):
        return best
    for size in range(1, MOST_WRONG + 1):
        if not 0 < comb(len(watched), size) <= MOST_SETS:
            break
        sets = np.array(list(combinations(watched, size)), dtype=int)
        gain = gains(e, cofactors, sets)
        tied = sets[gain >= gain.max() - TELL_APART]
        shared = (sets >= readings).any(axis=1) & (gain >= gain.max() - LIKELIER)
        if shared.any():
            tied = sets[shared]
        best = tuple(int(i) for i in np.unique(tied)), size
        left, left_cofactors = without(e, cofactors, sets[int(gain.argmax())])
        if np.max(np.abs(standardised(left, left_cofactors)), initial=0.0) <= critical(readings):
            break
    return best
