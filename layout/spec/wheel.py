"""A wheel in a spec: the marking on its tyre's side, or a block with its measured radius."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import core_schema

from layout.spec import words
from layout.spec.block import SpecBlock
from layout.spec.registered import given
from layout.spec.standards import TyreMarking, read_marking
from layout.spec.tree import Scalar
from layout.spec.values import Described, refused


class MeasuredWheel(SpecBlock):
    """A wheel measured as it stands, unloaded."""

    radius: Annotated[float, replace(given("rear_radius"), meaning="wheel radius, unloaded")]


@dataclass(frozen=True)
class WheelReader(Described):
    """An ISO 5775 marking ("37-622") becomes a Tyre, a block a MeasuredWheel."""

    def read_either(self, value: Any, measured: Callable[[Any], Any]) -> TyreMarking | MeasuredWheel:
        """The wheel; `measured` validates a block."""
        if not isinstance(value, Scalar):
            wheel: MeasuredWheel = measured(value)
            return wheel
        if value.empty:
            raise refused("type", words.NO_WHEEL)
        try:
            return read_marking(value.text.strip())
        except ValueError as e:
            raise refused("type", str(e)) from e

    def __get_pydantic_core_schema__(
        self, _source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        inner = handler.generate_schema(MeasuredWheel)
        return core_schema.no_info_wrap_validator_function(self.read_either, inner)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        marking = {"type": "string", "pattern": r"^\d{2,3}(\.\d+)?-\d{3}$", "examples": ["37-622"]}
        return {"anyOf": [marking, handler(schema)], "description": self.meaning}
