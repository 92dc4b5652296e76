"""A sheet as SVG: true scale (a user unit is a millimetre), one group per layer.

    <svg width="W mm" height="H mm" viewBox="0 0 W H">
      <g id="outline">            pen of the layer
        <g clip-path>             a placement, where it is clipped
          <path> <circle>         the strokes, one element an entity
          <g> lettering strokes   <g> the same words as text, unpainted

Coordinates are page coordinates with y turned down, so no transform stands above
anything but unpainted words. svgwrite is used without its validation and only here.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, assert_never
from xml.etree import ElementTree

from layout.drafting.entities import Arc, Circle, Drawing, Line, Point, Polyline, Stroke, Text
from layout.drafting.lettering import text_start, text_width
from layout.drafting.style import LAYER_PENS, Layer, Pen, lettering_pen
from layout.drafting.vector import along
from layout.sheets.sheet import Placement, Rect, Sheet
from layout.writers.document import DocumentInfo
from layout.writers.letters import letters, path_words
from layout.writers.strokes import (
    Drawn,
    Lettered,
    Matrix,
    apply,
    held_points,
    marks_of,
    placement_matrix,
    plain,
    spans,
)
from layout.writers.whole import write_whole

POINT_RADIUS = 1.0
"""Of the unpainted circles that carry the control points, mm: large enough to be clicked."""

ARC_SPAN = 90.0
"""Widest piece of an arc, degrees: the centre of an SVG arc follows from its ends, and near a
half turn a rounding of the ends by 1e-6 would move it by 0.02 mm."""

CAPITAL_OVER_SIZE = 0.7
"""Capital height over font size of common sans-serif faces, for the unpainted words."""

_LETTERING_COMMANDS = path_words("M# #", "L# #", "C# # # # # #")
"""Path data of lettering, to 0.001 mm, which no pen can show."""

_NOT_XML = re.compile("[\0-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")

_INKSCAPE = "http://www.inkscape.org/namespaces/inkscape"


def write(sheet: Sheet, path: Path, info: DocumentInfo) -> None:
    """Write one sheet. Raises WriteError where the file cannot be written or the sheet cannot be drawn."""
    write_whole(path, svg_text(sheet, info).encode("utf-8"))


def prepare() -> None:
    """Import the library, so that a file written later need not wait for it."""
    import svgwrite  # noqa: F401, TID251


def svg_text(sheet: Sheet, info: DocumentInfo, named: bool = False) -> str:
    """The whole file as text.

    With `named` every element that is part of a dimension also says of which, in the attribute `data-of`.
    """
    import svgwrite  # noqa: TID251

    width, height = plain(sheet.width), plain(sheet.height)
    svg: Any = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False
    )
    svg.attribs["xmlns:inkscape"] = _INKSCAPE
    svg.set_desc(_clean(info.title or sheet.name), _clean(_description(sheet, info)))
    layers = {layer: svg.add(_layer_group(svg, layer)) for layer in Layer}
    for index, placement in enumerate(sheet.placements):
        clip = _clip_path(svg, sheet, placement.clip, index) if placement.clip else None
        canvas = _Canvas(svg, layers, _downwards(sheet, placement), placement.turn, clip=clip, named=named)
        canvas.draw(placement.drawing)
    _Canvas(svg, layers, _downwards(sheet, None), 0, clip=None, named=named).draw(sheet.furniture)
    for name, (x, y) in held_points(sheet).items():
        at = (plain(x), plain(sheet.height - y))
        layers[Layer.POINT].add(svg.circle(at, plain(POINT_RADIUS), id=f"point-{name}", stroke="none"))
    text = io.StringIO()
    svg.write(text)
    return text.getvalue().replace("><", ">\n<") + "\n"


def strokes_path(sheet: Sheet, placement: Placement, strokes: Iterable[Stroke]) -> str:
    """Path data of strokes of a placement's drawing, in page coordinates, as the sheet's own are."""
    m = _downwards(sheet, placement)
    return "".join(_stroke_path(stroke, m) for stroke in strokes)


def _description(sheet: Sheet, info: DocumentInfo) -> str:
    size = f"Sheet {sheet.name}, {plain(sheet.width)} x {plain(sheet.height)} mm; one unit is 1 mm."
    return " ".join(part for part in (info.subject, size, info.author, info.date, info.mark) if part)


def _clean(text: str) -> str:
    """Text without the characters that XML cannot carry."""
    return _NOT_XML.sub(" ", text)


def _layer_group(svg: Any, layer: Layer) -> Any:
    pen = _pen_attributes(LAYER_PENS[layer])
    group = svg.g(id=layer.value.lower(), fill="none", stroke="black", stroke_linejoin="round", **pen)
    group.attribs["inkscape:groupmode"] = "layer"
    group.attribs["inkscape:label"] = layer.value
    return group


def _clip_path(svg: Any, sheet: Sheet, clip: Rect, index: int) -> str:
    """Define a clip, in page coordinates, and return the reference to it."""
    (x0, y0), (x1, y1) = sheet.to_page((clip.left, clip.bottom)), sheet.to_page((clip.right, clip.top))
    shape = svg.defs.add(svg.clipPath(id=f"clip-{index}"))
    shape.add(svg.rect((plain(x0), plain(sheet.height - y1)), (plain(x1 - x0), plain(y1 - y0))))
    return f"url(#clip-{index})"


def _downwards(sheet: Sheet, placement: Placement | None) -> Matrix:
    """From a drawing to the page, y down from the paper's top: here alone y flips."""
    a, b, c, d, e, f = placement_matrix(sheet, placement)
    return a, -b, c, -d, e, sheet.height - f


@dataclass
class _Canvas:
    """Where one drawing goes: the layers' groups, and the groups inside them made on first use."""

    svg: Any
    layers: dict[Layer, Any]
    matrix: Matrix
    turn: int
    clip: str | None
    named: bool
    _parts: dict[Layer, Any] = field(default_factory=dict)
    _painted: dict[tuple[Layer, Pen], Any] = field(default_factory=dict)
    _worded: dict[Layer, Any] = field(default_factory=dict)

    def draw(self, drawing: Drawing) -> None:
        """Add all marks of a drawing."""
        marks = marks_of(drawing)
        words = [mark.text for mark in marks if isinstance(mark, Lettered)]
        lettering = iter(letters(words, self.matrix, _LETTERING_COMMANDS))
        for mark in marks:
            name = {"data-of": mark.of} if self.named and mark.of else {}
            if isinstance(mark, Drawn):
                self._part(mark.layer).add(_svg_element(mark, self.matrix, name))
            else:
                path = _Element("path", {"d": next(lettering), **name})
                self._painted_group(mark.layer, lettering_pen(mark.text.height)).add(path)
                unpainted = _words(mark.text, self.matrix, self.turn, more=name)
                self._words_group(mark.layer).add(unpainted)

    def _part(self, layer: Layer) -> Any:
        """The layer's own group, or a clipped group inside it."""
        if layer not in self._parts:
            group = self.layers[layer]
            self._parts[layer] = group if self.clip is None else group.add(self.svg.g(clip_path=self.clip))
        return self._parts[layer]

    def _painted_group(self, layer: Layer, pen: Pen) -> Any:
        """The group for painted lettering of one width."""
        if (layer, pen) not in self._painted:
            painted = self.svg.g(stroke_linecap="round", **_pen_attributes(pen))
            self._painted[layer, pen] = self._part(layer).add(painted)
        return self._painted[layer, pen]

    def _words_group(self, layer: Layer) -> Any:
        """The group for unpainted words."""
        if layer not in self._worded:
            words = self.svg.g(stroke="none", font_family="sans-serif", pointer_events="all")
            self._worded[layer] = self._part(layer).add(words)
        return self._worded[layer]


class _Element:
    """An element of one of the library's groups, made in a fourth of the time that its own classes take."""

    def __init__(self, name: str, attributes: Mapping[str, str], text: str | None = None) -> None:
        self.name, self.attributes, self.text = name, attributes, text

    def get_xml(self) -> ElementTree.Element:
        """What the library asks of every element."""
        made = ElementTree.Element(self.name, dict(sorted(self.attributes.items())))
        made.text = self.text
        return made


def _pen_attributes(pen: Pen) -> dict[str, str]:
    dashes = " ".join(plain(d) for d in pen.dashes) or "none"
    return {"stroke-width": plain(pen.width), "stroke-dasharray": dashes}


def _svg_element(mark: Drawn, m: Matrix, more: Mapping[str, str]) -> _Element:
    """One entity's strokes as one element; its pen only where it is not the layer's."""
    own = {**({} if mark.pen == LAYER_PENS[mark.layer] else _pen_attributes(mark.pen)), **more}
    if len(mark.strokes) == 1 and isinstance(mark.strokes[0], Circle):
        circle = mark.strokes[0]
        rx, ry = _radii(circle.radius, m)
        x, y = apply(m, circle.centre)
        at = {"cx": plain(x), "cy": plain(y)}
        if rx == ry:
            return _Element("circle", {**at, "r": plain(rx), **own})
        return _Element("ellipse", {**at, "rx": plain(rx), "ry": plain(ry), **own})
    return _Element("path", {"d": "".join(_stroke_path(s, m) for s in mark.strokes), **own})


def _stroke_path(stroke: Stroke, m: Matrix) -> str:
    match stroke:
        case Line():
            return f"M{_xy(m, stroke.start)}L{_xy(m, stroke.end)}"
        case Polyline():
            return _polyline_path(stroke, m)
        case Arc():
            return _arc_path(stroke.centre, stroke.radius, stroke.start_angle, stroke.end_angle, m=m)
        case Circle():
            return _arc_path(stroke.centre, stroke.radius, 0.0, 360.0, m=m) + "Z"
        case _:
            assert_never(stroke)


def _polyline_path(line: Polyline, m: Matrix) -> str:
    if not line.points:
        return ""
    first, *rest = line.points
    close = "Z" if line.closed else ""
    return f"M{_xy(m, first)}" + "".join(f"L{_xy(m, p)}" for p in rest) + close


def _arc_path(centre: Point, radius: float, start: float, end: float, m: Matrix) -> str:
    """Arc commands. Counter-clockwise with y up is sweep-flag 0 with y down."""
    rx, ry = _radii(radius, m)
    pieces = [f"M{_xy(m, along(centre, start, radius))}"]
    for _, stop in spans(start, end, ARC_SPAN):
        pieces.append(f"A{plain(rx)} {plain(ry)} 0 0 0 {_xy(m, along(centre, stop, radius))}")
    return "".join(pieces)


def _radii(radius: float, m: Matrix) -> tuple[float, float]:
    """Radii along the page's x and y: the matrix only turns by quarters and stretches."""
    return radius * (abs(m[0]) + abs(m[2])), radius * (abs(m[1]) + abs(m[3]))


def _xy(m: Matrix, p: Point) -> str:
    x, y = apply(m, p)
    return f"{plain(x)} {plain(y)}"


def _words(text: Text, m: Matrix, turn: int, *, more: Mapping[str, str]) -> _Element:
    """The words where their strokes are, in the same size and width, for search and copying."""
    x, y = map(plain, apply(m, text_start(text)))
    turned = text.angle + 90 * turn
    turning = {"transform": f"rotate({plain(-turned)} {x} {y})"} if turned % 360 else {}
    attributes = {
        "x": x,
        "y": y,
        "font-size": plain(text.height / CAPITAL_OVER_SIZE),
        "textLength": plain(text_width(text.text, text.height)),
        "lengthAdjust": "spacingAndGlyphs",
    }
    return _Element("text", {**attributes, **turning, **more}, _clean(text.text))
