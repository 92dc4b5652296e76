"""From numbers to every sane frame that satisfies them, or the reason why there is none."""

from __future__ import annotations

from dataclasses import dataclass

from layout.errors import Fault, SolveError
from layout.geometry.diagnosis.contradiction import contradictions, disagreement
from layout.geometry.diagnosis.no_frame import no_root, out_of_bounds
from layout.geometry.diagnosis.too_few import too_few
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import LEVEL, SLOPE_LIMIT, STANDOVER_WISH, STEEPEST, STOOD_OVER, Equation
from layout.geometry.fit import fitted
from layout.geometry.newton import Parameters, refined
from layout.geometry.plane import Plane
from layout.geometry.problem import Problem
from layout.geometry.roots import solve_blocks
from layout.geometry.sanity import Limit, impossible
from layout.geometry.structure import Circuit, Structure, resloped, structure

_SLACK = 1e-9
_WORST_RESIDUAL = 1.0
"""Residual of a fit, in agreements, beyond which the numbers are said to contradict each other."""


@dataclass(frozen=True)
class Candidate:
    """One frame found, and the structure that it satisfies."""

    parameters: Parameters
    structure: Structure

    @property
    def defaults(self) -> tuple[str, ...]:
        """Names of the dimensions taken from defaults."""
        return tuple(e.name for e in self.structure.defaults)


def sane_frames(problem: Problem) -> list[Candidate]:
    """Every sane frame that satisfies the numbers; raises SolveError where there is none."""
    found = structure(problem.names)
    if found.free:
        raise SolveError(too_few(problem, found))
    branches, stuck = solve_blocks(found.blocks, problem.known_values(found.known), problem.targets)
    if stuck is not None:
        raise SolveError(*(_contradicted_elsewhere(problem, found) or [no_root(problem, stuck, branches[0])]))
    judged = [_judged(problem, found, branch) for branch in branches]
    frames = [_sloped(problem, found, j.branch) for j in judged if not j.against]
    reasons = [impossible(Plane(f.parameters), f.defaults) for f in frames]
    sane = [f for f, why in zip(frames, reasons, strict=True) if why is None]
    if sane:
        return sane
    against = [j for j in judged if j.against]
    if against:
        nearest = min(against, key=lambda j: (not j.buildable, j.size))
        told = contradictions(problem, found, nearest.against, nearest.branch)
        if not frames or any(e.mendable for e in told):
            raise SolveError(*(e.fault for e in told))
    assert reasons[0] is not None
    raise SolveError(*_unbuildable(problem, frames[0], reasons[0]))


def _unbuildable(problem: Problem, frame: Candidate, why: Limit) -> list[Fault]:
    """All numbers fit a frame that cannot be built: a slip in one of too many, or what they all say.

    Told is what the lesser change would mend first.
    """
    found, parameters = frame.structure, frame.parameters
    said = out_of_bounds(problem, found, parameters, why)
    reason = why.reason(Plane(parameters))
    told = contradictions(problem, found, found.circuits, parameters, unbuildable=reason)
    explained = [said, *(e for e in told if e.mendable)]
    return [e.fault for e in sorted(explained, key=lambda e: e.change) if e.mendable] or [said.fault]


@dataclass(frozen=True)
class _Judged:
    """A solution of the independent equations, and the redundant numbers that disagree with it.

    `size` is the greatest disagreement, in agreements; `buildable` is not looked at where
    none disagrees.
    """

    branch: Parameters
    against: tuple[Circuit, ...]
    size: float
    buildable: bool


def _judged(problem: Problem, found: Structure, branch: Parameters) -> _Judged:
    ranked = disagreement(problem, found, branch) if found.circuits else []
    against = tuple(circuit for size, circuit in ranked if size > 1.0)
    size = ranked[0][0] if ranked else 0.0
    sound = not against or impossible(Plane(branch), [e.name for e in found.defaults]) is None
    return _Judged(branch, against, size, sound)


def _contradicted_elsewhere(problem: Problem, found: Structure) -> list[Fault]:
    """Where numbers are more than enough and have no solution: whether all but one of them have."""
    for circuit in found.circuits:
        for member in circuit.equations[:-1]:
            rest = [e for e in circuit.equations if e != member]
            others = [n for n in problem.names if n != member.name and n not in {e.name for e in rest}]
            without = structure((*(e.name for e in rest), *others))
            known = problem.known_values(without.known)
            branches, stuck = solve_blocks(without.blocks, known, problem.targets)
            if stuck is None:
                turned = Circuit((*rest, member), circuit.inputs)
                return [e.fault for e in contradictions(problem, without, [turned], branches[0])]
    return []


def _sloped(problem: Problem, found: Structure, branch: Parameters) -> Candidate:
    """Place the top tube: level by default, sloped where it would stand too high."""
    level = _fit(problem, found, branch)
    if LEVEL not in found.defaults or _standover(level) <= STANDOVER_WISH + _SLACK:
        return level
    for rule in (STOOD_OVER, STEEPEST):
        sloped = _placed_by(problem, rule, branch)
        if sloped is not None and -_SLACK <= Plane(sloped.parameters).top_tube_rise <= SLOPE_LIMIT + _SLACK:
            return sloped
    return level


def _standover(candidate: Candidate) -> float:
    return float(REGISTRY["standover"].function(Plane(candidate.parameters)))


def _placed_by(problem: Problem, rule: Equation, branch: Parameters) -> Candidate | None:
    """Place the top tube anew by another rule for its slope, all else as in `branch`."""
    found, blocks = resloped(problem.names, rule)
    near = branch
    for block in blocks:
        root = refined(block.equations, block.columns, near, problem.targets)
        if root is None:
            break
        near = {**near, **root}
    else:
        return _fit(problem, found, near)
    moving = {c for b in blocks for c in b.columns}
    branches, stuck = solve_blocks(
        blocks, {n: v for n, v in branch.items() if n not in moving}, problem.targets
    )
    if stuck is not None:
        return None
    return _fit(problem, found, min(branches, key=lambda b: abs(Plane(b).top_tube_rise)))


def _fit(problem: Problem, found: Structure, branch: Parameters) -> Candidate:
    """The frame that fits redundant numbers best; raises where one is still too far off."""
    if not found.circuits:
        return Candidate(branch, found)
    equations = [*found.equations, *(c.redundant for c in found.circuits)]
    frame = fitted(equations, found.columns, branch, problem.targets, agreement=problem.agreement)
    plane = Plane(frame)
    for circuit in found.circuits:
        for e in circuit.equations:
            residual = abs(problem.targets[e.name] - float(e.function(plane)))
            if residual > _WORST_RESIDUAL * problem.agreement.of(e):
                raise SolveError(*(e.fault for e in contradictions(problem, found, [circuit], branch)))
    return Candidate(frame, found)
