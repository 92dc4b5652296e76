"""A drawing as PDF content: path operators in points, and nothing that could scale.

Coordinates are written in points (25.4/72 mm) with six decimals rather than in mm under
a scaling matrix: readers that keep matrices in few bits then cannot bend the scale. Arcs
are Bezier pieces of at most 30 degrees. Each layer is one marked-content section of
optional content, named LAYER in the resources.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from typing import assert_never

import numpy as np

from layout.drafting.entities import Arc, Circle, Drawing, Line, Point, Polyline, Stroke, Text
from layout.drafting.lettering import text_start
from layout.drafting.style import Layer, Pen, lettering_pen
from layout.drafting.vector import along
from layout.writers.decimals import filled
from layout.writers.letters import letters, path_words
from layout.writers.pdf.words import CAPITAL_OVER_SIZE, Codes, WordFont, codes_of, deal_fonts, runs
from layout.writers.strokes import Drawn, Lettered, Mark, arc_curves, marks_of, plain

POINTS_PER_MM = 72 / 25.4

_TO_POINTS = (POINTS_PER_MM, 0.0, 0.0, POINTS_PER_MM, 0.0, 0.0)

_LETTERING_OPERATORS = path_words("# # m\n", "# # l\n", "# # # # # # c\n")
"""Lettering to 0.001 of a point, 0.0004 mm."""


Ink = dict[Layer, str]
"""The operators of each layer that is used: what is painted, then the unpainted words."""


def inks_of(drawings: Sequence[Drawing]) -> tuple[list[Ink], tuple[WordFont, ...]]:
    """The ink of each drawing, and the fonts of all their words.

    All is spelled at once; lettering that drawings have alike only once.
    """
    marks = [marks_of(drawing) for drawing in drawings]
    every = [mark for some in marks for mark in some]
    numbered: dict[Text, int] = {}
    which = [numbered.setdefault(m.text, len(numbered)) for m in every if isinstance(m, Lettered)]
    texts = list(numbered)
    fonts = deal_fonts(text.text for text in texts)
    paths, words = letters(texts, _TO_POINTS, _LETTERING_OPERATORS), _unpainted(texts, codes_of(fonts))
    lettering = iter([(paths[k], words[k]) for k in which])
    strokes = iter(_strokes_of([mark for mark in every if isinstance(mark, Drawn)]))
    return [_ink(some, strokes, lettering) for some in marks], fonts


def _ink(marks: Iterable[Mark], strokes: Iterator[str], lettering: Iterator[tuple[str, str]]) -> Ink:
    """What marks leave on each layer, pen by pen; what each draws comes from the iterators in turn."""
    groups: dict[Layer, dict[tuple[Pen, bool], list[str]]] = {}
    words: dict[Layer, list[str]] = {}
    for mark in marks:
        if isinstance(mark, Drawn):
            key, path = (mark.pen, False), next(strokes)
        else:
            key = lettering_pen(mark.text.height), True
            path, unpainted = next(lettering)
            words.setdefault(mark.layer, []).append(unpainted)
        groups.setdefault(mark.layer, {}).setdefault(key, []).append(f"{path}S\n")
    return {
        layer: "".join(_pen(*key) + "".join(paths) for key, paths in groups[layer].items())
        + "".join(words.get(layer, ()))
        for layer in Layer
        if layer in groups
    }


def content_operators(ink: Ink) -> str:
    """Content operators of a whole drawing, layer by layer."""
    return "1 j\n" + "".join(f"/OC /{layer.value} BDC\n{part}EMC\n" for layer, part in ink.items())


def _unpainted(texts: Iterable[Text], codes: Codes) -> list[str]:
    """Unpainted words (rendering mode 3) along each text's baseline; `codes` are those of characters."""
    templates: list[str] = []
    numbers: list[float] = []
    for text in texts:
        a, size = math.radians(text.angle), text.height / CAPITAL_OVER_SIZE * POINTS_PER_MM
        shown = [f"/{name} %s Tf <{run.hex()}> Tj " for name, run in runs(text.text, codes)]
        templates.append(f"BT 3 Tr %s %s %s %s %s %s Tm {''.join(shown)}ET\n")
        x, y = text_start(text)
        numbers += (math.cos(a), math.sin(a), -math.sin(a), math.cos(a), x * POINTS_PER_MM, y * POINTS_PER_MM)
        numbers += [size] * len(shown)
    return filled(templates, numbers)


def _pen(pen: Pen, round_ends: bool) -> str:
    """Width, dashes and ends. Dashed lines and scribed crosses end square, where they end."""
    dashes = " ".join(points(d) for d in pen.dashes)
    return f"{points(pen.width)} w [{dashes}] 0 d {int(round_ends)} J\n"


def _strokes_of(marks: Iterable[Drawn]) -> list[str]:
    """The path operators of each mark, all numbers spelled at once."""
    templates: list[str] = []
    numbers: list[float] = []
    for mark in marks:
        operators = ""
        for stroke in mark.strokes:
            some, places = _stroke(stroke)
            operators += some
            numbers.extend(chain.from_iterable(places))
        templates.append(operators)
    return filled(templates, np.array(numbers) * POINTS_PER_MM)


def _stroke(stroke: Stroke) -> tuple[str, Sequence[Point]]:
    """The operators of a stroke, with two %s for each of its places, and these, in mm."""
    match stroke:
        case Line():
            return "%s %s m %s %s l\n", (stroke.start, stroke.end)
        case Polyline():
            if not stroke.points:
                return "", ()
            lines = " %s %s l" * (len(stroke.points) - 1)
            return f"%s %s m{lines}{' h' if stroke.closed else ''}\n", stroke.points
        case Arc():
            return _arc(stroke.centre, stroke.radius, stroke.start_angle, stroke.end_angle, close="")
        case Circle():
            return _arc(stroke.centre, stroke.radius, 0.0, 360.0, close=" h")
        case _:
            assert_never(stroke)


def _arc(centre: Point, radius: float, start: float, end: float, close: str) -> tuple[str, list[Point]]:
    curves = arc_curves(centre, radius, start, end)
    pieces = " %s %s %s %s %s %s c" * len(curves)
    places = [along(centre, start, radius), *(place for curve in curves for place in curve)]
    return f"%s %s m{pieces}{close}\n", places


def points(mm: float) -> str:
    """A length in mm, written in points."""
    return plain(mm * POINTS_PER_MM)


def xy(p: Point) -> str:
    """A place in mm, written in points."""
    return f"{plain(p[0] * POINTS_PER_MM)} {plain(p[1] * POINTS_PER_MM)}"
