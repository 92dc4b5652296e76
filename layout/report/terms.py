"""The names of the trade as this program uses them: meaning, how each is measured, what is usual.

Made from the registry of dimensions, the jig's described settings, the readings of alignment and the
gaps of the rear end, so that a name added there is listed here.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from layout.errors import Fault, LayoutError
from layout.frame.words import words
from layout.geometry.dimensions import REGISTRY, Dimension
from layout.geometry.dimensions.spans import (
    CHAIN_STAY_AXIS,
    DOWN_AXIS,
    FORK_AXIS,
    HEAD_AXIS,
    SEAT_AXIS,
    Along,
    AngleSpan,
    Arm,
    Direction,
    LengthSpan,
    Meeting,
    Spot,
    Square,
    Way,
)
from layout.geometry.space.clearance import WANTED
from layout.spec.jig import DESCRIBED_SETTINGS
from layout.spec.keys import OTHER_WORDS
from layout.spec.readings import ALIGNMENT_RANGES
from layout.spec.registered import key_of

_WITHOUT_SPAN = {
    "fork_sag": "along the fork, with and without the rider",
    "rear_sag": "at the axle, with and without the rider",
    "upper_stack": "on the headset",
    "wheel_flop": "calculated",
    "standover": "plumb, from the ground to the tube",
    "saddle_setback": "level, BB to the saddle's nose",
    "saddle_nose_length": "level, on the saddle",
    "stem_length": "on the stem",
    "stem_angle": "on the stem, from square to the steerer",
    "spacers": "along the steerer",
    "stem_clamp_height": "on the stem",
    "steerer_length": "along the steerer",
    "crank_length": "on the crank",
    "pedal_side": "square to the mid-plane",
    "pedal_outer": "square to the mid-plane",
    "pedal_below": "plumb, on the pedal",
    "shoe_ahead_of_spindle": "level, shoe on the pedal",
    "pedal_to_tyre": "calculated",
    "toe_clearance": "calculated",
    "pedal_lean_angle": "calculated",
    "down_tube_to_tyre": "calculated",
}
"""How a dimension is measured that has no place between named points of the side view."""

_AXES: dict[Along, str] = {
    SEAT_AXIS: "seat tube",
    HEAD_AXIS: "head tube",
    DOWN_AXIS: "down tube",
    CHAIN_STAY_AXIS: "chain stay",
    FORK_AXIS: "steering axis",
}
_WAYS = {Way.STRAIGHT: "straight", Way.LEVEL: "level", Way.PLUMB: "plumb"}
_UNITS = {"deg": "°"}
NOT_USUAL = "-"
"""The cell of a name that has no usual range."""
_CLOSE = 0.6
"""Likeness (difflib's ratio) from which a name is offered."""

HEADS = ("name", "write it as", "meaning", "measured", "usual")
IN_READINGS, NOT_WRITTEN = "in readings", "-"
"""What stands in place of a key: an alignment is written in readings, what is calculated nowhere."""


class Term(NamedTuple):
    """One name: the unit, the key it is written under (empty where it is not), meaning, how, usual range."""

    name: str
    unit: str
    key: str
    meaning: str
    how: str
    usual: str = NOT_USUAL

    @property
    def cells(self) -> tuple[str, str, str, str, str]:
        """A row of a table, under HEADS."""
        written = self.key or (IN_READINGS if self.name in ALIGNMENT_RANGES else NOT_WRITTEN)
        return f"{self.name}, {self.unit}", written, self.meaning, self.how, self.usual


def terms() -> tuple[Term, ...]:
    """All of them, in the order in which they are listed to people."""
    return (*map(_dimension, REGISTRY.values()), *_settings(), *_alignments(), *_gaps())


def matching(word: str) -> tuple[Term, ...]:
    """The terms that hold `word` in name or meaning, or that it is another word for.

    Raises LayoutError where there are none, with what is near.
    """
    wanted = re.sub(r"[\s_-]+", " ", word.strip().lower())
    other = OTHER_WORDS.get(wanted.replace(" ", "_"), "")
    found = tuple(t for t in terms() if wanted in _searched(t) or (other and t.key == other))
    if found:
        return found
    near = difflib.get_close_matches(wanted.replace(" ", "_"), [t.name for t in terms()], 3, _CLOSE)
    hint = f"Did you mean {' or '.join(near)}?" if near else "`layout terms` lists all names."
    raise LayoutError(Fault(f"no name or meaning has {word!r} in it. {hint}", "unknown_key", "terms"))


def terms_text(found: Sequence[Term]) -> str:
    """The terms for a terminal: three lines each."""
    return "\n".join("\n".join(_lines(t)) + "\n" for t in found)


def terms_markdown() -> str:
    """All terms as a table for the README."""
    rows = [HEADS, ("---",) * len(HEADS), *map(_markdown_cells, terms())]
    return "".join(f"| {' | '.join(cell.replace('|', '/') for cell in row)} |\n" for row in rows)


def _markdown_cells(term: Term) -> tuple[str, ...]:
    _, written, *rest = term.cells
    return f"`{term.name}`, {term.unit}", f"`{written}`" if term.key else written, *rest


def _lines(term: Term) -> Iterator[str]:
    key = f"   (write {term.key})" if term.key else ""
    yield f"{term.name}, {term.unit}{key}"
    yield f"    {term.meaning}."
    usual = "" if term.usual == NOT_USUAL else f" Usual: {term.usual}."
    yield f"    Measured: {term.how}.{usual}"


def _searched(term: Term) -> str:
    return f"{term.name.replace('_', ' ')} {term.meaning} {term.key}".lower()


def _dimension(dimension: Dimension) -> Term:
    unit = _UNITS.get(dimension.unit, dimension.unit)
    usual = NOT_USUAL
    if dimension.usual is not None:
        low, high = dimension.usual
        usual = f"{low:g}° to {high:g}°" if unit == "°" else f"{low:g} to {high:g} {unit}"
    key = "" if dimension.asked_only else key_of(dimension.name)
    how = measured_how(dimension)
    return Term(dimension.name, unit, key, dimension.meaning, how=how, usual=usual)


def measured_how(dimension: Dimension) -> str:
    """How a dimension is measured, in words, from its span.

    >>> measured_how(REGISTRY["rear_centre"]), measured_how(REGISTRY["seat_angle"])
    ('straight, rear axle to BB', 'angle gauge, from the level')
    """
    span = dimension.span
    if isinstance(span, LengthSpan):
        return f"{_direction(span.direction)}, {_spot(span.start)} to {_spot(span.end)}"
    if isinstance(span, AngleSpan):
        level = isinstance(span.first, Arm) or isinstance(span.second, Arm)
        return "angle gauge, from the level" if level else "angle gauge, between the axes"
    return _WITHOUT_SPAN[dimension.name]


def _direction(way: Direction) -> str:
    if isinstance(way, Way):
        return _WAYS[way]
    if isinstance(way, Square):
        return f"square to the {_AXES[way.axis]}"
    return f"along the {_AXES[way]}"


def _spot(spot: Spot) -> str:
    """A named point; of a meeting the axis that it lies on, else what it is level with."""
    if not isinstance(spot, Meeting):
        return words(spot)
    axis = spot.one.direction
    if isinstance(axis, Along):
        return f"{_AXES[axis].removesuffix(' axis')} axis"
    return words(spot.other.point)


def _sentence(meaning: str) -> str:
    return meaning[:1].upper() + meaning[1:]


def _settings() -> Iterator[Term]:
    for name, meaning in DESCRIBED_SETTINGS.items():
        yield Term(name, "mm", f"jig.settings.{name}", _sentence(meaning), how="on the jig")


def _alignments() -> Iterator[Term]:
    for name, read in ALIGNMENT_RANGES.items():
        unit = "°" if read.unit == "degrees" else read.unit
        yield Term(name, unit, "", _sentence(read.meaning), how="on a flat plate")


def _gaps() -> Iterator[Term]:
    for part, wanted in WANTED.items():
        meaning = f"Least gap between a tube of the rear end and the {part.replace('_', ' ')}"
        least = f"at least {wanted.least:g} mm"
        yield Term(f"gap to {part}", "mm", "", meaning, how="calculated, in space", usual=least)
