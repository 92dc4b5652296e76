"""The blocks that describe parts: shell, rear end, tubes and fittings.

Ranges are wide enough for anything a builder would make and narrow enough to catch a
slipped digit or a wrong unit (common practice).
"""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field, model_validator

from layout.geometry.space.ends import TUBE_ENDS
from layout.spec.block import Block, block, rows
from layout.spec.standards import SHELLS
from layout.spec.text import shown
from layout.spec.values import OneOf, Quantity, QuarterOrAngle, Whole, refused

FITTING_KINDS = ("boss", "bridge", "guide", "hanger", "brake_mount", "vent")
FITTING_SIDES = ("up", "down", "front", "back", "left", "right")

_WALL = Quantity("wall thickness", 0.3, 6.0)
_BUTT = Quantity("length of a butt from the tube's end", 0.0, 500.0)
_STATION = Quantity("distance along the tube from its first end", 0.0, 900.0)
_OVAL = Quantity("width or height of an oval", 6.0, 80.0)
_DIAMETER = "outside diameter"


class BottomBracket(Block):
    """The shell: a standard one by name, or measured."""

    shell: Annotated[str | None, OneOf("standard shell, by thread and width", tuple(SHELLS))] = None
    width: Annotated[float | None, Quantity("width of the shell along its axis", 40.0, 140.0)] = None
    diameter: Annotated[float | None, Quantity(f"{_DIAMETER} of the shell", 30.0, 80.0)] = None


class Dropout(Block):
    """Where the stays meet the dropouts."""

    thickness: Annotated[float | None, Quantity("thickness of the dropout", 2.0, 30.0)] = None
    inset: Annotated[float | None, Quantity("from the axle to the end of the stay", -20.0, 120.0)] = None
    slot: Annotated[float | None, Quantity("width of the axle's slot", 5.0, 20.0)] = None


class RearEnd(Block):
    """Hub spacing, dropouts and how the stays attach."""

    spacing: Annotated[float | None, Quantity("over-locknut spacing of the rear hub", 80.0, 220.0)] = None
    axle: Annotated[float | None, Quantity("diameter of the axle", 5.0, 20.0)] = None
    dropout: Dropout = block()
    stay_spacing_at_shell: Annotated[
        float | None, Quantity("distance between the chain stays' axes at the shell", 20.0, 140.0)
    ] = None
    seat_stay_mount: Annotated[
        str | None, OneOf("where the seat stays meet the seat tube", ("side", "back", "single"))
    ] = None


class Drivetrain(Block):
    """What the right chain stay must clear."""

    chainline: Annotated[float | None, Quantity("from the mid-plane to the chainring", 30.0, 90.0)] = None
    chainring_teeth: Annotated[int | None, Whole("teeth of the largest chainring", 16, 70, "teeth")] = None
    crank_clearance: Annotated[
        float | None, Quantity("from the mid-plane to the inner face of the crank's end", 40.0, 110.0)
    ] = None


class Bend(Block):
    """One bend of a stay."""

    at: Annotated[float, _STATION]
    angle: Annotated[float, Quantity("how far the tube turns", -90.0, 90.0, "degrees")]
    plane: Annotated[
        float,
        Quantity(
            "where it turns to, about the tube's axis from its reference line", -180.0, 360.0, "degrees"
        ),
    ] = 0.0
    radius: Annotated[float | None, Quantity("bending radius of the tube's axis", 10.0, 2000.0)] = None


class Tube(Block):
    """One tube; both stays of a pair are alike."""

    diameter: Annotated[
        float | None, Quantity(f"{_DIAMETER}; of a tapered tube at its thick end", 8.0, 80.0)
    ] = None
    wall: Annotated[float | None, Quantity("wall thickness, the same all along", 0.3, 6.0)] = None
    walls: tuple[Annotated[float, _WALL], Annotated[float, _WALL], Annotated[float, _WALL]] | None = Field(
        None, description="wall thickness at the first end, in the middle, at the second end, mm"
    )
    butts: tuple[Annotated[float, _BUTT], Annotated[float, _BUTT]] | None = Field(
        None, description="lengths of the butts at the first and second end, mm"
    )
    diameter_end: Annotated[
        float | None,
        Quantity(f"{_DIAMETER} at the thin end: a stay's axle end, another tube's second end", 6.0, 80.0),
    ] = None
    taper: tuple[Annotated[float, _STATION], Annotated[float, _STATION]] | None = Field(
        None, description="where the taper begins and ends, from the tube's first end, mm"
    )
    section: tuple[Annotated[float, _OVAL], Annotated[float, _OVAL]] | None = Field(
        None, description="width and height of an oval section, mm"
    )
    turned: Annotated[
        float | None,
        QuarterOrAngle(
            "how far an oval is turned about the tube's axis; true is a quarter turn",
            -180.0,
            180.0,
            "degrees",
        ),
    ] = None
    bends: Annotated[tuple[Bend, ...], BeforeValidator(rows)] = Field(
        (), description="bends, from the first end on"
    )
    diameter_top: Annotated[float | None, Quantity(f"{_DIAMETER} at a head tube's top", 20.0, 80.0)] = None
    diameter_bottom: Annotated[float | None, Quantity(f"{_DIAMETER} at a head tube's bottom", 20.0, 80.0)] = (
        None
    )
    facing_allowance: Annotated[
        float | None, Quantity("extra length at each end, removed by facing", 0.0, 20.0)
    ] = None

    @model_validator(mode="after")
    def _one_wall(self) -> Tube:
        if self.wall is not None and self.walls is not None:
            raise refused("duplicate", "has wall and walls, which say the same thing twice: keep one of them")
        return self


class Tubes(Block):
    """Outside sizes; what is left out is a stated default."""

    seat_tube: Tube = block()
    top_tube: Tube = block()
    down_tube: Tube = block()
    head_tube: Tube = block()
    chain_stay: Tube = block()
    seat_stay: Tube = block()


class Fitting(Block):
    """A fitting, placed along its tube from one of the tube's ends."""

    kind: Annotated[str, OneOf("what it is", FITTING_KINDS)]
    tube: Annotated[str, OneOf("the tube it sits on", tuple(TUBE_ENDS))]
    at: Annotated[float, Quantity("distance along the tube", -100.0, 900.0)]
    origin: Annotated[
        str | None,
        OneOf(
            "the end it is measured from; the tube's first end where left out",
            ("bb", "seat", "head", "axle", "bottom", "top"),
        ),
    ] = Field(None, alias="from")
    side: Annotated[str | None, OneOf("the side of the tube it is on", FITTING_SIDES)] = None

    @model_validator(mode="after")
    def _end_of_its_tube(self) -> Fitting:
        ends = TUBE_ENDS[self.tube]
        if self.origin is not None and self.origin not in ends:
            raise refused(
                "type", f"from is {shown(self.origin)}; expected an end of {self.tube}: {' or '.join(ends)}"
            )
        return self
