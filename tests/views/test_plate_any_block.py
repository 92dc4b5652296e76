"""Whatever a `plates:` block holds gives a fixture and its drawings, or an error that says what is wrong."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.bench.plates.order import order_csv, order_rows
from layout.bench.plates.parts import fixture
from layout.bench.plates.settings import settings as plate_settings
from layout.checks.plate_rules import broken_rules
from layout.errors import LayoutError, PlateError
from layout.frame.solve import Frame, solve
from layout.geometry.space.frame import SpaceFrame
from layout.spec.load import loads
from layout.spec.schema import schema_text
from layout.views.plates.nesting import nest_pages
from layout.views.plates.sheets import assembly_page, full_size

SPEC = Path("specs/track.yaml").read_text("utf-8")
ROOM = (398.0, 275.0)
"""Inside an A3 sheet's border."""
KEYS: dict[str, dict[str, Any]] = json.loads(schema_text())["$defs"]["Plates"]["properties"]


def valid(key: str, schema: dict[str, Any]) -> st.SearchStrategy[Any]:
    """What the schema allows under a key; numbers often at their bounds."""
    if key == "bolt":
        return st.sampled_from([3, 4, 5, 6, 8, 10, 12, 16])
    if key == "sheet":
        return st.tuples(*(valid("side", side) for side in schema["prefixItems"])).map(list)
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    if schema["type"] == "array":
        return st.lists(valid("part", schema["items"]), min_size=1, max_size=2, unique=True)
    if schema["type"] == "number":
        low, high = schema["minimum"], schema["maximum"]
        return st.sampled_from([low, high]) | st.floats(low, high).map(lambda v: round(v, 2) or low)
    words = st.text(st.characters(exclude_categories=["C", "Z"]), max_size=60)
    return words.map(lambda s: f"steel {s}") | st.just("oak") | st.just("steel " * 300)


PARTS = {"parts": valid("parts", KEYS["parts"])}
"""Few of them: the others are designed none the less, only not checked and drawn."""
BLOCKS = st.lists(st.sampled_from([key for key in KEYS if key != "parts"]), max_size=3, unique=True).flatmap(
    lambda keys: st.fixed_dictionaries(PARTS | {key: valid(key, KEYS[key]) for key in keys})
)


@cache
def track() -> tuple[Frame, SpaceFrame]:
    spec = loads(SPEC, "s.yaml")
    frame = solve(spec)
    return frame, frame.space


def drawn(block: dict[str, Any]) -> None:
    """Everything that is worked out before the first file is written; raises what that raises."""
    spec = loads(f"{SPEC}\nplates: {json.dumps(block, ensure_ascii=False)}\n", "s.yaml")
    frame, space = track()
    made = fixture(frame, plate_settings(spec, space.rear.spacing))
    faults = broken_rules(made.plates, made.settings.process)
    if faults:
        raise PlateError(*faults)
    rows = order_rows(made, "track")
    assert order_csv(rows, "mark").count("\n") == len(rows) + 2
    if made.standing:
        assert full_size(frame, made, rows)[0].core.entities
        assert assembly_page(frame, made, rows, ROOM).drawing.entities
    assert nest_pages(frame, made, rows, ROOM)


def assert_drawn_or_told(block: dict[str, Any]) -> None:
    try:
        drawn(block)
    except LayoutError as e:
        for fault in e.faults:
            assert fault.key is not None
            assert fault.key.split(".")[0] == "plates"
            assert len(fault.message) > 10


@settings(max_examples=16)
@given(BLOCKS)
def test_any_block_is_drawn_or_told(block: dict[str, Any]) -> None:
    assert_drawn_or_told(block)


@pytest.mark.parametrize(
    "block",
    [
        {"inner_radius": 10.0},
        {"inner_radius": 10.0, "thickness": 40.0, "bolt": 16},
        {"thickness": 1.0, "smallest_web": 0.1, "inner_radius": 0.35},
        {"thickness": 40.0, "smallest_web": 5.0, "bolt": 16, "parts": ["length_bars"]},
        {"thickness": 12.0, "bolt": 16, "parts": ["bb_post"]},
        {"sheet": [100.0, 100.0], "sheet_edge": 100.0, "parts": ["bb_post"]},
        {"height": 400.0, "parts": ["base", "head_cradles"], "clearance": 3.0},
        {"dowel": 30.0, "parts": ["base"], "base": "pair"},
    ],
    ids=json.dumps,
)
def test_blocks_at_the_edge_of_what_may_be_written(block: dict[str, Any]) -> None:
    assert_drawn_or_told(block)
