"""The tubes of a spec: one class a kind of tube, each with the keys that mean something for it.

    SeatTube     faced at its top
    MainTube     top and down tube: mitred at both ends
    HeadTube     round, with a top and a bottom diameter, faced at both ends
    Stay         may be bent; its thin end is at the axle

A key of the contract that a kind of tube cannot have is refused with what to write instead, rather than
read and not used. Ranges are wide enough for anything a builder would make and narrow enough to
catch a slipped digit or a wrong unit (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator, Field, GetJsonSchemaHandler, ValidationError, model_validator
from pydantic_core import InitErrorDetails, PydanticOmit

from layout.spec.block import SpecBlock, block, rows
from layout.spec.values import Code, Quantity, QuarterOrAngle, Reader, refused

_WALL = Quantity("wall thickness", 0.3, 6.0)
_BUTT = Quantity("length of a butt from the tube's end", 0.0, 500.0)
_STATION = Quantity("distance along the tube from its first end", 0.0, 900.0)
_OVAL = Quantity("width or height of an oval", 6.0, 80.0)
_FACING = (0.0, 20.0)
_DIAMETER = "outside diameter"


@dataclass(frozen=True)
class Meaningless(Reader):
    """A key that this kind of tube cannot have: refused with `meaning`, and not in the schema."""

    def read(self, value: Any) -> Any:
        """Nothing: whatever is written is refused."""
        raise refused("type", self.meaning)

    def __get_pydantic_json_schema__(
        self, _schema: Any, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        raise PydanticOmit


@dataclass(frozen=True)
class Slip:
    """What is wrong with the key at `path` below a tube's block."""

    path: tuple[str | int, ...]
    code: Code
    message: str


_HEAD_ALONE = Meaningless(
    "only a head tube has it; write diameter, and diameter_end for the second end where that differs"
)
_HEAD_ALONE_STAY = Meaningless("only a head tube has it; write diameter, and diameter_end for the axle end")
_STAYS_ALONE = Meaningless(
    "only stays may be bent: dimensions and drawing take this tube as straight; delete it"
)
_ROUND = Meaningless("a head tube is round; write diameter, or diameter_top and diameter_bottom")
_HEAD_ENDS = Meaningless("a head tube's ends are its top and bottom; write diameter_top and diameter_bottom")
_MITRED = Meaningless(
    "no end of this tube is faced, both its ends are mitred; what mitring takes is added anyway: delete it"
)
_NOT_FACED = Meaningless(
    "no end of a stay is faced, one is mitred and one goes to the dropout; what mitring takes is added "
    "anyway: delete it"
)


class BendRow(SpecBlock):
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


class TubeBlock(SpecBlock):
    """One tube; both stays of a pair are alike."""

    tapers_by: ClassVar[tuple[str, ...]] = ("diameter_end",)
    """Keys any of which says what a taper goes to; none where there is a default."""

    diameter: Annotated[
        float | None,
        Quantity(f"{_DIAMETER}; of a tapered tube at its thick end, of an oval before ovalling", 8.0, 80.0),
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
    bends: Annotated[tuple[BendRow, ...], BeforeValidator(rows)] = Field(
        (), description="bends, from the first end on"
    )
    diameter_top: Annotated[float | None, Quantity(f"{_DIAMETER} at a head tube's top", 20.0, 80.0)] = None
    diameter_bottom: Annotated[
        float | None, Quantity(f"{_DIAMETER} at a head tube's bottom", 20.0, 80.0)
    ] = None
    facing_allowance: Annotated[
        float | None, Quantity("extra length at each end, removed by facing", *_FACING)
    ] = None

    @model_validator(mode="after")
    def _sound(self) -> TubeBlock:
        if self.wall is not None and self.walls is not None:
            raise refused("duplicate", "has wall and walls, which say the same thing twice: keep one of them")
        found = list(self._slips())
        if found:
            title = type(self).__name__
            raise ValidationError.from_exception_data(title, [
                InitErrorDetails(type=refused(s.code, s.message), loc=s.path, input=None) for s in found
            ])  # fmt: skip
        return self

    def _slips(self) -> Iterator[Slip]:
        """Orders and sizes that cannot be, and keys without the one that gives them a meaning."""
        yield from self._wall_slips()
        if self.taper is not None and self.taper[0] > self.taper[1]:
            start, end = self.taper
            said = f"is [{start:g}, {end:g}]; where it begins comes first: write [{end:g}, {start:g}]"
            yield Slip(("taper",), "range", said)
        if self.taper is not None and self.tapers_by and not self._has(self.tapers_by):
            yield Slip(("taper",), "type", f"leads to no other size: give {' or '.join(self.tapers_by)} too")
        if self.turned is not None and self.section is None:
            yield Slip(("turned",), "type", "turns an oval, and this tube is round: give its section too")
        for k, (before, bend) in enumerate(pairwise(self.bends), 1):
            if bend.at < before.at:
                said = f"is {bend.at:g}, before the bend at {before.at:g}: write them from the first end on"
                yield Slip(("bends", k, "at"), "range", said)

    def _wall_slips(self) -> Iterator[Slip]:
        key, walls = ("wall", (self.wall,)) if self.walls is None else ("walls", self.walls)
        thickest = max(w or 0.0 for w in walls)
        thinnest = min(self._sizes(), default=None)
        if thinnest is not None and thickest >= thinnest / 2:
            said = f"is {thickest:g}; it must be less than half of {thinnest:g}, the least size outside"
            yield Slip((key,), "range", said)
        if self.walls is not None and self.walls[1] > max(self.walls[0], self.walls[2]):
            said = f"has {self.walls[1]:g} between two that are less; the middle one is the thinnest"
            yield Slip(("walls",), "range", said)
        if self.butts is not None and self.walls is None:
            said = "are lengths of thicker wall: give walls: [first, middle, second] too"
            yield Slip(("butts",), "type", said)

    def _has(self, keys: tuple[str, ...]) -> bool:
        return any(getattr(self, key) is not None for key in keys)

    def _sizes(self) -> list[float]:
        """Every size outside that is written; of an oval its own, not those of the tube it was made from."""
        across = (self.diameter,) if self.section is None else self.section
        ends = (self.diameter_end, self.diameter_top, self.diameter_bottom)
        return [size for size in (*across, *ends) if size is not None]


class MainTube(TubeBlock):
    """Top or down tube."""

    bends: Annotated[tuple[()], _STAYS_ALONE] = ()
    diameter_top: Annotated[None, _HEAD_ALONE] = None
    diameter_bottom: Annotated[None, _HEAD_ALONE] = None
    facing_allowance: Annotated[None, _MITRED] = None


class SeatTube(TubeBlock):
    """The seat tube."""

    bends: Annotated[tuple[()], _STAYS_ALONE] = ()
    diameter_top: Annotated[None, _HEAD_ALONE] = None
    diameter_bottom: Annotated[None, _HEAD_ALONE] = None
    facing_allowance: Annotated[
        float | None, Quantity("extra length at the top, removed by facing", *_FACING)
    ] = None


class HeadTube(TubeBlock):
    """The head tube; its first end is the bottom."""

    tapers_by: ClassVar[tuple[str, ...]] = ("diameter_bottom", "diameter_top")

    diameter_end: Annotated[None, _HEAD_ENDS] = None
    section: Annotated[None, _ROUND] = None
    turned: Annotated[None, _ROUND] = None
    bends: Annotated[tuple[()], _STAYS_ALONE] = ()

    def _slips(self) -> Iterator[Slip]:
        yield from super()._slips()
        if None not in (self.diameter, self.diameter_top, self.diameter_bottom):
            said = "is given beside diameter_top and diameter_bottom, which say it all: keep those or this"
            yield Slip(("diameter",), "duplicate", said)


class Stay(TubeBlock):
    """A pair of stays."""

    tapers_by: ClassVar[tuple[str, ...]] = ()

    diameter_top: Annotated[None, _HEAD_ALONE_STAY] = None
    diameter_bottom: Annotated[None, _HEAD_ALONE_STAY] = None
    facing_allowance: Annotated[None, _NOT_FACED] = None

    def _slips(self) -> Iterator[Slip]:
        yield from super()._slips()
        thick, thin = self.diameter, self.diameter_end
        if self.section is None and thick is not None and thin is not None and thin > thick:
            said = f"is {thin:g}, more than the diameter, {thick:g}; it is that of the thin end, at the axle"
            yield Slip(("diameter_end",), "range", f"{said}: write the two the other way round")


class Tubes(SpecBlock):
    """Outside sizes; what is left out is a stated default."""

    seat_tube: SeatTube = block()
    top_tube: MainTube = block()
    down_tube: MainTube = block()
    head_tube: HeadTube = block()
    chain_stay: Stay = block()
    seat_stay: Stay = block()
