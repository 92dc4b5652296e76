"""The house plan holds: who imports whom, read from the source, and which room may use which library."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

HOUSE = Path(__file__).parent.parent / "layout"
MODULES = sorted(HOUSE.rglob("*.py"))

ALLOWED: dict[str, set[str]] = {
    "errors": set(),
    "geometry": {"errors"},
    "drafting": {"errors"},
    "spec": {"errors", "geometry"},
    "frame": {"errors", "geometry", "spec"},
    "views": {"errors", "geometry", "drafting", "frame", "spec"},
    "sheets": {"errors", "drafting"},
    "writers": {"errors", "drafting", "sheets", "geometry"},
    "checks": {"errors", "drafting", "sheets", "geometry", "spec", "frame"},
    "pipeline": {"errors", "geometry", "drafting", "spec", "frame", "views", "sheets", "writers", "checks"},
    "report": {"errors", "geometry", "drafting", "spec", "frame", "sheets", "pipeline", "checks"},
    "cli": {"errors", "geometry", "spec", "frame", "views", "sheets", "pipeline", "report", "checks"},
    "__init__": set(),
}
LIBRARIES = {
    "ezdxf": "writers",
    "svgwrite": "writers",
    "pikepdf": "writers",
    "yaml": "spec",
    "pydantic": "spec",
}
SCREEN = {"typer": {"cli"}, "rich": {"cli", "report"}}
NEVER = {"scipy", "matplotlib", "fitz", "pymupdf", "shapely", "OCP"}


def room(path: Path) -> str:
    part = path.relative_to(HOUSE).parts[0]
    return part.removesuffix(".py")


def imports(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: a relative import"
            assert node.module is not None
            yield node.module


def test_there_is_a_house_to_check():
    assert len(MODULES) > 60
    assert {room(p) for p in MODULES} <= ALLOWED.keys()


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(HOUSE)))
def test_a_room_imports_only_from_floors_below(path: Path):
    mine = room(path)
    for name in imports(path):
        top, *rest = name.split(".")
        if top == "layout" and rest:
            assert rest[0] == mine or rest[0] in ALLOWED[mine], f"{mine} imports {name}"
        if top in LIBRARIES:
            assert mine == LIBRARIES[top], f"{mine} imports {top}"
        if top in SCREEN:
            assert mine in SCREEN[top], f"{mine} imports {top}"
        assert top not in NEVER, f"{mine} imports {top}"


def test_nothing_goes_round_in_a_circle():
    needs = {p: {n for n in imports(p) if n.startswith("layout.")} for p in MODULES}
    names = {".".join(("layout", *p.relative_to(HOUSE).with_suffix("").parts)): p for p in MODULES}
    state: dict[Path, int] = {}

    def visit(p: Path, trail: tuple[str, ...]) -> None:
        assert state.get(p) != 1, "a circle: " + " -> ".join(trail)
        if state.get(p) == 2:
            return
        state[p] = 1
        for n in needs[p]:
            if n in names:
                visit(names[n], (*trail, n))
        state[p] = 2

    for p in MODULES:
        visit(p, (str(p.relative_to(HOUSE)),))


def test_the_check_sees_a_crossed_seam(tmp_path: Path):
    bad = tmp_path / "bad.py"
    bad.write_text("import ezdxf\nfrom layout.cli import commands\n", "utf-8")
    assert list(imports(bad)) == ["ezdxf", "layout.cli"]
    assert "cli" not in ALLOWED["drafting"] and LIBRARIES["ezdxf"] != "drafting"
