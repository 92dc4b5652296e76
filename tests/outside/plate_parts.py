"""Plates for the checks against independent programs: every demo, and a frame of no usual shape."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from layout.bench.plates.fixture import Fixture
from layout.bench.plates.parts import fixture
from layout.bench.plates.settings import settings
from layout.frame.solve import Frame, solve
from layout.geometry.plates.plate import Plate
from layout.geometry.space.frame import SpaceFrame
from layout.spec.load import loads
from layout.writers.dxf import plate as plate_dxf

DEMOS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))

UNUSUAL = """
# Steep seat tube, tapered head tube, small wheels, a base in two parts of thicker plate.
geometry:
  bb_drop: -12
  rear_centre: 365
  front_centre: 640
  head_angle: 70
  seat_angle: 81
  head_tube_length: 118
  seat_tube_length: 430
fork: {axle_to_crown: 330, offset: 38}
wheels: {front: 50-406, rear: 50-406}
rear_end: {spacing: 148, axle: 12}
tubes:
  seat_tube: {diameter: 34.9}
  top_tube: {diameter: 31.8}
  down_tube: {diameter: 38.1}
  head_tube: {diameter_top: 46, diameter_bottom: 60}
drawing: {heading: left}
plates: {thickness: 8, base: pair, material: aluminium 5083}
"""

NAMES = [*(p.stem for p in DEMOS), "unusual"]


@dataclass(frozen=True)
class Made:
    """One frame's fixture, and where it came from."""

    frame: Frame
    space: SpaceFrame
    fixture: Fixture


@cache
def made(name: str) -> Made:
    text = UNUSUAL if name == "unusual" else next(p for p in DEMOS if p.stem == name).read_text("utf-8")
    spec = loads(text, name)
    frame = solve(spec)
    space = frame.space
    return Made(frame, space, fixture(frame, settings(spec, space.rear.spacing)))


@cache
def _folder() -> Path:
    """A folder for the files, removed when Python ends."""
    folder = Path(tempfile.mkdtemp(prefix="layout-plates-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


@cache
def written(name: str) -> dict[str, tuple[Path, Plate, tuple[float, float]]]:
    """Every part's file, the part, and how far it was moved into the positive quadrant."""
    found = {}
    for plate in made(name).fixture.plates:
        path = _folder() / f"{name}-{plate.name}.dxf"
        cornered, by = plate.in_corner()
        plate_dxf.write(cornered, path)
        found[plate.name] = (path, plate, by)
    return found
