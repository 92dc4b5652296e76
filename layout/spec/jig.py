"""The jig, described setting by setting: nothing about it is assumed.

    reading = offset + value      a scale that counts up as the dimension grows
    reading = offset - value      one that counts down

Steps lie at whole multiples of the pitch on the jig's own scale. Each shim in the list is one
piece: a thickness of which there are two is written twice.
"""

from collections.abc import Iterator
from typing import Annotated, Self

from pydantic import BeforeValidator, Field, model_validator

from layout.geometry.dimensions import REGISTRY
from layout.spec import words
from layout.spec.block import SpecBlock, rows
from layout.spec.values import OneOf, Quantity, refused

DESCRIBED_SETTINGS = {
    "rear_axle_height": "rear dummy axle above the bottom bracket centre",
    "front_axle_height": "front dummy axle above the bottom bracket centre",
    "head_tube_height": "from the foot of the fork's offset on the steering axis, along the axis, "
    "to the head tube's lower end",
    "head_tube_top_height": "from the foot of the fork's offset on the steering axis, along the axis, "
    "to the head tube's top end",
}
"""What a jig may be set to that is no dimension of the frame, with its meaning."""

SQUARE_SETTINGS = ("rear_centre", "front_centre", "head_tube_height", "head_tube_top_height")
"""Settings that some jigs measure along the line itself and others square to the base."""

MOST_SHIMS = 40
"""Pieces in a set; more is a slip of the pen, and would be searched for long."""

_Limit = Annotated[float, Quantity("least or greatest value of the dimension", -2000.0, 2000.0)]
_ABOVE = "above the jig's base, which the angle gauge is zeroed on"


class JigSetting(SpecBlock):
    """One setting of the jig: where its zero is, its steps, how far it goes, the shims on hand."""

    offset: Annotated[
        float | None, Quantity("reading of the scale where the dimension is 0", -2000.0, 2000.0)
    ] = None
    counts: Annotated[
        str, OneOf("whether the scale's reading grows (up) or falls (down) as the dimension grows",
                   ("up", "down")),
    ] = "up"  # fmt: skip
    measured: Annotated[
        str,
        OneOf(
            "along the line or axis itself, or square: level for rear_centre and front_centre, plumb from "
            "the front axle for the head tube's heights",
            ("along", "square"),
        ),
    ] = "along"
    pitch: Annotated[
        float | None, Quantity("distance from one step to the next; none for a plain scale", 0.1, 200.0)
    ] = None
    range: tuple[_Limit, _Limit] | None = Field(
        None, description="least and greatest value of the dimension that the jig can be set to"
    )
    shims: Annotated[
        tuple[Annotated[float, Quantity("a shim's thickness", 0.01, 100.0)], ...], BeforeValidator(rows)
    ] = Field((), description="thicknesses of the shims on hand, mm: each entry is one piece")
    shims_make: Annotated[
        str, OneOf("whether a shim makes the dimension greater or less", ("greater", "less"))
    ] = "greater"

    @property
    def side(self) -> int:
        """+1 where a shim makes the dimension greater, -1 where less."""
        return -1 if self.shims_make == "less" else 1

    def reading(self, value: float) -> float:
        """What the jig's scale reads at a value of the dimension."""
        return (self.offset or 0.0) + (-value if self.counts == "down" else value)

    def value(self, reading: float) -> float:
        """The value of the dimension at a reading of the jig's scale."""
        apart = reading - (self.offset or 0.0)
        return -apart if self.counts == "down" else apart

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.range is not None and self.range[0] >= self.range[1]:
            first, second = self.range
            raise refused("range", words.RANGE_ORDER.format(first=first, second=second))
        if self.shims and self.pitch is None:
            raise refused("type", words.SHIMS_ALONE)
        if len(self.shims) > MOST_SHIMS:
            raise refused("range", words.SHIMS_MOST.format(count=len(self.shims), most=MOST_SHIMS))
        return self


class Jig(SpecBlock):
    """What holds the frame: a jig, described setting by setting, or a flat plate and blocks."""

    kind: Annotated[
        str | None,
        OneOf("what holds the frame (default: plate where no settings are described)", ("jig", "plate")),
    ] = None
    bb_above_base: Annotated[
        float | None, Quantity(f"bottom bracket centre {_ABOVE}", -2000.0, 2000.0)
    ] = None
    rear_axle_above_base: Annotated[float | None, Quantity(f"rear axle {_ABOVE}", -2000.0, 2000.0)] = None
    plane_above_plate: Annotated[
        float | None,
        Quantity("the frame's middle plane above the flat plate (default: half the shell's width)",
                 10.0, 500.0),
    ] = None  # fmt: skip
    settings: dict[str, JigSetting] = Field(
        default_factory=dict,
        description="by the name of the dimension it sets, or one of " + ", ".join(DESCRIBED_SETTINGS),
    )

    @property
    def is_plate(self) -> bool:
        """Whether the frame is laid out on a flat plate."""
        return self.kind == "plate" or (self.kind is None and not self.settings)

    @model_validator(mode="after")
    def _one_height(self) -> Self:
        if self.bb_above_base is not None and self.rear_axle_above_base is not None:
            raise refused("duplicate", words.ONE_HEIGHT)
        return self


def names_setting(name: str) -> bool:
    """Whether a jig may have a setting of this name."""
    return name in REGISTRY or name in DESCRIBED_SETTINGS


def odd_settings(jig: Jig) -> Iterator[tuple[str, str]]:
    """Key and message for each setting that asks for what its dimension cannot have."""
    for name, setting in jig.settings.items():
        if setting.shims and name in REGISTRY and REGISTRY[name].unit == "deg":
            yield f"jig.settings.{name}.shims", words.SHIMS_ANGLE
        if setting.measured == "square" and name not in SQUARE_SETTINGS:
            able = words.listed(SQUARE_SETTINGS, "and")
            yield f"jig.settings.{name}.measured", words.SQUARE_ALONE.format(names=able)
