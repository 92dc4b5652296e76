"""Two frames that satisfy the same numbers: which to take, and what to say of the other."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from layout.errors import Fault, Notice, SolveError
from layout.geometry import messages
from layout.geometry.diagnosis.words import count, listed, measured, number, unit_of
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import (
    DEFAULT_LOWER_STACK,
    DEFAULT_TOP_TUBE_AT_SEAT,
    DEFAULT_UPPER_STACK,
    DEFAULT_WHEEL_RADIUS,
)
from layout.geometry.sanity import SEARCH_BOUNDS, unusual

Dimensions = Mapping[str, float | None]

_SAME = 0.05
"""Frames that differ by less in a dimension, mm or degrees, are not told apart by it."""
_TOLD = 6
_EQUAL = 1e-9


@dataclass(frozen=True, order=True)
class Score:
    """How good a frame is as an answer, less is better: by what is asked first, then by its parts."""

    first: float
    parts: float
    index: int


def rank(frames: Sequence[tuple[Dimensions, Collection[str]]], choose: Mapping[str, float]) -> list[Score]:
    """The frames' scores, the best first.

    Each frame comes with the names of what was given or a default. With `choose` the score is
    the distance from the dimensions chosen, as a share of their possible ranges; otherwise
    the number of dimensions outside usual practice, then how far found parts lie from their defaults.
    """
    scores = []
    for i, (dimensions, settled) in enumerate(frames):
        if choose:
            scores.append(Score(_distance(dimensions, choose), 0.0, i))
        else:
            scores.append(Score(len(unusual(dimensions, settled)), _from_defaults(dimensions, settled), i))
    return sorted(scores)


_PARTS = {
    "rear_radius": DEFAULT_WHEEL_RADIUS,
    "front_radius": DEFAULT_WHEEL_RADIUS,
    "lower_stack": DEFAULT_LOWER_STACK,
    "upper_stack": DEFAULT_UPPER_STACK,
    "top_tube_at_seat": DEFAULT_TOP_TUBE_AT_SEAT,
    "top_tube_slope": 0.0,
}


def _from_defaults(dimensions: Dimensions, settled: Collection[str]) -> float:
    """How far what was found lies from what is taken where nothing is found, as shares of possible ranges."""
    total = 0.0
    for name, default in _PARTS.items():
        value, (low, high) = dimensions[name], REGISTRY[name].possible
        if value is not None and name not in settled:
            total += ((value - default) / (high - low)) ** 2
    return total


def _distance(dimensions: Dimensions, choose: Mapping[str, float]) -> float:
    total = 0.0
    for name, wanted in choose.items():
        value = dimensions[name]
        if value is None:
            raise SolveError(Fault(messages.NOT_KNOWN.format(name=name), "insufficient", name))
        low, high = REGISTRY[name].possible
        total += ((value - wanted) / (high - low)) ** 2
    return total


def tied(ranked: Sequence[Score]) -> int:
    """How many frames are as good as the best."""
    best = ranked[0]
    return sum(s.first - best.first < _EQUAL and s.parts - best.parts < _EQUAL for s in ranked)


def telling(frames: Sequence[Dimensions]) -> list[str]:
    """The few dimensions that tell frames apart best: most different as a share of their possible range."""
    shares = []
    for name, dimension in REGISTRY.items():
        values = [v for v in (f[name] for f in frames) if v is not None]
        if dimension.asked_only or len(values) < len(frames):
            continue
        spread = max(values) - min(values)
        if spread > _SAME:
            known = name in SEARCH_BOUNDS
            shares.append((not known, -spread / (dimension.possible[1] - dimension.possible[0]), name))
    return [name for _, _, name in sorted(shares)[:_TOLD]]


def second_frames(frames: Sequence[Dimensions]) -> list[Notice]:
    """A notice for each frame but the first, which is the one taken."""
    notices = []
    for other in frames[1:]:
        names = telling([frames[0], other])
        values = [f"{n} {_text(other, n)} (here {_text(frames[0], n)})" for n in names]
        notices.append(Notice("second_frame", messages.SECOND_FRAME.format(values=listed(values, "or"))))
    return notices


def ambiguous(frames: Sequence[Dimensions]) -> Fault:
    """The error that asks for `choose`."""
    names = telling(frames)
    values = [f"{n} {listed([_number(f, n) for f in frames], 'or')} {unit_of(n)}" for n in names]
    text = messages.AMBIGUOUS.format(count=count(len(frames)), values=", ".join(values))
    return Fault(text, "ambiguous", names[0] if names else None)


def _text(dimensions: Dimensions, name: str) -> str:
    value = dimensions[name]
    return "none" if value is None else measured(value, name)


def _number(dimensions: Dimensions, name: str) -> str:
    value = dimensions[name]
    return "none" if value is None else number(value, name)
