"""The JSON Schema: current, valid, in agreement with the loader; judged by an independent library."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from layout.errors import SpecError
from layout.geometry.dimensions import REGISTRY
from layout.spec.load import loads
from layout.spec.schema import schema, schema_text
from layout.spec.template import template

ROOT = Path(__file__).parents[2]
DEMOS = sorted((ROOT / "specs").glob("*.yaml"))
COMMITTED = ROOT / "layout" / "spec" / "schema.json"


class EditorLoader(yaml.SafeLoader):
    """YAML as editors read it (1.2 core): a date is text, and so are yes, no, on and off."""


EditorLoader.yaml_implicit_resolvers = {
    first: [
        (tag, pattern) for tag, pattern in found
        if not tag.endswith("timestamp") and not (tag.endswith("bool") and first in "yYnNoO")
    ]
    for first, found in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def as_editors_read(text: str) -> Any:
    return yaml.load(text, EditorLoader)


def complaints(text: str) -> list[str]:
    """What an editor would underline."""
    found = jsonschema.Draft202012Validator(schema()).iter_errors(as_editors_read(text))
    return [e.message for e in found]


def test_the_committed_schema_is_current() -> None:
    assert COMMITTED.read_text(encoding="utf-8") == schema_text()


def test_the_schema_is_a_valid_schema_of_its_dialect() -> None:
    assert schema()["$schema"] == jsonschema.Draft202012Validator.META_SCHEMA["$id"]
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_demo_specs_follow_the_schema(path: Path) -> None:
    assert complaints(path.read_text(encoding="utf-8")) == []


def test_the_template_follows_the_schema() -> None:
    assert complaints(template()) == []


WRONG = [
    "geometry: {head_angle: 99}",
    "geometry: {head_angle: steep}",
    "geometry: {head_angel: 72}",
    "geometry: {toe_clearance: 30}",
    "wheels: {front: 37x622}",
    "wheels: {front: {radius: 3}}",
    "drawing: {heading: north}",
    "tubes: {seat_tube: {walls: [1, 1]}}",
    "fittings: [{kind: boss, tube: down_tube}]",
    "drivetrain: {chainring_teeth: 42.5}",
    "jobs: {}",
    "job: {title: [a]}",
]


@pytest.mark.parametrize("text", WRONG)
def test_schema_and_loader_refuse_the_same(text: str) -> None:
    assert complaints(text) != []
    with pytest.raises(SpecError):
        loads(text)


def test_every_dimension_that_may_be_given_is_a_key_with_hover_text_and_range() -> None:
    keys = schema()["$defs"]["Geometry"]["properties"]
    assert set(keys) == {name for name, d in REGISTRY.items() if not d.asked_only}
    for name, key in keys.items():
        unit = "degrees" if REGISTRY[name].unit == "deg" else "mm"
        assert key["description"] == f"{REGISTRY[name].meaning}, {unit}"
        assert (key["minimum"], key["maximum"]) == REGISTRY[name].possible


def test_every_key_has_hover_text() -> None:
    def bare(node: object, path: str) -> list[str]:
        if not isinstance(node, dict):
            return []
        found = []
        for name, value in node.get("properties", {}).items():
            if "description" not in value and "$ref" not in value:
                found.append(f"{path}.{name}")
        for name, value in node.get("$defs", {}).items():
            found += bare(value, name)
            if "description" not in value:
                found.append(name)
        return found

    assert bare(json.loads(schema_text()), "") == []
