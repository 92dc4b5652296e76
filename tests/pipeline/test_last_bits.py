"""The same spec gives the same bytes where arithmetic differs in its last bits, as processors do.

That is imitated by the given numbers, each one step of floating point (1 ulp) more or less: what is
solved then differs in its last bits as it does where sums are taken in another order.
"""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from layout.frame.solve import solve
from layout.pipeline.draw import draw_spec
from layout.pipeline.mitres import mitres
from layout.pipeline.order import Order
from layout.pipeline.plates import plates
from layout.pipeline.setup import set_up
from layout.spec.load import FrameSpec, load

SPECS = Path(__file__).parents[2] / "specs"
ROLL = Order(("roll-914",), ("dxf", "svg"))


def nudged(spec: FrameSpec, way: float) -> FrameSpec:
    """The spec with each given number one step of floating point off; unchanged where `way` is 0."""
    if not way:
        return spec
    givens = {n: replace(g, value=math.nextafter(g.value, way * math.inf)) for n, g in spec.givens.items()}
    assert all(givens[n].value != g.value for n, g in spec.givens.items())
    return replace(spec, givens=givens)


def written(name: str, way: float, out: Path) -> dict[str, bytes]:
    spec = nudged(load(SPECS / f"{name}.yaml"), way)
    draw_spec(spec, out, ROLL)
    mitres(spec, out, formats=("dxf", "csv"))
    set_up(solve(spec), name, out)
    plates(spec, name, out)
    return {p.name: p.read_bytes() for p in sorted(out.iterdir())}


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return written("all-road", 0.0, tmp_path_factory.mktemp("as"))


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_last_bits_of_the_numbers_change_no_byte(way: float, files: dict[str, bytes], tmp_path: Path) -> None:
    """24 of 51 files differed: bulges, data, which of two equal long points is taken, plates' places."""
    assert len(files) > 30
    other = written("all-road", way, tmp_path)
    assert [n for n in files if other.get(n) != files[n]] == [] and set(other) == set(files)
