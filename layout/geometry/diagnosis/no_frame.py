"""Numbers that no sane frame satisfies, and the one of them that most likely causes it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from layout.errors import Fault
from layout.geometry.blocks import Block
from layout.geometry.derivative import Floats
from layout.geometry.diagnosis.explanation import NOTHING_MENDS, Explanation
from layout.geometry.diagnosis.mending import mends
from layout.geometry.diagnosis.words import listed, number
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import Equation
from layout.geometry.fit import weighted
from layout.geometry.newton import RESIDUAL, Parameters, target_of
from layout.geometry.plane import Plane
from layout.geometry.problem import Problem
from layout.geometry.sanity import Limit
from layout.geometry.starts import search_range, start_frames
from layout.geometry.structure import Structure

_PLACES = 400
"""Places over an unknown's range at which it is seen what a dimension can be."""
_ADVICE = 3
"""Numbers named that would mend a frame; more would not be read."""
_NEAREST_STARTS = 12
_NEAREST_STEPS = 40


def out_of_bounds(problem: Problem, found: Structure, frame: Parameters, why: Limit) -> Explanation:
    """The frame is found but cannot be built: the given numbers any one of which, changed, would mend it.

    Changes are compared as shares of the sane ranges; numbers outside usual practice are
    suspected first.
    """
    reason = why.reason(Plane(frame))
    found_mends = mends(problem, found, frame, why)
    if not found_mends:
        text = f"no frame can be built from these numbers: {reason}"
        return Explanation(Fault(text, "no_frame", why.name), NOTHING_MENDS)
    first, *others = found_mends[:_ADVICE]
    text = (
        f"{first.name} is {number(problem.targets[first.name], first.name)}: {reason}. With the other numbers"
        f" as they are, {first.name} would have to be about {number(first.value, first.name)}"
    )
    if others:
        text += f", or {listed([f'{m.name} about {number(m.value, m.name)}' for m in others], 'or')}"
    return Explanation(Fault(text, "no_frame", first.name), first.change)


def no_root(problem: Problem, block: Block, frame: Parameters) -> Fault:
    """A block has no solution: the given number that the others cannot reach, and how near they come."""
    if len(block.columns) == 1:
        return _out_of_reach(problem, block.equations[0], block.columns[0], frame)
    nearest = _nearest(problem, block, frame)
    miss, _ = weighted(block.equations, block.columns, nearest, problem.targets, agreement=problem.agreement)
    ranked = sorted(zip(np.abs(miss).tolist(), block.equations, strict=True), key=lambda r: -r[0])
    members = [e for _, e in ranked if e.value is None] or [ranked[0][1]]
    plane = Plane(nearest)
    near = {e.name: float(e.function(plane)) for e in members}
    wanted = [f"{n} {number(problem.targets.get(n, v), n)}" for n, v in near.items()]
    came = [f"{n} {number(v, n)}" for n, v in near.items()]
    text = f"no frame has {listed(wanted)} together; the nearest has {listed(came)}"
    return Fault(text, "no_frame", members[0].name)


def _out_of_reach(problem: Problem, equation: Equation, column: str, frame: Parameters) -> Fault:
    name = equation.name
    if equation.value is not None:
        text = f"the default of {name} has no place on this frame; give {name}"
        return Fault(text, "no_frame", name)
    at = np.linspace(*search_range(column), _PLACES)
    with np.errstate(all="ignore"):
        values: Floats = np.asarray(equation.function(Plane({**frame, column: at})), float)
    values = values[np.isfinite(values)]
    target = problem.targets[name]
    if len(values) and float(np.max(np.abs(values - target))) < RESIDUAL:
        free = (column,) if column in REGISTRY else ()
        text = f"{name} holds whatever {column} is; give {column}"
        return Fault(text, "insufficient", None, free=(free,) if free else ())
    text = f"{name} is {number(target, name)}, which the other numbers cannot give"
    if len(values):
        low, high = float(values.min()), float(values.max())
        bound = f"at least {number(low, name)}" if target < low else f"at most {number(high, name)}"
        if not low <= target <= high:
            text = f"{name} is {number(target, name)}; with the other numbers it is {bound}"
    return Fault(text, "no_frame", name)


def _nearest(problem: Problem, block: Block, frame: Parameters) -> Parameters:
    """The values of a block's unknowns that miss its equations least (damped Gauss-Newton)."""
    starts = start_frames()
    best: tuple[float, Parameters] | None = None
    for i in range(_NEAREST_STARTS):
        there = _descended(problem, block, {**frame, **{c: float(starts[c][i]) for c in block.columns}})
        miss = _size(problem, block, there, problem.targets)
        if best is None or miss < best[0]:
            best = (miss, there)
    assert best is not None
    return best[1]


def _size(problem: Problem, block: Block, frame: Parameters, targets: Mapping[str, float]) -> float:
    plane = Plane(frame)
    size = 0.0
    for e in block.equations:
        size += ((float(e.function(plane)) - target_of(e, targets)) / problem.agreement.of(e)) ** 2
    return size if size == size else np.inf


def _descended(problem: Problem, block: Block, frame: Parameters) -> Parameters:
    ranges = {c: search_range(c) for c in block.columns}
    size = _size(problem, block, frame, problem.targets)
    damping = 1.0
    for _ in range(_NEAREST_STEPS):
        miss, rows = weighted(
            block.equations, block.columns, frame, problem.targets, agreement=problem.agreement
        )
        if not np.all(np.isfinite(rows)):
            break
        step = np.linalg.solve(rows.T @ rows + damping * np.eye(len(miss)), rows.T @ miss).tolist()
        moved = {c: frame[c] + s for c, s in zip(block.columns, step, strict=True)}
        new = {**frame, **{c: min(max(v, ranges[c][0]), ranges[c][1]) for c, v in moved.items()}}
        there = _size(problem, block, new, problem.targets)
        if there < size:
            frame, size, damping = new, there, damping / 4.0
        else:
            damping *= 6.0
    return frame
