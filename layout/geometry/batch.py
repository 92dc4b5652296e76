"""Many frames with the same known dimensions, solved together as arrays.

One frame of them is solved with the whole search; the others follow from its root, or
roots, by Newton's method on arrays, block by block. A frame that does not arrive at one
that can be built is solved by itself, with the whole search.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from layout.errors import SolveError
from layout.geometry.candidates import Candidate, sane_frames
from layout.geometry.derivative import Floats, jacobian
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import LEVEL, SLOPE_LIMIT, STANDOVER_WISH, STEEPEST, STOOD_OVER, Equation
from layout.geometry.newton import RESIDUAL, many_eliminated, newton
from layout.geometry.plane import UNKNOWNS, Plane
from layout.geometry.problem import Agreement, Problem, read
from layout.geometry.sanity import buildable
from layout.geometry.solver import solve_frame
from layout.geometry.structure import Structure, resloped, structure

_CHUNK = 2048
"""Frames handled at once: their arrays stay in the processor's cache."""
_FIT_STEPS = 20

Values = dict[str, Floats]


@dataclass(frozen=True)
class Frames:
    """Solved frames: base parameters, each of shape (N,), and whether each frame was found.

    Values of a frame that was not found are NaN.
    """

    parameters: Values
    solved: NDArray[np.bool_]

    def dimension(self, name: str) -> Floats:
        """A dimension of the registry for every frame, mm or degrees, shape (N,).

        NaN where rider, cockpit or crank numbers that it needs were not given.
        """
        dimension, frame = REGISTRY[name], Plane(self.parameters)
        if not all(map(frame.has, dimension.needs)):
            return np.full(len(self.solved), np.nan)
        with np.errstate(all="ignore"):
            return np.where(self.solved, dimension.function(frame), np.nan)


def solve_many(
    given: Mapping[str, ArrayLike],
    held: Mapping[str, float] | None = None,
    *,
    choose: Mapping[str, float] | None = None,
    agreement: Agreement | None = None,
) -> Frames:
    """Solve N frames from the same known dimensions.

    `given` maps dimension names to numbers or arrays of shape (N,), mm or degrees; `held`
    part sizes to mm. Frames take the root that continues from the middle frame's, by
    `choose` or the more usual where that has two. Raises SolveError where the dimensions
    themselves do not fix a frame, or no frame at all is found to begin with.
    """
    arrays = {n: np.asarray(v, float) for n, v in given.items()}
    shape = np.broadcast_shapes((1,), *(v.shape for v in arrays.values()))
    whole = {n: np.broadcast_to(v, shape) for n, v in arrays.items()}
    held, choose, agreement = held or {}, choose or {}, agreement or Agreement()
    problem, start = _reference(whole, held, choose, agreement)
    pieces = []
    for first in range(0, shape[0], _CHUNK):
        part = {n: v[first : first + _CHUNK] for n, v in whole.items()}
        pieces.append(_chunk(problem, start, part, held, choose))
    names = pieces[0].parameters
    joined = {n: np.concatenate([p.parameters[n] for p in pieces]) for n in names}
    return Frames(joined, np.concatenate([p.solved for p in pieces]))


def _reference(
    whole: Mapping[str, Floats], held: Mapping[str, float], choose: Mapping[str, float], agreement: Agreement
) -> tuple[Problem, Candidate]:
    """The frame to start from: of the middle values, or else one of the frames themselves."""
    count = len(next(iter(whole.values()))) if whole else 1
    tries = [{n: float(np.median(v)) for n, v in whole.items()}]
    tries += [{n: float(v[i]) for n, v in whole.items()} for i in (0, count // 2, count - 1)]
    failure: SolveError | None = None
    for values in tries:
        try:
            problem = read(values, held, choose, agreement)
            best = solve_frame(values, held, choose=choose, agreement=agreement).parameters
            frames = sane_frames(problem)
            return problem, next(f for f in frames if f.parameters == best)
        except SolveError as error:
            failure = failure or error
    assert failure is not None
    raise failure


def _chunk(
    problem: Problem,
    start: Candidate,
    given: Mapping[str, Floats],
    held: Mapping[str, float],
    choose: Mapping[str, float],
) -> Frames:
    count = len(next(iter(given.values())))
    found = structure(problem.names)
    base = {**problem.base, **{n: given[n] for n in problem.inputs}}
    known = {e.name: _goal(e, given, count) for e in found.known}
    frame: Values = {n: np.broadcast_to(np.asarray(v, float), (count,)) for n, v in {**base, **known}.items()}
    frame, arrived = _followed(found, frame, start.parameters, given)
    frame, agreed = _fitted(problem, found, frame, given)
    frame, placed = _sloped(problem, found, frame, given)
    with np.errstate(all="ignore"):
        sound = arrived & placed & buildable(Plane(frame), {e.name for e in found.defaults})
    solved = sound & agreed & _in_range(given)
    frame = {n: np.array(v) for n, v in frame.items()}
    for i in np.nonzero(~sound & _in_range(given))[0].tolist():
        try:
            values = {n: float(v[i]) for n, v in given.items()}
            alone = solve_frame(values, held, choose=choose, agreement=problem.agreement).parameters
            solved[i] = True
        except SolveError:
            alone = {}
        for name, array in frame.items():
            array[i] = alone.get(name, np.nan)
    for array in frame.values():
        array[~solved] = np.nan
    return Frames(frame, solved)


def _in_range(given: Mapping[str, Floats]) -> NDArray[np.bool_]:
    kept = [REGISTRY[n].is_sane(v) for n, v in given.items()]
    return np.asarray(np.logical_and.reduce(kept), bool)


def _goal(equation: Equation, given: Mapping[str, Floats], count: int) -> Floats:
    return given[equation.name] if equation.value is None else np.full(count, equation.value)


def _followed(
    found: Structure, frame: Values, start: Mapping[str, float | Floats], given: Mapping[str, Floats]
) -> tuple[Values, NDArray[np.bool_]]:
    """Solve the blocks whose unknowns `frame` lacks, from the values of `start`."""
    count = len(next(iter(frame.values())))
    solved = np.ones(count, bool)
    blocks = [b for b in found.blocks if not all(c in frame for c in b.columns)]
    filler = {c: np.broadcast_to(np.asarray(start[c], float), (count,)) for b in blocks for c in b.columns}
    frame = {**filler, **frame}
    for block in blocks:
        goal = np.array([_goal(e, given, count) for e in block.equations])
        x = np.array([filler[c] for c in block.columns])
        x, miss = newton(block.equations, block.columns, frame, goal, x)
        frame = {**frame, **dict(zip(block.columns, x, strict=True))}
        solved &= miss < RESIDUAL
    return frame, solved


def _sloped(
    problem: Problem,
    found: Structure,
    frame: Values,
    given: Mapping[str, Floats],
) -> tuple[Values, NDArray[np.bool_]]:
    """Slope the top tubes that are level by default and stand too high; whether each has its place."""
    solved = np.ones(len(next(iter(frame.values()))), bool)
    if LEVEL not in found.defaults:
        return frame, solved
    frame = {n: np.array(v) for n, v in frame.items()}
    rules: Sequence[tuple[Equation, float]] = ((STOOD_OVER, SLOPE_LIMIT), (STEEPEST, np.inf))
    todo = np.nonzero(REGISTRY["standover"].function(Plane(frame)) > STANDOVER_WISH)[0]
    for rule, steepest in rules:
        if not len(todo):
            break
        other, blocks = resloped(problem.names, rule)
        moving = {c for b in blocks for c in b.columns}
        part = {n: v[todo] for n, v in frame.items()}
        kept = {n: v for n, v in part.items() if n not in moving}
        some = {n: v[todo] for n, v in given.items()}
        new, good = _followed(other, kept, part, some)
        new, _ = _fitted(problem, other, new, some)
        for name, values in new.items():
            frame[name][todo] = values
        solved[todo] = good
        todo = todo[~(Plane(new).top_tube_rise <= steepest + RESIDUAL)]
    return frame, solved


def _fitted(
    problem: Problem,
    found: Structure,
    frame: Values,
    given: Mapping[str, Floats],
) -> tuple[Values, NDArray[np.bool_]]:
    """Fit redundant numbers by weighted least squares; whether those of each frame agree."""
    count = len(next(iter(frame.values())))
    if not found.circuits:
        return frame, np.ones(count, bool)
    equations = [*found.equations, *(c.redundant for c in found.circuits)]
    columns = [c for c in UNKNOWNS if c in found.columns]
    weight = np.array([1.0 / problem.agreement.of(e) for e in equations])[:, None]
    goal = np.array([_goal(e, given, count) for e in equations])
    miss = np.zeros_like(goal)
    for _ in range(_FIT_STEPS):
        values, rows = jacobian([e.function for e in equations], frame, columns)
        miss = (goal - values) * weight
        rows = rows * weight[:, None]
        step = many_eliminated(np.einsum("mis,mjs->ijs", rows, rows), np.einsum("mis,ms->is", rows, miss))
        frame = {**frame, **{c: frame[c] + s for c, s in zip(columns, step, strict=True)}}
        if float(np.nanmax(np.abs(step))) < RESIDUAL:
            break
    return frame, np.max(np.abs(miss), axis=0) <= 1.0
