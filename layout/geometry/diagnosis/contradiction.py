"""Numbers that no frame meets, in words: which cannot hold together, and which of them is likely wrong."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from functools import partial
from typing import NamedTuple

from layout.errors import Conflict, Fault
from layout.geometry import messages
from layout.geometry.derivative import GENERIC, generic_inputs
from layout.geometry.diagnosis.culprits import (
    Doubts,
    Suspicion,
    exchanges,
    pairs,
    share,
    singles,
    smallest_conflict,
)
from layout.geometry.diagnosis.slips import KIN, PenSlip
from layout.geometry.diagnosis.words import count, measured, number
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import FRONT_LIKE_REAR, REAR_LIKE_FRONT, given
from layout.geometry.fit import HELD, SLACK, Demand, Met, Question, agreeing, best, judged, least_squares
from layout.geometry.newton import Parameters
from layout.geometry.plane import INPUTS, Plane
from layout.geometry.problem import Problem
from layout.geometry.question import PULL, asked
from layout.geometry.roots import solve_blocks
from layout.geometry.structure import Span, Structure, structure
from layout.geometry.wheel import DEFAULT_BEAD_SEAT, DEFAULT_WIDTH

_TOLD = 3
"""Numbers named in a message; all are in `conflict`."""
_SMALL = 3.0
"""Residuals within so many agreements are small errors that add up."""
_NEAREST = 2
_MOST_GROUPS = 4


class Group(NamedTuple):
    """Numbers that cannot hold together: their names, and who of them is suspect, likeliest first."""

    members: tuple[str, ...]
    suspects: tuple[Suspicion, ...]


def contradiction(problem: Problem, found: Structure, starts: Sequence[Parameters]) -> list[Fault]:
    """A fault for each set of numbers that cannot hold together, apart from those of another set.

    `starts` are frames near which none meets the numbers.
    """
    doubts = _doubts(problem, found)
    plain = {**problem.base, **{c: GENERIC[c] for c in found.columns}}
    near = _nearest(doubts.question, starts, plain)
    return [_fault(found, doubts, group, near) for group in _groups(doubts, near, plain)]


def _doubts(problem: Problem, found: Structure) -> Doubts:
    question = asked(problem, found, pulled=True)
    names = {r.equation.name for r in question.rows if r.bound}
    inputs = []
    for name, value in problem.inputs.items():
        equation = given(name)
        if name in problem.given and problem.agreement.of(equation) > 0.0:
            inputs.append(Demand(equation, value, problem.agreement.of(equation)))
    reached = tuple(r for r in inputs if _reaches(question, r.equation.name))
    names |= {r.equation.name for r in reached}
    ordered = tuple(n for n in REGISTRY if n in names)
    return Doubts(question, ordered, reached, partial(_roots_without, problem, found.columns))


def _roots_without(problem: Problem, columns: Sequence[str], out: Collection[str]) -> Sequence[Parameters]:
    """The frames that satisfy independent ones of all numbers but some."""
    rest = structure(tuple(n for n in problem.names if n not in out))
    if rest.free:
        return ()
    branches, stuck = solve_blocks(rest.blocks, problem.known_values(rest.known), problem.targets)
    plain = {c: GENERIC[c] for c in columns}
    return [{**plain, **branch} for branch in branches] if stuck is None else ()


def _nearest(question: Question, starts: Sequence[Parameters], plain: Parameters) -> Met:
    """The frame that misses the numbers least: near those with the least squares, or near a plain one."""
    fits = sorted((judged(question, least_squares(question, s)) for s in starts), key=_missed)
    begin = [*(m.frame for m in fits[:_NEAREST]), plain]
    return min((best(question, frame) for frame in begin), key=lambda m: m.excess)


def _missed(met: Met) -> float:
    size = float(met.misses @ met.misses)
    return size if size == size else math.inf


def _groups(doubts: Doubts, near: Met, plain: Parameters) -> list[Group]:
    """The sets that cannot hold together: one where a single slip explains all, else each for itself."""
    starts = [near.frame, plain]
    members = [smallest_conflict(doubts, near.frame)]
    alone = singles(doubts, starts) or exchanges(doubts, starts)
    if alone:
        return [Group(members[0], tuple(alone))]
    rest = doubts
    while len(members) < _MOST_GROUPS:
        rest = _apart(rest, members[-1])
        met = best(rest.question, near.frame)
        smallest = () if met.agrees else smallest_conflict(rest, met.frame)
        if not smallest:
            break
        members.append(smallest)
    if len(members) == 1:
        return [Group(members[0], tuple(pairs(doubts, starts)))]
    return [Group(m, tuple(_within(doubts, m, members, near))) for m in members]


def _within(
    doubts: Doubts, own: Collection[str], groups: Sequence[Collection[str]], near: Met
) -> list[Suspicion]:
    """The suspects of one set, the others let go."""
    alone = _apart(doubts, [n for g in groups if g is not own for n in g])
    return singles(alone, [near.frame]) or pairs(alone, [near.frame])


def _apart(doubts: Doubts, gone: Collection[str]) -> Doubts:
    names = tuple(n for n in doubts.names if n not in gone)
    inputs = tuple(r for r in doubts.inputs if r.equation.name not in gone)
    return Doubts(doubts.without(gone), names, inputs, doubts.elsewhere)


def _fault(found: Structure, doubts: Doubts, group: Group, near: Met) -> Fault:
    conflict = _conflict(doubts, group, near)
    reason = _unbuildable(doubts.question, near.frame)
    if _redundant(doubts, group.members):
        code = "contradictory"
        head = messages.CONTRADICT_BUILT if reason else messages.CONTRADICT
    else:
        code = "no_frame"
        head = messages.NO_FRAME_BUILT if reason else messages.NO_FRAME
    head = head.format(count=count(len(group.members)), reason=reason)
    said = [head, *_suspected(group, conflict), *_added_up(doubts, near)]
    if "rear_radius" in (e.name for e in found.defaults) and "wheel" in reason:
        said.append(messages.DEFAULT_WHEEL.format(marking=f"{DEFAULT_WIDTH:g}-{DEFAULT_BEAD_SEAT}"))
    else:
        said += _unlike(doubts, near)
    return Fault(" ".join(said), code, conflict[0].name if conflict else None, conflict=conflict)


def _unbuildable(question: Question, frame: Parameters) -> str:
    """What the frames that meet the numbers best break of what can be built, as the best of all does."""
    plane = Plane(least_squares(question, frame))
    pressing = [m for m in question.limits if m.beyond(Plane(frame)) > SLACK and not m.kept(plane)]
    return pressing[0].reason(plane) if pressing else ""


def _reaches(question: Question, name: str) -> bool:
    """Whether a dimension that is never solved for moves any number of the question."""
    at = INPUTS.index(name)
    return any(generic_inputs(r.equation)[at] != 0.0 for r in question.rows)


def _redundant(doubts: Doubts, members: Collection[str]) -> bool:
    """Whether some of the members follow from the others and from what is held."""
    if any(REGISTRY[n].is_input for n in members):
        return True
    span = Span(equations=[r.equation for r in doubts.question.rows if r.unit == HELD])
    return not all(span.add(given(n)) for n in members)


def _conflict(doubts: Doubts, group: Group, near: Met) -> tuple[Conflict, ...]:
    """The suspects, then the other members by what they need, all with it."""
    needs: dict[str, float | None] = {}
    first = group.suspects[:1] if len(_wrong(group)) > 1 else group.suspects
    for s in first:
        needs.update(zip(s.names, s.needs, strict=True))
    rest: dict[str, float | None] = dict.fromkeys(n for n in group.members if n not in needs)
    if len(_wrong(group)) != 1:
        rest = {n: _needed(doubts, n, near.frame) for n in rest}

    def far(name: str) -> float:
        value = rest[name]
        return math.inf if value is None else share(name, value - doubts.written(name))

    needs.update((n, rest[n]) for n in sorted(rest, key=lambda n: (far(n), n)))
    return tuple(Conflict(n, doubts.written(n), v) for n, v in needs.items())


def _wrong(group: Group) -> tuple[str, ...]:
    return group.suspects[0].names if group.suspects else ()


def _needed(doubts: Doubts, name: str, start: Parameters) -> float | None:
    """The value of a number in the best fit of the others, whether they agree or not; None if none has it."""
    plane = Plane(least_squares(doubts.without([name]), start))
    value = float(REGISTRY[name].function(plane))
    return value if math.isfinite(value) and REGISTRY[name].is_possible(value) else None


def _suspected(group: Group, conflict: Sequence[Conflict]) -> Iterator[str]:
    """What to look at first, in sentences."""
    told = [c for c in conflict if c.needs is not None and number(c.needs, c.name) != number(c.given, c.name)]
    told = told[:_TOLD]
    if not group.suspects:
        yield messages.NOTHING_EXPLAINS
    elif len(_wrong(group)) > 1:
        a, b = conflict[:2]
        yield messages.TWO_WRONG.format(
            first=a.name, first_given=measured(a.given, a.name), first_needs=_need(a),
            second=b.name, second_given=measured(b.given, b.name), second_needs=_need(b),
        )  # fmt: skip
        told = told[2:]
    for i, c in enumerate(told):
        said = messages.THEN if i else messages.CHECK
        given, hint = measured(c.given, c.name), _hint(group, c.name)
        yield said.format(name=c.name, given=given, needs=_need(c), hint=hint)
    yield messages.CORRECT_ONE


def _need(c: Conflict) -> str:
    assert c.needs is not None
    return measured(c.needs, c.name)


_HINTS = {
    PenSlip.SIGN: " (the sign?)",
    PenSlip.INCHES: " (inches?)",
    PenSlip.SWAPPED: " (two digits swapped?)",
    PenSlip.DIGIT: " (one digit?)",
}


def _hint(group: Group, name: str) -> str:
    for s in group.suspects:
        if s.names == (name,) and s.slip is PenSlip.ANOTHER:
            return f" ({KIN[name]}?)"
        if s.names == (name,) and s.slip is not None:
            return _HINTS[s.slip]
    return ""


def _added_up(doubts: Doubts, near: Met) -> Iterator[str]:
    """Where no number is far off: that small errors add up, the worst, and what would let them."""
    question = doubts.question
    fit = judged(question, least_squares(question, near.frame))
    pairs = zip(fit.misses.tolist(), question.rows, strict=True)
    off = {r.equation.name: (m, r) for m, r in pairs if r.bound}
    if near.excess > _SMALL - 1.0 or not off:
        return
    name, (miss, row) = max(off.items(), key=lambda item: abs(item[1][0]))
    if not 1.0 < abs(miss) <= _SMALL:
        return
    by = measured(abs(miss) * row.unit, name)
    length, angle = (_wide_enough(v, near.excess) for v in (0.5, 0.1))
    yield messages.SMALL_ERRORS.format(name=name, by=by, length=length, angle=angle)


def _wide_enough(agreement: float, excess: float) -> float:
    return math.ceil(agreement * (1.0 + excess) * 20.0) / 20.0


def _unlike(doubts: Doubts, near: Met) -> Iterator[str]:
    """Where wheels of unlike size would fit: how unlike."""
    rows = list(doubts.question.rows)
    alike = next((i for i, r in enumerate(rows) if r.equation in (FRONT_LIKE_REAR, REAR_LIKE_FRONT)), None)
    if alike is None:
        return
    rows[alike] = rows[alike]._replace(unit=PULL["front_radius"])
    met = agreeing(doubts.question._replace(rows=tuple(rows)), near.frame)
    if met is not None:
        more = met.frame["front_radius"] - met.frame["rear_radius"]
        said = messages.LARGER_WHEEL if more > 0.0 else messages.SMALLER_WHEEL
        yield said.format(by=measured(abs(more), "front_radius"))
