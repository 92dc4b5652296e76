"""From numbers to every possible frame that meets them, or the reason why there is none."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from layout.errors import Fault, SolveError
from layout.geometry.blocks import Block
from layout.geometry.diagnosis.too_few import too_few, undetermined
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import LEVEL, SLOPE_LIMIT, STANDOVER_WISH, STEEPEST, STOOD_OVER, Equation
from layout.geometry.fit import Met, Question, agreeing, best, judged, least_squares
from layout.geometry.newton import Parameters, refined
from layout.geometry.plane import Plane
from layout.geometry.problem import Problem
from layout.geometry.question import asked
from layout.geometry.roots import solve_blocks
from layout.geometry.sanity import impossible
from layout.geometry.starts import start_frames
from layout.geometry.structure import Structure, released, resloped, structure, yielding

_SLACK = 1e-9
_AGAIN = 0.1
"""Excess, in agreements, of the frame midway between two that shows them to be two."""
_ONE = 0.1
"""Fits nearer than this in every unknown, mm or degrees, are one."""
_OTHER_STARTS = 6
"""Sane frames from which a fit begins where none of the roots leads to one that agrees."""


class Candidate(NamedTuple):
    """One frame found, and the structure that it satisfies; `fitted` where it may miss given numbers."""

    parameters: Parameters
    structure: Structure
    fitted: bool = False

    @property
    def defaults(self) -> tuple[str, ...]:
        """Names of the dimensions taken from defaults."""
        return tuple(e.name for e in self.structure.defaults)


def sane_frames(problem: Problem) -> list[Candidate]:
    """Every possible frame that meets the numbers; raises SolveError where there is none."""
    found = structure(problem.names)
    question = asked(problem, found)
    if found.free:
        raise SolveError(too_few(problem, found), *_contradicted(problem, found, question))
    branches, stuck = solve_blocks(found.blocks, problem.known_values(found.known), problem.targets)
    exact = [] if found.more or stuck else [b for b in branches if not impossible(Plane(b), question.limits)]
    if exact:
        return [_sloped(problem, Candidate(branch, found)) for branch in exact]
    if stuck and (placed := _yielding(problem, found, stuck, branches)):
        return placed
    loose = released(found)
    for again in (False, True):
        starts = _other_starts(problem, loose) if again else branches
        for held in dict.fromkeys((found, loose)):
            question = asked(problem, held)
            frames = _agreeing(question, starts)
            if frames:
                free = undetermined(question, frames[0])
                if free is not None:
                    raise SolveError(free)
                return [_sloped(problem, Candidate(frame, held, fitted=True)) for frame in frames]
    raise SolveError(*_contradiction(problem, loose, [*branches, *starts]))


def _yielding(
    problem: Problem, found: Structure, stuck: Block, starts: Sequence[Parameters]
) -> list[Candidate]:
    """The frames where a tube's default place gives way to numbers that no frame has with it."""
    held = yielding(found, stuck)
    if held == found or LEVEL in held.defaults:
        return []
    frames = _agreeing(asked(problem, held, pulled=True), starts)
    return [Candidate(frame, held, fitted=True) for frame in frames]


def _agreeing(question: Question, starts: Sequence[Parameters]) -> list[Parameters]:
    """The frames that agree, each once, the best first."""
    tried = (agreeing(question, start) for start in starts)
    return _distinct(question, [met for met in tried if met is not None])


def _contradicted(problem: Problem, found: Structure, question: Question) -> Sequence[Fault]:
    """What contradicts among numbers that are too few for a frame."""
    if not found.more:
        return ()
    starts = _other_starts(problem, found)
    return () if _agreeing(question, starts) else _contradiction(problem, found, starts)


def _contradiction(problem: Problem, found: Structure, starts: Sequence[Parameters]) -> Sequence[Fault]:
    """What contradicts; the search for it is imported only where something does."""
    from layout.geometry.diagnosis.contradiction import contradiction

    return contradiction(problem, found, starts)


def _other_starts(problem: Problem, found: Structure) -> list[Parameters]:
    """The least squares found from possible frames, each once."""
    question, starts = asked(problem, found), start_frames()
    frames: list[Parameters] = []
    for i in range(_OTHER_STARTS):
        start = {**problem.base, **{c: float(starts[c][i]) for c in found.columns}}
        frame = least_squares(question, start)
        if all(any(abs(frame[c] - f[c]) > _ONE for c in found.columns) for f in frames):
            frames.append(frame)
    return frames


def _distinct(question: Question, met: Sequence[Met]) -> list[Parameters]:
    """The frames, best first, without those that are one with a better: what lies between agrees as well."""
    frames: list[Parameters] = []
    for this in sorted(met, key=lambda m: m.squares(question.rows)):
        if not any(judged(question, _middle(this.frame, f)).excess <= _AGAIN for f in frames):
            frames.append(this.frame)
    return frames


def _middle(a: Parameters, b: Parameters) -> Parameters:
    return {n: 0.5 * (v + b[n]) for n, v in a.items()}


def _sloped(problem: Problem, level: Candidate) -> Candidate:
    """Place the top tube: level by default, sloped where it would stand too high."""
    if LEVEL not in level.structure.defaults or _standover(level) <= STANDOVER_WISH + _SLACK:
        return level
    for rule in (STOOD_OVER, STEEPEST):
        sloped = _placed_by(problem, rule, level)
        if sloped is not None and -_SLACK <= Plane(sloped.parameters).top_tube_rise <= SLOPE_LIMIT + _SLACK:
            return sloped
    return level


def _standover(candidate: Candidate) -> float:
    return float(REGISTRY["standover"].function(Plane(candidate.parameters)))


def _placed_by(problem: Problem, rule: Equation, level: Candidate) -> Candidate | None:
    """Place the top tube again by another rule for its slope, all else as in `level`."""
    found, blocks = resloped(problem.names, rule)
    near = level.parameters
    for block in blocks:
        root = refined(block.equations, block.columns, near, problem.targets)
        if root is None:
            return _placed_far(problem, found, blocks, level)
        near = {**near, **root}
    return _fitted(problem, found, near, level)


def _placed_far(
    problem: Problem, found: Structure, blocks: Sequence[Block], level: Candidate
) -> Candidate | None:
    """Place the top tube from a search over all ranges: the frame with the most level one."""
    moving = {c for b in blocks for c in b.columns}
    rest = {n: v for n, v in level.parameters.items() if n not in moving}
    branches, stuck = solve_blocks(blocks, rest, problem.targets)
    if stuck is not None:
        return None
    return _fitted(problem, found, min(branches, key=lambda b: abs(Plane(b).top_tube_rise)), level)


def _fitted(problem: Problem, found: Structure, near: Parameters, level: Candidate) -> Candidate | None:
    if not level.fitted:
        return Candidate(near, found)
    if level.structure.replaced != structure(problem.names).replaced:
        found = released(found)
    met = best(asked(problem, found), near)
    return Candidate(met.frame, found, fitted=True) if met.agrees else None
