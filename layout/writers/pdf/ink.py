"""A drawing as PDF content: path operators in points, and nothing that could scale.

Coordinates are written in points (25.4/72 mm) with six decimals rather than in mm under
a scaling matrix: readers that keep matrices in few bits then cannot bend the scale. Arcs
are Bezier pieces of at most 30 degrees. Each layer is one marked-content section of
optional content, named LAYER in the resources.
"""

from __future__ import annotations

import math
from typing import NamedTuple, assert_never

from layout.drafting.entities import Arc, Circle, Drawing, Line, Point, Polyline, Stroke, Text
from layout.drafting.lettering import text_start
from layout.drafting.style import Layer, Pen, lettering_pen
from layout.drafting.vector import along
from layout.writers.letters import letters, path_words
from layout.writers.pdf.words import CAPITAL_OVER_SIZE, Codes, runs
from layout.writers.strokes import Drawn, Lettered, arc_curves, marks_of, plain

POINTS_PER_MM = 72 / 25.4

_TO_POINTS = (POINTS_PER_MM, 0.0, 0.0, POINTS_PER_MM, 0.0, 0.0)

_LETTERING_OPERATORS = path_words("# # m\n", "# # l\n", "# # # # # # c\n")
"""Lettering to 0.001 of a point, 0.0004 mm."""


class LayerInk(NamedTuple):
    """What is painted on one layer, and the texts whose words go with it."""

    painted: str
    texts: tuple[Text, ...]


Ink = dict[Layer, LayerInk]


def ink_of(drawing: Drawing) -> Ink:
    """The painting operators of each layer that is used."""
    groups: dict[Layer, dict[tuple[Pen, bool], list[str]]] = {}
    texts: dict[Layer, list[Text]] = {}
    marks = marks_of(drawing)
    words = [mark.text for mark in marks if isinstance(mark, Lettered)]
    lettering = iter(letters(words, _TO_POINTS, _LETTERING_OPERATORS))
    for mark in marks:
        pens = groups.setdefault(mark.layer, {})
        if isinstance(mark, Drawn):
            operators = "".join(_stroke(s) for s in mark.strokes) + "S\n"
            pens.setdefault((mark.pen, False), []).append(operators)
        else:
            operators = next(lettering) + "S\n"
            pens.setdefault((lettering_pen(mark.text.height), True), []).append(operators)
            texts.setdefault(mark.layer, []).append(mark.text)
    return {
        layer: LayerInk(
            "".join(_pen(pen, round_ends) + "".join(ops) for (pen, round_ends), ops in groups[layer].items()),
            tuple(texts.get(layer, ())),
        )
        for layer in Layer
        if layer in groups
    }


def content_operators(ink: Ink, codes: Codes) -> str:
    """Content operators of a whole drawing, layer by layer; `codes` are those of its characters."""
    sections = [
        f"/OC /{layer.value} BDC\n{part.painted}{''.join(_words(t, codes) for t in part.texts)}EMC\n"
        for layer, part in ink.items()
    ]
    return "1 j\n" + "".join(sections)


def _pen(pen: Pen, round_ends: bool) -> str:
    """Width, dashes and ends. Dashed lines and scribed crosses end square, where they end."""
    dashes = " ".join(points(d) for d in pen.dashes)
    return f"{points(pen.width)} w [{dashes}] 0 d {int(round_ends)} J\n"


def _stroke(stroke: Stroke) -> str:
    match stroke:
        case Line():
            return f"{xy(stroke.start)} m {xy(stroke.end)} l\n"
        case Polyline():
            if not stroke.points:
                return ""
            first, *rest = stroke.points
            lines = "".join(f" {xy(p)} l" for p in rest)
            return f"{xy(first)} m{lines}{' h' if stroke.closed else ''}\n"
        case Arc():
            return _arc(stroke.centre, stroke.radius, stroke.start_angle, stroke.end_angle) + "\n"
        case Circle():
            return _arc(stroke.centre, stroke.radius, 0.0, 360.0) + " h\n"
        case _:
            assert_never(stroke)


def _arc(centre: Point, radius: float, start: float, end: float) -> str:
    curves = arc_curves(centre, radius, start, end)
    pieces = "".join(f" {xy(c1)} {xy(c2)} {xy(stop)} c" for c1, c2, stop in curves)
    return f"{xy(along(centre, start, radius))} m{pieces}"


def _words(text: Text, codes: Codes) -> str:
    """Unpainted text (rendering mode 3) along the lettering's baseline."""
    a = math.radians(text.angle)
    c, s = plain(math.cos(a)), plain(math.sin(a))
    size = points(text.height / CAPITAL_OVER_SIZE)
    shown = "".join(f"/{name} {size} Tf <{run.hex()}> Tj " for name, run in runs(text.text, codes))
    turned = plain(-math.sin(a))
    return f"BT 3 Tr {c} {s} {turned} {c} {xy(text_start(text))} Tm {shown}ET\n"


def points(mm: float) -> str:
    """A length in mm, written in points."""
    return plain(mm * POINTS_PER_MM)


def xy(p: Point) -> str:
    """A place in mm, written in points."""
    return f"{plain(p[0] * POINTS_PER_MM)} {plain(p[1] * POINTS_PER_MM)}"
