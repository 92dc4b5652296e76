"""The blocks that describe parts: shell, rear end, tubes and fittings.

Ranges are wide enough for anything a builder would make and narrow enough to catch a
slipped digit or a wrong unit (common practice).
"""

from typing import Annotated, Self

from pydantic import Field, model_validator

from layout.geometry.space.roles import ROLES, WRITTEN
from layout.spec import words
from layout.spec.block import SpecBlock, block
from layout.spec.standards import SHELL_HINTS, SHELLS
from layout.spec.text import shown
from layout.spec.tubes import TubeBlock, Tubes
from layout.spec.values import OneOf, Quantity, Whole, refused

__all__ = [
    "MOST_FITTINGS", "BottomBracket", "Drivetrain", "Dropout", "DropoutStay", "FittingRow", "RearEndBlock",
    "TubeBlock", "Tubes", "not_too_many",
]  # fmt: skip

FITTING_KINDS = ("boss", "bridge", "guide", "hanger", "brake_mount", "vent", "port")
SIZED = ("vent", "port", "bridge", "boss", "brake_mount")
FITTING_HINTS = (
    *((word, words.RACK_MOUNT) for word in ("rack", "rack_mount", "mudguard", "mudguard_mount", "eyelet")),
    *((word, words.DID_YOU_MEAN.format(names="brake_mount")) for word in ("brake", "stud", "caliper")),
)
BRIDGED = tuple(role.name for role in WRITTEN if role.bridge)
FITTING_SIDES = ("up", "down", "front", "back", "left", "right")

_DIAMETER = "outside diameter"
_INSET = (-20.0, 120.0)
_OFF = (-60.0, 60.0)


class BottomBracket(SpecBlock):
    """The shell: a standard one by name, or measured."""

    shell: Annotated[
        str | None, OneOf("standard shell, by thread and width", tuple(SHELLS), SHELL_HINTS)
    ] = None
    width: Annotated[float | None, Quantity("width of the shell along its axis", 40.0, 140.0)] = None
    diameter: Annotated[float | None, Quantity(f"{_DIAMETER} of the shell", 30.0, 80.0)] = None


class DropoutStay(SpecBlock):
    """Where one pair of stays ends at the dropouts."""

    from_axle: Annotated[
        float | None,
        Quantity("from where the stay's axis passes the axle to its end; the inset if left out", *_INSET),
    ] = None
    off: Annotated[
        float | None,
        Quantity("how far from the axle the stay's axis passes: chain stay above, seat stay ahead", *_OFF),
    ] = None


class Dropout(SpecBlock):
    """Where the stays meet the dropouts."""

    thickness: Annotated[float | None, Quantity("thickness of the dropout", 2.0, 30.0)] = None
    inset: Annotated[float | None, Quantity("from the axle to the end of both stays", *_INSET)] = None
    slot: Annotated[float | None, Quantity("width of the axle's slot", 5.0, 20.0)] = None
    chain_stay: DropoutStay = block()
    seat_stay: DropoutStay = block()


class Rotor(SpecBlock):
    """A disc brake's rotor on the left."""

    diameter: Annotated[float | None, Quantity("the rotor's diameter", 100.0, 260.0)] = None
    thickness: Annotated[float | None, Quantity("the rotor's thickness", 1.0, 6.0)] = None
    from_face: Annotated[
        float | None, Quantity("from the dropout's inner face to the rotor's outer face", 0.0, 60.0)
    ] = None

    @model_validator(mode="after")
    def _of_a_size(self) -> Self:
        if self.diameter is None and (self.thickness is not None or self.from_face is not None):
            raise refused("type", words.NO_ROTOR)
        return self


class RearEndBlock(SpecBlock):
    """Hub spacing, dropouts and how the stays attach."""

    spacing: Annotated[float | None, Quantity("over-locknut spacing of the rear hub", 80.0, 220.0)] = None
    axle: Annotated[float | None, Quantity("diameter of the axle", 5.0, 20.0)] = None
    dropout: Dropout = block()
    stay_spacing_at_shell: Annotated[
        float | None, Quantity("distance between the chain stays' axes at the shell", 20.0, 140.0)
    ] = None
    stay_spacing_at_top: Annotated[
        float | None, Quantity("distance between the seat stays' axes at their tops", 8.0, 140.0)
    ] = None
    seat_stay_mount: Annotated[
        str | None, OneOf("where the seat stays meet the seat tube", ("side", "back", "single"))
    ] = None

    rotor: Rotor = block()

    @model_validator(mode="after")
    def _spaced_where_apart(self) -> Self:
        if self.stay_spacing_at_top is not None and self.seat_stay_mount == "single":
            raise refused("type", words.ON_SINGLE_TUBE)
        return self


class Drivetrain(SpecBlock):
    """What the right chain stay must clear."""

    chainline: Annotated[float | None, Quantity("from the mid-plane to the chainring", 30.0, 90.0)] = None
    chainring_teeth: Annotated[int | None, Whole("largest chainring", 16, 70, "teeth")] = None
    crank_clearance: Annotated[
        float | None, Quantity("from the mid-plane to the inner face of the crank's end", 40.0, 110.0)
    ] = None


_PORT = Quantity("a port's size along the tube or round it", 2.0, 120.0)


MOST_FITTINGS = 100
"""Fittings of one frame; more is a slip of the pen, and would be drawn for long."""


class FittingRow(SpecBlock):
    """A fitting, placed along its tube from one of the tube's ends."""

    kind: Annotated[str, OneOf("what it is", FITTING_KINDS, FITTING_HINTS)]
    tube: Annotated[str, OneOf("the tube it sits on", tuple(r.name for r in WRITTEN))]
    at: Annotated[float, Quantity("distance along the tube", -100.0, 900.0)]
    origin: Annotated[
        str | None,
        OneOf(
            "the end it is measured from (default: the tube's first end)",
            ("bb", "seat", "head", "axle", "bottom", "top"),
        ),
    ] = Field(None, alias="from")
    side: Annotated[str | None, OneOf("the side of the tube it is on", FITTING_SIDES)] = None
    diameter: Annotated[
        float | None,
        Quantity(
            "diameter of a vent, a round port or a bridge; of the hole for a boss or brake mount", 1.0, 40.0
        ),
    ] = None
    size: tuple[Annotated[float, _PORT], Annotated[float, _PORT]] | None = Field(
        None, description="a port's size along the tube and round it, mm"
    )
    radius: Annotated[
        float | None, Quantity("radius of a curved bridge, which bows away from the axle", 10.0, 2000.0)
    ] = None

    @model_validator(mode="after")
    def _end_of_its_tube(self) -> Self:
        ends = ROLES[self.tube].end_words
        if self.origin is not None and self.origin not in ends:
            said = words.NO_END.format(text=shown(self.origin), tube=self.tube, ends=words.listed(ends))
            raise refused("type", said)
        if self.kind == "bridge" and self.tube not in BRIDGED:
            raise refused("type", words.NO_BRIDGE.format(tube=self.tube, tubes=words.listed(BRIDGED)))
        return self

    @model_validator(mode="after")
    def _sized_as_its_kind(self) -> Self:
        if self.size is not None and self.kind != "port":
            raise refused("type", words.NO_SIZE.format(kind=self.kind))
        if self.diameter is not None and self.kind not in SIZED:
            kinds = words.listed(SIZED)
            raise refused("type", words.NO_DIAMETER.format(kind=self.kind, kinds=kinds))
        if self.radius is not None and self.kind != "bridge":
            raise refused("type", words.NO_RADIUS.format(kind=self.kind))
        if self.kind == "port" and (self.size is None) == (self.diameter is None):
            raise refused("type", words.PORT_SIZE)
        return self


def not_too_many(fittings: tuple[FittingRow, ...]) -> tuple[FittingRow, ...]:
    """The fittings. Raises where there are more than MOST_FITTINGS."""
    if len(fittings) > MOST_FITTINGS:
        raise refused("range", words.FITTINGS_MOST.format(count=len(fittings), most=MOST_FITTINGS))
    return fittings
