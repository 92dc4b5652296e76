"""Which of several numbers that cannot hold together is the wrong one.

A number is left out by letting it miss by any amount: the frame that meets all the others then says
what it should have been. Those without which the others agree are suspect, the likeliest first:
plain slips of the pen, then those that need the least change for what is usual of them.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import NamedTuple

import numpy as np

from layout.geometry.derivative import Floats, jacobian
from layout.geometry.diagnosis.slips import KIN, Meant, PenSlip, meant_numbers, slip
from layout.geometry.diagnosis.snooping import cofactors_of, gains
from layout.geometry.dimensions import REGISTRY
from layout.geometry.fit import HELD, Demand, Met, Question, agreeing, clash
from layout.geometry.newton import Parameters
from layout.geometry.plane import Plane

LEFT_OUT = 1e8
"""How many times its agreement a number left out may miss as easily as another misses by one."""
_EXACT = 1e-6
"""Sum of squares of numbers that meet exactly."""
_AS_GOOD = 1e-6
"""Frames whose squares differ by less, in agreements, agree equally well."""
_PAIRS_TRIED = 24
_EXCHANGES_TRIED = 8
_FEW_SPARE = 4
"""With more equations to spare the others lead to their frame from any start: of 1,430 searches from frames
of their own none found one more number."""
_DECIMALS = 3
"""The most that a number has which somebody wrote, an eighth of an inch among them."""
_MEANT_TRIED = 2
_LIKELY_MORE = 3.0
"""A number meant adds no more than this to the squares of the others: rounding has a deviation of 0.58
agreements, three of which are 3.0 when squared."""
_REACH, _FARTHEST = 2.0, 5.0
"""How near a slip's number comes to the one needed, in agreements: as the others know it, within these."""


class Suspicion(NamedTuple):
    """Numbers without which all the others agree: their names, and what the others need of each.

    `squares` is what the others leave, in agreements; `slip` how the first came to be written.
    """

    names: tuple[str, ...]
    needs: tuple[float, ...]
    squares: float
    slip: PenSlip | None
    change: float

    @property
    def order(self) -> tuple[int, float]:
        """The likeliest first: slips of the pen, those that leave least to chance before a changed digit."""
        return 2 if self.slip is None else int(self.slip is PenSlip.DIGIT), self.change


@dataclass(frozen=True)
class Doubts:
    """A question and the names of the given numbers in it that may be wrong.

    `inputs` are given dimensions that are never solved for, with their values and agreements.
    `elsewhere` gives the frames that all numbers but some have.
    """

    question: Question
    names: tuple[str, ...]
    inputs: tuple[Demand, ...] = ()
    elsewhere: Callable[[Collection[str]], Sequence[Parameters]] = lambda _: ()

    @property
    def spare(self) -> int:
        """How many more equations than unknowns there are."""
        rows = self.question.rows
        return sum(r.bound or r.unit == HELD for r in rows) - len(self.question.columns)

    @cached_property
    def are_rounded(self) -> bool:
        """Whether the numbers are as people write them; with more decimals they come from a calculation."""
        written = [r.wanted for r in (*self.inputs, *self.question.rows) if r.bound]
        return all(abs(v - round(v, _DECIMALS)) < 1e-9 for v in written)

    def without(self, out: Collection[str]) -> Question:
        """The question with some numbers free to miss."""
        free = [_freed(r) for r in self.inputs if r.equation.name in out]
        rows = [_freed(r) if r.equation.name in out and r.bound else r for r in self.question.rows]
        columns = (*self.question.columns, *(r.equation.name for r in free))
        return self.question._replace(columns=columns, rows=(*rows, *free))

    def exchanged(self, a: str, b: str) -> Question:
        """The question with the values of two numbers exchanged."""
        values = {a: self.written(b), b: self.written(a)}
        rows = [r._replace(wanted=values.get(r.equation.name, r.wanted)) for r in self.question.rows]
        return self.question._replace(rows=tuple(rows))

    def given(self, name: str, value: float) -> Question:
        """The question with another value for one number."""
        rows = [r._replace(wanted=value) if r.equation.name == name else r for r in self.question.rows]
        return self.question._replace(rows=tuple(rows))

    def written(self, name: str) -> float:
        """The value that was given."""
        return self._row(name).wanted

    def unit(self, name: str) -> float:
        """The agreement of a number."""
        return self._row(name).unit

    def _row(self, name: str) -> Demand:
        rows = (*self.inputs, *(r for r in self.question.rows if r.bound))
        return next(r for r in rows if r.equation.name == name)


def _freed(row: Demand) -> Demand:
    return row._replace(unit=row.unit * LEFT_OUT, bound=False)


def suspicion(doubts: Doubts, out: Sequence[str], starts: Sequence[Parameters]) -> Suspicion | None:
    """What leaving out some numbers makes of the others.

    None where they do not agree, or need what no frame has.
    """
    question = doubts.without(out)
    met = _best_of(doubts, question, out, starts)
    if met is None:
        return None
    plane = Plane(met.frame)
    needs = [float(REGISTRY[n].function(plane)) for n in out]
    if not all(REGISTRY[n].is_possible(v) for n, v in zip(out, needs, strict=True)):
        return None
    first = out[0]
    found = _slip(doubts, first, needs[0], question, free=met)
    if found is not None and found.meant is not None:
        needs[0] = found.meant
    change = max(share(n, v - doubts.written(n)) for n, v in zip(out, needs, strict=True))
    kind = None if found is None else found.kind
    return Suspicion(tuple(out), tuple(needs), met.squares(question.rows), kind, change=change)


class _Found(NamedTuple):
    """How a number came to be written, and the number that was meant; None where only its kind is known."""

    kind: PenSlip
    meant: float | None = None


def _slip(doubts: Doubts, name: str, needed: float, question: Question, free: Met) -> _Found | None:
    """The plainest slip that made what was written of a number of what is needed of it.

    `needed` is known as well as the numbers of `question` know it, the others; `free` is their frame.
    A number meant is believed where all others agree with it about as well as without; numbers that are not
    rounded say exactly what they need.
    """
    unit, written, frame = doubts.unit(name), doubts.written(name), free.frame
    coefficients = _coefficients(question, name, frame) / unit
    reach = min(max(_REACH, float(np.linalg.norm(coefficients))), _FARTHEST) * unit
    plain = slip(name, written, needed, reach, frame=Plane(frame))
    if not doubts.are_rounded or any(r.equation.name == name for r in doubts.inputs):
        return None if plain is None else _Found(plain)
    bound = [abs(c) for c, r in zip(coefficients.tolist(), question.rows, strict=False) if r.bound]
    wide = max(_REACH, sum(bound)) * unit
    step, most = 2.0 * max(wide, reach), free.squares(question.rows) + _LIKELY_MORE
    meant = [m for m in meant_numbers(name, written, step) if abs(m.value - needed) <= wide]
    kin = KIN.get(name)
    if kin is not None and kin in doubts.names and abs(doubts.written(kin) - needed) <= wide:
        meant.append(Meant(PenSlip.ANOTHER, doubts.written(kin)))
    meant.sort(key=lambda m: (m.kind, abs(m.value - needed)))
    for kind in PenSlip:
        agreed = []
        for m in [m for m in meant if m.kind is kind][:_MEANT_TRIED]:
            exchanged = kind is PenSlip.ANOTHER and kin is not None
            asked = doubts.exchanged(name, kin) if exchanged and kin else doubts.given(name, m.value)
            met = agreeing(asked, frame)
            if met is not None and (squares := met.squares(asked.rows)) <= most:
                agreed.append((squares, m.value))
        if agreed:
            return _Found(kind, min(agreed)[1])
        if kind is plain is PenSlip.ANOTHER:
            return _Found(kind)
    return None


def _best_of(
    doubts: Doubts, question: Question, out: Sequence[str], starts: Sequence[Parameters]
) -> Met | None:
    """The frame that agrees best: near the first start, or where all other numbers lead by themselves.

    Of frames that agree equally well it is the one that needs the least change.
    """
    first = agreeing(question, starts[0])
    if first is None or first.squares(question.rows) < _EXACT:
        return first
    more = (*(starts[1:] if first.held_back else ()), *doubts.elsewhere(out))
    others = (agreeing(question, start) for start in more)
    found = [first, *(m for m in others if m is not None)]
    least = min(m.squares(question.rows) for m in found)
    name, written = out[0], doubts.written(out[0])
    as_good = [m for m in found if m.squares(question.rows) <= least + _AS_GOOD]
    return min(as_good, key=lambda m: abs(float(REGISTRY[name].function(Plane(m.frame))) - written))


def _coefficients(question: Question, name: str, frame: Parameters) -> Floats:
    """By how much what is needed of a number changes with each other, a change of one agreement."""
    rows = question.rows
    functions = [REGISTRY[name].function, *(r.equation.function for r in rows)]
    with np.errstate(all="ignore"):
        _, slopes = jacobian(functions, frame, question.columns)
    weighed = slopes[1:] / np.array([r.unit for r in rows])[:, None]
    if not np.isfinite(weighed).all():
        return np.zeros(0)
    return np.asarray(np.linalg.lstsq(weighed.T, slopes[0], rcond=None)[0], float)


def share(name: str, change: float) -> float:
    """A change of a dimension as a share of its usual range, without sign.

    >>> share("head_angle", -4.5) == share("head_angle", 4.5) < 1.0
    True
    """
    low, high = REGISTRY[name].usual or REGISTRY[name].possible
    return abs(change) / (high - low)


def singles(doubts: Doubts, starts: Sequence[Parameters]) -> list[Suspicion]:
    """Every number without which all the others agree, the likeliest first.

    Where only one number is too many, or few are and none is seen from the starts, the frames are looked for
    that the others have by themselves.
    """
    found = [s for name in doubts.names if (s := suspicion(doubts, (name,), starts)) is not None]
    if doubts.spare <= (1 if found else _FEW_SPARE):
        seen = {s.names[0] for s in found}
        tried = (_by_itself(doubts, name) for name in doubts.names if name not in seen)
        found += [s for s in tried if s is not None]
    return sorted(found, key=lambda s: s.order)


def _by_itself(doubts: Doubts, name: str) -> Suspicion | None:
    """The suspicion of one number, from the frames that the others have by themselves."""
    tried = (suspicion(doubts, (name,), [frame]) for frame in doubts.elsewhere((name,)))
    return next((s for s in tried if s is not None), None)


def exchanges(doubts: Doubts, starts: Sequence[Parameters]) -> list[Suspicion]:
    """Pairs whose values, exchanged, let all numbers agree."""
    tried = (_exchange(doubts, pair, starts) for pair in _likely_exchanges(doubts, starts[0]))
    return [s for s in tried if s is not None]


def pairs(doubts: Doubts, starts: Sequence[Parameters]) -> list[Suspicion]:
    """Pairs without which all the others agree, what leaves least first.

    Tried are the likeliest, by a straight line from the first start.
    """
    e, cofactors, at = _straight(doubts, starts[0])
    sets = list(combinations(_solved_for(doubts), 2))
    left = gains(e, cofactors, np.array([[at[a], at[b]] for a, b in sets]))
    likely = [sets[i] for i in np.argsort(-left, kind="stable")[:_PAIRS_TRIED]]
    tried = (suspicion(doubts, pair, starts) for pair in likely)
    return sorted((s for s in tried if s is not None), key=lambda s: s.squares)


def _solved_for(doubts: Doubts) -> list[str]:
    inputs = {r.equation.name for r in doubts.inputs}
    return [n for n in doubts.names if n not in inputs]


def _exchange(doubts: Doubts, pair: tuple[str, str], starts: Sequence[Parameters]) -> Suspicion | None:
    """The suspicion of two numbers whose values, exchanged, agree with all others; None if not."""
    question, columns = doubts.exchanged(*pair), doubts.question.columns
    turned = {n: doubts.written(m) for n, m in (pair, pair[::-1]) if n in columns}
    met = (agreeing(question, start) for start in (*starts, *({**s, **turned} for s in starts)))
    there = next((m for m in met if m is not None), None)
    return None if there is None else suspicion(doubts, pair, [there.frame])


def _straight(doubts: Doubts, frame: Parameters) -> tuple[Floats, Floats, dict[str, int]]:
    """Residuals and cofactors of the rows made linear at a frame, and the place of each number."""
    rows, columns = doubts.question.rows, doubts.question.columns
    with np.errstate(all="ignore"):
        values, slopes = jacobian([r.equation.function for r in rows], frame, columns)
    unit = np.array([r.unit for r in rows])
    miss = np.nan_to_num((np.array([r.wanted for r in rows]) - values) / unit)
    cofactors = cofactors_of(np.nan_to_num(slopes / unit[:, None]))
    return cofactors @ miss, cofactors, {r.equation.name: i for i, r in enumerate(rows) if r.bound}


def _likely_exchanges(doubts: Doubts, frame: Parameters) -> list[tuple[str, str]]:
    """Pairs that are easily exchanged, and those of one unit that leave the least, by a straight line."""
    e, cofactors, at = _straight(doubts, frame)
    ranked = []
    for a, b in combinations(_solved_for(doubts), 2):
        va, vb = doubts.written(a), doubts.written(b)
        alike = REGISTRY[a].unit == REGISTRY[b].unit
        alike = alike and REGISTRY[a].is_possible(vb) and REGISTRY[b].is_possible(va)
        if alike and abs(va - vb) > doubts.unit(a):
            shift = np.zeros(len(e))
            shift[at[a]], shift[at[b]] = (vb - va) / doubts.unit(a), (va - vb) / doubts.unit(b)
            there = e + cofactors @ shift
            ranked.append((float(there @ there), (a, b)))
    before = float(e @ e)
    likely = [pair for left, pair in sorted(ranked)[:_EXCHANGES_TRIED] if left < before]
    akin = [pair for _, pair in ranked if KIN.get(pair[0]) == pair[1]]
    return list(dict.fromkeys((*akin, *likely)))


def smallest_conflict(doubts: Doubts, frame: Parameters) -> tuple[str, ...]:
    """Numbers that cannot hold together near `frame`, while any fewer of them can."""
    inputs = {r.equation.name for r in doubts.inputs}
    question = doubts.question._replace(
        columns=(*doubts.question.columns, *inputs),
        rows=(*doubts.question.rows, *doubts.inputs),
    )
    found = {question.rows[i].equation.name for i in clash(question, frame)}
    return tuple(n for n in doubts.names if n in found)
