"""HP-GL/2 files, measured by a small interpreter of their own: units, pens, steps, true scale."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from pathlib import Path

import pytest
from sheet_samples import POINTS, roll_sheet

from layout.drafting.entities import Arc, Circle, Drawing, Line
from layout.drafting.style import Layer, Pattern, Pen
from layout.errors import WriteError
from layout.sheets.sheet import Placement, Rect, Sheet
from layout.writers import plt
from layout.writers.document import DocumentInfo

INFO = DocumentInfo("one")
UNITS = 40
Run = list[tuple[float, float]]


def written(folder: Path, sheet: Sheet) -> str:
    plt.write(sheet, folder / "one.plt", INFO)
    return (folder / "one.plt").read_text("ascii")


def commands(text: str) -> list[tuple[str, list[float]]]:
    found = re.findall(r"([A-Z]{2})([^;]*);\s*", text)
    assert "".join(f"{name}{args};" for name, args in found) == re.sub(r"\s", "", text)
    return [(name, [float(v) for v in args.split(",") if v.strip()]) for name, args in found]


def runs(text: str) -> list[tuple[int, Run]]:
    """Each stroke with the pen that draws it, mm."""
    pen, at, found, down = 0, (0.0, 0.0), [], False
    for name, numbers in commands(text):
        if name == "SP":
            pen = int(numbers[0])
        if name in ("PU", "PD"):
            if name == "PD" and not down:
                found.append((pen, [at]))
            down = name == "PD"
            for dx, dy in zip(numbers[::2], numbers[1::2], strict=True):
                at = (at[0] + dx, at[1] + dy)
                if down:
                    found[-1][1].append(at)
    return [(pen, [(x / UNITS, y / UNITS) for x, y in run]) for pen, run in found]


def one(*entities: object, size: tuple[float, float] = (2000.0, 1000.0), **more: object) -> Sheet:
    drawing = Drawing("d", tuple(entities))  # type: ignore[arg-type]
    placement = Placement(drawing, 0.0, 0.0, **more)  # type: ignore[arg-type]
    return Sheet("one", "roll", "drawing", *size, (placement,), Drawing("f"))


def test_the_page_and_the_pens_are_declared_first(tmp_path: Path, roll: Sheet):
    head = commands(written(tmp_path, roll))[:10]
    assert head == [
        ("IN", []), ("PS", [1900 * 40, 1067 * 40]), ("WU", [0]),
        ("PW", [0.18, 1]), ("PW", [0.25, 2]), ("PW", [0.35, 3]), ("PW", [0.5, 4]), ("PW", [0.7, 5]),
        ("PA", []), ("PU", [0, 0]),
    ]  # fmt: skip


def test_only_plain_commands_and_numbers_are_used(tmp_path: Path, roll: Sheet):
    text = written(tmp_path, roll)
    used = {name for name, _ in commands(text)}
    assert used == {"IN", "PS", "WU", "PW", "PA", "PU", "PR", "SP", "PD", "PG"}
    assert re.fullmatch(r"[A-Z0-9.,;\n-]+", text)
    assert not re.search(r"\d[eE]", text)


def test_no_step_is_too_long_for_a_plotter_of_sixteen_bits(tmp_path: Path):
    text = written(tmp_path, one(Line((10.0, 20.0), (1990.0, 900.0), Layer.OUTLINE)))
    steps = [n for name, numbers in commands(text) if name in ("PU", "PD") for n in numbers]
    assert max(map(abs, steps)) <= 32767
    ((_, run),) = runs(text)
    assert run[0] == pytest.approx((10.0, 20.0)) and run[-1] == pytest.approx((1990.0, 900.0))
    for x, y in run:
        assert (y - 20.0) == pytest.approx((x - 10.0) * 880 / 1980, abs=0.025)


def test_rounding_does_not_add_up(tmp_path: Path):
    lines = [Line((k * 1.0101, 0.0), (k * 1.0101 + 0.3, 500.0), Layer.DIM) for k in range(900)]
    for line, (_, run) in zip(lines, runs(written(tmp_path, one(*lines))), strict=True):
        assert math.dist(run[0], line.start) <= 0.018 and math.dist(run[-1], line.end) <= 0.018


@pytest.mark.parametrize(("width", "pen"), [(0.18, 1), (0.25, 2), (0.35, 3), (0.5, 4), (0.7, 5)])
def test_the_pen_follows_the_line_width(tmp_path: Path, width: float, pen: int):
    ((found, _),) = runs(written(tmp_path, one(Line((1.0, 1.0), (9.0, 9.0), Layer.DIM, Pen(width)))))
    assert found == pen


def test_each_pen_is_taken_once(tmp_path: Path, roll: Sheet):
    taken = [numbers[0] for name, numbers in commands(written(tmp_path, roll)) if name == "SP"]
    assert taken == [2, 3, 4, 0]


@pytest.mark.parametrize(
    "entity",
    [
        Circle((900.0, 500.0), 350.0, Layer.OUTLINE),
        Arc((900.0, 500.0), 350.0, 20.0, 300.0, layer=Layer.OUTLINE),
    ],
)
def test_arcs_are_true_to_a_plotter_unit(tmp_path: Path, entity: Circle | Arc):
    ((_, run),) = runs(written(tmp_path, one(entity)))
    for a, b in pairwise(run):
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        assert abs(math.dist(a, (900.0, 500.0)) - 350.0) <= 0.018
        assert abs(math.dist(middle, (900.0, 500.0)) - 350.0) <= 0.025


def test_dashes_are_drawn_one_by_one(tmp_path: Path):
    line = Line((10.0, 10.0), (110.0, 10.0), Layer.HIDDEN, Pen(0.5, Pattern.DASHED))
    marks = [run for _, run in runs(written(tmp_path, one(line)))]
    assert len(marks) == 14
    assert marks[1][0] == pytest.approx((17.5, 10.0)) and marks[1][-1] == pytest.approx((23.5, 10.0))


def test_points_are_where_the_sheet_has_them(tmp_path: Path, roll: Sheet, stretched_roll: Sheet):
    for sheet in (roll, stretched_roll):
        strokes = [run for _, run in runs(written(tmp_path, sheet)) if len(run) == 2]
        for name, (x, y) in POINTS.items():
            for arm in (((x - 35, y), (x + 35, y)), ((x, y - 35), (x, y + 35))):
                ends = [sheet.to_page(sheet.placements[0].to_sheet(p)) for p in arm]
                off = min(
                    max(math.dist(run[0], ends[i]), math.dist(run[-1], ends[1 - i]))
                    for run in strokes
                    for i in (0, 1)
                )
                assert off <= 0.018, name


def test_what_lies_outside_the_clip_is_not_drawn(tmp_path: Path, sample: Drawing):
    clip = Rect(300.0, 200.0, 900.0, 700.0)
    sheet = roll_sheet(sample, clip=clip)
    bare = Sheet(sheet.name, "roll", "drawing", sheet.width, sheet.height, sheet.placements, Drawing("none"))
    found = runs(written(tmp_path, bare))
    assert len(found) > 50
    for _, run in found:
        assert all(clip.holds(p, 0.0126) for p in run)


def test_nothing_is_drawn_off_the_paper(tmp_path: Path):
    sheet = one(Line((-50.0, 500.0), (3000.0, 500.0), Layer.DIM), Circle((0.0, 0.0), 40.0, Layer.DIM))
    for _, run in runs(written(tmp_path, sheet)):
        assert all(0.0 <= x <= 2000.0 and 0.0 <= y <= 1000.0 for x, y in run)


def test_a_width_no_pen_has_is_no_silent_loss(tmp_path: Path):
    with pytest.raises(WriteError, match="no pen"):
        written(tmp_path, one(Line((0.0, 0.0), (1.0, 1.0), Layer.DIM, Pen(1.0))))


def test_writing_twice_gives_the_same_bytes(tmp_path: Path, roll: Sheet):
    assert written(tmp_path, roll) == written(tmp_path, roll)
