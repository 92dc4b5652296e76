"""YAML text as a plain tree with the line of every key, and YAML's own traps said in plain words.

    text --(PyYAML's parser, in C where there is one)--> events --(here)--> Tree

Scalars stay as written (`Scalar`): the model decides what `010`, `no` or `2024-05-01` may
mean, because a job number 010 is text and a head angle 010 is a slip. The events are taken
rather than PyYAML's composed nodes so that depth, aliases and a second document are met
while reading, before any of them can cost time or stack.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml  # noqa: TID251 - this is the room that knows YAML

from layout.errors import Fault, SpecError
from layout.spec import words
from layout.spec.text import check_characters, key_text

try:
    from yaml import CLoader as _Loader  # noqa: TID251
except ImportError:
    from yaml import Loader as _Loader  # type: ignore[assignment]  # noqa: TID251

MAX_DEPTH = 12
"""The deepest key of a spec lies 6 down (tubes, a tube, bends, an item, a key, its value)."""

MAX_VALUES = 5000
"""Values in one file, aliases counted as often as they are used; a full spec has about 200."""

Path = tuple[str | int, ...]

_TIGHT_COLON = re.compile(r"\s*[A-Za-z_]+:[^\s]")


@dataclass(frozen=True, slots=True)
class Scalar:
    """A value as written; `plain` is false for a quoted or block text."""

    text: str
    plain: bool = True

    @property
    def empty(self) -> bool:
        """Whether YAML reads it as no value at all."""
        return self.plain and self.text in ("", "~", "null", "Null", "NULL")


@dataclass(frozen=True)
class Tree:
    """`root` is dicts, lists and Scalars; `lines` gives the line (from 1) of each key and item."""

    root: dict[str, Any]
    lines: Mapping[Path, int]
    faults: tuple[Fault, ...] = ()

    def line(self, path: Path) -> int:
        """The line of `path`, or of the nearest thing above it that stands in the file."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


def dotted(path: Path) -> str:
    """A path as messages write it.

    >>> dotted(("tubes", "chain_stay", "bends", 0, "at"))
    'tubes.chain_stay.bends.0.at'
    """
    return ".".join(key_text(p) if isinstance(p, str) else str(p) for p in path)


@dataclass(frozen=True)
class Holds:
    """What a file should hold, for messages: its name, a key of it, what may stand below, what writes it."""

    what: str
    key: str
    below: str
    source: str


SPEC = Holds("spec", "geometry", "head_angle: 72", "`layout new FILE` writes one.")


_TOLD_APART = {"geometry": words.SPEC_NOT_READINGS, "readings": words.READINGS_NOT_SPEC}
"""Keys by which a spec and a file of readings are told apart where one is given for the other."""


def parse(text: str, file: str, holds: Holds = SPEC) -> Tree:
    """Read one YAML document whose top level is a mapping.

    Keys written twice are kept as faults in the Tree (the first one counts), so that the
    model's faults can be told in the same pass. Raises SpecError for all else.
    """
    if not (text.isascii() and text.isprintable()):
        check_characters(text, file)
    builder = _Builder(file, holds)
    loader = _Loader(text)
    try:
        while loader.check_event():
            builder.take(loader.get_event())
    except yaml.MarkedYAMLError as e:
        raise SpecError(*builder.faults, _syntax_fault(e, text, file)) from e
    except yaml.YAMLError as e:
        message = words.NO_YAML.format(problem=" ".join(str(e).split()))
        raise SpecError(Fault(message, "syntax", file=file)) from e
    finally:
        loader.dispose()
    tree = builder.tree()
    for key, message in _TOLD_APART.items():
        if holds.key in _TOLD_APART and key in tree.root and holds.key not in tree.root:
            raise SpecError(Fault(message, "syntax", key, file, line=tree.line((key,))))
    return tree


@dataclass
class _Open:
    """A mapping or list being read: its content so far, its own size and height for aliases."""

    content: dict[str, Any] | list[Any]
    path: Path
    anchor: str | None
    key: str | None = None
    size: int = 1
    height: int = 1


@dataclass(frozen=True)
class _Anchored:
    value: Any
    size: int
    height: int


@dataclass
class _Builder:
    """Takes parser events one by one and grows the tree; an explicit stack, no recursion."""

    file: str
    holds: Holds = SPEC
    root: Any = None
    lines: dict[Path, int] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    _stack: list[_Open] = field(default_factory=list)
    _anchors: dict[str, _Anchored | None] = field(default_factory=dict)
    _documents: int = 0
    _values: int = 0

    def tree(self) -> Tree:
        """What was read, once the events have ended."""
        if self.root is None or (isinstance(self.root, Scalar) and self.root.empty):
            holds = self.holds
            message = words.NOTHING.format(what=holds.what, key=holds.key, source=holds.source)
            raise self._fatal(None, message)
        if not isinstance(self.root, dict):
            what = "a list" if isinstance(self.root, list) else "a single text"
            message = words.NO_KEYS.format(found=what, key=self.holds.key, below=self.holds.below)
            raise self._fatal(1, message, code="type")
        return Tree(self.root, self.lines, tuple(self.faults))

    def take(self, event: Any) -> None:
        """Add one event of PyYAML's parser."""
        line = event.start_mark.line + 1
        if isinstance(event, yaml.NodeEvent):
            self._node(event, line)
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self._close(self._stack.pop())
        elif isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                raise self._fatal(line, words.SECOND_DOCUMENT)

    def _node(self, event: Any, line: int) -> None:
        anchor, tag = event.anchor, getattr(event, "tag", None)
        if tag is not None and not _implicit(event):
            raise self._fatal(line, words.TAG.format(tag=key_text(str(tag))))
        if isinstance(event, yaml.ScalarEvent):
            scalar = Scalar(event.value, plain=bool(event.implicit[0]))
            if anchor:
                self._anchors[anchor] = _Anchored(scalar, 1, 0)
            if not self._is_key(scalar, line):
                self._put(scalar, line, 1, 0)
        elif isinstance(event, yaml.AliasEvent):
            self._alias(anchor, line)
        else:
            self._open({} if isinstance(event, yaml.MappingStartEvent) else [], anchor, line)

    def _is_key(self, scalar: Scalar, line: int) -> bool:
        """Take `scalar` as the next key if a mapping waits for one."""
        top = self._stack[-1] if self._stack else None
        if top is None or not isinstance(top.content, dict) or top.key is not None:
            return False
        if scalar.plain and scalar.text == "<<":
            raise self._fatal(line, words.MERGE_KEY, top.path)
        path = (*top.path, scalar.text)
        if scalar.text in top.content:
            message = words.TWICE.format(line=self.lines[path])
            self.faults.append(Fault(message, "duplicate", dotted(path), self.file, line=line))
        else:
            self.lines.setdefault(path, line)
        top.key = scalar.text
        return True

    def _open(self, content: dict[str, Any] | list[Any], anchor: str | None, line: int) -> None:
        path = self._place(line)
        if anchor:
            self._anchors[anchor] = None
        self._stack.append(_Open(content, path, anchor))
        self._deep(line, 0)

    def _alias(self, name: str, line: int) -> None:
        if name not in self._anchors:
            raise self._fatal(line, words.NO_ANCHOR.format(name=key_text(name)))
        known = self._anchors[name]
        if known is None:
            raise self._fatal(line, words.IN_ITSELF.format(name=key_text(name)))
        self._deep(line, known.height)
        self._put(known.value, line, known.size, known.height)

    def _close(self, done: _Open) -> None:
        if done.anchor:
            self._anchors[done.anchor] = _Anchored(done.content, done.size, done.height)
        if not self._stack:
            self.root = done.content
            return
        self._store(done.content, done.size, done.height)

    def _put(self, value: Any, line: int, size: int, height: int) -> None:
        """Store a finished value under the path it stands at."""
        self._values += size
        if self._values > MAX_VALUES:
            raise self._fatal(line, words.TOO_MANY.format(most=MAX_VALUES))
        self._place(line)
        if not self._stack:
            self.root = value
            return
        self._store(value, size, height)

    def _store(self, value: Any, size: int, height: int) -> None:
        top = self._stack[-1]
        top.size += size
        top.height = max(top.height, height + 1)
        if isinstance(top.content, list):
            top.content.append(value)
        elif top.key is not None:
            top.content.setdefault(top.key, value)
            top.key = None

    def _place(self, line: int) -> Path:
        """The path of the value about to be stored; a list's items get their lines here."""
        if not self._stack:
            return ()
        top = self._stack[-1]
        if isinstance(top.content, list):
            path = (*top.path, len(top.content))
            self.lines.setdefault(path, line)
            return path
        if top.key is None:
            raise self._fatal(line, words.NO_WORD, top.path)
        return (*top.path, top.key)

    def _deep(self, line: int, height: int) -> None:
        if len(self._stack) + height > MAX_DEPTH:
            raise self._fatal(line, words.TOO_DEEP.format(most=MAX_DEPTH))

    def _fatal(self, line: int | None, message: str, path: Path = (), code: str = "syntax") -> SpecError:
        fault = Fault(message, code, dotted(path) or None, self.file, line=line)
        return SpecError(*self.faults, fault)


def _implicit(event: Any) -> bool:
    """Whether the parser put the tag there itself."""
    implicit = getattr(event, "implicit", False)
    return bool(implicit[0] or implicit[1]) if isinstance(implicit, tuple) else bool(implicit)


def _syntax_fault(error: yaml.MarkedYAMLError, text: str, file: str) -> Fault:
    """The parser's complaint with what most likely went wrong, at the line to be corrected."""
    mark = error.problem_mark or error.context_mark
    line = mark.line + 1 if mark is not None else 1
    lines = text.splitlines() or [""]
    problem = " ".join((error.problem or "cannot be read").split())
    for near in (line, line - 1):
        if 1 <= near <= len(lines) and _TIGHT_COLON.match(lines[near - 1]):
            line, hint = near, words.HINT_COLON
            break
    else:
        hint = _hint(lines[min(line, len(lines)) - 1], problem)
    message = words.SYNTAX.format(hint=hint) if hint else words.SYNTAX_OTHER.format(problem=problem)
    return Fault(message, "syntax", None, file, line=line)


def _hint(written: str, problem: str) -> str:
    """What most likely went wrong on the line that the parser stopped at; empty where nothing is likely."""
    indent = written[: len(written) - len(written.lstrip())]
    if "\t" in indent or "tab" in problem or "'\\t'" in problem:
        return words.HINT_TAB
    hints = {
        "quot": words.HINT_OPEN,
        "end of stream": words.HINT_OPEN,
        "',' or": words.HINT_COMMA,
        "nesting": words.HINT_DEEP,
        "cannot start any token": words.HINT_QUOTE,
        "mapping keys are not allowed": words.HINT_QUOTE,
        "mapping values are not allowed": words.HINT_ALIGN,
    }
    return next((hint for part, hint in hints.items() if part in problem), "")
