"""What a DXF file defines before anything is drawn: layers, line types, styles, header.

Plain data beside the functions that enter it, so that the writer itself only walks entities.
The document is ezdxf's, handed in by the writer; nothing here imports it.
"""

from __future__ import annotations

from typing import Any

from layout.drafting.dimensions import (
    ARROW_RATIO,
    EXTENSION_GAP,
    EXTENSION_OVERSHOOT,
    LEADER_PAD_RATIO,
)
from layout.drafting.rect import Rect
from layout.drafting.style import LAYER_PENS, TEXT_CALLOUT, THIN, Layer, Pattern, Pen

APPLICATION = "LAYOUT"
"""Registered for the control points' extended data."""
TEXT_STYLE = "LAYOUT"
FONT = "txt.shx"
"""The stroke font that every CAD program has or replaces; widths are forced by two-point placement."""

_BLACK = 7
"""The colour of every layer: black on white and white on black on the screen, black on paper without a
plot style; any other comes grey out of a printer that has no colours."""

_LINE_TYPES: dict[Pattern, tuple[str, str]] = {
    Pattern.CONTINUOUS: ("Continuous", ""),
    Pattern.DASHED: ("DASHED", "02 dashed line (ISO 128-2) __ __ __ __"),
    Pattern.CHAIN: ("DASHDOT", "04 long dashed dotted line (ISO 128-2) ____ . ____ . ____"),
    Pattern.PHANTOM: ("DASHDOTDOT", "05 long dashed double-dotted line (ISO 128-2) ____ . . ____ . . ____"),
}
"""Names of the graphics standards' line types (from memory): dashed of ISO 7942 (GKS), dash-dot and
dash-dot-dot of ISO 8632 (CGM). The patterns are ISO 128-2's, whose number and name the description has.
Programs with built-in patterns know the first two by these names. After ISO 128-2's numbers alone they would
draw continuous lines."""


def line_type(pen: Pen) -> str:
    """The name of a pen's line type: patterns are in mm, so each width but the thin one has its own."""
    name = _LINE_TYPES[pen.pattern][0]
    if pen.pattern is Pattern.CONTINUOUS or pen.width == THIN:
        return name
    return f"{name}_{line_weight(pen):03d}"


def line_weight(pen: Pen) -> int:
    """A pen's width in hundredths of a millimetre; the ISO 128 widths are all allowed in DXF."""
    return round(pen.width * 100)


def define_line_type(doc: Any, pen: Pen) -> str:
    """Enter a pen's line type where it is new; the pattern begins with its total length."""
    name = line_type(pen)
    if not doc.linetypes.has_entry(name):
        pattern = [d if i % 2 == 0 else -d for i, d in enumerate(pen.dashes)]
        rounded = [round(v, 6) for v in (sum(pen.dashes), *pattern)]
        doc.linetypes.add(name, rounded, description=_LINE_TYPES[pen.pattern][1])
    return name


_HEADER_DIMENSION = (
    "dimscale", "dimlfac", "dimtxt", "dimtxsty", "dimasz", "dimexo", "dimexe", "dimgap", "dimtad", "dimtih",
    "dimtoh", "dimlunit", "dimdec", "dimaunit", "dimadec", "dimzin", "dimazin", "dimdsep", "dimtmove",
)  # fmt: skip
"""What of a dimension style the header says too."""


def define_layers(doc: Any) -> None:
    """Enter all layers, drawn on or not."""
    for layer in Layer:
        pen = LAYER_PENS[layer]
        doc.layers.add(
            layer.value,
            color=_BLACK,
            linetype=define_line_type(doc, pen),
            lineweight=line_weight(pen),
        )


def define_styles(doc: Any) -> None:
    """Enter the lettering style and the application of the control points' names."""
    doc.styles.add(TEXT_STYLE, font=FONT)
    doc.appids.new(APPLICATION)


def dimension_style(doc: Any, height: float, decimals: int, line_drawn: bool, level: bool) -> str:
    """The name of a dimension style, entered where it is new; sizes in mm, no scale, no factor.

    Programs that redraw dimensions instead of showing the drawn block take sizes from here.
    """
    name = f"LAYOUT_{height:g}_{decimals}{'' if line_drawn else '_TEXT'}{'_LEVEL' if level else ''}"
    if doc.dimstyles.has_entry(name):
        return name
    hidden = 0 if line_drawn else 1
    style = doc.dimstyles.new(
        name,
        dxfattribs={
            "dimscale": 1.0,
            "dimlfac": 1.0,
            "dimtxt": height,
            "dimtxsty": TEXT_STYLE,
            "dimasz": round(ARROW_RATIO * height, 6),
            "dimexo": EXTENSION_GAP,
            "dimexe": EXTENSION_OVERSHOOT,
            "dimgap": round(LEADER_PAD_RATIO * height, 6),
            "dimtad": 1,
            "dimtih": int(level),
            "dimtoh": int(level),
            "dimlunit": 2,
            "dimdec": decimals,
            "dimaunit": 0,
            "dimadec": decimals,
            "dimzin": 0,
            "dimazin": 0,
            "dimdsep": ord("."),
            "dimtmove": 2,
            "dimse1": hidden,
            "dimse2": hidden,
            "dimsd1": hidden,
            "dimsd2": hidden,
            "dimlwd": line_weight(LAYER_PENS[Layer.DIM]),
            "dimlwe": line_weight(LAYER_PENS[Layer.DIM]),
        },
    )
    style.set_arrows(blk="OPEN30", ldrblk="OPEN30")
    return name


def hide_points(doc: Any) -> None:
    """Draw nothing at points: crosses show them, and a sheet may leave a cross out that the model has."""
    doc.header["$PDMODE"] = 1


def set_header(doc: Any, extents: Rect | None) -> None:
    """Millimetres, metric, line types unscaled, widths shown, true extents, and a view that holds them.

    Dimensions as callouts have them: programs that know no dimension styles draw by the header's.
    """
    style = doc.dimstyles.get(dimension_style(doc, TEXT_CALLOUT, 1, line_drawn=True, level=False))
    for name in _HEADER_DIMENSION:
        doc.header[f"${name.upper()}"] = style.get_dxf_attrib(name)
    for name, value in (
        ("$DIMSTYLE", style.dxf.name),
        ("$TEXTSIZE", TEXT_CALLOUT),
        ("$INSUNITS", 4),
        ("$MEASUREMENT", 1),
        ("$LUNITS", 2),
        ("$LUPREC", 3),
        ("$LTSCALE", 1.0),
        ("$CELTSCALE", 1.0),
        ("$LWDISPLAY", 1),
        ("$PSVPSCALE", 1.0),
        ("$PDMODE", 0),
        ("$PDSIZE", 0.0),
        ("$TEXTSTYLE", TEXT_STYLE),
    ):
        doc.header[name] = value
    if extents is None:
        return
    model = doc.modelspace()
    low = (round(extents.left, 6), round(extents.bottom, 6))
    high = (round(extents.right, 6), round(extents.top, 6))
    model.dxf.extmin, model.dxf.extmax = (*low, 0.0), (*high, 0.0)
    model.dxf.limmin, model.dxf.limmax = low, high
    middle = tuple(round(v, 6) for v in extents.centre)
    doc.set_modelspace_vport(height=round(max(extents.height, extents.width / 2) * 1.05, 6), center=middle)
