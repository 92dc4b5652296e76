"""Lettering as path data draws exactly the strokes of the lettering itself."""

from __future__ import annotations

import re

import pytest

from layout.drafting.entities import Align, Point, Text
from layout.drafting.lettering import LineTo, strokes
from layout.writers.letters import CURVE, LINE, MOVE, letters
from layout.writers.strokes import apply

WORDS = {MOVE: "M %.9f %.9f ", LINE: "L %.9f %.9f ", CURVE: "C %.9f %.9f %.9f %.9f %.9f %.9f "}
TURNED = (0.0, 0.9963, -1.0021, 0.0, 300.0, -20.0)


def expected(text: Text, m: tuple[float, ...]) -> list[tuple[str, list[Point]]]:
    pieces: list[tuple[str, list[Point]]] = []
    for stroke in strokes(text):
        pieces.append(("M", [apply(m, stroke.start)]))
        for piece in stroke.segments:
            points = [piece.end] if isinstance(piece, LineTo) else [piece.c1, piece.c2, piece.end]
            pieces.append(("L" if isinstance(piece, LineTo) else "C", [apply(m, p) for p in points]))
    return pieces


@pytest.mark.parametrize("align", list(Align))
@pytest.mark.parametrize("m", [(1.0, 0.0, 0.0, 1.0, 0.0, 0.0), (1.0, 0.0, 0.0, -1.0, 5.0, 297.0), TURNED])
@pytest.mark.parametrize("angle", [0.0, 90.0, 33.3])
def test_path_data_draws_the_same_strokes(angle: float, m: tuple[float, ...], align: Align) -> None:
    text = Text((12.5, -3.0), "Façade Ø28.6 ±0.5 jgQ \u4e00", 5.0, angle=angle, align=align)
    told = re.findall(r"([MLC])([-\d. ]+)", letters(text, m, WORDS))
    meant = expected(text, m)
    assert [kind for kind, _ in told] == [kind for kind, _ in meant]
    for (_, numbers), (_, points) in zip(told, meant, strict=True):
        flat = [v for p in points for v in p]
        assert [float(v) for v in numbers.split()] == pytest.approx(flat, abs=1e-8)


def test_a_blank_line_draws_nothing() -> None:
    assert letters(Text((0.0, 0.0), "   ", 5.0), TURNED, WORDS) == ""
