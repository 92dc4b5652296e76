"""The block that describes fixture plates: their material, the hardware, what the supplier can cut.

Values are None where nothing is written; the defaults, and where they come from, are in
geometry/plates/process.py.
"""

from typing import Annotated

from pydantic import BeforeValidator, Field, field_validator

from layout.geometry.plates.process import BOLT_SIZES, bolt
from layout.spec import words
from layout.spec.block import SpecBlock, rows
from layout.spec.values import OneOf, Quantity, Words, refused

PLATE_PARTS = (
    "base",
    "bb_post",
    "axle_post",
    "head_cradles",
    "seat_cradles",
    "down_cradles",
    "top_cradles",
    "length_bars",
    "angle_gauges",
    "mitre_gauges",
)
"""What can be chosen: each name stands for one part or for a few that belong together."""
ASKED_PARTS = ("dropouts",)
"""Made only where they are chosen by name."""
PARTS = (*PLATE_PARTS, *ASKED_PARTS)
BASES = ("single", "pair")

_SIDE = Quantity("one side of a stock sheet", 100.0, 6000.0)


class Plates(SpecBlock):
    """Fixture plates to have cut; all parts with stated defaults where it is left out."""

    thickness: Annotated[
        float | None, Quantity("thickness of the plate, all parts alike (default 6)", 1.0, 40.0)
    ] = None
    material: Annotated[
        str | None, Words("the plate's material, as the supplier calls it (default steel S235)")
    ] = None
    density: Annotated[
        float | None,
        Quantity("the material's density (default: known for steel and aluminium)", 0.5, 20.0, "kg/dm3"),
    ] = None
    bolt: Annotated[
        float | None,
        Quantity(f"nominal diameter of the bolts, one of {BOLT_SIZES} (default: by thickness)", 2.0, 30.0),
    ] = None
    dowel: Annotated[
        float | None, Quantity("diameter of the dowels (default: by the thickness)", 2.0, 30.0)
    ] = None
    parts: Annotated[
        tuple[Annotated[str, OneOf("a part, or a few that belong together", PARTS)], ...],
        BeforeValidator(rows),
    ] = Field((), description="which parts to make (default: all but dropouts)")
    base: Annotated[
        str | None, OneOf("the base in one part, or in a pair that is bolted together", BASES)
    ] = None
    height: Annotated[
        float | None, Quantity("the tubes' common centreline height above the base", 20.0, 400.0)
    ] = None
    clearance: Annotated[
        float | None, Quantity("how much wider a cradle is than its tube (default 0.3)", 0.0, 3.0)
    ] = None
    fit: Annotated[
        float | None, Quantity("how much wider a slot is than the tab in it (default 0.2)", 0.0, 2.0)
    ] = None
    kerf: Annotated[
        float | None,
        Quantity("width of the cut; never drawn, the supplier compensates for it (default 0.2)", 0.0, 3.0),
    ] = None
    inner_radius: Annotated[
        float | None, Quantity("smallest inside radius that the process cuts (default 0.8)", 0.05, 10.0)
    ] = None
    smallest_hole: Annotated[
        float | None, Quantity("smallest hole or slot over the thickness (default 1.0)", 0.1, 5.0, "")
    ] = None
    smallest_web: Annotated[
        float | None, Quantity("least material between cuts over the thickness (default 1.0)", 0.1, 5.0, "")
    ] = None
    sheet: tuple[Annotated[float, _SIDE], Annotated[float, _SIDE]] | None = Field(
        None, description="sides of the stock sheet, mm (default 2000 x 1000)"
    )
    sheet_edge: Annotated[
        float | None, Quantity("left free along the stock sheet's edges (default 10)", 0.0, 100.0)
    ] = None
    part_spacing: Annotated[
        float | None, Quantity("left free between parts on the stock sheet (default 8)", 0.0, 100.0)
    ] = None
    heaviest: Annotated[
        float | None, Quantity("the heaviest part that is lifted by hand (default 25)", 1.0, 1000.0, "kg")
    ] = None

    @field_validator("bolt")
    @classmethod
    def _bolt_that_is_made(cls, value: float | None) -> float | None:
        if value is None:
            return None
        try:
            return bolt(value).diameter
        except ValueError as e:
            raise refused("range", words.NO_BOLT.format(size=value, sizes=e)) from e
