"""What the plates are made to: the spec's numbers, else the stated defaults, and which of them were taken."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from layout.errors import Fault, PlateError
from layout.geometry.plates import process as standard
from layout.geometry.plates.process import BOLTS, Bolt, Process, bolt, density_of
from layout.geometry.space.form import THROUGH_AXLE
from layout.spec.load import FrameSpec
from layout.spec.plates import PLATE_PARTS, Plates

AXLE = 10.0
AXLE_THROUGH = 12.0
"""The rear axle where the spec names none: 10 drops in, hubs of 142 or more have 12 through; common
practice."""
THROUGH_SPACING = 142.0
DOWELS = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0)
"""Diameters of parallel pins (ISO 2338, from memory)."""
LEAST_BOLT = 6.0
"""Smaller bolts strip when a frame is clamped hot, common practice."""


class Number(NamedTuple):
    """One number as people read it: its key, its value, whether it was given."""

    key: str
    value: str
    unit: str
    given: bool


class Settings(NamedTuple):
    """The process, which parts, the base's form if it is said, the rear axle's diameter, and every number."""

    process: Process
    parts: tuple[str, ...]
    base: str | None
    axle: float
    numbers: tuple[Number, ...]


def settings(spec: FrameSpec, spacing: float) -> Settings:
    """The settings of a spec; `spacing` is the rear hub's, mm.

    Raises PlateError where the material's density is not known.
    """
    written = spec.spec.plates
    material = written.material or standard.MATERIAL
    density = written.density or density_of(material)
    if density is None:
        message = (
            f"no density is known for {material!r}. Add plates.density in kg/dm3, or a material with steel, "
            f"stainless or aluminium in its name."
        )
        raise PlateError(Fault(message, "range", "plates.material").located(*spec.place("plates.material")))
    process = _process(written, material, density)
    axle = spec.spec.rear_end.axle
    through = spacing >= THROUGH_SPACING or (axle is not None and axle >= THROUGH_AXLE)
    found = axle or (AXLE_THROUGH if through else AXLE)
    return Settings(
        process,
        written.parts or PLATE_PARTS,
        written.base,
        found,
        numbers=tuple(_numbers(written, process, spec.spec.rear_end.axle, found)),
    )


def _process(written: Plates, material: str, density: float) -> Process:
    t = _or(written.thickness, standard.THICKNESS)
    hole = _or(written.smallest_hole, standard.SMALLEST_HOLE)
    return Process(
        thickness=t,
        material=material,
        density=density,
        bolt=_default_bolt(t * hole) if written.bolt is None else bolt(written.bolt),
        dowel=_or(written.dowel, _default_dowel(t * hole)),
        height=written.height,
        clearance=_or(written.clearance, standard.CLEARANCE),
        fit=_or(written.fit, standard.FIT),
        kerf=_or(written.kerf, standard.KERF),
        inner_radius=_or(
            written.inner_radius, min(standard.INNER_RADIUS, standard.INNER_RADIUS_OVER_THICKNESS * t)
        ),
        smallest_hole=hole,
        smallest_web=_or(written.smallest_web, standard.SMALLEST_WEB),
        sheet=written.sheet or standard.SHEET,
        sheet_edge=_or(written.sheet_edge, standard.SHEET_EDGE),
        part_spacing=_or(written.part_spacing, standard.PART_SPACING),
        heaviest=_or(written.heaviest, standard.HEAVIEST),
    )


def _or(written: float | None, default: float) -> float:
    return default if written is None else written


def _default_bolt(least_hole: float) -> Bolt:
    """The smallest bolt whose clearance hole the process cuts; the largest there is where none does."""
    return next((b for b in BOLTS if b.diameter >= LEAST_BOLT and b.hole >= least_hole), BOLTS[-1])


def _default_dowel(least_hole: float) -> float:
    return next((d for d in DOWELS if d >= max(least_hole, LEAST_BOLT)), max(DOWELS))


def _numbers(written: Plates, p: Process, axle: float | None, found: float) -> Iterator[Number]:
    """Every number with whether the spec gave it, in the order of the drawing's table."""

    def number(key: str, value: str, unit: str = "mm") -> Number:
        return Number(key, value, unit, getattr(written, key) is not None)

    yield number("material", p.material, "")
    yield number("density", f"{p.density:g}", "kg/dm3")
    yield number("thickness", f"{p.thickness:g}")
    yield number("bolt", f"M{p.bolt.diameter:g}")
    yield number("dowel", f"{p.dowel:g}")
    yield Number("rear_end.axle", f"{found:g}", "mm", axle is not None)
    yield number("clearance", f"{p.clearance:g}")
    yield number("fit", f"{p.fit:g}")
    yield number("kerf", f"{p.kerf:g}")
    yield number("inner_radius", f"{p.inner_radius:g}")
    yield number("smallest_hole", f"{p.smallest_hole:g}", "x thickness")
    yield number("smallest_web", f"{p.smallest_web:g}", "x thickness")
    yield number("sheet", f"{p.sheet[0]:g} x {p.sheet[1]:g}")
    yield number("sheet_edge", f"{p.sheet_edge:g}")
    yield number("part_spacing", f"{p.part_spacing:g}")
    yield number("heaviest", f"{p.heaviest:g}", "kg")
