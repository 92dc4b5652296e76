"""A sheet as SVG: true scale (a user unit is a millimetre), one group per layer.

    <svg width="W mm" height="H mm" viewBox="0 0 W H">
      <g id="outline">            pen of the layer
        <g clip-path>             a placement, where it is clipped
          <path> <circle>         the strokes, one element an entity
          <g> lettering strokes   <g> the same words as text, unpainted

Coordinates are page coordinates with y turned down, so no transform stands above
anything but unpainted words. svgwrite is used without its validation and only here. It
makes the document down to the layers' groups; what these hold is spelled at once and put in.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, assert_never
from xml.etree import ElementTree
from xml.sax.saxutils import escape

from layout.drafting.entities import Arc, Circle, Drawing, Line, Point, Polyline, Stroke, Text
from layout.drafting.lettering import text_start, text_width
from layout.drafting.style import LAYER_PENS, Layer, Pen, lettering_pen
from layout.drafting.vector import along
from layout.sheets.sheet import Placement, Rect, Sheet
from layout.writers.decimals import filled
from layout.writers.document import DocumentInfo
from layout.writers.letters import letters, path_words
from layout.writers.strokes import (
    Drawn,
    Lettered,
    Mark,
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

_PLACE = re.compile("<!--([A-Z]+)-->")
"""Where a layer's group holds something; a text that looks like this is escaped."""

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
    layers = {layer: _SvgGroup("") for layer in Layer}
    for index, placement in enumerate(sheet.placements):
        clip = _clip_path(svg, sheet, placement.clip, index) if placement.clip else None
        canvas = _Canvas(layers, _downwards(sheet, placement), placement.turn, clip=clip, named=named)
        canvas.draw(placement.drawing)
    _Canvas(layers, _downwards(sheet, None), 0, clip=None, named=named).draw(sheet.furniture)
    for name, (x, y) in held_points(sheet).items():
        layers[Layer.POINT].inside.append(
            f'<circle cx="{plain(x)}" cy="{plain(sheet.height - y)}" id="point-{_quoted(name)}"'
            f' r="{plain(POINT_RADIUS)}" stroke="none" />'
        )
    for layer in Layer:
        group = svg.add(_layer_group(svg, layer))
        if layers[layer].inside:
            group.add(_LayerPlace(layer))
    frame = io.StringIO()
    svg.write(frame)
    spread = frame.getvalue().replace("><", ">\n<")
    return _PLACE.sub(lambda place: "\n".join(layers[Layer(place[1])].lines()), spread) + "\n"


def strokes_path(sheet: Sheet, placement: Placement, strokes: Iterable[Stroke]) -> str:
    """Path data of strokes of a placement's drawing, in page coordinates, as the sheet's own are."""
    m = _downwards(sheet, placement)
    return "".join(_spelled(_stroke_path(stroke, m) for stroke in strokes))


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


class _LayerPlace:
    """Stands in a layer's group for all that the group holds."""

    def __init__(self, layer: Layer) -> None:
        self.layer = layer

    def get_xml(self) -> Any:
        """What the library asks of every element."""
        return ElementTree.Comment(self.layer.value)


class _SvgGroup:
    """What a group holds, after its own start tag: elements, and groups inside it."""

    def __init__(self, start: str) -> None:
        self.start = start
        self.inside: list[str | _SvgGroup] = []

    def group(self, start: str) -> _SvgGroup:
        """A new group inside it."""
        inner = _SvgGroup(start)
        self.inside.append(inner)
        return inner

    def lines(self) -> Iterator[str]:
        """Everything in it, an element a line."""
        for each in self.inside:
            if isinstance(each, str):
                yield each
            else:
                yield each.start
                yield from each.lines()
                yield "</g>"


class _Canvas:
    """Where one drawing goes: the layers' groups, and the groups inside them made on first use."""

    def __init__(
        self, layers: dict[Layer, _SvgGroup], matrix: Matrix, turn: int, *, clip: str | None, named: bool
    ) -> None:
        self.layers, self.matrix, self.turn, self.clip, self.named = layers, matrix, turn, clip, named
        self._parts: dict[Layer, _SvgGroup] = {}
        self._painted: dict[tuple[Layer, Pen], _SvgGroup] = {}
        self._worded: dict[Layer, _SvgGroup] = {}

    def draw(self, drawing: Drawing) -> None:
        """Add all marks of a drawing."""
        marks = marks_of(drawing)
        lettered = [mark for mark in marks if isinstance(mark, Lettered)]
        lettering = iter(letters([mark.text for mark in lettered], self.matrix, _LETTERING_COMMANDS))
        words = iter(_spelled(_words(mark.text, self.matrix, self.turn, self._of(mark)) for mark in lettered))
        drawn = iter(_spelled(_shape(m, self.matrix, self._of(m)) for m in marks if isinstance(m, Drawn)))
        for mark in marks:
            if isinstance(mark, Drawn):
                self._part(mark.layer).inside.append(next(drawn))
            else:
                painted = self._painted_group(mark.layer, lettering_pen(mark.text.height))
                painted.inside.append(f'<path d="{next(lettering)}"{self._of(mark)} />')
                self._words_group(mark.layer).inside.append(next(words))

    def _of(self, mark: Mark) -> str:
        """The attribute that names the dimension of which a mark is part, where that is asked for."""
        return f' data-of="{_quoted(mark.of)}"' if self.named and mark.of else ""

    def _part(self, layer: Layer) -> _SvgGroup:
        """The layer's own group, or a clipped group inside it."""
        if layer not in self._parts:
            whole = self.layers[layer]
            self._parts[layer] = whole if self.clip is None else whole.group(f'<g clip-path="{self.clip}">')
        return self._parts[layer]

    def _painted_group(self, layer: Layer, pen: Pen) -> _SvgGroup:
        """The group for painted lettering of one width."""
        if (layer, pen) not in self._painted:
            dashes, width = _pen_attributes(pen).values()
            start = f'<g stroke-dasharray="{dashes}" stroke-linecap="round" stroke-width="{width}">'
            self._painted[layer, pen] = self._part(layer).group(start)
        return self._painted[layer, pen]

    def _words_group(self, layer: Layer) -> _SvgGroup:
        """The group for unpainted words."""
        if layer not in self._worded:
            start = '<g font-family="sans-serif" pointer-events="all" stroke="none">'
            self._worded[layer] = self._part(layer).group(start)
        return self._worded[layer]


Template = tuple[str, tuple[float, ...]]
"""An element or path data with a %s for each of the numbers."""


def _spelled(elements: Iterable[Template]) -> list[str]:
    """Elements as text, all numbers spelled at once."""
    every = list(elements)
    return filled([template for template, _ in every], [v for _, numbers in every for v in numbers])


def _quoted(text: str) -> str:
    """Text as an attribute's value."""
    return escape(text, {'"': "&quot;", "\r": "&#13;", "\n": "&#10;", "\t": "&#09;"})


def _pen_attributes(pen: Pen) -> dict[str, str]:
    dashes = " ".join(plain(d) for d in pen.dashes) or "none"
    return {"stroke-dasharray": dashes, "stroke-width": plain(pen.width)}


def _shape(mark: Drawn, m: Matrix, of: str) -> Template:
    """One entity's strokes as one element; its pen only where it is not the layer's."""
    of, own = of.replace("%", "%%"), ""
    if mark.pen != LAYER_PENS[mark.layer]:
        own = "".join(f' {name}="{value}"' for name, value in _pen_attributes(mark.pen).items())
    if len(mark.strokes) == 1 and isinstance(mark.strokes[0], Circle):
        circle = mark.strokes[0]
        rx, ry = _radii(circle.radius, m)
        at = apply(m, circle.centre)
        if rx == ry:
            return f'<circle cx="%s" cy="%s"{of} r="%s"{own} />', (*at, rx)
        return f'<ellipse cx="%s" cy="%s"{of} rx="%s" ry="%s"{own} />', (*at, rx, ry)
    paths = [_stroke_path(stroke, m) for stroke in mark.strokes]
    data = "".join(template for template, _ in paths)
    return f'<path d="{data}"{of}{own} />', tuple(v for _, numbers in paths for v in numbers)


def _stroke_path(stroke: Stroke, m: Matrix) -> Template:
    """Path data of a stroke."""
    match stroke:
        case Line():
            return "M%s %sL%s %s", (*apply(m, stroke.start), *apply(m, stroke.end))
        case Polyline():
            if not stroke.points:
                return "", ()
            data = f"M%s %s{'L%s %s' * (len(stroke.points) - 1)}{'Z' if stroke.closed else ''}"
            return data, tuple(v for p in stroke.points for v in apply(m, p))
        case Arc():
            return _arc_path(stroke.centre, stroke.radius, stroke.start_angle, stroke.end_angle, m=m)
        case Circle():
            data, numbers = _arc_path(stroke.centre, stroke.radius, 0.0, 360.0, m=m)
            return data + "Z", numbers
        case _:
            assert_never(stroke)


def _arc_path(centre: Point, radius: float, start: float, end: float, m: Matrix) -> Template:
    """Arc commands. Counter-clockwise with y up is sweep-flag 0 with y down."""
    radii, pieces = _radii(radius, m), spans(start, end, ARC_SPAN)
    numbers = [*apply(m, along(centre, start, radius))]
    for _, stop in pieces:
        numbers += (*radii, *apply(m, along(centre, stop, radius)))
    return "M%s %s" + "A%s %s 0 0 0 %s %s" * len(pieces), tuple(numbers)


def _radii(radius: float, m: Matrix) -> tuple[float, float]:
    """Radii along the page's x and y: the matrix only turns by quarters and stretches."""
    return radius * (abs(m[0]) + abs(m[2])), radius * (abs(m[1]) + abs(m[3]))


def _words(text: Text, m: Matrix, turn: int, of: str) -> Template:
    """The words where their strokes are, in the same size and width, for search and copying."""
    at, turned = apply(m, text_start(text)), text.angle + 90 * turn
    of, words = of.replace("%", "%%"), escape(_clean(text.text)).replace("%", "%%")
    turning = ' transform="rotate(%s %s %s)"' if turned % 360 else ""
    sizes = (text.height / CAPITAL_OVER_SIZE, text_width(text.text, text.height))
    return (
        f'<text{of} font-size="%s" lengthAdjust="spacingAndGlyphs" textLength="%s"{turning} x="%s" y="%s">'
        f"{words}</text>",
        (*sizes, *((-turned, *at) if turning else ()), *at),
    )
