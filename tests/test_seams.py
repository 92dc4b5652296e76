"""The house plan holds: who imports whom, read from the source, and which room may use which library."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from tube_names import looks

HOUSE = Path(__file__).parent.parent / "layout"
MODULES = sorted(HOUSE.rglob("*.py"))

ALLOWED: dict[str, set[str]] = {
    "errors": set(),
    "geometry": {"errors"},
    "drafting": {"errors"},
    "spec": {"errors", "geometry"},
    "frame": {"errors", "geometry", "spec"},
    "bench": {"errors", "geometry", "drafting", "spec", "frame"},
    "sheets": {"errors", "drafting"},
    "writers": {"errors", "drafting", "sheets.sheet", "geometry.plates"},
    "checks": {"errors", "drafting", "sheets.sheet", "geometry", "spec", "frame"},
    "views": {"errors", "geometry", "drafting", "spec", "frame", "bench"},
    "report": {"errors", "geometry", "drafting", "spec", "frame", "bench", "checks", "sheets", "views"},
    "pipeline": {
        "errors", "geometry", "drafting", "spec", "frame", "bench", "sheets", "writers", "checks", "views",
        "report",
    },
    "preview": {
        "errors", "geometry", "drafting", "spec", "frame", "bench", "sheets", "writers", "views", "report",
        "pipeline",
    },
    "cli": {"errors", "spec", "frame", "sheets", "report", "pipeline", "preview"},
    "__init__": set(),
    "__main__": {"cli"},
}  # fmt: skip
"""What each room may import beside its own: a room, or a part of one: paper to write on, plates to cut."""
LIBRARIES = {
    "ezdxf": "writers/dxf/file.py",
    "svgwrite": "writers/svg.py",
    "pikepdf": "writers/pdf/writer.py",
    "yaml": "spec/tree.py",
    "pydantic": "spec",
    "pydantic_core": "spec",
    "typer": "cli",
    "starlette": "preview/server.py",
    "uvicorn": "preview/serve.py",
    "watchfiles": "preview/changes.py",
}
"""Each with the one module that imports it, or the room."""
LATE = {"ezdxf", "svgwrite", "pikepdf"}
"""Imported inside the function that needs them, so that `layout --help` does not pay for them."""
NEVER = {"scipy", "matplotlib", "fitz", "pymupdf", "shapely", "OCP", "rich"}


def room(path: Path) -> str:
    part = path.relative_to(HOUSE).parts[0]
    return part.removesuffix(".py")


def imports(nodes: Iterable[ast.AST]) -> Iterator[str]:
    """Every dotted name that is imported: of `from layout.sheets import media`, layout.sheets.media."""
    for node in nodes:
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            module = "." * node.level + (node.module or "")
            yield from (f"{module}.{alias.name}" for alias in node.names)


def at_once(body: Iterable[ast.stmt]) -> Iterator[ast.stmt]:
    """The statements that run as a module is imported: not those inside its functions."""
    for node in body:
        yield node
        if not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            inner = (child for child in ast.iter_child_nodes(node) if isinstance(child, ast.stmt))
            yield from at_once(inner)


def is_under(name: str, part: str) -> bool:
    """Whether a dotted name is a part, or something in it."""
    return name == part or name.startswith(f"{part}.")


def crossings(source: str, mine: str, place: str) -> list[str]:
    """What a module of the room `mine`, at `place` in the house, imports that it may not."""
    tree = ast.parse(source)
    found = []
    for name in imports(ast.walk(tree)):
        top, _, rest = name.partition(".")
        if not top:
            found.append(f"{place}: a relative import")
        elif top == "layout":
            allowed = ALLOWED[mine] | {mine}
            if not any(is_under(rest, part) for part in allowed):
                found.append(f"{mine} imports {name}")
        elif top in NEVER:
            found.append(f"{mine} imports {top}")
        elif not is_under(place.replace("/", "."), LIBRARIES.get(top, place).replace("/", ".")):
            found.append(f"{place} imports {top}")
    early = {name.split(".")[0] for name in imports(at_once(tree.body))}
    return found + [f"{place} imports {top} before it is needed" for top in sorted(early & LATE)]


def test_there_is_a_house_to_check():
    assert len(MODULES) > 60
    assert {room(p) for p in MODULES} == ALLOWED.keys()


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(HOUSE)))
def test_a_room_imports_only_from_floors_below(path: Path):
    place = path.relative_to(HOUSE).as_posix()
    assert crossings(path.read_text("utf-8"), room(path), place) == []


def test_the_plan_has_floors():
    """Every room stands on rooms that stand: none allows another that allows it."""
    standing: list[str] = []
    while len(standing) < len(ALLOWED):
        above = [r for r in ALLOWED if {p.split(".")[0] for p in ALLOWED[r]} <= set(standing)]
        assert set(above) - set(standing), f"in a circle: {ALLOWED.keys() - set(standing)}"
        standing += [r for r in above if r not in standing]
    assert standing.index("cli") > standing.index("pipeline") > standing.index("views")


def test_nothing_goes_round_in_a_circle():
    names = {".".join(("layout", *p.relative_to(HOUSE).with_suffix("").parts)): p for p in MODULES}
    needs = {
        p: {
            whole
            for name in imports(ast.walk(ast.parse(p.read_text("utf-8"))))
            for whole in (name, name.rpartition(".")[0])
            if whole in names
        }
        for p in MODULES
    }
    state: dict[Path, int] = {}

    def visit(p: Path, trail: tuple[str, ...]) -> None:
        assert state.get(p) != 1, "a circle: " + " -> ".join(trail)
        if state.get(p) == 2:
            return
        state[p] = 1
        for n in needs[p]:
            visit(names[n], (*trail, n))
        state[p] = 2

    for p in MODULES:
        visit(p, (str(p.relative_to(HOUSE)),))
    assert set(state.values()) == {2}
    assert sum(map(len, needs.values())) > len(MODULES)


def class_names(sources: Iterable[str]) -> Counter[str]:
    nodes = (node for source in sources for node in ast.walk(ast.parse(source)))
    return Counter(node.name for node in nodes if isinstance(node, ast.ClassDef))


def test_no_class_name_stands_twice():
    """The same word in two rooms makes a reader look up which one is meant."""
    counted = class_names(p.read_text("utf-8") for p in MODULES)
    assert [name for name, count in counted.items() if count > 1] == []
    assert counted.total() > 100
    assert class_names(["class A: pass", "class A: pass"])["A"] == 2


@pytest.mark.parametrize(
    ("place", "source", "found"),
    [
        ("drafting/bad.py", "from layout.cli import commands", ["drafting imports layout.cli.commands"]),
        ("drafting/bad.py", "from layout import report", ["drafting imports layout.report"]),
        ("views/bad.py", "import layout.sheets.media", ["views imports layout.sheets.media"]),
        ("writers/bad.py", "from layout.sheets import media", ["writers imports layout.sheets.media"]),
        ("writers/bad.py", "from layout.sheets.sheet import Sheet", []),
        ("checks/bad.py", "from layout.sheets.lay import lay", ["checks imports layout.sheets.lay.lay"]),
        ("checks/bad.py", "def f():\n  from layout.views import side", ["checks imports layout.views.side"]),
        ("cli/bad.py", "from layout.views.rear.plan import x", ["cli imports layout.views.rear.plan.x"]),
        ("spec/bad.py", "from . import load", ["spec/bad.py: a relative import"]),
        ("spec/bad.py", "import yaml", ["spec/bad.py imports yaml"]),
        ("frame/solve.py", "import pydantic", ["frame/solve.py imports pydantic"]),
        ("pipeline/bad.py", "import typer", ["pipeline/bad.py imports typer"]),
        ("geometry/bad.py", "from scipy.optimize import root", ["geometry imports scipy"]),
        ("writers/svg.py", "def f():\n    import svgwrite", []),
        ("writers/pdf/ink.py", "def f():\n    import svgwrite", ["writers/pdf/ink.py imports svgwrite"]),
        ("writers/svg.py", "import svgwrite", ["writers/svg.py imports svgwrite before it is needed"]),
        (
            "writers/svg.py",
            "class A:\n    try:\n        import svgwrite\n    except ImportError:\n        pass",
            ["writers/svg.py imports svgwrite before it is needed"],
        ),
    ],
)
def test_the_check_sees_a_crossed_seam(place: str, source: str, found: list[str]):
    assert crossings(source, room(HOUSE / place), place) == found


TABLE = HOUSE / "geometry" / "space" / "roles.py"
"""The one module that knows a tube by its name; `spec` reads the words that people type."""
NAMELESS = [p for p in MODULES if p != TABLE and room(p) != "spec"]


@pytest.mark.parametrize("path", NAMELESS, ids=lambda p: str(p.relative_to(HOUSE)))
def test_only_the_table_of_roles_looks_into_a_tubes_name(path: Path):
    assert looks(path.read_text("utf-8")) == []


def test_the_table_of_roles_would_be_seen():
    assert len(looks(TABLE.read_text("utf-8"))) > 10


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("frame.tubes['chain_stay_left']", ["1: spells chain_stay_left"]),
        ("if name in ('seat_tube', other): pass", ["1: spells seat_tube"]),
        ("name == 'bottom_bracket'", ["1: spells bottom_bracket"]),
        ("bridge = 'bridge' in name", ["1: searches for 'bridge'"]),
        ("[n for n in lengths if '_left' not in n]", ["1: searches for '_left'"]),
        ("part in tube.name", ["1: searches tube.name"]),
        ("name.endswith(('left', 'right'))", ["1: endswith ('left', 'right')"]),
        ("name.startswith('chain_stay_')", ["1: startswith 'chain_stay_'"]),
        ("found = gap.tube.split(mark)", ["1: split of gap.tube"]),
        ("cut.tube.removesuffix(end)", ["1: removesuffix of cut.tube"]),
        ("said = host.name.replace('_', ' ')", ["1: replace of host.name"]),
        ("cut.tube[:-5] == other", ["1: cuts up cut.tube[:-5] == other"]),
        ("f'{stay}_{side}'", ["1: builds f'{stay}_{side}'"]),
        ("f'{name}_right'", ["1: builds f'{name}_right'"]),
        ("f'plan_chain_stay_{s.value}_bb'", ["1: builds f'plan_chain_stay_{s.value}_bb'"]),
        ("name + '_left'", ["1: builds name + '_left'"]),
        ("frame.of(CHAIN_STAY, Side.LEFT)", []),
        ("points['seat_tube_top'], p.bars[SEAT_TUBE.name]", []),
        ("side = 'left' if heading == 'left' else 'right'", []),
        ("f'tubes.{role.name}.diameter', f'{view}_{stay.name}_{word}'", []),
        ("fitting.kind == 'bridge'", []),
    ],
)
def test_the_check_sees_a_look_into_a_tubes_name(source: str, found: list[str]):
    assert looks(source) == found
