"""What all blocks of a spec share: no key but their own, and nothing need be written.

Modules of blocks do not postpone their annotations: pydantic would read each one as text, 2 % of `solve`.
"""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field, model_validator

from layout.spec.tree import Scalar


class SpecBlock(BaseModel):
    """Base of all blocks; a bare `key:` with nothing under it is an empty block."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    @model_validator(mode="before")
    @classmethod
    def _bare(cls, value: Any) -> Any:
        return {} if isinstance(value, Scalar) and value.empty else value


def block() -> Any:
    """The field of a block that may be left out: it is then empty."""
    return Field(default_factory=dict, validate_default=True)


def rows(value: Any) -> Any:
    """A list with nothing in it may be written as a bare key."""
    return [] if isinstance(value, Scalar) and value.empty else value
