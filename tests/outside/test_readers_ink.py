"""Files looked at as pictures, by renderers that know nothing of us.

PDFium (through pypdfium2; the renderer of a common browser) and resvg. At 40 pixels to
the millimetre the middle of a stroke's ink is known far better than 0.01 mm.
"""

from __future__ import annotations

import io
import re
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import resvg_py
from PIL import Image
from sheet_samples import POINTS, WORDS, roll_sheet, tile_sheets

from layout.drafting.entities import Drawing
from layout.sheets.sheet import Sheet
from layout.writers import svg
from layout.writers.document import DocumentInfo
from layout.writers.pdf import writer as pdf

PIXELS = 40
"""To the millimetre."""
POINT = 72 / 25.4
JUST_UNDER = 1 - 1e-6
"""PDFium's binding rounds a page, in single precision, up to whole pixels and fills them: a hair
less keeps a whole number of pixels what it is."""
TOLERANCE = 0.01
WINDOW = 10.0
"""Side of the windows looked through, mm."""

Picture = np.ndarray
"""Darkness, 0 to 1, rows from the top."""


def seen_in_pdf(path: Path, sheet: Sheet, left: float, bottom: float) -> Picture:
    with pypdfium2.PdfDocument(path) as document:
        edges = (left, bottom, sheet.width - left - WINDOW, sheet.height - bottom - WINDOW)
        crop = tuple(v * POINT for v in edges)
        bitmap = document[0].render(scale=PIXELS / POINT * JUST_UNDER, crop=crop, grayscale=True)
        return 1 - bitmap.to_numpy().reshape(bitmap.height, bitmap.width) / 255


def seen_in_svg(path: Path, sheet: Sheet, left: float, bottom: float) -> Picture:
    text = path.read_text("utf-8")
    head = f'viewBox="0 0 {sheet.width:g} {sheet.height:g}"'
    assert head in text
    window = f'viewBox="{left} {sheet.height - bottom - WINDOW} {WINDOW} {WINDOW}"'
    text = text.replace(head, window)
    text = text.replace(f'width="{sheet.width:g}mm"', f'width="{WINDOW}mm"')
    text = text.replace(f'height="{sheet.height:g}mm"', f'height="{WINDOW}mm"')
    png = bytes(resvg_py.svg_to_bytes(svg_string=text, dpi=PIXELS * 25.4, background="white"))
    return 1 - np.asarray(Image.open(io.BytesIO(png)).convert("L")) / 255


SEEN = {"pdf": seen_in_pdf, "svg": seen_in_svg}


def write(kind: str, path: Path, sheet: Sheet) -> None:
    if kind == "pdf":
        pdf.write([sheet], path, DocumentInfo("ink"))
    else:
        svg.write(sheet, path, DocumentInfo("ink"))


def middle_of_ink(picture: Picture, axis: int) -> float:
    """Where the ink is densest along an axis, mm from the picture's left or top."""
    profile = picture.sum(axis=axis)
    where = (np.arange(profile.size) + 0.5) / PIXELS
    return float((profile * where).sum() / profile.sum())


@pytest.mark.parametrize("turn", [0, 1])
@pytest.mark.parametrize("stretch", [(1.0, 1.0), (1.0021, 0.9963)])
@pytest.mark.parametrize("kind", ["pdf", "svg"])
def test_the_ink_of_each_cross_is_centred_on_its_point(
    tmp_path: Path, sample: Drawing, kind: str, stretch: tuple[float, float], turn: int
) -> None:
    sheet = roll_sheet(sample, stretch, turn)
    (placement,) = sheet.placements
    path = tmp_path / f"s.{kind}"
    write(kind, path, sheet)
    for x, y in POINTS.values():
        point = sheet.to_page(placement.to_sheet((x, y)))
        for dx, dy in ((28.0, 0.0), (0.0, 28.0)):
            middle = sheet.to_page(placement.to_sheet((x + dx, y + dy)))
            left, bottom = (round((v - WINDOW / 2) * PIXELS) / PIXELS for v in middle)
            picture = SEEN[kind](path, sheet, left, bottom)
            runs_level = (dy == 0.0) is (turn % 2 == 0)
            if runs_level:
                found = bottom + picture.shape[0] / PIXELS - middle_of_ink(picture, axis=1)
                assert found == pytest.approx(point[1], abs=TOLERANCE)
            else:
                assert left + middle_of_ink(picture, axis=0) == pytest.approx(point[0], abs=TOLERANCE)


PER_MM = 2
"""Pixels to the millimetre where whole sheets are compared."""


def whole_pages(path: Path) -> list[Picture]:
    with pypdfium2.PdfDocument(path) as document:
        pages = []
        for page in document:
            bitmap = page.render(scale=PER_MM / POINT * JUST_UNDER, grayscale=True)
            pages.append(1 - bitmap.to_numpy().reshape(bitmap.height, bitmap.width) / 255)
        return pages


def test_tiles_put_together_are_the_roll(tmp_path: Path, sample: Drawing) -> None:
    bare = Drawing("no furniture")
    roll = roll_sheet(sample)
    roll = Sheet(roll.name, roll.medium, roll.kind, roll.width, roll.height, roll.placements, bare)
    tiles = [Sheet(t.name, t.medium, t.kind, 210.0, 297.0, t.placements, bare) for t in tile_sheets(sample)]
    pdf.write([roll], tmp_path / "roll.pdf", DocumentInfo("roll"))
    pdf.write(tiles, tmp_path / "tiles.pdf", DocumentInfo("tiles"))
    (whole,) = whole_pages(tmp_path / "roll.pdf")
    together = np.full_like(whole, np.nan)
    for tile, page in zip(tiles, whole_pages(tmp_path / "tiles.pdf"), strict=True):
        dx = roll.placements[0].dx - tile.placements[0].dx
        dy = roll.placements[0].dy - tile.placements[0].dy
        place_inside(together, page, dx, roll.height - dy - tile.height)
    shown = ~np.isnan(together)
    assert shown.mean() > 0.9
    assert whole[~shown].sum() == 0
    assert whole[shown].sum() > 5000
    assert np.abs(together - whole)[shown].max() < 0.02


def place_inside(canvas: Picture, page: Picture, left: float, top: float) -> None:
    """Put the page's room, a millimetre inside its clip, where it belongs on the canvas."""
    margin = 11 * PER_MM
    room = page[margin:-margin, margin:-margin]
    row, column = round(top * PER_MM) + margin, round(left * PER_MM) + margin
    rows = slice(max(row, 0), min(row + room.shape[0], canvas.shape[0]))
    columns = slice(max(column, 0), min(column + room.shape[1], canvas.shape[1]))
    inner = room[rows.start - row : rows.stop - row, columns.start - column : columns.stop - column]
    canvas[rows, columns] = inner


def test_no_tile_that_holds_a_point_is_blank(tmp_path: Path, tiles: tuple[Sheet, ...]) -> None:
    pdf.write(tiles, tmp_path / "tiles.pdf", DocumentInfo("tiles"))
    holding = 0
    for tile, page in zip(tiles, whole_pages(tmp_path / "tiles.pdf"), strict=True):
        (placement,) = tile.placements
        if any(placement.clip.holds(placement.to_sheet(p)) for p in POINTS.values()):
            holding += 1
            inside = page[12 * PER_MM : -12 * PER_MM, 12 * PER_MM : -12 * PER_MM]
            assert inside.sum() > 20 * PER_MM**2 * 0.35
    assert holding >= len(POINTS)


def test_words_are_found_by_a_viewers_search(tmp_path: Path, roll: Sheet) -> None:
    pdf.write([roll], tmp_path / "roll.pdf", DocumentInfo("words"))
    with pypdfium2.PdfDocument(tmp_path / "roll.pdf") as document:
        page = document[0].get_textpage()
        for words in (WORDS, "seen from the right", "601.3", "72.6°"):
            assert page.search(words).get_next() is not None


def test_unpainted_words_leave_no_ink(tmp_path: Path, sample: Drawing) -> None:
    """The picture is the same with the words taken out of the file."""
    sheet = roll_sheet(sample)
    svg.write(sheet, tmp_path / "s.svg", DocumentInfo("words"))
    text = (tmp_path / "s.svg").read_text("utf-8")
    without, count = re.subn(r"<text .*?</text>", "", text)
    assert count > 10
    pictures = [
        bytes(resvg_py.svg_to_bytes(svg_string=t, dpi=25.4, background="white")) for t in (text, without)
    ]
    assert pictures[0] == pictures[1]
