"""Fittings on a view: their marks, and in words their distance from a face that a tape can hook.

A fitting is `at` mm from one end of its tube, measured along the tube from that end's point. A view says
where that lies on paper; what is drawn and written there is the same on all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from layout.bench.fitted import BRIDGE
from layout.bench.marks import SQUARE_END, fitting_marks, side_words, what_words
from layout.drafting.calls import Call, NoteCall
from layout.drafting.entities import Circle, Entity, Line
from layout.drafting.numbers import format_number
from layout.drafting.style import TEXT_TABLE, Layer
from layout.drafting.vector import Point, along
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.frame.words import words

MARK = 3.0
"""Radius of a fitting's mark: a bottle boss's head is about as large, common practice."""
ACROSS = 9.0
"""Half the stroke across the axis of a fitting that faces the viewer."""
NEAR = 10.0
"""A fitting's words up to this far from its mark need no leader."""
SAME = 0.05
"""Two distances this near are one on paper, mm."""


@dataclass(frozen=True)
class SitedFitting:
    """A fitting on paper: its place on its tube's axis, and the axis's direction, degrees.

    `hooked` is its distance from what a tape hooks on, in words. `facing` is the direction that it faces,
    square to the axis, and `off` its distance from the axis that way, mm; None where it faces the viewer,
    or away. `radius` is that of its circle on paper, mm; a curved bridge faces the way that it bows.
    `needs` is what its maker's drawing is compared with; `sides` says both where it stands for two. The
    `other` of two is drawn without words.
    """

    fitting: Fitting
    at: Point
    axis: float
    hooked: str
    facing: float | None = None
    off: float = 0.0
    radius: float = MARK
    needs: str = ""
    sides: str = ""
    other: bool = False

    @property
    def mark(self) -> Point:
        """Where the fitting itself is."""
        return self.at if self.facing is None else along(self.at, self.facing, self.off)

    @property
    def words(self) -> str:
        """What it is, where to hook the tape, and the side that it is on."""
        fitting = self.fitting
        what = what_words(fitting)
        comma = "," if what[-1:].isdigit() else ""
        said = f"{what}{comma} {format_number(fitting.at, 1)} from {words(fitting.origin)}"
        side = "" if joins_two(fitting) else f", {self.sides or fitting.side}"
        return "; ".join(part for part in (f"{said}{side}", self.hooked, self.needs) if part)


def joins_two(fitting: Fitting) -> bool:
    """Whether a fitting lies between two tubes."""
    return fitting.kind == BRIDGE


def hooked_words(frame: Frame, fitting: Fitting) -> str:
    """How far a fitting is from what a tape hooks on, on its own tube or the drawn one of a pair.

    Empty where it is measured from there already.
    """
    *_, mark = fitting_marks(frame, fitting)
    hook = "the end"
    if mark.datum != SQUARE_END:
        hook = f"the long point, {side_words(mark.tube, mark.datum_phi)}"
    elif abs(mark.distance - fitting.at) < SAME:
        return ""
    return f"{format_number(abs(mark.distance), 1)} {mark.way} {hook}"


def draw_fittings(sited: Iterable[SitedFitting]) -> Iterator[Entity]:
    """A small circle where each is, and a stroke to the axis, or across it at its station."""
    for each in sited:
        yield Circle(each.mark, each.radius, Layer.FITTING)
        if each.facing is None:
            left, right = (along(each.at, each.axis + turn, ACROSS) for turn in (90.0, -90.0))
            yield Line(left, right, Layer.FITTING)
        else:
            yield Line(each.at, each.mark, Layer.FITTING)


def fitting_notes(sited: Iterable[SitedFitting]) -> list[Call]:
    """The words of each, on the side that it faces; what a tape hooks on has a line of its own."""
    return [
        NoteCall(
            "\n".join(each.words.split("; ")),
            each.mark,
            TEXT_TABLE,
            Layer.FITTING,
            near=NEAR,
            facing=each.facing,
            mark=each.radius,
        )
        for each in sited
        if not each.other
    ]
