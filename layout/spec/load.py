"""load: a YAML file becomes a FrameSpec, what the builder wrote with the line each value came from.

The words for what is wrong are imported only where something is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path as FilePath

from pydantic import ValidationError

from layout.errors import Fault, SpecError
from layout.spec import words
from layout.spec.jig import Jig, names_setting, odd_settings
from layout.spec.model import Spec
from layout.spec.registered import DIMENSION_KEYS
from layout.spec.standards import TyreMarking
from layout.spec.text import INPUT, INPUT_NAME, is_input, read_input, read_text
from layout.spec.tree import Tree, dotted, parse
from layout.spec.values import Stated

_MANY = 3
"""Dimensions outside their block that are told in one message."""


@dataclass(frozen=True)
class Given:
    """A dimension as written: its value (mm or degrees) and the dotted key it stands at.

    `agreement` is its own, None where it has none; a wheel by its tyre's marking has 0: it is held.
    """

    value: float
    key: str
    agreement: float | None = None


@dataclass(frozen=True)
class FrameSpec:
    """What the builder wrote. `givens` holds the plane dimensions by name, in the file's order."""

    spec: Spec
    file: str
    givens: Mapping[str, Given]
    lines: Mapping[str, int]

    @property
    def typed_name(self) -> str:
        """Its file's name as a command line has it, without the folder."""
        return INPUT if self.file == INPUT_NAME else FilePath(self.file).name

    def place(self, key: str) -> tuple[str, int]:
        r"""File and line of a dotted key, or of the nearest key above it that was written.

        >>> loads("geometry:\n  head_angle: 72\n", "a.yaml").place("geometry.head_angle")
        ('a.yaml', 2)
        """
        parts = key.split(".")
        while parts and ".".join(parts) not in self.lines:
            parts.pop()
        return self.file, self.lines.get(".".join(parts), 1)


def load(path: str | FilePath) -> FrameSpec:
    """Read a spec, `-` from standard input.

    Raises SpecError with every fault found, each with its file and line.
    """
    if is_input(path):
        return loads(read_input(), INPUT_NAME)
    try:
        str(path).encode()
    except UnicodeEncodeError as e:
        raise SpecError(Fault(words.NAME_NOT_UTF_8, "syntax", file=ascii(str(path)))) from e
    return loads(read_text(path), str(path))


def loads(text: str, file: str = "<text>") -> FrameSpec:
    """The same from text; `file` is the name that messages use."""
    tree = parse(text, file)
    faults = [*tree.faults, *_given_twice(tree, file), *_odd_settings(tree, file)]
    try:
        spec = Spec.model_validate(tree.root)
    except ValidationError as e:
        from layout.spec.faults import fault

        faults += _together([fault(error, tree, file) for error in e.errors(include_url=False)])
    else:
        faults += _misread_settings(spec.jig, tree, file)
    if faults:
        raise SpecError(*sorted(dict.fromkeys(faults), key=lambda f: f.line or 0))
    lines = {dotted(path): line for path, line in tree.lines.items()}
    places = {key: place for place, key in enumerate(lines)}
    givens = dict(sorted(_written(spec), key=lambda named: places[named[1].key]))
    return FrameSpec(spec, file, givens, lines)


def _together(faults: list[Fault]) -> list[Fault]:
    """The faults, dimensions that stand outside their block in one."""
    outside = [f for f in faults if f.message == words.NO_TOP_KEY.format(hint=_in_geometry(f.key or ""))]
    if len(outside) < _MANY:
        return faults
    names = ", ".join(f.key or "" for f in outside)
    said = words.OUTSIDE_BLOCK.format(count=len(outside), names=names, block="geometry")
    first = min(outside, key=lambda f: f.line or 0)
    return [*(f for f in faults if f not in outside), replace(first, message=said)]


def _in_geometry(key: str) -> str:
    return words.ELSEWHERE.format(place=f"geometry.{key}")


def _given_twice(tree: Tree, file: str) -> Iterator[Fault]:
    """A fault for each dimension that is written under two keys."""
    for key, name in DIMENSION_KEYS.items():
        there, here = ("geometry", name), tuple(key.split("."))
        if there in tree.lines and here in tree.lines:
            first, second = sorted((there, here), key=lambda path: tree.lines[path])
            message = words.GIVEN_TWICE.format(name=name, other=dotted(first), line=tree.lines[first])
            yield Fault(message, "duplicate", dotted(second), file, line=tree.lines[second])


def _odd_settings(tree: Tree, file: str) -> Iterator[Fault]:
    """A fault for each jig setting whose name is no dimension's and no described setting's."""
    for path, line in tree.lines.items():
        if path[:2] == ("jig", "settings") and len(path) == 3 and not _names_setting(path[2]):
            from layout.spec.keys import unknown_setting

            yield Fault(unknown_setting(str(path[2])), "unknown_key", dotted(path), file, line=line)


def _names_setting(part: str | int) -> bool:
    """Whether a key names a jig's setting; an item of a list is judged by the model."""
    return isinstance(part, int) or names_setting(part)


def _misread_settings(jig: Jig, tree: Tree, file: str) -> Iterator[Fault]:
    """A fault for each jig setting that asks for what its dimension cannot have."""
    for key, message in odd_settings(jig):
        yield Fault(message, "type", key, file, line=tree.line(tuple(key.split("."))))


def _written(spec: Spec) -> Iterator[tuple[str, Given]]:
    """Every dimension that was written, by name."""
    for name, value in spec.geometry:
        if value is not None:
            yield name, _given(value, f"geometry.{name}")
    for key, name in DIMENSION_KEYS.items():
        block, field = key.split(".")
        value = getattr(getattr(spec, block), field)
        if isinstance(value, TyreMarking):
            yield name, Given(value.radius, key, 0.0)
        elif value is not None:
            yield name, _given(value.radius if block == "wheels" else value, key)


def _given(value: float, key: str) -> Given:
    return Given(float(value), key, value.agreement if isinstance(value, Stated) else None)
