"""Lettering as path data draws exactly the strokes of the lettering itself."""

from __future__ import annotations

import re

import pytest

from layout.drafting.entities import Align, Point, Text
from layout.drafting.lettering import LineTo, strokes
from layout.writers.letters import letters, path_words
from layout.writers.strokes import apply

WORDS = path_words("M# #", "L# #", "C# # # # # #")
WRITTEN = 0.0005 + 1e-9
"""Farthest that a coordinate written to 0.001 is from its own."""
AS_IT_IS = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
LARGE = (500.0, 0.0, 0.0, -500.0, 7.0, -9.0)
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
@pytest.mark.parametrize("m", [AS_IT_IS, (1.0, 0.0, 0.0, -1.0, 5.0, 297.0), TURNED, LARGE])
@pytest.mark.parametrize("angle", [0.0, 90.0, 33.3])
def test_path_data_draws_the_same_strokes(angle: float, m: tuple[float, ...], align: Align) -> None:
    text = Text((12.5, -3.0), "Façade Ø28.6 ±0.5 jgQ \u4e00", 5.0, angle=angle, align=align)
    other = Text((0.0, 0.0), "ABC", 3.5)
    _, path, _ = letters((other, text, other), m, WORDS)
    told = re.findall(r"([MLC])([-\d. ]+)", path)
    meant = expected(text, m)
    assert [kind for kind, _ in told] == [kind for kind, _ in meant]
    for (_, numbers), (_, points) in zip(told, meant, strict=True):
        flat = [v for p in points for v in p]
        assert [float(v) for v in numbers.split()] == pytest.approx(flat, abs=WRITTEN)


def test_a_blank_line_draws_nothing_and_the_lines_around_it_stay_theirs() -> None:
    one, blank = Text((1.0, 2.0), "one", 5.0), Text((0.0, 0.0), "   ", 5.0)
    alone = letters((one,), TURNED, WORDS)
    assert letters((blank, one, blank, one), TURNED, WORDS) == ["", *alone, "", *alone]
    assert letters((blank,), TURNED, WORDS) == [""]
    assert letters((), TURNED, WORDS) == []


def test_an_operator_stands_after_the_last_number_of_its_piece() -> None:
    words = path_words("# # m\n", "# # l\n", "# # # # # # c\n")
    (path,) = letters((Text((1.0, 2.0), "I", 20.0),), AS_IT_IS, words)
    start, end = path.splitlines()
    assert (start.split()[2], end.split()[2]) == ("m", "l")
    assert {float(start.split()[1]), float(end.split()[1])} == {2.0, 22.0}
