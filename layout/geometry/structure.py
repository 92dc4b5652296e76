"""What a set of numbers settles, by rank, before any value is looked at.

Which equations are independent, which defaults are taken, what is still free and how
the rest falls into small systems solved one after the other depends only on which
dimensions are known, not on their values: it is found once at a frame with no round
number in it and kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from layout.geometry.blocks import Block, block_triangular
from layout.geometry.derivative import Floats, generic_row
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import (
    FRONT_LIKE_REAR,
    LEVEL,
    PART_DEFAULTS,
    PLACE_DEFAULTS,
    Equation,
    given,
    wheels_alike,
)
from layout.geometry.plane import FRAME_PARAMETERS, OPTIONAL_PARAMETERS, TUBE_PLACES, UNKNOWNS

INDEPENDENT = 1e-9
"""A row counts as independent where this share of it lies outside the span of the others.

At the generic frame true dependence leaves 1e-14, the weakest real dependence 1e-4.
"""

_FIRM = 1e3
"""Weight of a default beside a given number: it is held."""
_MOVED = 1e-5
"""What a dimension must move by for a unit of a size to rest on it: rounding leaves 1e-9."""

_INDEX = {name: i for i, name in enumerate(UNKNOWNS)}
_REGISTERED = {name: i for i, name in enumerate(REGISTRY)}


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


class Structure(NamedTuple):
    """How a set of known dimensions settles a frame.

    `equations` are the independent ones, givens and defaults; `more` are givens that these settle
    already. `defaults` are those taken, in order; `replaced` the part defaults that other numbers
    settle instead. `known` are the equations that give a parameter outright, `blocks` what is
    solved in order for the rest, `columns` all parameters that the equations touch.
    `unsettled` are parameters of rider and cockpit that givens touch but do not settle, and
    `loose` those givens. `free` counts the freedoms left to the frame.
    """

    equations: tuple[Equation, ...]
    more: tuple[Equation, ...]
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

    `names` are given dimensions that are no inputs, in any order; where numbers are more than
    enough, the wheels' likeness, parameters and what the registry has first are the basis.
    `slope` is the equation that serves as the default of the top tube's slope.
    """
    likeness = wheels_alike(names)
    rows = sorted((given(n) for n in names), key=_precedence)
    touched = [c for c in OPTIONAL_PARAMETERS if any(_touches(e, c) for e in rows)]
    unsettled = _unsettled([*likeness, *rows, *PART_DEFAULTS], touched)
    loose = [e for e in rows if any(_touches(e, c) for c in unsettled)]

    span = Span()
    alike, _ = _sifted(likeness, span)
    basis, more = _sifted([e for e in rows if e not in loose], span)
    parts, refused = _sifted((e for e in PART_DEFAULTS if e.name not in names), span)
    places = _placed([*alike, *basis, *parts], slope)
    equations = (*alike, *basis, *parts, *places)
    free = _free_count(equations)
    return Structure(
        equations=equations,
        more=tuple(more),
        defaults=(*_listed([*alike, *parts]), *places),
        replaced=tuple(e for e in refused if e.name not in {a.name for a in alike}),
        known=tuple(e for e in equations if _is_direct(e)),
        blocks=() if free else _blocks(equations),
        columns=tuple(c for c in UNKNOWNS if any(_touches(e, c) for e in [*equations, *more])),
        unsettled=tuple(unsettled),
        loose=tuple(e.name for e in loose),
        free=free,
    )


def _precedence(equation: Equation) -> tuple[bool, int]:
    return not REGISTRY[equation.name].is_parameter, _REGISTERED[equation.name]


def _listed(parts: Sequence[Equation]) -> list[Equation]:
    """Defaults of parts in the order people read them: the rear wheel, what is like it, the headset."""
    order = ["rear_radius", "front_radius"]
    return sorted(parts, key=lambda e: order.index(e.name) if e.name in order else len(order))


def released(found: Structure) -> Structure:
    """The structure with the sizes of parts that are defaults let go, where given numbers can move them.

    The numbers then pull at them as they do at any size that they settle.
    """
    rows = [np.array(generic_row(e)) for e in (*found.equations, *found.more) if e.value is None]
    sizes = [e for e in found.defaults if e in PART_DEFAULTS]
    sizes = [e for e in sizes if any(abs(float(row @ _growth(found, e))) > INDEPENDENT for row in rows)]
    return found._replace(
        defaults=tuple(e for e in found.defaults if e not in sizes),
        replaced=(*found.replaced, *sizes),
    )


def yielding(found: Structure, stuck: Block) -> Structure:
    """The structure with the default places of tubes in a block let go: no frame has them with the numbers.

    Their tubes then lie as near as can be to these places.
    """
    places = [e for e in found.defaults if e in stuck.equations and e in PLACE_DEFAULTS and e is not LEVEL]
    return found._replace(
        defaults=tuple(e for e in found.defaults if e not in places),
        replaced=(*found.replaced, *places),
    )


@lru_cache(maxsize=512)
def rests_on(found: Structure) -> dict[str, tuple[str, ...]]:
    """The default sizes of parts that move each dimension, by the dimension's name.

    By rank at the generic frame, so that a dimension that rests on a size somewhere does everywhere.
    """
    sizes = [e for e in found.defaults if e in PART_DEFAULTS]
    if not sizes or found.free:
        return {}
    rows = [*found.equations, *found.more]
    weight = np.array([_FIRM if e.value is not None else 1.0 for e in rows])
    columns = [_INDEX[c] for c in found.columns]
    slopes = np.array([generic_row(e) for e in rows])[:, columns]
    moves = np.linalg.pinv(slopes * weight[:, None]) * weight
    by_size = {e.name: moves[:, rows.index(e)] for e in sizes}
    resting = {}
    for name in (n for n, d in REGISTRY.items() if not d.asked_only and n not in by_size):
        row = np.array(generic_row(given(name)))[columns]
        names = tuple(n for n, move in by_size.items() if abs(float(row @ move)) > _MOVED)
        if names:
            resting[name] = names
    return resting


def _growth(found: Structure, size: Equation) -> Floats:
    """How a part's size moves the unknowns: both wheels together where they are alike."""
    unit = np.zeros(len(UNKNOWNS))
    unit[_INDEX[size.name]] = 1.0
    if size.name == "rear_radius" and FRONT_LIKE_REAR in found.defaults:
        unit[_INDEX["front_radius"]] = 1.0
    return unit


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
