"""pydantic's errors in the builder's words: which key, what is wrong, what was expected, what to try."""

from __future__ import annotations

from typing import Any

from pydantic_core import ErrorDetails

from layout.errors import Fault
from layout.spec import keys
from layout.spec.block import SpecBlock
from layout.spec.model import Spec
from layout.spec.tree import Path, Scalar, Tree, dotted


def fault(error: ErrorDetails, tree: Tree, file: str, root: type[SpecBlock] = Spec) -> Fault:
    """One pydantic error of the model `root` as a Fault with its place in the file."""
    path = _path(error, tree)
    code, message = _say(error, path, root)
    return Fault(message, code, dotted(path) or None, file, line=tree.line(path))


def _path(error: ErrorDetails, tree: Tree) -> Path:
    """The error's place as keys of the file: what pydantic adds for unions is left out."""
    path: Path = ()
    node: Any = tree.root
    missing = error["type"] == "missing"
    for n, part in enumerate(error["loc"]):
        last = n == len(error["loc"]) - 1
        inside = isinstance(node, dict) and part in node
        inside = inside or (isinstance(node, list) and isinstance(part, int) and part < len(node))
        if inside:
            node = node[part]
            path = (*path, part)
        elif last and missing and isinstance(part, str):
            path = (*path, part)
    return path


def _say(error: ErrorDetails, path: Path, root: type[SpecBlock]) -> tuple[str, str]:
    kind, context = error["type"], error.get("ctx", {})
    if kind in ("type", "range", "duplicate"):
        return kind, error["msg"]
    if kind == "extra_forbidden":
        return "unknown_key", keys.unknown(path, error["input"], root)
    if kind == "missing" and isinstance(error["loc"][-1], int):
        return "type", f"has {error['loc'][-1]} values, too few; expected {_described(path, root)}"
    if kind == "missing":
        return "type", f"is missing; {_described(path, root)} has to be said here"
    if kind == "too_long":
        count = context.get("actual_length")
        return "type", f"has {count} values, too many; expected {_described(path, root)}"
    found = _what(error["input"])
    if kind in ("tuple_type", "list_type"):
        return "type", f"is {found}; expected a list such as [1, 2]"
    return "type", f"is {found}; expected a block of keys{_sample(path, root)}"


def _described(path: Path, root: type[SpecBlock]) -> str:
    """The meaning of a key, as the model has it."""
    model = keys.block_at(path[:-1], root)
    return keys.meaning(model, str(path[-1])) if model else "a value"


def _what(value: Any) -> str:
    if isinstance(value, Scalar):
        return f"the single value {value.text[:40]!r}"
    return "a list" if isinstance(value, list) else "a block of keys"


def _sample(path: Path, root: type[SpecBlock]) -> str:
    model = keys.block_at(path, root)
    names = list(keys.fields_of(model))[:4] if model else []
    return f" below it, indented, such as {', '.join(names)}" if names else ""
