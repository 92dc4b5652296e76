"""Sheets as one PDF, true scale: the paper is the MediaBox and nothing in the file scales.

    page     q  stretch and place (cm)  clip  /F0 Do  Q       a placement
             q  stretch (cm)  furniture  Q
    /F0      the drawing, once, however many pages show it

Layers are optional content, also inside the shared drawing. Control points are named
destinations. Viewers are asked not to scale; the sheet's own scale bars prove it.
pikepdf only assembles the objects, and only here.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from layout.drafting.bounds import bounds
from layout.drafting.entities import Drawing, Point
from layout.drafting.style import Layer
from layout.errors import Fault, WriteError
from layout.sheets.sheet import Placement, Rect, Sheet
from layout.writers.document import DocumentInfo
from layout.writers.pdf.ink import content_operators, inks_of, points, xy
from layout.writers.pdf.words import WordFont
from layout.writers.strokes import PAPER_SLACK, Matrix, held_points, placement_matrix, plain
from layout.writers.whole import write_whole

LONGEST_SIDE = 5080.0
"""14400 points, the most that viewers show without UserUnit (ISO 32000-1 annex C; from memory), mm."""

COMPRESSION: Final = 2
"""Of zlib: a fifth of the time of the usual 6, for files a seventh larger."""

BOX_MARGIN = 5.0
"""Around a shared drawing's bounds, mm: more than half of any pen."""


def write(sheets: Sequence[Sheet], path: Path, info: DocumentInfo) -> None:
    """Write sheets as the pages of one file.

    Raises WriteError where the file cannot be written, a side is over 5080 mm, or the pages
    are not all of one size.
    """
    _check_sizes(sheets)
    write_whole(path, _document(sheets, info))


def _check_sizes(sheets: Sequence[Sheet]) -> None:
    if not sheets:
        raise WriteError(Fault("a PDF needs at least one sheet", "output"))
    for sheet in sheets:
        longest = max(sheet.width, sheet.height)
        if longest > LONGEST_SIDE:
            raise WriteError(
                Fault(
                    f"sheet {sheet.name} is {longest:.0f} mm long; a PDF page holds at most"
                    f" {LONGEST_SIDE:.0f} mm. Use SVG or DXF, or a smaller medium.",
                    "output",
                )
            )
    if len({(plain(s.width), plain(s.height)) for s in sheets}) > 1:
        raise WriteError(Fault("all pages of a PDF must be of one size; write a file for each", "output"))


def prepare() -> None:
    """Import the library, so that a file written later need not wait for it."""
    import pikepdf  # noqa: F401, TID251


def _document(sheets: Sequence[Sheet], info: DocumentInfo) -> bytes:
    import pikepdf  # noqa: TID251

    with pikepdf.new() as pdf:
        maker = _Maker(pikepdf, pdf, sheets)
        pages = [maker.page(sheet) for sheet in sheets]
        maker.catalog(pages)
        for key, value in (
            ("/Title", info.title),
            ("/Author", info.author),
            ("/Subject", info.subject),
            ("/Keywords", info.mark),
        ):
            if value:
                pdf.docinfo[key] = value
        if re.fullmatch(r"\d{4}-\d\d-\d\d", info.date):
            pdf.docinfo["/CreationDate"] = "D:" + info.date.replace("-", "")
        if len(sheets) > 1:
            with pdf.open_outline() as outline:
                outline.root.extend(pikepdf.OutlineItem(s.name, i, "Fit") for i, s in enumerate(sheets))
        pikepdf.settings.set_flate_compression_level(COMPRESSION)
        data = io.BytesIO()
        pdf.save(
            data,
            min_version="1.7",
            deterministic_id=True,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )
        return data.getvalue()


class _Maker:
    """Builds the objects of one file: what pages share is made once."""

    def __init__(self, pikepdf: Any, pdf: Any, sheets: Sequence[Sheet]) -> None:
        self.pike, self.pdf, self.sheets = pikepdf, pdf, sheets
        placed_drawings = _distinct(p.drawing for s in sheets for p in s.placements)
        drawings = [*placed_drawings, *(s.furniture for s in sheets)]
        inks, self.fonts = inks_of(drawings)
        self.inks = {id(drawing): ink for drawing, ink in zip(drawings, inks, strict=True)}
        used = {layer for ink in inks for layer in ink}
        self.layers = {layer: self._group(layer) for layer in Layer if layer in used}
        self.resources = self._resources()
        self.forms: list[tuple[Drawing, Any]] = []

    def page(self, sheet: Sheet) -> Any:
        """Add one page."""
        dictionary, array, name = self.pike.Dictionary, self.pike.Array, self.pike.Name
        operators, shown = [], dictionary()
        for placement in sheet.placements:
            index = self._form(placement.drawing)
            shown[f"/F{index}"] = self.forms[index][1]
            place = _clip(sheet, placement) + _matrix(placement_matrix(sheet, placement))
            operators.append(f"q\n{place}/F{index} Do\nQ\n")
        furniture = content_operators(self.inks[id(sheet.furniture)])
        operators.append(f"q\n{_matrix(placement_matrix(sheet, None))}{furniture}Q\n")
        box = array([0, 0, Decimal(points(sheet.width)), Decimal(points(sheet.height))])
        page = dictionary(
            Type=name.Page,
            MediaBox=box,
            CropBox=box,
            TrimBox=box,
            Resources=dictionary(**self.resources, XObject=shown),
            Contents=self.pike.Stream(self.pdf, "".join(operators).encode("ascii")),
        )
        self.pdf.pages.append(self.pike.Page(self.pdf.make_indirect(page)))
        return self.pdf.pages[-1].obj

    def catalog(self, pages: list[Any]) -> None:
        """Layers, named destinations and what viewers are asked for."""
        dictionary, array, name = self.pike.Dictionary, self.pike.Array, self.pike.Name
        root, groups = self.pdf.Root, list(self.layers.values())
        root.OCProperties = dictionary(
            OCGs=array(groups), D=dictionary(Name="Layers", Order=array(groups), ON=array(groups))
        )
        root.ViewerPreferences = dictionary(
            PrintScaling=name("/None"),
            PickTrayByPDFSize=True,
            Enforce=array([name.PrintScaling]),
            DisplayDocTitle=True,
        )
        names = array()
        for label, (page, at) in sorted(_destinations(self.sheets).items()):
            names.append(self.pike.String(f"point-{label}"))
            place = [Decimal(points(v)) for v in at]
            names.append(array([pages[page], name.XYZ, *place, None]))
        if len(names):
            root.Names = dictionary(Dests=dictionary(Names=names))

    def _form(self, drawing: Drawing) -> int:
        """The index of the shared form of a drawing, made where it is new."""
        for index, (known, _) in enumerate(self.forms):
            if known is drawing or known == drawing:
                return index
        box = (bounds(drawing) or Rect(0.0, 0.0, 0.0, 0.0)).grown(BOX_MARGIN)
        form = self.pike.Stream(
            self.pdf,
            content_operators(self.inks[id(drawing)]).encode("ascii"),
            Type=self.pike.Name.XObject,
            Subtype=self.pike.Name.Form,
            BBox=self.pike.Array([Decimal(points(v)) for v in (box.left, box.bottom, box.right, box.top)]),
            Resources=self.pike.Dictionary(**self.resources),
        )
        self.forms.append((drawing, self.pdf.make_indirect(form)))
        return len(self.forms) - 1

    def _group(self, layer: Layer) -> Any:
        return self.pdf.make_indirect(self.pike.Dictionary(Type=self.pike.Name.OCG, Name=layer.value))

    def _resources(self) -> dict[str, Any]:
        """Layers and fonts, shared by pages and forms."""
        properties, fonts = self.pike.Dictionary(), self.pike.Dictionary()
        for layer, group in self.layers.items():
            properties[f"/{layer.value}"] = group
        for font in self.fonts:
            fonts[f"/{font.name}"] = self._font(font)
        return {
            "Properties": self.pdf.make_indirect(properties),
            "Font": self.pdf.make_indirect(fonts),
        }

    def _font(self, font: WordFont) -> Any:
        """A standard font under our widths: it is never painted, so its shapes do not matter."""
        dictionary, array, name = self.pike.Dictionary, self.pike.Array, self.pike.Name
        differences = array()
        for char, code in font.codes.items():
            differences.extend([code, name(f"/uni{ord(char):04X}")])
        widths = font.widths()
        return self.pdf.make_indirect(
            dictionary(
                Type=name.Font,
                Subtype=name.Type1,
                BaseFont=name.Helvetica,
                FirstChar=32,
                LastChar=31 + len(widths),
                Widths=array(widths),
                Encoding=dictionary(Type=name.Encoding, Differences=differences),
                ToUnicode=self.pike.Stream(self.pdf, font.to_unicode()),
            )
        )


def _distinct(drawings: Iterable[Drawing]) -> list[Drawing]:
    distinct: list[Drawing] = []
    for drawing in drawings:
        if not any(known is drawing or known == drawing for known in distinct):
            distinct.append(drawing)
    return distinct


def _matrix(m: Matrix) -> str:
    """A cm operator; ten decimals on its scales, so that compensation is exact over metres."""
    a, b, c, d = (_factor(v) for v in m[:4])
    place = xy((m[4], m[5]))
    if (a, b, c, d, place) == ("1", "0", "0", "1", "0 0"):
        return ""
    return f"{a} {b} {c} {d} {place} cm\n"


def _factor(value: float) -> str:
    shown = f"{value:.10f}".rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown


def _clip(sheet: Sheet, placement: Placement) -> str:
    """The clipping path of a placement, on the page."""
    if placement.clip is None:
        return ""
    r = placement.clip
    (x0, y0), (x1, y1) = sheet.to_page((r.left, r.bottom)), sheet.to_page((r.right, r.top))
    return f"{xy((x0, y0))} {points(x1 - x0)} {points(y1 - y0)} re W n\n"


def _destinations(sheets: Sequence[Sheet]) -> dict[str, tuple[int, Point]]:
    """The page and place of each control point: of several pages, the one that shows most around it."""
    best: dict[str, tuple[float, int, Point]] = {}
    known: dict[int, dict[str, Point]] = {}
    for index, sheet in enumerate(sheets):
        for name, at in held_points(sheet, known).items():
            room = min(at[0], at[1], sheet.width - at[0], sheet.height - at[1])
            if name not in best or room > best[name][0] + PAPER_SLACK:
                best[name] = (room, index, at)
    return {name: (page, at) for name, (_, page, at) in best.items()}
