"""The README's worked example is run, command by command, and its output compared; its pictures are there."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
import rules
import sample

from layout.cli.commands import run
from layout.spec.load import loads

ROOT = Path(__file__).parent.parent
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
LEFT_OUT = "..."
"""A line that stands for lines of the output that the README does not show."""


def blocks(language: str) -> list[str]:
    return [m[2] for m in BLOCK.finditer(TEXT) if m[1] == language]


def missing_lines(shown: str, printed: str) -> list[str]:
    """Lines that the README shows and the command did not print in that order."""
    rest = iter([line.rstrip() for line in printed.splitlines()])
    return [line for line in shown.splitlines() if line.strip() not in ("", LEFT_OUT) and line not in rest]


def test_the_worked_example_gives_what_the_readme_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for text in blocks("yaml"):
        name = re.match(r"# (\w+\.yaml)\n", text)
        if name:
            (tmp_path / name[1]).write_text(text, encoding="utf-8")
    told = blocks("console")
    assert len(told) >= 6
    for block in told:
        command, _, shown = block.partition("\n")
        words = command.removeprefix("$ layout ").split()
        status = run(words)
        printed = capsys.readouterr()
        assert missing_lines(shown, printed.out) == [], command
        assert printed.err == ""
        assert status == ("FAIL" in shown), command


def test_a_line_that_is_not_printed_is_seen() -> None:
    assert missing_lines("a\n...\nc\n", "a\nb\nc\n") == []
    assert missing_lines("a\nd\n", "a\nb\n") == ["d"]


def test_the_blocks_without_a_name_are_specs_too() -> None:
    alone = [text for text in blocks("yaml") if not text.startswith("# ")]
    assert alone
    for text in alone:
        loads(text, "readme.yaml")


def test_what_the_readme_shows_and_links_is_there() -> None:
    linked = re.findall(r"\]\(([^)#:]+)\)", TEXT)
    assert {f"output/{sample.small_name(of)}" for of in sample.SMALL} <= set(linked)
    assert [name for name in linked if not (ROOT / name).exists()] == []


def test_the_commands_between_markers_are_one_line_each() -> None:
    for marker in ("setup", "tests"):
        part = TEXT.split(f"<!-- {marker} -->\n")[1].split("<!-- end -->")[0]
        assert re.fullmatch(r"```sh\n[^\n]+\n```\n", part)


def test_the_readme_keeps_the_rules() -> None:
    """Its prose: no odd words, and no sentence of more than twenty words."""
    prose = re.sub(r"^(    .*|\|.*)$", "", BLOCK.sub("", TEXT), flags=re.MULTILINE)
    assert rules.odd_words(prose) == []
    told = [" ".join(part.split()) for part in prose.split("\n\n")]
    assert [s for part in told for s in rules.long_sentences(part)] == []


def test_what_is_to_be_typed_stands_on_one_line() -> None:
    """A command broken over two lines cannot be copied."""
    for text in (TEXT, DEVELOPERS):
        lines = BLOCK.sub("", text).splitlines()
        assert [line for line in lines if line.count("`") % 2] == []


def test_the_licence_is_said_in_both_places() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["license"] in ("MIT", {"text": "MIT"})
    assert "The licence is MIT." in TEXT


def test_the_contributors_page_keeps_the_rules() -> None:
    prose = re.sub(r"^(    .*|\|.*)$", "", DEVELOPERS, flags=re.MULTILINE)
    assert rules.odd_words(re.sub(r"`[^`]*`", "code", prose)) == []
    told = [" ".join(part.split()) for part in prose.split("\n\n")]
    assert [s for part in told for s in rules.long_sentences(part)] == []


def test_every_file_that_the_contributors_page_names_is_there() -> None:
    named = set(re.findall(r"`([\w./-]+(?:\.py|\.json|/))`", DEVELOPERS))
    assert len(named) > 50
    inside = (path for part in ("layout", "tests") for path in (ROOT / part).rglob("*"))
    there = {f"/{path.relative_to(ROOT).as_posix()}" for path in inside} | {"/layout", "/tests", "/output"}
    assert [n for n in named if not any(path.endswith(f"/{n.rstrip('/')}") for path in there)] == []
