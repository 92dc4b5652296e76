"""Every sentence of the checks, the help, the hover texts and the comments of a new spec keeps the rules.

The pages and warnings of all demos are read where they are drawn: `tests/pipeline/test_every_file.py`.
"""

from __future__ import annotations

import re
from pathlib import Path

import pages
import pytest
import rules

from layout.cli.commands import app, run
from layout.spec.schema import schema_text
from layout.spec.template import template

SPECS = Path(__file__).parent.parent.parent / "specs"
BROWSER = Path(__file__).parent.parent.parent / "layout" / "preview" / "page"
READINGS = """\
readings:
  - {from: rear_axle, to: bb, measured: 430.0}
  - {from: bb, to: front_axle, measured: 612.0}
  - {from: rear_axle, to: front_axle, measured: 1031.5}
  - {from: bb, to: head_tube_top, measured: 703.0}
  - {dimension: head_angle, measured: 71.9}
  - {dimension: seat_angle, measured: 73.0}
"""
TAPE = """\
readings:
  - {from: rear_axle, to: front_axle, measured: 1035.0}
  - {from: rear_axle, to: bb, measured: 431.0}
  - {from: bb, to: front_axle, measured: 613.0}
  - {from: bb, to: head_tube_top, measured: 704.0}
"""


def broken(texts: list[str]) -> list[str]:
    return [f"{text} -> {said}" for text in texts for said in rules.broken(text)]


@pytest.mark.parametrize(("command", "text"), [("inspect", READINGS), ("tape", TAPE)])
def test_what_is_said_of_readings_keeps_the_rules(
    command: str, text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    assert run([command, str(SPECS / "all-road.yaml"), str(tmp_path / "r.yaml")]) == 1
    out = capsys.readouterr().out
    assert broken(out.splitlines()) == []
    prose = [line for line in out.splitlines() if line.endswith(".")]
    assert [line for text in prose for line in rules.broken_page(text)] == []


def test_an_inspection_record_keeps_the_rules(tmp_path: Path) -> None:
    """One with a verdict of FAIL: what is off, what it means on the road, what to bring where."""
    (tmp_path / "r.yaml").write_text(READINGS, encoding="utf-8")
    files = [str(SPECS / "all-road.yaml"), str(tmp_path / "r.yaml")]
    assert run(["inspect", *files, "--out", str(tmp_path)]) == 1
    said = pages.paragraphs(next(tmp_path.glob("*.pdf")))
    assert any("before welding" in text for text in said)
    assert [line for text in said for line in rules.broken_page(text)] == []


@pytest.mark.parametrize("spec", sorted(SPECS.glob("*.yaml")), ids=lambda path: path.stem)
def test_what_solve_prints_keeps_the_rules(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["solve", str(spec), "--tolerances"]) == 0
    out = capsys.readouterr().out
    assert broken([line for line in out.splitlines() if line.endswith(".")]) == []
    assert rules.odd_words(out) == [] and rules.bare_verdicts(out) == []


def test_the_words_of_the_page_in_the_browser_keep_the_rules() -> None:
    said = []
    for path in sorted(BROWSER.glob("*.html")):
        said += re.findall(r">\s*([^<>]*[a-z]{3,}[^<>]*?)\s*<", path.read_text(encoding="utf-8"))
    for path in sorted(BROWSER.glob("*.js")):
        text = re.sub(r"^\s*(//|\*|/\*).*$", "", path.read_text(encoding="utf-8"), flags=re.MULTILINE)
        said += re.findall(r"""["`]([^"`\n]*[a-z]{3,} [a-z]{2,}[^"`\n]*)["`]""", text)
    assert len(said) > 20
    assert broken(said) == []


def test_the_help_of_every_command_keeps_the_rules(capsys: pytest.CaptureFixture[str]) -> None:
    names = [c.callback.__name__ for c in app.registered_commands if c.callback]
    assert len(names) >= 14
    for name in names:
        assert run([name, "--help"]) == 0
        assert broken([" ".join(p.split()) for p in capsys.readouterr().out.split("\n\n")]) == [], name


def test_hover_texts_and_the_comments_of_a_new_spec_keep_the_rules() -> None:
    hovers = re.findall(r'"description": "([^"]*)"', schema_text())
    assert len(hovers) > 100
    assert broken(hovers) == []
    comments = re.findall(r"#\s?(.*)$", template(), re.MULTILINE)
    assert len(comments) > 60
    assert broken(comments) == []


def test_a_block_of_lines_is_read_as_one_paragraph(tmp_path: Path) -> None:
    lines = [("Measure the", 10.0), ("sheet.", 15.0), ("cell", 90.0)]
    body = "".join(f'<text font-size="3.5" x="1" y="{y}">{text}</text>' for text, y in lines)
    (tmp_path / "page.svg").write_text(f"<svg><desc>A page.</desc>{body}</svg>", encoding="utf-8")
    assert pages.paragraphs(tmp_path / "page.svg") == ["Measure the sheet.", "cell", "A page."]
