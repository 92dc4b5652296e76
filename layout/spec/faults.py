"""pydantic's errors in the builder's words: which key, what is wrong, what was expected, what to try."""

from __future__ import annotations

import re
from typing import Any

from pydantic_core import ErrorDetails

from layout.errors import Fault
from layout.spec import keys, words
from layout.spec.block import SpecBlock
from layout.spec.model import Spec
from layout.spec.text import shown
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
    if kind == "missing" and not isinstance(error["loc"][-1], int):
        key = str(path[-1])
        told = {"key": key, "example": _EXAMPLES.get(key, "..."), "meaning": _described(path, root)}
        return "type", words.MISSING.format(**told)
    example = _EXAMPLES.get(str(path[-1]) if path else "", "[...]")
    if kind in ("missing", "too_long"):
        count = context.get("actual_length") or len(error["input"])
        said = words.TOO_FEW_VALUES if kind == "missing" else words.TOO_MANY_VALUES
        return "type", said.format(count=count, wanted=example.count(",") + 1, example=example)
    found = _what(error["input"])
    if kind in ("tuple_type", "list_type"):
        return "type", words.NO_LIST.format(found=found, example=example)
    return "type", _no_block(error["input"], found, path, root)


_EXAMPLES = {
    "kind": "boss",
    "tube": "down_tube",
    "at": "200",
    "angle": "5",
    "radius": "341",
    "printer": "{x: 1.0021, y: 0.9986}",
    "fittings": "- {kind: boss, tube: down_tube, at: 200, from: bb}",
    "readings": "- {from: bb, to: front_axle, measured: 612.5}",
    "dimples": "[{at: 90, length: 60, depth: 3, plane: 90}]",
    "bends": "[{at: 200, angle: 5}]",
    "walls": "[0.8, 0.5, 0.8]",
    "butts": "[100, 80]",
    "taper": "[100, 200]",
    "section": "[30, 16]",
    "size": "[40, 12]",
    "range": "[40, 90]",
    "shims": "[0.5, 1, 2]",
    "parts": "[base, bb_post]",
    "sheet": "[2000, 1000]",
    "media": "[a4, a3]",
}
"""A value as it may be written, by its key: of each list, and of each key that must be there."""


_BLOCK_EXAMPLES = {
    "wheels": "front: 37-622 and rear: 37-622",
    "fork": "axle_to_crown: 395 and offset: 45",
    "settings": "bb_drop: {range: [40, 90]}",
}
"""What may stand in a block, where its first keys alone say too little."""


def _described(path: Path, root: type[SpecBlock]) -> str:
    """The meaning of a key, as the model has it."""
    model = keys.block_at(path[:-1], root)
    return keys.meaning(model, str(path[-1])) if model else "a value"


def _no_block(value: Any, found: str, path: Path, root: type[SpecBlock]) -> str:
    """What is said of a value that stands where keys should."""
    if isinstance(value, Scalar) and re.match(r"[a-z_]+:\S", value.text):
        return words.NO_BLOCK_TIGHT.format(text=shown(value.text))
    if isinstance(value, Scalar) and re.match(r"[a-z_]+\s*=", value.text):
        return words.NO_BLOCK_EQUALS.format(text=shown(value.text))
    example = _BLOCK_EXAMPLES.get(str(path[-1]) if path else "")
    if example is not None:
        return words.NO_BLOCK.format(found=found, names=example)
    model = keys.block_at(path, root)
    names = list(keys.fields_of(model))[:4] if model else []
    return words.NO_BLOCK.format(found=found, names=words.listed(names, "and"))


def _what(value: Any) -> str:
    if isinstance(value, Scalar):
        return f"the single value {shown(value.text)}"
    return "a list" if isinstance(value, list) else "a block of keys"
