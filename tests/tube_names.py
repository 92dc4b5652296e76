"""Finds where source looks into a tube's name instead of asking the tube's role.

Wrong outside the table of roles: a tube's name spelt out, a piece of one searched for, cut off or put on,
and any method of text called on what holds a tube's name.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator

from layout.geometry.space.roles import ROLES, Side

NAMES = {name for r in ROLES.values() for name in (r.name, *(r.tube(s) for s in Side))}
PIECES = {
    "_".join(words[a:b])
    for words in (name.split("_") for name in NAMES)
    for a in range(len(words))
    for b in range(a + 1, len(words) + 1)
}
"""Every word or run of words of a tube's name, sides among them."""
JOINING = {"left", "right", "stay", "tube", "bridge"}
"""Words that make a name a tube's where they are put on to another."""
METHODS = {
    "startswith", "endswith", "removesuffix", "removeprefix", "split", "rsplit", "partition", "rpartition",
    "replace", "find", "rfind", "index", "rindex", "count", "__contains__",
}  # fmt: skip
HOLDERS = {"tube", "stay", "role", "host"}
"""What is called so is a tube or its name; so is the `name` or `label` of one."""


def looks(source: str) -> list[str]:
    """Each place that looks into a tube's name, by line."""
    tree = ast.parse(source)
    found = {(node.lineno, said) for node, said in _looks(tree)}
    return [f"{line}: {said}" for line, said in sorted(found)]


def _looks(tree: ast.AST) -> Iterator[tuple[ast.expr, str]]:
    for node in ast.walk(tree):
        match node:
            case ast.Constant(value=str(text)) if text in NAMES:
                yield node, f"spells {text}"
            case ast.Compare(left=left, ops=[ast.In() | ast.NotIn()], comparators=[where]):
                if _is_piece(left) and not isinstance(where, (ast.Tuple, ast.List, ast.Set)):
                    yield node, f"searches for {ast.unparse(left)}"
                elif _holds(where):
                    yield node, f"searches {ast.unparse(where)}"
            case ast.Compare(left=left, comparators=[right]) if _cut_out(left) or _cut_out(right):
                yield node, f"cuts up {ast.unparse(node)}"
            case ast.Call(func=ast.Attribute(value=what, attr=method), args=args) if method in METHODS:
                if _holds(what):
                    yield node, f"{method} of {ast.unparse(what)}"
                elif any(_is_piece(a) for arg in args for a in _each(arg)):
                    yield node, f"{method} {ast.unparse(args[0])}"
            case ast.JoinedStr(values=values):
                yield from ((node, f"builds {ast.unparse(node)}") for _ in _built(values))
            case ast.BinOp(op=ast.Add(), left=left, right=right) if _joins(left) or _joins(right):
                yield node, f"builds {ast.unparse(node)}"


def _each(arg: ast.expr) -> list[ast.expr]:
    return list(arg.elts) if isinstance(arg, ast.Tuple) else [arg]


def _is_piece(node: ast.expr) -> bool:
    """Whether it is text that a tube's name may have in it."""
    if not (isinstance(node, ast.Constant) and isinstance(node.value, str)):
        return False
    return node.value.strip("_") in PIECES


def _joins(node: ast.expr) -> bool:
    """Whether it is text that makes another's name a tube's: "_left", "chain_stay_"."""
    if not (isinstance(node, ast.Constant) and isinstance(node.value, str)):
        return False
    text = node.value
    return text != text.strip("_") and text.strip("_") in PIECES and bool(set(text.split("_")) & JOINING)


def _built(values: list[ast.expr]) -> Iterator[ast.expr]:
    """The parts of an f-string that put a tube's name together."""
    for before, part in zip([None, *values], values, strict=False):
        if isinstance(part, ast.FormattedValue):
            joined = isinstance(before, ast.Constant) and str(before.value).endswith("_")
            if joined and _called(part.value) in {"side", "s"}:
                yield part
        elif _joins(part) or any(w in str(getattr(part, "value", "")) for w in ("chain_stay_", "seat_stay_")):
            yield part


def _called(node: ast.expr) -> str:
    match node:
        case ast.Name(id=name):
            return name
        case ast.Attribute(value=owner, attr="value" | "name" | "label"):
            return _called(owner)
        case ast.Attribute(attr=name):
            return name
        case _:
            return ""


def _holds(node: ast.expr) -> bool:
    """Whether what it holds is a tube's name, as far as its own name tells."""
    return _called(node) in HOLDERS


def _cut_out(node: ast.expr) -> bool:
    """Whether it is some letters of a tube's name."""
    return isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Slice) and _holds(node.value)
