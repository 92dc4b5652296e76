"""The cut lines of wrap templates as they are printed, read from the PDF by PDFium and pypdf alone."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pypdf
import pypdfium2
import pypdfium2.raw as pdfium
from file_readers import MM

FINE, THIN = 0.35, 0.25
"""Widths of the cut line and of the paper's outline, mm, as the page's guide has them."""
STEP, OVERLAP = 0.08, 8.0
SMALLEST = 20.0
"""A strip is longer both ways than a letter, mm."""
LEAST = 8
"""A cut line has more corners than a cross has ends."""


def cut_lines(path: Path) -> dict[str, list[np.ndarray]]:
    """Of each strip its cut line's pieces, points (n, 2) in mm from the strip's centre cross.

    Between its corners a line has points as well, STEP apart: paper bends through its straight pieces.
    A strip is the smallest outline on the page about a named centre; the fine lines in it are its own.
    """
    reader, found = pypdf.PdfReader(path), {}
    shapes = [list(_shapes(sheet)) for sheet in pypdfium2.PdfDocument(path)]
    for name, place in reader.named_destinations.items():
        number = reader.get_destination_page_number(place)
        assert number is not None
        at = np.array([float(place["/Left"]), float(place["/Top"])]) * MM
        around = [p for width, p in shapes[number] if abs(width - THIN) < 0.01 and _holds(p, at)]
        low, high = min(((p.min(0), p.max(0)) for p in around), key=_area)
        turn = _turn(low - at, high - at)
        found[name.removeprefix("/").removeprefix("point-").removesuffix("_centre")] = [
            _filled((p - at) @ turn)
            for width, p in shapes[number]
            if abs(width - FINE) < 0.01 and len(p) > LEAST and _within(p, low - 0.1, high + 0.1)
        ]
    return found


def _area(box: tuple[np.ndarray, np.ndarray]) -> float:
    return float(np.prod(box[1] - box[0]))


def _within(p: np.ndarray, low: np.ndarray, high: np.ndarray) -> bool:
    return bool((p > low).all() and (p < high).all())


def _turn(low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """What turns a strip upright: its left edge is a quarter of a turn from the centre, its right one three.

    Past that is the overlap.
    """

    def off(turn: np.ndarray) -> float:
        a, b = low @ turn, high @ turn
        left, right = -min(a[0], b[0]), max(a[0], b[0])
        return abs((right - OVERLAP) / left - 3.0)

    ways = [np.array([[1.0, 0.0], [0.0, 1.0]])]
    for _ in range(3):
        ways.append(ways[-1] @ np.array([[0.0, 1.0], [-1.0, 0.0]]))
    return min(ways, key=off)


def _filled(p: np.ndarray) -> np.ndarray:
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
    at = np.union1d(run, np.arange(0.0, run[-1], STEP))
    return np.stack([np.interp(at, run, p[:, k]) for k in (0, 1)], axis=1)


def _holds(p: np.ndarray, at: np.ndarray) -> bool:
    size = p.max(0) - p.min(0)
    return bool((size > SMALLEST).all() and (p.min(0) < at).all() and (p.max(0) > at).all())


def _shapes(sheet: pypdfium2.PdfPage) -> Iterator[tuple[float, np.ndarray]]:
    """Every path of a page that is one run, as words are not: its line's width and its corners, mm."""
    for shape in sheet.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH], max_depth=4):
        matrix, around, width = shape.get_matrix(), shape.container, ctypes.c_float()
        while around is not None:
            matrix, around = matrix.multiply(around.get_matrix()), around.container
        assert pdfium.FPDFPageObj_GetStrokeWidth(shape.raw, width)
        corners, runs = [], 0
        for i in range(pdfium.FPDFPath_CountSegments(shape.raw)):
            piece = pdfium.FPDFPath_GetPathSegment(shape.raw, i)
            x, y = ctypes.c_float(), ctypes.c_float()
            assert pdfium.FPDFPathSegment_GetPoint(piece, x, y)
            corners.append(matrix.on_point(x.value, y.value))
            runs += pdfium.FPDFPathSegment_GetType(piece) == pdfium.FPDF_SEGMENT_MOVETO
        if runs == 1:
            yield width.value * MM, np.array(corners) * MM
