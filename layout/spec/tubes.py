"""The tubes of a spec: one class a kind of tube, each with the keys that mean something for it.

    SeatTube     faced at its top
    MainTube     top and down tube: mitred at both ends
    HeadTube     round, with a top and a bottom diameter, faced at both ends
    Stay         may be bent; its thin end is at the axle

A key that a kind of tube cannot have is refused with what to write instead, rather than
read and not used. Ranges are wide enough for anything a builder would make and narrow enough to
catch a slipped digit or a wrong unit (common practice).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Any, ClassVar, NamedTuple, Self

from pydantic import BeforeValidator, Field, GetJsonSchemaHandler, ValidationError, model_validator
from pydantic_core import InitErrorDetails, PydanticOmit

from layout.spec import words
from layout.spec.block import SpecBlock, block, rows
from layout.spec.values import Code, OneOf, Quantity, QuarterOrAngle, Reader, refused

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


class Slip(NamedTuple):
    """What is wrong with the key at `path` below a tube's block."""

    path: tuple[str | int, ...]
    code: Code
    message: str


_HEAD_ALONE = Meaningless(words.HEAD_ALONE)
_HEAD_ALONE_STAY = Meaningless(words.HEAD_ALONE_STAY)
_STAYS_ALONE = Meaningless(words.STAYS_ALONE)
_ROUND = Meaningless(words.ROUND)
_HEAD_ENDS = Meaningless(words.HEAD_ENDS)
_MITRED = Meaningless(words.MITRED)
_NOT_FACED = Meaningless(words.NOT_FACED)
_STAYS_DIMPLED = Meaningless(words.STAYS_DIMPLED)
_SEAT_ALONE = Meaningless(words.SEAT_ALONE)
_NO_LUG = Meaningless(words.NO_LUG)


@dataclass(frozen=True)
class EachEnd(Reader):
    """One length for both ends of a tube, or [first, second]; 0 is none there."""

    high: float = 0.0

    @property
    def one(self) -> Quantity:
        """One of the two."""
        return Quantity(self.meaning, 0.0, self.high)

    def read(self, value: Any) -> tuple[float, float]:
        """Both lengths."""
        if isinstance(value, list | tuple) and len(value) == 2:
            return self.one.read(value[0]), self.one.read(value[1])
        found = self.one.read(value)
        return found, found

    def json_schema(self) -> dict[str, Any]:
        """A length, or two."""
        one = self.one.json_schema()
        two = {"type": "array", "items": one, "minItems": 2, "maxItems": 2}
        return {"anyOf": [one, two], "description": f"{self.meaning}, or [first, second], mm"}


class Collar(SpecBlock):
    """What holds the seat post."""

    kind: Annotated[
        str | None, OneOf("a collar clamped on, or a sleeve brazed on", ("sleeve", "collar"))
    ] = None
    slot: Annotated[float | None, Quantity("length of the slot from the tube's top", 10.0, 120.0)] = None
    insertion: Annotated[
        float | None, Quantity("least length of the post in the tube, from its maker", 30.0, 250.0)
    ] = None


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


class DimpleRow(SpecBlock):
    """One dimple of a stay, pressed in by a bar across it."""

    at: Annotated[float, _STATION]
    length: Annotated[float, Quantity("length of the dimple along the tube", 5.0, 200.0)]
    depth: Annotated[float, Quantity("depth of the dimple at its middle", 0.2, 12.0)]
    plane: Annotated[
        float,
        Quantity(
            "the side that it is pressed in from, about the tube's axis from its reference line",
            -180.0, 360.0, "degrees",
        ),
    ] = 90.0  # fmt: skip


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
    dimples: Annotated[tuple[DimpleRow, ...], BeforeValidator(rows)] = Field(
        (), description="dimples for tyre, chainring or crank"
    )
    diameter_top: Annotated[float | None, Quantity(f"{_DIAMETER} at a head tube's top", 20.0, 80.0)] = None
    diameter_bottom: Annotated[
        float | None, Quantity(f"{_DIAMETER} at a head tube's bottom", 20.0, 80.0)
    ] = None
    facing_allowance: Annotated[
        float | None, Quantity("extra length at each end, removed by facing", *_FACING)
    ] = None
    lug: Annotated[
        tuple[float, float] | None, EachEnd("length of the lug or socket from the tube's long point", 150.0)
    ] = None
    collar: Annotated[Collar | None, _SEAT_ALONE] = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.wall is not None and self.walls is not None:
            raise refused("duplicate", words.WALL_TWICE)
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
            first, second = self.taper
            yield Slip(("taper",), "range", words.TAPER_ORDER.format(first=first, second=second))
        if self.taper is not None and self.tapers_by and not self._has(self.tapers_by):
            yield Slip(("taper",), "type", words.TAPER_ALONE.format(keys=words.listed(self.tapers_by)))
        if self.turned is not None and self.section is None:
            yield Slip(("turned",), "type", words.TURNED_ALONE)
        for k, (before, bend) in enumerate(pairwise(self.bends), 1):
            if bend.at < before.at:
                said = words.BEND_ORDER.format(at=bend.at, before=before.at)
                yield Slip(("bends", k, "at"), "range", said)

    def _wall_slips(self) -> Iterator[Slip]:
        key, walls = ("wall", (self.wall,)) if self.walls is None else ("walls", self.walls)
        thickest = max(w or 0.0 for w in walls)
        thinnest = min(self._sizes(), default=None)
        if thinnest is not None and thickest >= thinnest / 2:
            yield Slip((key,), "range", words.WALL_THICK.format(wall=thickest, size=thinnest))
        if self.walls is not None and self.walls[1] > max(self.walls[0], self.walls[2]):
            yield Slip(("walls",), "range", words.WALL_MIDDLE.format(wall=self.walls[1]))
        if self.butts is not None and self.walls is None:
            yield Slip(("butts",), "type", words.BUTTS_ALONE)

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
    dimples: Annotated[tuple[()], _STAYS_DIMPLED] = ()
    diameter_top: Annotated[None, _HEAD_ALONE] = None
    diameter_bottom: Annotated[None, _HEAD_ALONE] = None
    facing_allowance: Annotated[None, _MITRED] = None


class SeatTube(TubeBlock):
    """The seat tube."""

    bends: Annotated[tuple[()], _STAYS_ALONE] = ()
    dimples: Annotated[tuple[()], _STAYS_DIMPLED] = ()
    diameter_top: Annotated[None, _HEAD_ALONE] = None
    diameter_bottom: Annotated[None, _HEAD_ALONE] = None
    facing_allowance: Annotated[
        float | None, Quantity("extra length at the top, removed by facing", *_FACING)
    ] = None
    collar: Collar = block()


class HeadTube(TubeBlock):
    """The head tube; its first end is the bottom."""

    tapers_by: ClassVar[tuple[str, ...]] = ("diameter_bottom", "diameter_top")

    diameter_end: Annotated[None, _HEAD_ENDS] = None
    section: Annotated[None, _ROUND] = None
    lug: Annotated[None, _NO_LUG] = None
    turned: Annotated[None, _ROUND] = None
    bends: Annotated[tuple[()], _STAYS_ALONE] = ()
    dimples: Annotated[tuple[()], _STAYS_DIMPLED] = ()

    def _slips(self) -> Iterator[Slip]:
        yield from super()._slips()
        if None not in (self.diameter, self.diameter_top, self.diameter_bottom):
            yield Slip(("diameter",), "duplicate", words.HEAD_DIAMETERS)


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
            yield Slip(("diameter_end",), "range", words.STAY_ENDS.format(thin=thin, thick=thick))


class Tubes(SpecBlock):
    """Outside sizes; what is left out is a stated default."""

    seat_tube: SeatTube = block()
    top_tube: MainTube = block()
    down_tube: MainTube = block()
    head_tube: HeadTube = block()
    chain_stay: Stay = block()
    seat_stay: Stay = block()
