"""Frames that several tests draw: the demo specs, and fifty generated ones from small to large."""

from __future__ import annotations

import ctypes
import os
import pickle
import random
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import hypothesis
import pytest

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(1, str(Path(__file__).parent / "geometry"))
sys.path.insert(2, str(Path(__file__).parent / "words"))

from studies import WHOLE

from layout.frame.solve import Frame, solve
from layout.geometry.space.frame import SpaceFrame
from layout.pipeline.draw import draw
from layout.pipeline.order import Order
from layout.pipeline.staged import one_at_a_time
from layout.report.written import Written
from layout.spec.load import FrameSpec, load, loads

SPECS = Path(__file__).parent.parent / "specs"
DEMOS = sorted(SPECS.glob("*.yaml"))
GENERATED = 50
TYRES = ("37-622", "25-622", "57-622", "47-584", "57-584", "50-559", "40-507", "44-451", "47-406")
"""From 29 to 20 inch wheels, by ISO 5775 marking."""


hypothesis.settings.register_profile("here", deadline=None)
hypothesis.settings.register_profile("ci", deadline=None, derandomize=True)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "here")
"""No deadline: a loaded machine is no fault. Where CI is set the same examples are tried every time."""


def kernel_is_there() -> bool:
    """Whether the solid modelling kernel can be loaded: it links to a library that a server may lack."""
    if find_spec("OCP") is None:
        return False
    try:
        ctypes.CDLL("libGL.so.1")
    except OSError:
        return sys.platform != "linux"
    return True


KERNEL_TESTS = [
    f"outside/test_{name}.py" for name in ("kernel_mitres", "kernel_gaps", "plates_solid")
]  # fmt: skip
collect_ignore = [] if os.environ.get("CI") or kernel_is_there() else KERNEL_TESTS
"""Without the kernel its checks are left out, but never where CI is set: there they must run."""


@cache
def spec_of(name: str) -> FrameSpec:
    if name.startswith("generated-"):
        return loads(generated_spec(int(name.rsplit("-", 1)[1])), f"{name}.yaml")
    return load(SPECS / f"{name}.yaml")


@cache
def frame_of(name: str) -> Frame:
    return solve(spec_of(name))


def generated_spec(index: int) -> str:
    """A spec of a frame of its own: 320 to 680 seat tubes, 60 to 76 degree heads, 20 to 29 inch wheels."""
    r = random.Random(index)
    size = index / (GENERATED - 1)
    seat_tube = 320 + 360 * size
    tyre = TYRES[index % len(TYRES)]
    front = TYRES[(index + 1) % len(TYRES)] if index % 7 == 3 else tyre
    small = TYRES.index(tyre) >= 6 or TYRES.index(front) >= 6
    lines = [
        f"job: {{title: Generated, number: G-{index}, date: 2024-01-01}}",
        "geometry:",
        f"  bb_drop: {r.uniform(-20, 30) if small else r.uniform(25, 80):.1f}",
        f"  rear_centre: {r.uniform(400, 470):.1f}",
        f"  front_centre: {r.uniform(590, 680) + 40 * size:.1f}",
        f"  head_angle: {60 + 16 * r.random():.2f}",
        f"  seat_angle: {r.uniform(70, 77):.2f}",
        f"  head_tube_length: {90 + 130 * size + r.uniform(-10, 10):.1f}",
        f"  seat_tube_length: {seat_tube:.1f}",
        f"fork: {{axle_to_crown: {r.uniform(360, 430):.1f}, offset: {r.uniform(38, 60):.1f}}}",
        f"wheels: {{rear: '{tyre}', front: '{front}'}}",
        f"rider: {{crank_length: {r.choice([150, 165, 172.5])}}}",
    ]
    if index % 5 == 4:
        lines.append("drawing: {heading: left}")
    return "\n".join(lines) + "\n"


def every_frame() -> list[str]:
    """The demos, and of the fifty generated frames nine, or all where WHOLE_STUDIES is set."""
    generated = range(GENERATED) if WHOLE else range(1, GENERATED, 6)
    return [p.stem for p in DEMOS] + [f"generated-{k}" for k in generated]


@pytest.fixture(params=every_frame())
def frame_name(request: pytest.FixtureRequest) -> str:
    name: str = request.param
    return name


@pytest.fixture
def frame(frame_name: str) -> Frame:
    """Each of the six demos and of the generated frames in turn."""
    return frame_of(frame_name)


@pytest.fixture(scope="session")
def frame_named() -> Callable[[str], Frame]:
    """The frame of a name: of a demo, or generated-N."""
    return frame_of


@pytest.fixture
def space(frame_name: str) -> SpaceFrame:
    """The tubes of the same frame in space."""
    return frame_of(frame_name).space


@pytest.fixture(params=[p.stem for p in DEMOS])
def demo_name(request: pytest.FixtureRequest) -> str:
    name: str = request.param
    return name


@pytest.fixture
def demo_frame(demo_name: str) -> Frame:
    """Each of the six demos in turn."""
    return frame_of(demo_name)


@pytest.fixture(params=[p.stem for p in DEMOS] if WHOLE else ["track"])
def some_frame(request: pytest.FixtureRequest) -> Frame:
    """One demo, for what does not rest on the frame; all six where WHOLE_STUDIES is set."""
    return frame_of(request.param)


@dataclass(frozen=True)
class Drawn:
    """What `draw` makes of a frame where nothing is asked for, under the name `frame`; only to be read."""

    folder: Path
    written: Written

    def path(self, form: str, kind: str = "drawing") -> Path:
        """The file of a format and a kind."""
        return next(Path(f.path) for f in self.written.files if (f.format, f.kind) == (form, kind))


@pytest.fixture(scope="session")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Drawn]:
    """The files of a frame by its name, drawn once for all processes that run tests beside each other."""
    here = tmp_path_factory.getbasetemp()
    shared = here.parent if "PYTEST_XDIST_WORKER" in os.environ else here

    def files_of(name: str) -> Drawn:
        folder, told = shared / f"drawn-{name}", shared / f"drawn-{name}.pickle"
        with one_at_a_time(shared):
            if not told.exists():
                told.write_bytes(pickle.dumps(draw(frame_of(name), "frame", folder, Order())))
        return Drawn(folder, pickle.loads(told.read_bytes()))

    return files_of


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update", action="store_true", help="draw the committed sample in output/ anew")
    parser.addoption("--all-frames", action="store_true", help="measure all fifty generated frames")
