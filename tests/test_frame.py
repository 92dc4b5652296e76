"""solve: from a spec to a Frame, against hand trigonometry and the contract."""

from __future__ import annotations

import math

import pytest

from layout.errors import SolveError
from layout.frame.job import Fitting
from layout.frame.sizes import TubeSize
from layout.frame.solve import Frame, solve
from layout.geometry.dimensions import REGISTRY
from layout.geometry.equations import DEFAULT_WHEEL_RADIUS, HELD_DEFAULTS
from layout.spec.load import loads
from layout.spec.standards import DEFAULT_MARKING, DEFAULT_SHELL, SHELLS, read_marking

GEOMETRY = """\
geometry:
  bb_drop: 70
  rear_centre: 425
  front_centre: 605
  head_angle: 72
  seat_angle: 73
  head_tube_length: 150
"""
PARTS = "wheels: {front: 37-622, rear: 37-622}\nheadset: {lower_stack: 12}\n"
FORK = "fork: {axle_to_crown: 395, offset: 45}\n"


def frame(more: str = "", fork: str = FORK, geometry: str = GEOMETRY) -> Frame:
    return solve(loads(geometry + fork + more, "frame.yaml"))


def test_points_are_where_trigonometry_puts_them() -> None:
    found = frame()
    h = math.radians(72.0)
    up, ahead = (-math.cos(h), math.sin(h)), (math.sin(h), math.cos(h))
    axle = (math.sqrt(605.0**2 - 70.0**2), 70.0)
    foot = (axle[0] - 45.0 * ahead[0], axle[1] - 45.0 * ahead[1])
    length = math.sqrt(395.0**2 - 45.0**2) + 12.0 + 150.0
    top = (foot[0] + length * up[0], foot[1] + length * up[1])
    assert found.plane.points["bb"] == (0.0, 0.0)
    assert found.plane.points["rear_axle"] == pytest.approx((-math.sqrt(425.0**2 - 70.0**2), 70.0), abs=1e-9)
    assert found.plane.points["front_axle"] == pytest.approx(axle, abs=1e-9)
    assert found.plane.points["fork_foot"] == pytest.approx(foot, abs=1e-9)
    assert found.plane.points["head_tube_top"] == pytest.approx(top, abs=1e-9)
    assert found.plane.dimensions["stack"] == pytest.approx(top[1], abs=1e-9)
    trail = (348.0 * math.cos(h) - 45.0) / math.sin(h)
    assert found.plane.dimensions["trail"] == pytest.approx(trail, abs=1e-9)


def test_every_dimension_is_there_and_the_given_ones_are_in_their_order() -> None:
    found = frame()
    assert set(found.plane.dimensions) == set(REGISTRY)
    assert found.plane.given == (
        *("bb_drop", "rear_centre", "front_centre", "head_angle", "seat_angle", "head_tube_length"),
        *("axle_to_crown", "fork_offset"),
    )


def test_defaults_are_listed_under_the_keys_that_would_give_them() -> None:
    found = frame()
    blocks = ("tubes", "bottom", "wheels", "headset")
    parts = {k: v for k, v in found.plane.defaults.items() if k.startswith(blocks)}
    assert parts == {
        "wheels.rear": 348.0,
        "wheels.front": 348.0,
        "headset.lower_stack": 12.0,
        "headset.upper_stack": 15.0,
        "tubes.seat_tube.diameter": 28.6,
        "tubes.top_tube.diameter": 28.6,
        "tubes.down_tube.diameter": 34.9,
        "tubes.head_tube.diameter": 36.0,
        "tubes.chain_stay.diameter": 22.2,
        "tubes.chain_stay.diameter_end": 14.0,
        "tubes.seat_stay.diameter": 16.0,
        "tubes.seat_stay.diameter_end": 12.0,
        "bottom_bracket.width": 68.0,
        "bottom_bracket.diameter": 40.0,
    }
    assert found.plane.defaults["geometry.seat_tube_offset"] == 0.0
    assert "geometry.top_tube_slope" in found.plane.defaults
    assert "cockpit.stem_clamp_height" not in found.plane.defaults


def test_defaults_of_geometry_and_of_standard_parts_are_the_same() -> None:
    assert read_marking(DEFAULT_MARKING).radius == DEFAULT_WHEEL_RADIUS
    assert SHELLS[DEFAULT_SHELL].diameter == HELD_DEFAULTS["shell_diameter"]


def test_a_spec_that_gives_every_part_has_no_part_defaults() -> None:
    found = frame(
        "tubes:\n"
        "  seat_tube: {diameter: 30, wall: 0.8}\n  top_tube: {diameter: 26, diameter_end: 28}\n"
        "  down_tube: {diameter: 36, walls: [0.9, 0.6, 0.8]}\n"
        "  head_tube: {diameter_top: 46, diameter_bottom: 60}\n"
        "  chain_stay: {diameter: 20, diameter_end: 13}\n  seat_stay: {diameter: 15, diameter_end: 11}\n"
        "bottom_bracket: {shell: m47-73}\nwheels: {front: 42-584, rear: {radius: 341}}\n"
        "headset: {lower_stack: 10, upper_stack: 14}\n"
    )
    assert not [k for k in found.plane.defaults if k.startswith(("tubes", "bottom", "wheels", "headset"))]
    assert found.plane.sizes == {
        "seat_tube": TubeSize(30.0, 30.0, 0.8),
        "top_tube": TubeSize(26.0, 28.0),
        "down_tube": TubeSize(36.0, 36.0, 0.6),
        "head_tube": TubeSize(60.0, 46.0),
        "chain_stay": TubeSize(20.0, 13.0),
        "seat_stay": TubeSize(11.0, 15.0),
    }
    assert (found.plane.shell_width, found.plane.shell_diameter) == (73.0, 51.0)
    assert (found.plane.front_wheel.radius, found.plane.front_wheel.marking) == (334.0, "42-584")
    assert (found.plane.front_wheel.bead_seat_radius, found.plane.front_wheel.tyre_width) == (292.0, 42.0)
    assert (found.plane.rear_wheel.radius, found.plane.rear_wheel.marking) == (341.0, "")


def test_the_default_front_wheel_is_the_rear_one() -> None:
    found = frame("wheels: {rear: 47-559}\n")
    assert found.plane.front_wheel == found.plane.rear_wheel
    assert found.plane.front_wheel.marking == "47-559"
    assert found.plane.defaults["wheels.front"] == 559 / 2 + 47
    assert "wheels.rear" not in found.plane.defaults


def test_a_front_wheel_written_alone_is_the_rear_one_too() -> None:
    found = frame("wheels: {front: 47-559}\n")
    assert found.plane.front_wheel == found.plane.rear_wheel
    assert found.plane.rear_wheel.marking == "47-559"
    assert found.plane.defaults["wheels.rear"] == pytest.approx(559 / 2 + 47)
    assert "wheels.front" not in found.plane.defaults


def test_one_missing_end_of_a_head_tube_is_the_default_of_that_end() -> None:
    found = frame("tubes: {head_tube: {diameter_bottom: 44}}\n")
    assert found.plane.sizes["head_tube"] == TubeSize(44.0, 36.0)
    assert found.plane.defaults["tubes.head_tube.diameter_top"] == 36.0
    assert "tubes.head_tube.diameter" not in found.plane.defaults


def test_a_thin_stay_is_not_given_a_thicker_end() -> None:
    assert frame("tubes: {chain_stay: {diameter: 12.7}}\n").plane.sizes["chain_stay"] == TubeSize(12.7, 12.7)


@pytest.mark.parametrize(("turned", "height"), [("", 30.0), (", turned: true", 16.0), (", turned: 90", 16.0)])
def test_an_oval_stay_shows_its_upright_extent(turned: str, height: float) -> None:
    found = frame(f"tubes: {{chain_stay: {{section: [16, 30]{turned}}}}}\n")
    assert found.plane.sizes["chain_stay"].first == pytest.approx(height)
    assert "tubes.chain_stay.diameter" not in found.plane.defaults


def test_an_oval_turned_by_30_degrees_reaches_as_high_as_its_ellipse() -> None:
    found = frame("tubes: {chain_stay: {section: [16, 30], turned: 30}}\n").plane.sizes["chain_stay"].first
    turn = math.radians(30.0)
    highest = max(
        15.0 * math.sin(a) * math.cos(turn) + 8.0 * math.cos(a) * math.sin(turn)
        for a in (math.radians(n / 100) for n in range(36000))
    )
    assert found == pytest.approx(2 * highest, abs=1e-5)


def test_a_fatter_top_tube_raises_the_standover_by_its_radius() -> None:
    fixed = GEOMETRY + "  top_tube_at_head: 40\n  top_tube_slope: 0\n"
    thin = frame("tubes: {top_tube: {diameter: 28.6}}\n", geometry=fixed)
    fat = frame("tubes: {top_tube: {diameter: 34.6}}\n", geometry=fixed)
    over = [found.plane.dimensions["standover"] for found in (fat, thin)]
    assert over[0] - over[1] == pytest.approx(3.0, abs=1e-9)


def test_job_fittings_and_drawing_come_through() -> None:
    found = frame(
        "job: {number: 007, title: T, date: 2024-05-01}\n"
        "fittings:\n  - {kind: boss, tube: down_tube, at: 200}\n"
        "  - {kind: bridge, tube: seat_stay, at: 360, from: axle}\n"
        "  - {kind: boss, tube: seat_tube, at: 60, from: top, side: back}\n"
        "drawing: {heading: left, wheels: none, tubes: centreline}\nrider: {crank_length: 165}\n"
    )
    assert (found.job.number, found.job.title, found.job.date) == ("007", "T", "2024-05-01")
    assert found.fittings == (
        Fitting("boss", "down_tube", 200.0, "bb", "up"),
        Fitting("bridge", "seat_stay", 360.0, "axle", "up"),
        Fitting("boss", "seat_tube", 60.0, "top", "back"),
    )
    assert (found.heading, found.wheels_shown, found.tubes_shown) == ("left", "none", "centreline")
    assert found.plane.crank_length == 165.0


def test_sag_gives_both_states_and_draws_the_free_one() -> None:
    still, sagging = frame(), frame(fork="fork: {axle_to_crown: 395, offset: 45, sag: 20}\n")
    assert still.plane.sagged is None
    assert sagging.plane.points == still.plane.points
    assert sagging.plane.sagged is not None
    assert sagging.plane.sagged["head_angle"] > still.plane.dimensions["head_angle"]
    assert sagging.plane.sagged["head_tube_length"] == pytest.approx(150.0)


def test_agreement_of_the_spec_decides_what_is_a_contradiction() -> None:
    over = GEOMETRY.replace("geometry:\n", "geometry:\n  bb_height: 280\n")
    wheels = "wheels: {front: 37-622, rear: 37-622}\n"
    with pytest.raises(SolveError) as caught:
        frame(wheels, geometry=over)
    assert {f.code for f in caught.value.faults} == {"contradictory"}
    fitted = frame(wheels + "agreement: {length: 3}\n", geometry=over)
    assert fitted.plane.residuals["bb_height"] != 0.0


PLACES = [
    ("geometry: {head_angle: 72}\n", 1, "geometry", "insufficient"),
    ("job: {title: x}\n\ngeometry:\n  head_angle: 72\n", 3, "geometry", "insufficient"),
    ("fork: {offset: 45}\n", 1, "geometry", "insufficient"),
]


@pytest.mark.parametrize(("text", "line", "key", "code"), PLACES)
def test_faults_of_the_solver_have_a_place(text: str, line: int, key: str, code: str) -> None:
    with pytest.raises(SolveError) as caught:
        solve(loads(text, "frame.yaml"))
    fault = caught.value.faults[0]
    assert (fault.file, fault.line, fault.key, fault.code) == ("frame.yaml", line, key, code)


def test_a_fault_on_a_dimension_has_the_line_of_the_key_that_gives_it() -> None:
    spec = loads(GEOMETRY + "  stack: 700\n" + FORK + PARTS, "frame.yaml")
    with pytest.raises(SolveError) as caught:
        solve(spec)
    fault = caught.value.faults[0]
    assert fault.code == "contradictory"
    assert fault.key in {spec.givens[c.name].key for c in fault.conflict}
    assert ("frame.yaml", fault.line) == spec.place(fault.key or "")
    assert fault.line is not None and fault.line > 1


def test_a_fitting_beyond_its_tube_is_refused_with_the_tube_s_length():
    with pytest.raises(SolveError) as caught:
        frame("fittings:\n  - {kind: boss, tube: down_tube, at: 800, from: bb}\n")
    assert "fitting 1, at: is 800 mm from bb, but the down tube is 636.9 mm long" in str(caught.value)


def test_sizes_are_said_end_by_end_an_oval_as_width_by_height():
    tubes = frame(
        "tubes: {top_tube: {section: [44, 28]}, chain_stay: {section: [16, 30], diameter_end: 14},"
        " seat_stay: {diameter: 16, diameter_end: 12}}\n"
    ).plane.sizes
    said = {name: tubes[name].outside for name in ("top_tube", "down_tube", "chain_stay", "seat_stay")}
    assert said == {
        "top_tube": "44 x 28", "down_tube": "34.9", "chain_stay": "16 x 30 to 14.0",
        "seat_stay": "12.0 to 16.0",
    }  # fmt: skip
