"""Mistakes on the command line and in the files beside a spec, each told with the way out."""

from __future__ import annotations

from pathlib import Path

import mistakes
import pytest
import rules

from layout.cli.commands import run

FILES = {
    "frame.yaml": mistakes.GOOD,
    "sub/frame.yaml": mistakes.GOOD,
    "empty.yaml": "",
    "few.yaml": "geometry: {head_angle: 72}",
    "plates.yaml": mistakes.GOOD + "plates: {thickness: 12, bolt: 6}",
    "thick.yaml": mistakes.GOOD + "plates: {thickness: 40, smallest_web: 5, bolt: 16}",
    "odd.yaml": mistakes.GOOD + "plates: {material: unobtainium}",
    "low.yaml": mistakes.GOOD + "plates: {height: 25}",
    "heavy.yaml": mistakes.GOOD + "plates: {heaviest: 1}",
    "radius.yaml": mistakes.GOOD + "plates: {inner_radius: 3}",
    "fit.yaml": mistakes.GOOD + "plates: {fit: 1.5}",
    "small.yaml": mistakes.GOOD + "plates: {sheet: [300, 300]}",
    "wide.yaml": "printer: {x: 1.2}",
    "none.yaml": "media: [a4]",
    "paper.yaml": "printer: {x: 1.0}\npaper: a4",
    "r-empty.yaml": "readings: []",
    "r-blank.yaml": "readings:\n- {from: bb, to: front_axle, measured: }",
    "r-point.yaml": "readings:\n- {from: bb, to: front_axel, measured: 605}",
    "r-many.yaml": "readings:\n" + "".join(f"- {{from: bb, to: hub_{n}, measured: 6}}\n" for n in range(16)),
    "r-same.yaml": "readings:\n- {from: bb, to: bb, measured: 605}",
    "r-minus.yaml": "readings:\n- {from: bb, to: front_axle, measured: -605}",
    "r-text.yaml": "readings:\n- {from: bb, to: front_axle, measured: six}",
    "r-half.yaml": "readings:\n- {from: bb, measured: 605}",
    "r-angle.yaml": "readings:\n- {dimension: head_angle, measured: 720}",
    "r-dimension.yaml": "readings:\n- {dimension: head_angel, measured: 72}",
    "r-rider.yaml": "readings:\n- {dimension: saddle_height, measured: 720}",
    "r-sheet.yaml": "sheet: {media: a4}\nreadings:\n- {from: bb, to: front_axle, measured: 605}",
    "r-old.yaml": 'sheet: {media: a4, frame: "00000000"}\nreadings:\n- {from: bb, to: bar, measured: 605}',
    "r-list.yaml": "- {from: bb, to: front_axle, measured: 605}",
    "r-block.yaml": "readings: {from: bb, to: front_axle, measured: 605}",
}

COMMANDS = [
    ("bogus", "Type `layout --help`"),
    ("solve", "Type `layout solve --help`"),
    ("solve frame.yaml --bogus", "Type `layout solve --help`"),
    ("solve missing.yaml", "`layout new FILE` writes one"),
    ("solve .", "Give a YAML file"),
    ("solve empty.yaml", "Write keys such as"),
    ("solve few.yaml", "7 more are needed"),
    ("solve r-empty.yaml", "Give the spec first"),
    ("new frame.yaml", "Choose another name"),
    ("new nowhere/frame.yaml", "Choose another place"),
    ("terms wheelbse", "Did you mean wheelbase?"),
    ("terms qqqqqq", "`layout terms` lists all names"),
    ("draw frame.yaml --media a9", "`layout media` lists them"),
    ("draw frame.yaml --media roll-50", "200 to 5080 mm"),
    ("draw frame.yaml --media 10x10", "expected"),
    ("draw frame.yaml --media roll-610", "or tiles (--media a4)"),
    ("draw frame.yaml --format docx", "Choose from dxf, svg, pdf, plt"),
    ("draw frame.yaml --jobs many", "Type `layout draw --help`"),
    ("draw frame.yaml --out frame.yaml", "Name another with --out"),
    ("draw frame.yaml --printer missing.yaml", "`layout calibrate` prints a page"),
    ("draw frame.yaml --printer wide.yaml", "0.95 to 1.05"),
    ("draw frame.yaml --printer none.yaml", "printer: {x: 1.0021, y: 0.9986}"),
    ("draw frame.yaml --printer paper.yaml", "Expected printer or media"),
    ("draw frame.yaml sub/frame.yaml", "another --out"),
    ("calibrate --media 60x60", "200 to 5080 mm"),
    ("mitres frame.yaml --media roll-20", "200 to 5080 mm"),
    ("plates plates.yaml", "The same rule is broken in"),
    ("plates thick.yaml", "or thinner plate"),
    ("plates odd.yaml", "Add plates.density in kg/dm3"),
    ("plates low.yaml", "expected at least"),
    ("plates heavy.yaml", "raise plates.heaviest"),
    ("plates radius.yaml", "mm or less"),
    ("plates fit.yaml", "at most 0.5 mm"),
    ("plates small.yaml", "Set a larger plates.sheet"),
    ("tape frame.yaml missing.yaml", "write a form to fill in"),
    ("tape r-blank.yaml frame.yaml", "Give the spec first"),
    ("tape frame.yaml r-point.yaml", "Did you mean front_axle?"),
    ("tape frame.yaml r-many.yaml", "16 of 16 readings"),
    ("tape frame.yaml r-same.yaml", "Give two points that lie apart"),
    ("tape frame.yaml r-minus.yaml", "Leave it empty"),
    ("tape frame.yaml r-text.yaml", "expected a number"),
    ("tape frame.yaml r-half.yaml", "from and to"),
    ("tape frame.yaml r-angle.yaml", "Write from and to"),
    ("tape frame.yaml r-old.yaml", "Print the sheet again"),
    ("tape frame.yaml r-list.yaml", "Write `readings:`"),
    ("tape frame.yaml r-block.yaml", "- {from: bb, to: front_axle, measured: 612.5}"),
    ("inspect frame.yaml r-angle.yaml", "45 to 90 degrees"),
    ("inspect frame.yaml r-dimension.yaml", "Did you mean head_angle"),
    ("inspect frame.yaml r-rider.yaml", "delete the row"),
    ("inspect frame.yaml r-sheet.yaml", "which `layout setup` writes"),
    ("inspect frame.yaml frame.yaml", "Give the spec first"),
    ("compare frame.yaml few.yaml", "7 more are needed"),
    ("watch missing.yaml", "`layout new FILE` writes one"),
]


@pytest.mark.parametrize(("command", "way_out"), COMMANDS, ids=[c for c, _ in COMMANDS])
def test_a_mistake_on_the_command_line_is_told_with_the_way_out(
    command: str,
    way_out: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    for name, text in FILES.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert run(command.split()) in (2, 3)
    lines = capsys.readouterr().err.splitlines()
    assert any(way_out in line for line in lines), lines
    assert len(lines) <= 4
    for line in lines:
        assert rules.broken(line, error=True) == [], line
