"""Every text that stands in the code, with its holes: what no run of the program reaches is read as well."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

CODE = Path(__file__).parent.parent.parent / "layout"
_WORD = re.compile(r"[A-Za-z]{2,}")
_HOLE = re.compile(r"\{([^{}]*)\}")
_LEAST = 3
"""Words of a text that counts as one for people to read."""


@dataclass(frozen=True)
class Sentence:
    """A text as written in the code: `{...}` stands for what is put in."""

    file: str
    line: int
    text: str

    @property
    def place(self) -> str:
        """Where it stands."""
        return f"{self.file}:{self.line}"

    @property
    def plain(self) -> str:
        """The text with a word in each hole."""
        return _HOLE.sub("X", self.text.replace("{{", "[").replace("}}", "]"))


_ELEMENT = re.compile("<[a-z]+ [a-z]+=")
"""An element of a file: no one reads it."""


@cache
def sentences() -> tuple[Sentence, ...]:
    """All of them, by file and line.

    Not docstrings, elements of files, nor what only a programmer's mistake brings up.
    """
    return tuple(_sentences())


def _sentences() -> Iterator[Sentence]:
    for path in sorted(CODE.rglob("*.py")):
        file = path.relative_to(CODE).as_posix()
        for line, text in _texts(ast.parse(path.read_text(encoding="utf-8"))):
            if " " in text and not _ELEMENT.match(text) and len(_WORD.findall(_HOLE.sub("", text))) >= _LEAST:
                yield Sentence(file, line, text)


def _texts(tree: ast.Module) -> Iterator[tuple[int, str]]:
    left_out = {id(part) for node in ast.walk(tree) for part in _not_read(node)}
    for node in ast.walk(tree):
        if id(node) in left_out:
            continue
        if isinstance(node, ast.JoinedStr):
            yield node.lineno, "".join(map(_part, node.values))
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.lineno, node.value


def _not_read(node: ast.AST) -> Iterator[ast.AST]:
    """Docstrings, the pieces of a text with holes, and the words of a ValueError or AssertionError."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        yield node.value
    elif isinstance(node, ast.JoinedStr):
        yield from node.values
    elif isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
        raised = node.exc.func
        if isinstance(raised, ast.Name) and raised.id in ("ValueError", "AssertionError", "TypeError"):
            yield from ast.walk(node.exc)


def _part(value: ast.expr) -> str:
    if isinstance(value, ast.Constant):
        return str(value.value).replace("{", "{{").replace("}", "}}")
    assert isinstance(value, ast.FormattedValue)
    spec = "" if value.format_spec is None else ast.unparse(value.format_spec)[2:-1]
    return (
        "{" + ast.unparse(value.value).replace("{", "").replace("}", "") + (f":{spec}" if spec else "") + "}"
    )
