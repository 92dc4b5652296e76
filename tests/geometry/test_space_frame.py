"""The frame in space: where tubes lie, which way their lines run, what is cut against what."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from space_samples import FORMS, POINTS, REAR, SHELL_SIZE

from layout.frame.solve import solve
from layout.geometry.space.form import BridgePlace, Form, RearEnd, StayPlace, default_stay_spacing, round_form
from layout.geometry.space.frame import SpaceFrame, assemble
from layout.geometry.space.lengths import ALLOWANCE, lengths_of
from layout.geometry.space.path import Bend, bent_path
from layout.geometry.space.roles import SEAT_STAY, SHELL, SINGLE_STAY
from layout.geometry.space.stays import stay_path
from layout.geometry.space.tube import Walls
from layout.geometry.space.vectors import Triad, X, Y, Z, length, unit, vector
from layout.spec.load import load

SPECS = Path(__file__).parents[2] / "specs"


def frame(**changes: object) -> SpaceFrame:
    forms = {**FORMS, **changes.get("forms", {})}  # type: ignore[dict-item]
    return assemble(POINTS, forms, SHELL_SIZE, changes.get("rear", REAR), changes.get("bridges", ()))  # type: ignore[arg-type]


def test_stays_end_on_the_dropouts_middle_at_the_inset():
    """Hub 135 and plates of 6: the stay's end is 70.5 out; in the side view 25 short of the axle."""
    found = frame()
    for side, sign in (("left", -1.0), ("right", 1.0)):
        chain = found.tubes[f"chain_stay_{side}"].path
        assert chain.first.at == pytest.approx([0.0, 0.0, sign * 21.0])
        assert chain.last.at[2] == pytest.approx(sign * 70.5)
        assert math.dist(chain.last.at[:2], POINTS["rear_axle"]) == pytest.approx(25.0)
        seat = found.tubes[f"seat_stay_{side}"].path
        assert seat.first.at[2] == pytest.approx(sign * 70.5)
        assert math.dist(seat.first.at[:2], POINTS["rear_axle"]) == pytest.approx(25.0)


@pytest.mark.parametrize(("off", "from_axle"), [(0.0, 25.0), (12.0, 30.0), (-9.0, 18.0), (18.0, 0.0)])
def test_each_stay_passes_the_axle_at_its_own_distance_and_ends_before_it(off: float, from_axle: float):
    """Both ended in line with the axle, at one inset. Chain stay: above is positive; seat stay: ahead.

    By hand in the side view: the line from the stay's other end to its end, drawn on, is `off` from the
    axle, and its foot there is `from_axle` past the stay's end.
    """
    rear = REAR._replace(chain_stay=StayPlace(from_axle, off), seat_stay=StayPlace(from_axle + 7.0, off))
    found = frame(rear=rear)
    axle = np.array(POINTS["rear_axle"])
    for name, which, more, way in (
        ("chain_stay_right", 1, 0.0, (0.0, 1.0)),
        ("chain_stay_left", 1, 0.0, (0.0, 1.0)),
        ("seat_stay_left", 0, 7.0, (1.0, 0.0)),
    ):
        path = found.tubes[name].path
        end, other = (path.last.at[:2], path.first.at[:2])[:: 1 if which else -1]
        along = (end - other) / math.dist(end, other)
        foot = other + float((axle - other) @ along) * along
        assert float((foot - end) @ along) == pytest.approx(from_axle + more, abs=1e-9)
        assert math.dist(foot, axle) == pytest.approx(abs(off), abs=1e-9)
        if off:
            assert float((foot - axle) @ np.array(way)) * off > 0.0


def test_seat_stays_stand_as_far_apart_at_their_tops_as_is_written():
    for mount in ("side", "back"):
        found = frame(rear=REAR._replace(mount=mount, top_spacing=37.0))
        left, right = (found.tubes[f"seat_stay_{side}"].path.last.at for side in ("left", "right"))
        assert right - left == pytest.approx([0.0, 0.0, 37.0])
        assert right[:2] == pytest.approx(POINTS["top_tube_at_seat"])


def test_chain_stays_lie_over_the_rear_centre_in_the_side_view():
    stay = frame().tubes["chain_stay_right"].path
    for t in (0.0, 100.0, stay.length):
        x, y, _ = stay.at(t).at
        assert x * POINTS["rear_axle"][1] == pytest.approx(y * POINTS["rear_axle"][0], abs=1e-9)


UP = {"top_tube": Y, "down_tube": Y, "chain_stay_left": Y, "chain_stay_right": Y}
FORWARD = {"seat_tube": X, "seat_stay_left": X, "seat_stay_right": X}


@pytest.mark.parametrize(("name", "side"), [*UP.items(), *FORWARD.items()])
def test_the_reference_line_is_the_nearest_generator_to_its_side(name: str, side: np.ndarray):
    here = frame().tubes[name].path.first
    angles = np.radians(np.arange(0.0, 360.0, 0.5))
    spokes = np.cos(angles)[:, None] * here.reference + np.sin(angles)[:, None] * here.across
    assert (spokes @ side).argmax() == 0
    assert here.along @ np.cross(here.reference, here.across) == pytest.approx(1.0)


def test_back_mounted_stays_that_fit_are_cut_all_round():
    """Seat tube 28.6, stays of 14: axes 7.0 off the middle; both ends lie wholly on the seat tube."""
    found = frame()
    assert found.tubes["seat_stay_right"].path.last.at[2] == pytest.approx(14.3 - 1.04 * 7.0)
    cut = found.cut_of("seat_stay_right", 1)
    assert cut is not None and not cut.partial
    assert cut.against == ("seat_tube",)


def test_thick_back_mounted_stays_touch_but_do_not_overlap():
    found = frame(forms={"seat_stay": round_form(12.0, 16.0)})
    assert found.tubes["seat_stay_right"].path.last.at[2] == pytest.approx(8.0)


def test_side_mounted_stays_pass_on_the_seat_tubes_skin():
    found = frame(rear=RearEnd(mount="side"))
    assert found.tubes["seat_stay_left"].path.last.at[2] == pytest.approx(-14.3)
    cut = found.cut_of("seat_stay_left", 1)
    assert cut is not None and cut.partial


def test_a_single_tube_takes_both_stays():
    found = frame(rear=RearEnd(mount="single", single_length=70.0))
    assert found.cut_of("seat_stay_right", 1).against[0] == SINGLE_STAY.name  # type: ignore[union-attr]
    single = found.cut_of(SINGLE_STAY.name, 0)
    assert single is not None and single.against == ("seat_tube",)
    stays = [found.tubes[f"seat_stay_{s}"].path.last.at for s in ("left", "right")]
    assert stays[0] == pytest.approx(stays[1])
    cluster = vector(*POINTS["top_tube_at_seat"])
    assert length(stays[0] - cluster) == pytest.approx(70.0)


def test_left_and_right_are_mirror_images():
    found = frame(
        forms={"chain_stay": Form((30.0, 16.0), (14.0, 14.0), (150.0, 380.0), turned=20.0)},
        rear=RearEnd(mount="side"),
    )
    for name, which in (("chain_stay", 0), ("seat_stay", 1)):
        left, right = (found.cut_of(f"{name}_{s}", which) for s in ("left", "right"))
        assert left is not None and right is not None
        mirrored = np.roll(right.s[::-1], 1)
        assert np.allclose(left.s, mirrored, atol=1e-9, equal_nan=True)
        assert left.origin == pytest.approx(right.origin)


BENDS = (Bend(110.0, 9.0, 270.0, 120.0), Bend(250.0, 9.0, 90.0, 160.0))


def test_a_bent_stay_still_meets_both_its_ends():
    found = frame(forms={"chain_stay": Form((19.0, 19.0), (19.0, 19.0), bends=BENDS)})
    plain = frame(forms={"chain_stay": round_form(19.0)})
    for side in ("left", "right"):
        stay, straight_one = (f.tubes[f"chain_stay_{side}"].path for f in (found, plain))
        assert stay.first.at == pytest.approx(straight_one.first.at, abs=1e-9)
        assert stay.last.at == pytest.approx(straight_one.last.at, abs=1e-9)
        assert stay.length > straight_one.length
        assert stay.first.reference @ Y == pytest.approx(math.sqrt(1 - (stay.first.along @ Y) ** 2))
    left, right = (found.tubes[f"chain_stay_{s}"].path for s in ("left", "right"))
    for t in (60.0, 180.0, 300.0):
        assert left.at(t).at == pytest.approx(right.at(t).at * [1.0, 1.0, -1.0], abs=1e-9)


def test_a_bend_turns_by_its_angle_about_its_middle_at_its_radius():
    path = bent_path(Triad(np.zeros(3), X, Y), 300.0, [Bend(100.0, 30.0, 0.0, 150.0)])
    assert path.length == pytest.approx(300.0)
    assert math.degrees(math.acos(path.first.along @ path.last.along)) == pytest.approx(30.0)
    low, high = 100.0 - math.radians(15.0) * 150.0, 100.0 + math.radians(15.0) * 150.0
    assert [p.low for p in path.pieces] == pytest.approx([0.0, low, high])
    centre = vector(low, 150.0)
    for t in (low, 90.0, 100.0, high):
        assert length(path.at(t).at - centre) == pytest.approx(150.0)
    assert path.at(299.0).at[1] > path.at(0.0).at[1]


def test_a_bend_away_is_a_bend_the_other_way():
    to, away = (
        bent_path(Triad(np.zeros(3), X, Y), 300.0, [Bend(100.0, a, p, 150.0)])
        for a, p in ((-20.0, 0.0), (20.0, 180.0))
    )
    assert to.last.at == pytest.approx(away.last.at)
    assert to.last.reference == pytest.approx(away.last.reference)


def test_the_reference_line_does_not_twist_in_a_bend_square_to_it():
    path = bent_path(Triad(np.zeros(3), X, Y), 300.0, [Bend(100.0, 40.0, 90.0, 100.0)])
    assert path.last.reference == pytest.approx(Y)


@pytest.mark.parametrize(
    "bends",
    [
        (Bend(100.0, 30.0, 0.0, 100.0), Bend(120.0, 30.0, 180.0, 100.0)),
        (Bend(5.0, 30.0, 0.0, 100.0),),
        (Bend(395.0, 10.0, 0.0, 100.0),),
    ],
    ids=["overlapping", "before the first end", "past the second end"],
)
def test_bends_that_do_not_fit_are_refused(bends: tuple[Bend, ...]):
    with pytest.raises(ValueError, match=r"bend|stay"):
        stay_path(vector(0.0, 0.0), vector(400.0, 0.0), Y, bends)


def test_what_is_cut_against_what():
    against = {(c.tube, c.end_name): c.against for c in frame().cuts}
    assert against[("seat_tube", "bb")] == (SHELL.name,)
    assert against[("down_tube", "bb")] == (SHELL.name, "seat_tube")
    assert against[("down_tube", "head")] == ("head_tube",)
    assert against[("top_tube", "seat")] == ("seat_tube",)
    assert against[("chain_stay_left", "bb")] == (SHELL.name,)
    assert ("seat_tube", "top") not in against


def test_on_a_short_head_tube_the_down_tube_is_cut_to_the_top_tube_too():
    points = {**POINTS, "top_tube_at_head": (398.24, 499.9), "down_tube_at_head": (404.0, 482.5)}
    found = assemble(points, FORMS, SHELL_SIZE, REAR)
    cut = found.cut_of("down_tube", 1)
    assert cut is not None
    assert cut.against == ("head_tube", "top_tube")
    assert set(cut.host) == {0, 1}


def test_lengths_run_between_the_origins_and_the_long_points():
    found = frame()
    for name in found.tubes:
        if name == SHELL.name:
            continue
        lengths = lengths_of(found, name)
        cuts = [found.cut_of(name, k) for k in (0, 1)]
        origins = [
            found.tubes[name].length * k if c is None else c.origin for k, c in zip((0, 1), cuts, strict=True)
        ]
        assert lengths.centre_length == pytest.approx(origins[1] - origins[0])
        least = sum(0.0 if c is None else c.least.s for c in cuts)
        assert lengths.cut_length == pytest.approx(lengths.centre_length - least)
        mitred = sum(c is not None for c in cuts)
        assert lengths.length_needed == pytest.approx(lengths.cut_length + mitred * ALLOWANCE)
    top = lengths_of(found, "top_tube")
    apart = math.dist(POINTS["top_tube_at_seat"], POINTS["top_tube_at_head"])
    assert top.centre_length == pytest.approx(apart)


def test_settings_of_a_level_top_tube_by_hand():
    """Seat tube at 73 degrees, tube level: the mill stands at 73, 17 from square, short side underneath."""
    up = vector(-math.cos(math.radians(73.0)), math.sin(math.radians(73.0)))
    points = {
        **POINTS,
        "seat_tube_top": tuple(540.0 * up[:2]),
        "top_tube_at_seat": tuple(495.0 * up[:2]),
        "top_tube_at_head": (400.0, 495.0 * float(up[1])),
    }
    found = assemble(points, FORMS, SHELL_SIZE, REAR)
    first, second = lengths_of(found, "top_tube").ends
    assert first is not None and second is not None
    (mill,) = first.mills
    assert mill.cutter is not None
    assert (first.angle, mill.between, mill.cutter.angle) == pytest.approx((73.0, 73.0, 73.0))
    assert mill.cutter.diameter == pytest.approx(28.6)
    assert mill.cutter.misfit < 1e-6 and abs(mill.cutter.place) < 1e-6
    assert mill.acute == pytest.approx(180.0)
    assert mill.level == pytest.approx(0.0)
    centre = lengths_of(found, "top_tube").centre_length
    depth = (14.3 * math.cos(math.radians(73.0)) + 14.3) / math.sin(math.radians(73.0))
    assert first.from_mark_short == pytest.approx(centre / 2 - depth)


def test_rotation_between_parallel_and_crossed_cutters():
    """Down tube: at its head the cutter lies in the middle plane, at the shell square to it."""
    assert lengths_of(frame(), "down_tube").rotation == pytest.approx(90.0, abs=1e-6)
    top = lengths_of(frame(), "top_tube").rotation
    assert top is not None and min(abs(top), abs(abs(top) - 180.0)) < 1e-6


def test_the_cut_removes_a_short_butt():
    walls = Walls(0.9, 0.6, 0.9, (45.0, 45.0))
    found = frame(forms={"down_tube": Form((34.9, 34.9), (34.9, 34.9), walls=walls)})
    lengths = lengths_of(found, "down_tube")
    cuts = [found.cut_of("down_tube", k) for k in (0, 1)]
    for k, cut in enumerate(cuts):
        assert cut is not None and lengths.butts is not None
        assert lengths.butts[k] == pytest.approx(45.0 - ALLOWANCE - (cut.greatest.s - cut.least.s))
    assert lengths.butts_eaten == (lengths.butts[0] < 15.0, lengths.butts[1] < 15.0)
    assert any(lengths.butts_eaten)


def test_bridges_run_level_from_left_to_right():
    found = frame(bridges=[BridgePlace(SEAT_STAY, 340.0), BridgePlace(SEAT_STAY, 300.0)])
    assert [n for n in found.tubes if "bridge" in n] == ["seat_stay_bridge", "seat_stay_bridge_2"]
    bridge = found.tubes["seat_stay_bridge"].path
    assert bridge.first.along == pytest.approx(Z)
    assert bridge.first.at == pytest.approx(found.tubes["seat_stay_left"].path.at(340.0).at)
    first, second = lengths_of(found, "seat_stay_bridge").ends
    assert first is not None and second is not None
    assert [m.on for m in first.mills] == ["seat_stay_left"]
    assert first.from_mark_long == pytest.approx(second.from_mark_long)


def test_the_default_spacing_keeps_the_stays_inside_the_shell():
    spacing = default_stay_spacing(68.0, 22.2)
    assert (spacing + 22.2) / 2 < 68.0 / 2
    assert spacing >= 22.2


def test_a_taper_goes_on_past_both_ends():
    profile = round_form(20.0, 10.0).profile(100.0)
    radius = [float(profile.halves(t)[0]) for t in (-10.0, 0.0, 50.0, 100.0, 110.0)]
    assert radius == pytest.approx([10.5, 10.0, 7.5, 5.0, 4.5])


def test_directions_of_unit_length():
    assert length(unit(vector(3.0, 4.0, 12.0))) == pytest.approx(1.0)
    with pytest.raises(ValueError, match="no length"):
        unit(np.zeros(3))


def test_an_end_that_is_not_cut_is_not_said_to_lose_its_butt():
    """The seat tube's thin top end had a warning, though nothing but a facer touches it."""
    walls = Walls(0.9, 0.6, 0.6, (120.0, 0.0))
    found = frame(forms={"seat_tube": Form((28.6, 28.6), (28.6, 28.6), walls=walls)})
    lengths = lengths_of(found, "seat_tube")
    cut = found.cut_of("seat_tube", 0)
    assert cut is not None and lengths.spare is not None
    assert lengths.butts_eaten == (False, False)
    assert lengths.spare[0] == pytest.approx(120.0 - ALLOWANCE - (cut.greatest.s - cut.least.s) - 15.0)
    assert lengths.spare[1] == 0.0


def test_one_ends_mitre_is_had_without_all_the_others():
    space = solve(load(SPECS / "all-road.yaml")).space
    joint = space.joints[0]
    one = space.cut_of(joint.tube, joint.which)
    assert list(space._known) == [joint]
    assert one is space.cuts[0]
    assert len(space._known) == len(space.joints)


def test_an_axis_runs_straight_on_past_a_bend_at_its_end():
    """A tube may be bent to its very end; what is cut on it there reaches past."""
    start = Triad(vector(0.0, 0.0, 0.0), X, Y)
    half = math.radians(30.0) * 60.0 / 2
    bend = Bend(at=half, angle=30.0, plane=0.0, radius=60.0)
    path = bent_path(start, bend.span[1], (bend,))
    assert [piece.straight for piece in path.pieces] == [False]
    before, after = path.at(-10.0), path.at(path.length + 10.0)
    assert before.at == pytest.approx((-10.0, 0.0, 0.0), abs=1e-6)
    assert before.along == pytest.approx(X, abs=1e-6)
    lean = vector(math.cos(math.radians(30.0)), math.sin(math.radians(30.0)), 0.0)
    assert after.along == pytest.approx(lean, abs=1e-6)
    assert after.at == pytest.approx(path.last.at + 10.0 * lean, abs=1e-6)
