"""Numbers that leave a frame free: in how many ways, and what would settle each.

At a frame that satisfies the numbers there are, the directions in which it may still
move are the null space of the derivative. A pin is chosen for each, the likeliest
dimension that stops it; with all other pins held, one direction is left to each pin,
and every dimension that moves along that one and along no other would do as well.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from layout.errors import Fault
from layout.geometry import messages
from layout.geometry.derivative import GENERIC, Floats, generic_row, jacobian
from layout.geometry.diagnosis.words import listed
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import PLACE_DEFAULTS, Equation, given
from layout.geometry.fit import Question, judged
from layout.geometry.newton import Parameters, target_of
from layout.geometry.plane import OPTIONAL_PARAMETERS, TUBE_PLACES, UNKNOWNS, Plane
from layout.geometry.problem import Problem
from layout.geometry.roots import solve_blocks
from layout.geometry.sanity import impossible, limits
from layout.geometry.starts import search_range, start_frames
from layout.geometry.structure import Span, Structure, structure

LIKELIEST = (
    "head_angle",
    "seat_angle",
    "bb_drop",
    "rear_centre",
    "front_centre",
    "head_tube_length",
    "axle_to_crown",
    "fork_offset",
    "stack",
    "reach",
    "wheelbase",
    "top_tube_effective",
    "trail",
    "bb_height",
    "seat_tube_length",
    "top_tube_length",
    "top_tube_slope",
    "seat_tube_cc",
    "standover",
)
"""What a builder is likely to know, first to last (common practice); the rest follow as registered."""

_LONGEST_LIST = 6
_TRIES = 6
"""Sets of values tried for the pins before the plain frame is taken as it is."""
_FAR, _MOVED = 0.05, 0.05
"""How far an unknown is moved, as a share of its range, to see if a number moves by so many agreements."""
_LEVEL = 1e-4
"""What a number must change by, in agreements, over an unknown's whole range to settle it."""
_BLUNT = 40.0
"""A dimension is offered if its own agreement settles the pin's within this many times the pin's."""


def too_few(problem: Problem, found: Structure) -> Fault:
    """What is still free, and for each freedom the dimensions any one of which would settle it."""
    candidates = _candidates(problem, found)
    free = tuple(_alternatives(problem, found, candidates, _pins(found, candidates)))
    alone = [names[0] for names in free if len(names) == 1]
    give = [messages.GIVE.format(names=listed(alone))] if alone else []
    give += [messages.GIVE_ONE.format(names=listed(names, "or")) for names in free if len(names) > 1]
    said = messages.ONE_TOO_FEW if len(free) == 1 else messages.TOO_FEW
    return Fault(said.format(count=len(free), give=" ".join(give)), "insufficient", free=free)


def _candidates(problem: Problem, found: Structure) -> list[Equation]:
    """What could be given to settle the frame, likeliest first.

    A dimension that rests on the free place of a tube is none: given, it would only
    replace that place's default.
    """
    rest = [n for n in REGISTRY if n not in LIKELIEST]
    open_names = [n for n in (*LIKELIEST, *rest) if n not in problem.given and _may_be_given(n)]
    placed = Span(TUBE_PLACES, [e for e in found.equations if e not in PLACE_DEFAULTS])
    return [e for e in map(given, open_names) if placed.outside(np.array(generic_row(e))) is None]


def _may_be_given(name: str) -> bool:
    dimension = REGISTRY[name]
    return not (dimension.asked_only or dimension.is_input or dimension.needs)


def _pins(found: Structure, candidates: Sequence[Equation]) -> list[Equation]:
    span = Span(equations=found.equations)
    return [e for e in candidates if span.add(e)]


def _alternatives(
    problem: Problem, found: Structure, candidates: Sequence[Equation], pins: Sequence[Equation]
) -> Iterator[tuple[str, ...]]:
    here = _moves(found, pins, candidates, _solved_rest(problem, found, pins))
    everywhere = _moves(found, pins, candidates, GENERIC)
    for i, pin in enumerate(pins):
        names = [pin.name]
        for e, moves, generic in zip(candidates, here, everywhere, strict=True):
            alone = all((abs(v) > 1e-9) == (j == i) for j, v in enumerate(generic))
            sharp = abs(moves[i]) * _BLUNT * problem.agreement.of(pin) > problem.agreement.of(e)
            if alone and sharp and e != pin:
                names.append(e.name)
        yield tuple(sorted(names, key=[e.name for e in candidates].index)[:_LONGEST_LIST])


def _moves(
    found: Structure, pins: Sequence[Equation], candidates: Sequence[Equation], frame: Parameters
) -> list[list[float]]:
    """How each candidate moves for a unit of each pin, all given numbers and other pins held."""
    held = [*found.equations, *pins]
    columns = [c for c in UNKNOWNS if c in frame and (c in found.columns or c not in OPTIONAL_PARAMETERS)]
    _, rows = jacobian([e.function for e in held], frame, columns)
    _, wanted = jacobian([e.function for e in candidates], frame, columns)
    stops = np.zeros((len(held), len(pins)))
    stops[len(found.equations) :] = np.eye(len(pins))
    directions = np.linalg.lstsq(rows, stops, rcond=None)[0]
    return [[float(v) for v in row] for row in wanted @ directions]


def _solved_rest(problem: Problem, found: Structure, pins: Sequence[Equation]) -> Parameters:
    """A possible frame with the given numbers, its pins at usual values; the plain frame if there is none."""
    names = (*problem.names, *(p.name for p in pins))
    whole = structure(names)
    plain = {**GENERIC, **problem.base}
    asked = limits(names, [e.name for e in whole.defaults], whole.columns)
    for i in range(_TRIES):
        start = {**plain, **{n: float(v[i]) for n, v in start_frames().items()}}
        targets = {**{p.name: float(p.function(Plane(start))) for p in pins}, **problem.targets}
        known = {**problem.known_values(()), **{e.name: target_of(e, targets) for e in whole.known}}
        branches, stuck = solve_blocks(whole.blocks, known, targets)
        for branch in branches if stuck is None and not whole.free else ():
            if impossible(Plane(branch), asked) is None:
                return {**plain, **branch}
    return plain


def undetermined(question: Question, frame: Parameters) -> Fault | None:
    """The fault of a frame that meets its numbers whatever some unknown is; None if all are settled."""
    with np.errstate(all="ignore"):
        _, slopes = jacobian([r.equation.function for r in question.rows], frame, question.columns)
    widths = np.array([high - low for low, high in map(search_range, question.columns)])
    weighed = slopes * widths / np.array([r.unit for r in question.rows])[:, None]
    if not np.isfinite(weighed).all():
        return None
    _, sizes, directions = np.linalg.svd(weighed)
    if len(sizes) == len(question.columns) and sizes[-1] > _LEVEL:
        return None
    along = directions[-1] / np.max(np.abs(directions[-1]))
    if any(_bends(question, frame, side * _FAR * along * widths) for side in (1.0, -1.0)):
        return None
    name = question.columns[int(np.argmax(np.abs(along)))]
    free = (name,) if name in REGISTRY else ()
    text = messages.WHATEVER.format(name=name)
    return Fault(text, "insufficient", free=(free,) if free else ())


def _bends(question: Question, frame: Parameters, step: Floats) -> bool:
    """Whether a number moves beside the straight line along which none does."""
    there = {**frame, **{c: frame[c] + s for c, s in zip(question.columns, step.tolist(), strict=True)}}
    here, moved = judged(question, frame).misses, judged(question, there).misses
    return not bool(np.all(np.abs(moved - here) < _MOVED))
