"""What a tube of a spec may have: each key where it means something, sizes and orders that can be."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from layout.errors import Fault, SpecError
from layout.spec.load import loads
from layout.spec.schema import schema

WRONG = [
    # A key that means nothing for this tube says so, and what to write instead.
    ("top_tube: {diameter_top: 30}", "top_tube.diameter_top", "type", "only a head tube"),
    ("seat_stay: {diameter_bottom: 30}", "seat_stay.diameter_bottom", "type", "for the axle end"),
    ("head_tube: {section: [30, 60]}", "head_tube.section", "type", "a head tube is round"),
    ("head_tube: {turned: 10}", "head_tube.turned", "type", "a head tube is round"),
    ("head_tube: {diameter_end: 40}", "head_tube.diameter_end", "type", "diameter_top and diameter_bottom"),
    ("head_tube: {bends: [{at: 50, angle: 5}]}", "head_tube.bends", "type", "only stays"),
    ("down_tube: {bends: [{at: 50, angle: 5}]}", "down_tube.bends", "type", "only stays"),
    ("down_tube: {facing_allowance: 2}", "down_tube.facing_allowance", "type", "both ends are mitred"),
    ("chain_stay: {facing_allowance: 2}", "chain_stay.facing_allowance", "type", "no end of a stay is faced"),
    # Sizes that cannot be, and orders that are slips.
    ("down_tube: {diameter_end: 30, taper: [300, 100]}", "down_tube.taper", "range", "Write [100, 300]"),
    ("down_tube: {taper: [100, 300]}", "down_tube.taper", "type", "diameter_end"),
    ("head_tube: {diameter: 40, taper: [10, 20]}", "head_tube.taper", "type", "diameter_bottom"),
    ("top_tube: {section: [20, 30], taper: [90, 200]}", "top_tube.taper", "type", "diameter_end"),
    ("top_tube: {turned: 10}", "top_tube.turned", "type", "section"),
    ("top_tube: {butts: [90, 90]}", "top_tube.butts", "type", "walls"),
    ("top_tube: {wall: 0.8, butts: [90, 90]}", "top_tube.butts", "type", "walls"),
    ("top_tube: {diameter: 8, wall: 4}", "top_tube.wall", "range", "less than half of 8"),
    ("chain_stay: {section: [10, 30], wall: 5.5}", "chain_stay.wall", "range", "less than half of 10"),
    ("chain_stay: {diameter_end: 9, walls: [1, 1, 5]}", "chain_stay.walls", "range", "less than half of 9"),
    ("top_tube: {walls: [0.5, 0.8, 0.5]}", "top_tube.walls", "range", "the thinnest wall there"),
    ("seat_stay: {diameter: 12, diameter_end: 16}", "seat_stay.diameter_end", "range", "thin end"),
    ("head_tube: {diameter: 36, diameter_top: 34, diameter_bottom: 40}", "head_tube.diameter", "duplicate",
     "give either"),
    ("chain_stay: {bends: [{at: 200, angle: 5}, {at: 100, angle: 5}]}", "chain_stay.bends.1.at", "range",
     "from the first end on"),
]  # fmt: skip


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(SpecError) as caught:
        loads(text, "frame.yaml")
    return caught.value.faults


@pytest.mark.parametrize(("tube", "key", "code", "words"), WRONG, ids=[row[0] for row in WRONG])
def test_what_cannot_be_is_refused_where_it_is_written(tube: str, key: str, code: str, words: str) -> None:
    (fault,) = faults_of(f"tubes:\n  {tube}\n")
    assert (fault.key, fault.code, fault.file, fault.line) == (f"tubes.{key}", code, "frame.yaml", 2)
    assert words in fault.message


RIGHT = [
    "seat_tube: {diameter: 28.6, facing_allowance: 3, diameter_end: 30, taper: [400, 450]}",
    "top_tube: {diameter: 31.8, diameter_end: 36}",
    "down_tube: {section: [33, 42], turned: true, diameter: 38.1}",
    "head_tube: {diameter_bottom: 50, diameter_top: 44, taper: [40, 40], facing_allowance: 2}",
    "head_tube: {diameter: 36, diameter_top: 34}",
    "chain_stay: {section: [16, 30], taper: [0, 200], walls: [0.8, 0.8, 1.1]}",
    "seat_stay: {diameter: 16, diameter_end: 16, taper: [100, 200]}",
    "down_tube: {walls: [0.9, 0.6, 0.6], butts: [120, 60]}",
    "seat_tube:",
    "chain_stay: {bends: [{at: 100, angle: 5}, {at: 200, angle: -5}]}",
]


@pytest.mark.parametrize("tube", RIGHT)
def test_what_a_builder_would_make_is_read(tube: str) -> None:
    ((name, written),) = yaml.safe_load(tube).items()
    read = getattr(loads(f"tubes:\n  {tube}\n").spec.tubes, name)
    assert read.model_fields_set == set(written or ())


def test_several_slips_in_one_tube_are_told_in_one_go() -> None:
    found = faults_of("tubes:\n  top_tube:\n    taper: [300, 100]\n    turned: 20\n    diameter_top: 40\n")
    assert {f.key for f in found} >= {"tubes.top_tube.diameter_top"}
    found = faults_of("tubes:\n  top_tube:\n    taper: [300, 100]\n    turned: 20\n    diameter_end: 30\n")
    assert [(f.key, f.line) for f in found] == [("tubes.top_tube.taper", 3), ("tubes.top_tube.turned", 4)]


def test_an_unknown_key_is_never_answered_with_one_that_is_refused() -> None:
    (fault,) = faults_of("fork: {diameter_top: 40}\n")
    assert "tubes.head_tube.diameter_top" in fault.message
    (fault,) = faults_of("tubes: {down_tube: {diameter_botom: 40}}\n")
    assert "diameter_bottom" not in fault.message


def tube_keys(name: str) -> set[str]:
    whole: dict[str, Any] = schema()
    block = whole["$defs"][whole["$defs"]["Tubes"]["properties"][name]["$ref"].rsplit("/", 1)[1]]
    return set(block["properties"])


def test_the_schema_offers_each_tube_the_keys_that_mean_something_for_it() -> None:
    """No key of a tube is lost, and none is offered where it is refused."""
    every = {
        "diameter", "wall", "walls", "butts", "diameter_end", "taper", "section", "turned", "bends",
        "diameter_top", "diameter_bottom", "facing_allowance", "lug", "dimples",
    }  # fmt: skip
    head_alone = {"diameter_top", "diameter_bottom"}
    main = every - head_alone - {"bends", "dimples"}
    assert tube_keys("seat_tube") == main | {"collar"}
    assert tube_keys("top_tube") == tube_keys("down_tube") == main - {"facing_allowance"}
    assert tube_keys("head_tube") == every - {"diameter_end", "section", "turned", "bends", "dimples", "lug"}
    assert tube_keys("chain_stay") == tube_keys("seat_stay") == every - head_alone - {"facing_allowance"}
