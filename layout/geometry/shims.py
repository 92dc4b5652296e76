"""A stepped stop and the shims on hand: the fewest pieces that reach a value.

    value = step + side * (sum of the shims)      side +1: a shim makes the value greater, -1: less

Steps lie at origin + k * pitch. Every shim on hand is one piece and is used once at most. What is
sought is exact, not greedy: the least number of pieces for every sum that the shims can
make is found by adding one shim after another (a knapsack), in whole micrometres, and each
sum is held against the step that it suits best. Where the range is open, two sums that are whole pitches
apart suit steps as well: then only what is over whole pitches is told apart, and the list of sums is as
long as one pitch, however many and thick the shims are.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

REACHED = 0.1
"""A stack that comes within this of the value, mm, has reached it: a fifth of what a rule is read to."""
GRAIN = 0.001
"""Shims are told apart to a micrometre."""
_SLACK = 1e-9
_PIECE, _NEVER = 1 << 32, 1 << 60
"""A piece more outweighs any sum; what no shims make costs more than anything."""

Floats = NDArray[np.float64]
Counts = NDArray[np.int32]
Bits = NDArray[np.uint8]
Sums = NDArray[np.int64]


class Steps(NamedTuple):
    """Where a stop can stand: origin + k * pitch, mm, within `low` to `high` where these are given."""

    pitch: float
    origin: float = 0.0
    low: float = -math.inf
    high: float = math.inf

    def first(self) -> float:
        """The least k within the range; -inf where it is open."""
        if not math.isfinite(self.low):
            return -math.inf
        return math.ceil((self.low - self.origin) / self.pitch - _SLACK)

    def last(self) -> float:
        """The greatest k within the range; inf where it is open."""
        if not math.isfinite(self.high):
            return math.inf
        return math.floor((self.high - self.origin) / self.pitch + _SLACK)

    def at(self, k: int) -> float:
        """The k-th step, mm."""
        return self.origin + k * self.pitch


class Stack(NamedTuple):
    """A step and the shims on it, thickest first; `error` is what they make less what was wanted, mm."""

    step: float
    shims: tuple[float, ...]
    error: float

    @property
    def reached(self) -> bool:
        """Whether it comes near enough."""
        return abs(self.error) <= REACHED + _SLACK


def stack(value: float, steps: Steps, shims: Sequence[float], side: int = 1) -> Stack | None:
    """The step and the fewest shims that come within REACHED of `value`, mm; else the nearest.

    Among stacks of as few pieces the nearest is taken, among nearest ones the fewest pieces, and
    then the least sum. None where no step lies in the range.

    >>> stack(72.0, Steps(5.0), [0.5, 1.0, 1.0, 2.0])
    Stack(step=70.0, shims=(2.0,), error=0.0)
    """
    low, high = steps.first(), steps.last()
    if low > high:
        return None
    if not math.isfinite(low) and not math.isfinite(high) and _is_whole(steps.pitch):
        unit, (turn, *sizes) = _whole((steps.pitch, *shims))
        pieces, sums, layers = _fewest_round(sizes, turn)
    else:
        unit, sizes = _whole(shims)
        turn = 0
        pieces, layers = _fewest(sizes, _useful(value, steps, side, unit, sizes=sizes))
        sums = np.flatnonzero(pieces >= 0)
        pieces = pieces[sums]
    made = sums.astype(np.float64) * unit
    k = np.clip(np.round((value - side * made - steps.origin) / steps.pitch), low, high)
    error = steps.origin + k * steps.pitch + side * made - value
    best = _best(pieces, np.abs(error), made)
    used = _traced(layers, sizes, int(sums[best]), turn)
    taken = tuple(sorted((shims[i] for i in used), reverse=True))
    step = steps.at(int(k[best]))
    return Stack(step, taken, step + side * math.fsum(taken) - value)


def _useful(value: float, steps: Steps, side: int, unit: float, sizes: Sequence[int]) -> int:
    """The greatest sum, in units, that is worth making.

    From the last step on the shims' side the stack must bridge the way to the value; what
    overshoots by more than the thickest piece is nearer without one of its pieces.
    """
    k = steps.first() if side > 0 else steps.last()
    if not math.isfinite(k):
        return sum(sizes)
    bridged = max(math.ceil(side * (value - steps.at(int(k))) / unit), 0)
    return min(bridged + max(sizes, default=0), sum(sizes))


def _best(pieces: Counts, error: Floats, made: Floats) -> int:
    off = np.round(error, 9)
    near = off <= REACHED + _SLACK
    keys = (made, off, pieces) if near.any() else (made, pieces, off)
    order = np.lexsort(keys)
    return int(order[near[order]][0]) if near.any() else int(order[0])


def _whole(shims: Sequence[float]) -> tuple[float, list[int]]:
    """The greatest unit that all shims are whole multiples of, mm, and the shims in it."""
    grains = [max(round(s / GRAIN), 1) for s in shims]
    unit = math.gcd(*grains) if grains else 1
    return unit * GRAIN, [g // unit for g in grains]


def _fewest(sizes: Sequence[int], most: int) -> tuple[Counts, list[Bits]]:
    """The least pieces for each sum up to `most` (-1: cannot be made), and the sums each shim went into."""
    pieces = np.full(most + 1, -1, np.int32)
    pieces[0] = 0
    layers = []
    for size in sizes:
        taken = np.zeros(most + 1, bool)
        if size <= most:
            with_it = np.where(pieces[: most + 1 - size] >= 0, pieces[: most + 1 - size] + 1, -1)
            now = pieces[size:]
            better = (with_it >= 0) & ((now < 0) | (with_it < now))
            taken[size:] = better
            pieces[size:] = np.where(better, with_it, now)
        layers.append(np.packbits(taken))
    return pieces, layers


def _is_whole(pitch: float) -> bool:
    """Whether a pitch is whole micrometres."""
    return abs(pitch / GRAIN - round(pitch / GRAIN)) < _SLACK / GRAIN


def _fewest_round(sizes: Sequence[int], turn: int) -> tuple[Counts, Sums, list[Bits]]:
    """The least pieces, and with them the least sum, for what each sum is over whole turns.

    Only what can be made is listed; the last has the sums that each shim went into.
    """
    cost = np.full(turn, _NEVER, np.int64)
    cost[0] = 0
    layers = []
    for size in sizes:
        with_it = np.roll(cost, size % turn) + _PIECE + size
        better = with_it < np.minimum(cost, _NEVER)
        cost = np.where(better, with_it, cost)
        layers.append(np.packbits(better))
    made = cost[cost < _NEVER]
    return (made // _PIECE).astype(np.int32), made % _PIECE, layers


def _traced(layers: Sequence[Bits], sizes: Sequence[int], total: int, turn: int = 0) -> list[int]:
    """Which shims make up a sum; with a `turn` the layers are of what sums are over whole turns."""
    used = []
    for i in reversed(range(len(sizes))):
        at = total % turn if turn else total
        if layers[i][at >> 3] & (128 >> (at & 7)):
            used.append(i)
            total -= sizes[i]
    return used
