"""Two frames that satisfy the same numbers: which to take, and what to say of the other."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from layout.errors import Fault, Notice, SolveError
from layout.geometry.diagnosis.words import count, listed, number
from layout.geometry.dimensions import REGISTRY
from layout.geometry.sanity import SEARCH_BOUNDS, unusual

Dimensions = Mapping[str, float | None]

_SAME = 0.05
"""Frames that differ by less in a dimension, mm or degrees, are not told apart by it."""
_TOLD = 6
_EQUAL = 1e-9


def rank(
    frames: Sequence[tuple[Dimensions, Collection[str]]], choose: Mapping[str, float]
) -> list[tuple[float, int]]:
    """Score (less is better) and index of each frame, the best first.

    Each frame comes with the names of what was given or a default. With `choose` the score is
    the distance from the dimensions chosen, as a share of their sane ranges; otherwise
    the number of dimensions outside usual practice.
    """
    if choose:
        scores = [_distance(dimensions, choose) for dimensions, _ in frames]
    else:
        scores = [float(len(unusual(dimensions, settled))) for dimensions, settled in frames]
    return sorted((s, i) for i, s in enumerate(scores))


def _distance(dimensions: Dimensions, choose: Mapping[str, float]) -> float:
    total = 0.0
    for name, wanted in choose.items():
        value = dimensions[name]
        if value is None:
            text = f"choose: {name} is not known here; choose by a dimension of the frame"
            raise SolveError(Fault(text, "insufficient", name))
        low, high = REGISTRY[name].sane
        total += ((value - wanted) / (high - low)) ** 2
    return total


def tied(ranked: Sequence[tuple[float, int]]) -> bool:
    """Whether no frame is better than all others."""
    return len(ranked) > 1 and abs(ranked[1][0] - ranked[0][0]) < _EQUAL


def telling(frames: Sequence[Dimensions]) -> list[str]:
    """The few dimensions that tell frames apart best: most different as a share of their sane range."""
    shares = []
    for name, dimension in REGISTRY.items():
        values = [v for v in (f[name] for f in frames) if v is not None]
        if dimension.asked_only or len(values) < len(frames):
            continue
        spread = max(values) - min(values)
        if spread > _SAME:
            known = name in SEARCH_BOUNDS
            shares.append((not known, -spread / (dimension.sane[1] - dimension.sane[0]), name))
    return [name for _, _, name in sorted(shares)[:_TOLD]]


def second_frames(frames: Sequence[Dimensions]) -> list[Notice]:
    """A notice for each frame but the first, which is the one taken."""
    notices = []
    for other in frames[1:]:
        names = telling([frames[0], other])
        values = [f"{n} {_text(other, n)} (here {_text(frames[0], n)})" for n in names]
        text = f"a second frame fits these numbers: {listed(values)}; to have it, name one of these in choose"
        notices.append(Notice("second_frame", text))
    return notices


def ambiguous(frames: Sequence[Dimensions]) -> Fault:
    """The error that asks for `choose`."""
    names = telling(frames)
    values = [f"{n} {listed([_text(f, n) for f in frames], 'or')}" for n in names]
    text = (
        f"{count(len(frames))} frames fit these numbers equally well: {'; '.join(values)};"
        " name one of these in choose"
    )
    return Fault(text, "ambiguous", names[0] if names else None)


def _text(dimensions: Dimensions, name: str) -> str:
    value = dimensions[name]
    return "none" if value is None else number(value, name)
