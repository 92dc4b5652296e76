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
from layout.geometry.derivative import Floats, generic_inputs, generic_row
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import LEVEL, PART_DEFAULTS, PLACE_DEFAULTS, Equation, given
from layout.geometry.plane import FRAME_PARAMETERS, INPUTS, OPTIONAL_PARAMETERS, TUBE_PLACES, UNKNOWNS

INDEPENDENT = 1e-9
"""A row counts as independent where this share of it lies outside the span of the others.

At the generic frame true dependence leaves 1e-14, the weakest real dependence 1e-4.
"""

_INDEX = {name: i for i, name in enumerate(UNKNOWNS)}


class Span:
    """The space spanned by the rows added so far, in the columns named."""

    def __init__(self, columns: Iterable[str] = UNKNOWNS, equations: Iterable[Equation] = ()) -> None:
        self.columns = [_INDEX[name] for name in columns]
        self.basis = np.zeros((0, len(self.columns)))
        for equation in equations:
            self.add(equation)

    def outside(self, row: Floats) -> Floats | None:
        """The unit part of `row`, in UNKNOWNS, outside the span; None where it lies inside."""
        v = row[self.columns]
        size = float(np.sqrt(v @ v))
        if size == 0.0:
            return None
        v = v / size
        for _ in range(2):
            v = v - (self.basis @ v) @ self.basis
        left = float(np.sqrt(v @ v))
        return v / left if left > INDEPENDENT else None

    def add(self, equation: Equation) -> bool:
        """Add an equation's row; False where it was in the span already."""
        v = self.outside(np.array(generic_row(equation)))
        if v is None:
            return False
        self.basis = np.vstack([self.basis, v])
        return True


@dataclass(frozen=True)
class Circuit:
    """Givens that depend on one another, and none fewer of them.

    `equations` ends with the one that was redundant; `inputs` are the dimensions never
    solved for whose values the dependence rests on.
    """

    equations: tuple[Equation, ...]
    inputs: tuple[str, ...]

    @property
    def redundant(self) -> Equation:
        """The member that the others settle."""
        return self.equations[-1]


@dataclass(frozen=True)
class Structure:
    """How a set of known dimensions settles a frame.

    `equations` are the independent ones, givens and defaults; `circuits` has one for each
    redundant given. `defaults` are those taken, in order; `replaced` the part defaults
    that other numbers settle instead. `known` are the equations that give a parameter
    outright, `blocks` what is solved in order for the rest, `columns` all parameters that
    the equations touch. `unsettled` are parameters of rider and cockpit that givens touch
    but do not settle, and `loose` those givens. `free` counts the freedoms left to the frame.
    """

    equations: tuple[Equation, ...]
    circuits: tuple[Circuit, ...]
    defaults: tuple[Equation, ...]
    replaced: tuple[Equation, ...]
    known: tuple[Equation, ...]
    blocks: tuple[Block, ...]
    columns: tuple[str, ...]
    unsettled: tuple[str, ...]
    loose: tuple[str, ...]
    free: int


def _touches(equation: Equation, column: str) -> bool:
    return generic_row(equation)[_INDEX[column]] != 0.0


@lru_cache(maxsize=512)
def structure(names: tuple[str, ...], slope: Equation = LEVEL) -> Structure:
    """Find what the dimensions `names` settle, defaults taken where they are independent.

    `names` are given dimensions that are no inputs; where numbers are more than enough,
    parameters and then the earlier ones are the basis. `slope` is the equation that
    serves as the default of the top tube's slope.
    """
    rows = sorted((given(n) for n in names), key=lambda e: not REGISTRY[e.name].is_parameter)
    touched = [c for c in OPTIONAL_PARAMETERS if any(_touches(e, c) for e in rows)]
    unsettled = _unsettled([*rows, *PART_DEFAULTS], touched)
    loose = [e for e in rows if any(_touches(e, c) for c in unsettled)]

    span = Span()
    basis, dependent = _sifted([e for e in rows if e not in loose], span)
    parts, refused = _sifted(PART_DEFAULTS, span)
    places = _placed([*basis, *parts], slope)
    equations = (*basis, *parts, *places)
    free = _free_count(equations)
    return Structure(
        equations=equations,
        circuits=tuple(circuit(e, basis) for e in dependent),
        defaults=(*parts, *places),
        replaced=tuple(e for e in refused if e.name not in names),
        known=tuple(e for e in equations if _is_direct(e)),
        blocks=() if free else _blocks(equations),
        columns=tuple(c for c in UNKNOWNS if any(_touches(e, c) for e in equations)),
        unsettled=tuple(unsettled),
        loose=tuple(e.name for e in loose),
        free=free,
    )


@lru_cache(maxsize=512)
def resloped(names: tuple[str, ...], slope: Equation) -> tuple[Structure, tuple[Block, ...]]:
    """The structure with another default for the slope, and its blocks that differ from the level one's.

    Blocks that wait for one that differs are among them.
    """
    level, other = structure(names), structure(names, slope)
    moved: set[str] = set()
    blocks = []
    for block in other.blocks:
        if block not in level.blocks or any(_touches(e, c) for e in block.equations for c in moved):
            blocks.append(block)
            moved.update(block.columns)
    return other, tuple(blocks)


def _sifted(equations: Iterable[Equation], span: Span) -> tuple[list[Equation], list[Equation]]:
    """The equations that enlarge the span, and those that do not."""
    taken: list[Equation] = []
    left: list[Equation] = []
    for equation in equations:
        (taken if span.add(equation) else left).append(equation)
    return taken, left


def _unsettled(equations: Sequence[Equation], columns: Sequence[str]) -> list[str]:
    if not columns:
        return []
    span = Span(equations=equations)
    unit = np.eye(len(UNKNOWNS))
    return [c for c in columns if span.outside(unit[_INDEX[c]]) is not None]


def circuit(equation: Equation, basis: Sequence[Equation]) -> Circuit:
    """The least dependent set that `equation` forms with members of an independent `basis`."""
    rows = np.array([generic_row(b) for b in basis])
    size = np.linalg.norm(rows, axis=1)
    target = np.array(generic_row(equation))
    whole = float(np.linalg.norm(target))
    shares = np.linalg.lstsq(rows.T / size, target / whole, rcond=None)[0]
    rest = np.array(generic_inputs(equation))
    members = []
    for member, share, length in zip(basis, shares, size, strict=True):
        if abs(share) > INDEPENDENT:
            members.append(member)
            rest = rest - share * whole / length * np.array(generic_inputs(member))
    inputs = tuple(n for n, v in zip(INPUTS, rest, strict=True) if abs(v) > INDEPENDENT)
    return Circuit((*members, equation), inputs)


def _free_count(equations: Sequence[Equation]) -> int:
    """How many freedoms of the frame independent equations leave; those for the rest do not count."""
    for_the_rest = Span(OPTIONAL_PARAMETERS, equations)
    return len(FRAME_PARAMETERS) - (len(equations) - len(for_the_rest.basis))


def _placed(equations: Sequence[Equation], slope: Equation) -> list[Equation]:
    """The place defaults taken: independent with wheels, angles, fork and head tube held.

    A weld land settles the place of its own tube and nothing else: where that place is
    settled already, the land would otherwise decide the tube's slope.
    """
    span = Span(TUBE_PLACES, equations)
    unit = np.eye(len(UNKNOWNS))
    taken = []
    for equation in (slope if d is LEVEL else d for d in PLACE_DEFAULTS):
        place = _INDEX.get(equation.name)
        if place is not None and span.outside(unit[place]) is None:
            continue
        if span.add(equation):
            taken.append(equation)
    return taken


def _is_direct(equation: Equation) -> bool:
    row = generic_row(equation)
    return REGISTRY[equation.name].is_parameter and sum(v != 0.0 for v in row) == 1


def _blocks(equations: Sequence[Equation]) -> tuple[Block, ...]:
    direct = {e.name for e in equations if _is_direct(e)}
    rows = [e for e in equations if not _is_direct(e)]
    columns = [c for c in UNKNOWNS if c not in direct and any(_touches(e, c) for e in equations)]
    return block_triangular(rows, columns)
