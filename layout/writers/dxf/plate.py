"""A plate as DXF R2010 for a cutter: millimetres, two layers, and nothing that is not cut or engraved.

    layer CUT       closed LWPOLYLINE (arcs as bulges), CIRCLE
    layer ENGRAVE   LINE, open LWPOLYLINE of straight strokes

No text, dimension, point, block or frame: a cutter burns whatever it is sent.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from layout.geometry.plates.contour import Contour, Round, Shape
from layout.geometry.plates.plate import Plate, Stroke
from layout.writers.dxf import codes
from layout.writers.dxf.file import COORDINATES, CodeDocument, CodeSpace, write_document

CUT, ENGRAVE = "CUT", "ENGRAVE"
COLOURS = {CUT: 1, ENGRAVE: 5}
"""Red and blue: cutters' programs sort by colour or by layer, and both say the same; common practice."""
HAIRLINE = 0
"""Line weight 0.00 mm: what is cut has no width."""
BULGE_DECIMALS = 9
"""A bulge to 1e-9: under 1e-6 mm at the middle of any arc here."""


def write(plate: Plate, path: Path, mark: str = "") -> None:
    """Write one part, as it lies; it must lie in the positive quadrant. The frame's mark is a comment.

    Raises ValueError where it does not, WriteError where the file cannot be written.
    """
    left, bottom, _, _ = plate.bounds
    if min(left, bottom) < -(10.0**-COORDINATES):
        raise ValueError(f"{plate.name} reaches out of the positive quadrant")
    write_document(path, lambda document: _fill(document, plate), mark)


def _fill(document: CodeDocument, plate: Plate) -> None:
    doc = document.doc
    for name, colour in COLOURS.items():
        doc.layers.add(name, color=colour, lineweight=HAIRLINE)
    model = document.space(doc.modelspace())
    for shape in plate.shapes:
        _add_cut(model, shape)
    for stroke in plate.engraving:
        _add_stroke(model, stroke)
    _set_header(doc, plate)


def _add_cut(space: CodeSpace, shape: Shape) -> None:
    match shape:
        case Round():
            space.add("CIRCLE", CUT, codes.circle(shape.centre, shape.radius))
        case Contour():
            bulges = [round(k, BULGE_DECIMALS) + 0.0 for k in shape.bulges]
            space.add("LWPOLYLINE", CUT, codes.polyline(shape.points, True, bulges))


def _add_stroke(space: CodeSpace, stroke: Stroke) -> None:
    if len(stroke) == 2:
        space.add("LINE", ENGRAVE, codes.line(*stroke))
    else:
        space.add("LWPOLYLINE", ENGRAVE, codes.polyline(stroke, closed=False))


def _set_header(doc: Any, plate: Plate) -> None:
    """Millimetres, metric, true extents, and a view that holds the part."""
    left, bottom, right, top = (round(v, COORDINATES) + 0.0 for v in plate.bounds)
    for name, value in (("$INSUNITS", 4), ("$MEASUREMENT", 1), ("$LUNITS", 2), ("$LUPREC", 3)):
        doc.header[name] = value
    model = doc.modelspace()
    model.dxf.extmin, model.dxf.extmax = (left, bottom, 0.0), (right, top, 0.0)
    model.dxf.limmin, model.dxf.limmax = (left, bottom), (right, top)
    middle = (round((left + right) / 2, COORDINATES), round((bottom + top) / 2, COORDINATES))
    doc.set_modelspace_vport(
        height=round(max(top - bottom, (right - left) / 2) * 1.05, COORDINATES), center=middle
    )
