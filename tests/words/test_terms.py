"""`layout terms`: every name with its meaning, how it is measured and what is usual."""

from __future__ import annotations

from pathlib import Path

import pytest
import rules

from layout.cli.commands import run
from layout.geometry.dimensions import REGISTRY
from layout.report.terms import NOT_USUAL, Term, terms, terms_markdown
from layout.spec.load import loads

README = Path(__file__).parent.parent.parent / "README.md"
ALL = {t.name: t for t in terms()}


def test_every_dimension_has_its_row() -> None:
    assert set(REGISTRY) <= set(ALL)
    for name, dimension in REGISTRY.items():
        assert ALL[name].meaning == dimension.meaning
        assert (ALL[name].usual == NOT_USUAL) == (dimension.usual is None)


@pytest.mark.parametrize("term", terms(), ids=[t.name for t in terms()])
def test_a_row_keeps_the_rules(term: Term) -> None:
    assert term.meaning and term.how and term.usual
    for cell in term.cells:
        assert rules.broken(cell) == []


@pytest.mark.parametrize(
    ("name", "how", "usual"),
    [
        ("rear_centre", "straight, rear axle to BB", "395 to 475 mm"),
        ("head_angle", "angle gauge, from the level", "63° to 75.5°"),
        ("trail", "level, front contact to head tube axis", "30 to 135 mm"),
        ("top_tube_effective", "level, seat tube axis to head tube top", "480 to 670 mm"),
        ("fork_offset", "square to the steering axis, fork foot to front axle", "33 to 72 mm"),
        ("toe_clearance", "calculated", "0 to 300 mm"),
        ("head_twist", "on a flat plate", NOT_USUAL),
        ("gap to tyre", "calculated, in space", "at least 6 mm"),
    ],
)
def test_how_a_name_is_measured_and_what_is_usual(name: str, how: str, usual: str) -> None:
    assert (ALL[name].how, ALL[name].usual) == (how, usual)


@pytest.mark.parametrize("term", [t for t in terms() if t.key], ids=lambda t: t.name)
def test_a_name_is_written_as_its_row_says(term: Term) -> None:
    *blocks, key = term.key.split(".")
    value = "{range: [0, 100]}" if blocks[0] == "jig" else "20" if key.endswith("sag") else "{radius: 341}"
    if blocks[0] not in ("jig", "wheels") and not key.endswith("sag"):
        low, high = REGISTRY[term.name].usual or (0.0, 0.0)
        value = f"{(low + high) / 2:g}"
    above = "".join(f"{'  ' * deep}{block}:\n" for deep, block in enumerate(blocks))
    spec = loads(f"{above}{'  ' * len(blocks)}{key}: {value}")
    assert term.key.startswith("jig") or term.name in spec.givens


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("rake", "fork_offset"),
        ("chainstay", "rear_centre"),
        ("Head Angle", "head_angle"),
        ("head-angle", "head_angle"),
        ("setback", "saddle_setback"),
        ("tyre", "gap to tyre"),
    ],
)
def test_a_word_of_the_trade_finds_its_name(word: str, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["terms", word]) == 0
    assert any(line.startswith(f"{name}, ") for line in capsys.readouterr().out.splitlines())


def test_a_word_that_nothing_has_is_told_what_is_near(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["terms", "wheelbse"]) == 2
    assert capsys.readouterr().err.endswith("'wheelbse' in it. Did you mean wheelbase?\n")


def test_all_names_are_listed_without_a_word(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["terms"]) == 0
    out = capsys.readouterr().out
    assert all(f"\n{name}, " in f"\n{out}" for name in ALL)


def test_the_readme_s_table_of_names_is_the_registry_s() -> None:
    """`layout terms` and the README say the same; to write the table anew, print terms_markdown()."""
    text = README.read_text(encoding="utf-8")
    table = text.split("<!-- names -->\n")[1].split("<!-- end names -->")[0]
    assert table.strip() == terms_markdown().strip()
