"""What a set of numbers settles, by rank, before any value is looked at.

Which equations are independent, which defaults are taken, what is still free and how
the rest falls into small systems solved one after the other depends only on which
dimensions are known, not on their values: it is found once at a frame with no round
number in it and kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from layout.geometry.blocks import Block, block_triangular
from layout.geometry.derivative import Floats, generic_row
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import LEVEL, PART_DEFAULTS, PLACE_DEFAULTS, Equation, given
from layout.geometry.plane import FRAME_PARAMETERS, OPTIONAL_PARAMETERS, TUBE_PLACES, UNKNOWNS

INDEPENDENT = 1e-9
"""A row counts as independent where this share of it lies outside the span of the others.

At the generic frame true dependence leaves 1e-14, the weakest real dependence 1e-4.
"""

_INDEX = {name: i for i, name in enumerate(UNKNOWNS)}


class Span:
    """The space spanned by the rows added so far, in the columns named."""

    def __init__(self, columns: Iterable[str] = UNKNOWNS) -> None:
        self.columns = [_INDEX[name] for name in columns]
        self.basis = np.zeros((0, len(self.columns)))

    def outside(self, row: Floats) -> Floats | None:
        """The unit part of `row` outside the span, or None where it lies inside."""
        v = row[self.columns]
        size = float(np.sqrt(v @ v))
        if size == 0.0:
            return None
        v = v / size
        for _ in range(2):
            v = v - (self.basis @ v) @ self.basis
        left = float(np.sqrt(v @ v))
        return v / left if left > INDEPENDENT else None

    def add(self, row: Floats) -> bool:
        """Add a row; False where it was in the span already."""
        v = self.outside(row)
        if v is None:
            return False
        self.basis = np.vstack([self.basis, v])
        return True


@dataclass(frozen=True)
class Structure:
    """How a set of known dimensions settles a frame.

    `equations` are the independent ones, givens and defaults; `redundant` are givens
    that follow from others, each with its circuit: the givens, itself included, that
    depend on one another. `defaults` are those taken, in order; `replaced` the part
    defaults that other numbers settle instead. `blocks` are solved in order.
    `unknown_optional` are parameters of rider and cockpit that nothing settles, and
    `loose` the givens that touch them. `known` are the equations that give a parameter
    outright; `free` counts the freedoms of the frame that are left.
    """

    equations: tuple[Equation, ...]
    redundant: tuple[tuple[Equation, tuple[str, ...]], ...]
    defaults: tuple[Equation, ...]
    replaced: tuple[Equation, ...]
    blocks: tuple[Block, ...]
    known: tuple[Equation, ...]
    unknown_optional: frozenset[str]
    loose: tuple[str, ...]
    free: int


def _row(equation: Equation) -> Floats:
    return np.array(generic_row(equation))


def _touches(equation: Equation, columns: Iterable[str]) -> bool:
    row = generic_row(equation)
    return any(row[_INDEX[c]] != 0.0 for c in columns)


def _independent(equations: Sequence[Equation], span: Span) -> tuple[list[Equation], list[Equation]]:
    taken, left = [], []
    for equation in equations:
        (taken if span.add(_row(equation)) else left).append(equation)
    return taken, left


def _unsettled(equations: Sequence[Equation], columns: Iterable[str]) -> list[str]:
    span = Span()
    for equation in equations:
        span.add(_row(equation))
    return [c for c in columns if span.outside(np.eye(len(UNKNOWNS))[_INDEX[c]]) is not None]


def circuit(equation: Equation, basis: Sequence[Equation]) -> tuple[str, ...]:
    """The names of the least dependent set that `equation` forms with independent `basis`."""
    rows = np.array([_row(b) for b in basis])
    size = np.linalg.norm(rows, axis=1)
    target = _row(equation)
    shares = np.linalg.lstsq(rows.T / size, target / np.linalg.norm(target), rcond=None)[0]
    return (*(b.name for b, c in zip(basis, shares, strict=True) if abs(c) > INDEPENDENT), equation.name)


@lru_cache(maxsize=512)
def structure(names: tuple[str, ...], slope: Equation = LEVEL) -> Structure:
    """Find what the dimensions `names` settle, defaults taken where they are independent.

    `names` are given dimensions that are no inputs. `slope` is the equation that
    serves as the default of the top tube's slope.
    """
    direct_first = sorted(names, key=lambda n: not REGISTRY[n].is_parameter)
    rows = [given(n) for n in direct_first]
    touched = [c for c in OPTIONAL_PARAMETERS if any(_touches(e, [c]) for e in rows)]
    unknown_optional = frozenset(OPTIONAL_PARAMETERS) - set(touched)
    unsettled = _unsettled([*rows, *PART_DEFAULTS], touched)
    if unsettled:
        unknown_optional |= set(unsettled)
    loose = tuple(e.name for e in rows if _touches(e, unsettled))
    rows = [e for e in rows if e.name not in loose]

    span = Span()
    basis, dependent = _independent(rows, span)
    parts, refused = _independent(PART_DEFAULTS, span)
    places = _placed([*basis, *parts], slope)
    equations = (*basis, *parts, *places)
    free = free_count(equations)
    return Structure(
        equations=equations,
        redundant=tuple((e, circuit(e, basis)) for e in dependent),
        defaults=(*parts, *places),
        replaced=tuple(e for e in refused if e.name not in names),
        blocks=() if free else _blocks(equations),
        known=tuple(e for e in equations if _is_direct(e)),
        unknown_optional=unknown_optional,
        loose=loose,
        free=free,
    )


def free_count(equations: Sequence[Equation]) -> int:
    """How many freedoms of the frame the equations leave."""
    whole, optional = Span(), Span(OPTIONAL_PARAMETERS)
    for equation in equations:
        whole.add(_row(equation))
        optional.add(_row(equation))
    return len(FRAME_PARAMETERS) - (len(whole.basis) - len(optional.basis))


def _placed(equations: Sequence[Equation], slope: Equation) -> list[Equation]:
    """The place defaults taken: independent with wheels, angles, fork and head tube held."""
    span = Span(TUBE_PLACES)
    for equation in equations:
        span.add(_row(equation))
    taken = []
    for default in PLACE_DEFAULTS:
        equation = slope if default is LEVEL else default
        if span.add(_row(equation)):
            taken.append(equation)
    return taken


def _is_direct(equation: Equation) -> bool:
    row = generic_row(equation)
    return REGISTRY[equation.name].is_parameter and sum(v != 0.0 for v in row) == 1


def _blocks(equations: Sequence[Equation]) -> tuple[Block, ...]:
    direct = {e.name for e in equations if _is_direct(e)}
    rows = [e for e in equations if not _is_direct(e)]
    touched = {c for e in equations for c in UNKNOWNS if generic_row(e)[_INDEX[c]] != 0.0}
    columns = [c for c in UNKNOWNS if c in touched and c not in direct]
    return block_triangular(rows, columns)
