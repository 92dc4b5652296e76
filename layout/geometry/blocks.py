"""Falling a square system into the smallest systems that can be solved one after another.

A matching of equations to unknowns, then the strongly connected components of the graph
that says which equation waits for which unknown (the fine Dulmage-Mendelsohn
decomposition; A. Pothen and C.-J. Fan, ACM Trans. Math. Software 16, 1990; components
after R. Tarjan, SIAM J. Computing 1, 1972).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from layout.geometry.derivative import GENERIC, generic_row, jacobian
from layout.geometry.equations import Equation
from layout.geometry.plane import UNKNOWNS

_INDEX = {name: i for i, name in enumerate(UNKNOWNS)}


@dataclass(frozen=True)
class Block:
    """As many equations as unknowns, which no smaller system settles.

    `affine` holds for one equation that is a straight line in its one unknown.
    """

    equations: tuple[Equation, ...]
    columns: tuple[str, ...]
    affine: bool = False


def block_triangular(equations: Sequence[Equation], columns: Sequence[str]) -> tuple[Block, ...]:
    """Order a structurally sound square system into blocks, each waiting only for those before it."""
    touches = [[j for j, c in enumerate(columns) if generic_row(e)[_INDEX[c]] != 0.0] for e in equations]
    owner = _matching(touches, len(columns))
    waits = {i: [owner[j] for j in touches[i] if owner[j] != i] for i in range(len(equations))}
    column_of = {i: j for j, i in owner.items()}
    blocks = []
    for component in _components(waits):
        rows = sorted(component)
        cols = sorted(column_of[i] for i in rows)
        members = tuple(equations[i] for i in rows)
        names = tuple(columns[j] for j in cols)
        blocks.append(Block(members, names, len(rows) == 1 and is_affine(members[0], names[0])))
    return tuple(blocks)


def _matching(touches: Sequence[Sequence[int]], columns: int) -> dict[int, int]:
    """Column to equation, every equation matched (augmenting paths)."""
    owner: dict[int, int] = {}

    def claim(row: int, seen: set[int]) -> bool:
        for j in touches[row]:
            if j not in seen:
                seen.add(j)
                if j not in owner or claim(owner[j], seen):
                    owner[j] = row
                    return True
        return False

    for row in range(len(touches)):
        if not claim(row, set()):
            raise ValueError("the equations are not structurally independent")
    if len(owner) != columns:
        raise ValueError("the system is not square")
    return owner


def _components(waits: Mapping[int, Sequence[int]]) -> list[list[int]]:
    """Strongly connected components, each after those it waits for."""
    order: dict[int, int] = {}
    low: dict[int, int] = {}
    stack: list[int] = []
    found: list[list[int]] = []

    def visit(node: int) -> None:
        order[node] = low[node] = len(order)
        stack.append(node)
        for other in waits[node]:
            if other not in order:
                visit(other)
            if other in stack:
                low[node] = min(low[node], low[other])
        if low[node] == order[node]:
            cut = stack.index(node)
            found.append(stack[cut:])
            del stack[cut:]

    for node in waits:
        if node not in order:
            visit(node)
    return found


_SHIFT = 7.7
"""How far an unknown is moved to see whether the derivative stays, mm or degrees."""


def is_affine(equation: Equation, column: str) -> bool:
    """Whether the equation is a straight line in `column`, all else held."""
    moved = {**GENERIC, column: GENERIC[column] + _SHIFT}
    _, there = jacobian([equation.function], moved, [column])
    here = generic_row(equation)[_INDEX[column]]
    return abs(float(there[0, 0]) - here) <= 1e-12 * abs(here)
