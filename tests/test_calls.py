"""Calls read well: beyond the fourth, an argument is passed by its name."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

HOUSE = Path(__file__).parent.parent / "layout"
MODULES = sorted(HOUSE.rglob("*.py"))
MOST = 4
"""Positional arguments of one call; more are told apart only by counting."""


def crowded(source: str) -> list[str]:
    """The calls that pass more than four arguments by position; one that is unpacked counts once.

    What `partial` is given first is the function, no argument of it.
    """
    calls = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)]
    counts = {c: len(c.args) - (ast.unparse(c.func) == "partial") for c in calls}
    return [f"{c.lineno}: {ast.unparse(c.func)} takes {n}" for c, n in counts.items() if n > MOST]


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(HOUSE)))
def test_beyond_the_fourth_an_argument_has_its_name(path: Path):
    assert crowded(path.read_text("utf-8")) == []


def test_the_check_sees_a_fifth():
    assert crowded("f(1, 2, 3, 4)\nf(1, 2, 3, 4, five=5)") == []
    assert crowded("partial(f, 1, 2, 3, 4)") == []
    assert crowded("a = b.f(1, 2, 3, g(4), 5)") == ["1: b.f takes 5"]
