"""Whatever stands in a READINGS file, tape and inspect end with a status and a word, never in a traceback.

The search of a fit was led by some readings to where a dimension has no derivative, and ended there in
an error of the linear algebra.
"""

from __future__ import annotations

import json
import warnings
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from layout.cli.commands import run
from layout.frame.solve import solve
from layout.geometry.dimensions import REGISTRY
from layout.spec.load import load
from layout.spec.readings import ALIGNMENTS

SPECS = Path(__file__).parents[2] / "specs"
FULL, BARE = SPECS / "all-road.yaml", SPECS / "track.yaml"
"""With rider, cockpit and crank, and without."""
MOST = 5080.0
TINY = 1e-30

lengths = st.sampled_from((TINY, 1e-3, 0.5, 90.0, 180.0, 1000.0, MOST)) | st.floats(TINY, MOST)
numbers = st.sampled_from((0.0, -90.0, 90.0, 180.0, -MOST, MOST)) | st.floats(-MOST, MOST)
spreads = st.sampled_from(("", "", ", uncertainty: 0.001", ", uncertainty: 20"))


FRAME = solve(load(FULL))
POINTS = sorted(FRAME.plane.points)


@st.composite
def distance(draw: st.DrawFn) -> str:
    start, end = draw(st.lists(st.sampled_from(POINTS), min_size=2, max_size=2, unique=True))
    return f"from: {start}, to: {end}, measured: {draw(lengths)!r}{draw(spreads)}"


@st.composite
def dimension(draw: st.DrawFn, possible: bool) -> str:
    """A dimension anywhere in its possible range or at its ends; or any number at all."""
    known = [n for n in REGISTRY if FRAME.plane.dimensions[n] is not None or not possible]
    name = draw(st.sampled_from(known))
    low, high = REGISTRY[name].possible
    within = st.sampled_from((low, high)) | st.floats(low, high)
    value = draw(within if possible else numbers)
    return f"dimension: {name}, measured: {value!r}{draw(spreads)}"


@st.composite
def out_of_plane(draw: st.DrawFn, possible: bool) -> str:
    what = draw(
        st.sampled_from([f"alignment: {n}" for n in ALIGNMENTS] + [f"height: {n}" for n in POINTS])
    )
    value = draw(st.sampled_from((-20.0, 0.0, 20.0, 80.0, 100.0)) if possible else numbers)
    return f"{what}, measured: {value!r}{draw(spreads)}"


def rows(*kinds: st.SearchStrategy[str]) -> st.SearchStrategy[list[str]]:
    return st.lists(st.one_of(*kinds), min_size=1, max_size=12)


sane_rows = rows(distance(), dimension(possible=True), out_of_plane(possible=True))
absurd_rows = rows(distance(), dimension(possible=False), out_of_plane(possible=False))


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("readings") / "r.yaml"


@pytest.fixture(autouse=True)
def _every_warning_is_an_error() -> Iterator[None]:
    """A warning of numpy's would be a line on stderr that tells a builder nothing."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        yield


def ended(
    command: str, path: Path, written: list[str], capsys: pytest.CaptureFixture[str], spec: Path = FULL
) -> int:
    """Run a command on these rows; its status, once what it printed was seen to go with it."""
    path.write_text("readings:\n" + "".join(f"- {{{row}}}\n" for row in written), "utf-8")
    status = run([command, str(spec), str(path), "--json"])
    said = capsys.readouterr()
    data = json.loads(said.out, parse_constant=lambda name: pytest.fail(f"{name} in the JSON"))
    assert status in (0, 1, 2)
    assert ("errors" in data) == (status == 2)
    if status != 2:
        assert (data["verdict"] in ("use", "pass")) == (status == 0)
    return status


SETTINGS = settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])


@SETTINGS
@given(sane_rows)
@example(
    [
        "from: seat_tube_top, to: head_tube_bottom, measured: 1e-30, uncertainty: 20",
        "from: front_axle, to: seat_tube_top, measured: 0.5",
        "from: top_tube_at_seat, to: seat_tube_foot, measured: 1e-30",
    ]
)
@example(["dimension: trail, measured: 180, uncertainty: 0.001", "dimension: wheel_flop, measured: -15"])
def test_any_possible_readings_end_an_inspection_with_a_status(
    path: Path, capsys: pytest.CaptureFixture[str], written: list[str]
) -> None:
    ended("inspect", path, written, capsys)


@SETTINGS
@given(absurd_rows)
@example(["dimension: angle_seat_down, measured: 5080, uncertainty: 0.001"])
@example(["dimension: seat_angle, measured: -5080", "dimension: wheel_flop, measured: -90"])
def test_any_absurd_readings_end_an_inspection_with_a_status(
    path: Path, capsys: pytest.CaptureFixture[str], written: list[str]
) -> None:
    ended("inspect", path, written, capsys)


@SETTINGS
@given(rows(distance()))
@example(["from: rear_axle, to: front_axle, measured: 1e-30"])
def test_any_readings_end_a_tape_check_with_a_status(
    path: Path, capsys: pytest.CaptureFixture[str], written: list[str]
) -> None:
    ended("tape", path, written, capsys)


@pytest.mark.parametrize(
    ("command", "row", "words"),
    [
        ("inspect", "dimension: down_tube_to_tyre, measured: -500", "no frame that can be built has these"),
        ("tape", "from: rear_axle, to: front_axle, measured: 1e-30", "No print of this drawing has these"),
    ],
)
def test_readings_that_fit_nothing_are_called_so(
    path: Path, capsys: pytest.CaptureFixture[str], command: str, row: str, words: str
) -> None:
    assert ended(command, path, [row], capsys, BARE) == 1
    assert run([command, str(BARE), str(path)]) == 1
    said = capsys.readouterr().out
    assert said.startswith("UNDETERMINED") and words in said
