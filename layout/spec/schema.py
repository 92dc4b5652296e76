"""The JSON Schema of a spec, made from the model: completion and hover text in editors.

`schema.json` beside this module is its text, committed so that an editor can point at it;
a test keeps it current. To write it again: `layout schema > layout/spec/schema.json`.
"""

from __future__ import annotations

import json
from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from layout.spec.model import Spec

DIALECT = "https://json-schema.org/draft/2020-12/schema"


class _Generator(GenerateJsonSchema):
    """pydantic's generator, less what says nothing to a person: null alternatives, defaults, titles."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def field_title_should_be_set(self, schema: Any) -> bool:
        return False


def schema() -> dict[str, Any]:
    """The schema as plain data."""
    made = Spec.model_json_schema(by_alias=True, schema_generator=_Generator, mode="validation")
    return {"$schema": DIALECT, **made, "title": "Frame spec of the layout program"}


def schema_text() -> str:
    """The schema as the text of schema.json, ending in a newline."""
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"
