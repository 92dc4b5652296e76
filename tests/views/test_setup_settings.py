"""The settings of the setup sheet, against trigonometry done here from the fewest numbers of each demo."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from layout.bench.settings import Setting, notices, rough_points, settings, span_of
from layout.frame.solve import Frame, solve
from layout.geometry.dimensions import REGISTRY
from layout.spec.jig import DESCRIBED_SETTINGS
from layout.spec.load import FrameSpec, load, loads

DEMOS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))
EXACT = 1e-6
"""The solver holds its equations to 1e-9; chains of a few square roots keep a micrometre easily."""


def read(path: Path, more: str = "") -> tuple[FrameSpec, Frame]:
    spec = loads(path.read_text(encoding="utf-8") + more, path.name)
    return spec, solve(spec)


def bench(path: Path, more: str = "") -> list[Setting]:
    return list(settings(read(path, more)[1]))


def numbers(found: list[Setting]) -> dict[tuple[str, str], float]:
    """What is set, of a head tube's ends the finished ones, by name and origin."""
    values = (v for s in found for v in s.values)
    return {(v.name, v.origin): v.value if v.finished is None else v.finished for v in values}


def by_hand(frame: Frame) -> dict[tuple[str, str], float]:
    """Every setting from drop, centres, angles, fork, headset, head tube and wheels alone."""
    d = {n: v for n, v in frame.plane.dimensions.items() if v is not None}
    head, drop = math.radians(d["head_angle"]), d["bb_drop"]
    axle_y = drop + d["front_radius"] - d["rear_radius"]
    rear_x = -math.sqrt(d["rear_centre"] ** 2 - drop**2)
    front_x = math.sqrt(d["front_centre"] ** 2 - axle_y**2)
    fork = math.sqrt(d["axle_to_crown"] ** 2 - d["fork_offset"] ** 2)
    up = fork + d["lower_stack"]
    # From the front axle back square to the axis, then up along it.
    low_x = front_x - d["fork_offset"] * math.sin(head) - up * math.cos(head)
    low_y = axle_y - d["fork_offset"] * math.cos(head) + up * math.sin(head)
    return {
        ("bb_drop", "rear_axle"): drop,
        ("rear_centre", "bb"): math.hypot(rear_x, drop),
        ("rear_centre_horizontal", "bb"): -rear_x,
        ("front_centre", "bb"): math.hypot(front_x, axle_y),
        ("front_centre_horizontal", "bb"): front_x,
        ("wheelbase", "rear_axle"): front_x - rear_x,
        ("head_tube_height", "base"): up,
        ("head_tube_bottom_ahead", "bb"): low_x,
        ("head_tube_bottom_height", "bb"): low_y,
        ("head_tube_bottom_ahead", "rear_axle"): low_x - rear_x,
        ("head_tube_bottom_height", "rear_axle"): low_y - drop,
        ("rear_axle_height", "bb"): drop,
        ("front_axle_height", "bb"): axle_y,
        ("front_axle_height", "rear_axle"): axle_y - drop,
        ("fork_offset", "base"): d["fork_offset"],
        ("head_angle", "base"): d["head_angle"],
        ("head_angle_complement", "base"): 90.0 - d["head_angle"],
        ("seat_angle", "base"): d["seat_angle"],
        ("seat_angle_complement", "base"): 90.0 - d["seat_angle"],
    }


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_settings_agree_with_trigonometry(path: Path) -> None:
    _, frame = read(path)
    found = numbers(list(settings(frame)))
    expected = by_hand(frame)
    assert set(found) == set(expected)
    worst = max(abs(found[k] - expected[k]) for k in expected)
    print(f"setup: {len(expected)} numbers of {path.stem} agree within {worst:.1e}")
    assert worst < EXACT


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_the_jigs_scales_and_base_agree_with_sums(path: Path) -> None:
    jig = (
        "\njig:\n bb_above_base: 312.5\n settings:\n  bb_drop: {offset: 12.5}\n"
        "  rear_centre: {offset: 900, counts: down}\n  front_centre: {offset: -200, measured: square}\n"
        "  head_tube_height: {measured: square}\n  head_angle: {offset: -90}\n  reach: {offset: 5}\n"
    )
    _, frame = read(path, jig)
    found = numbers(list(settings(frame)))
    hand = by_hand(frame)
    low, axle = hand["head_tube_bottom_height", "bb"], hand["front_axle_height", "bb"]
    seen = {
        ("bb_drop", "jig"): hand["bb_drop", "rear_axle"] + 12.5,
        ("rear_centre", "jig"): 900.0 - hand["rear_centre", "bb"],
        ("front_centre_horizontal", "jig"): hand["front_centre_horizontal", "bb"] - 200.0,
        ("head_tube_height_square", "jig"): low - axle,
        ("head_tube_height_square", "base"): low - axle,
        ("head_angle", "jig"): hand["head_angle", "base"] - 90.0,
        ("reach", "jig"): (frame.plane.dimensions["reach"] or 0.0) + 5.0,
        ("bb_above_base", "base"): 312.5,
        ("rear_axle_height", "base"): 312.5 + hand["bb_drop", "rear_axle"],
        ("front_axle_height", "base"): 312.5 + axle,
        ("head_tube_bottom_height", "base"): 312.5 + low,
    }
    for key, value in seen.items():
        assert found[key] == pytest.approx(value, abs=EXACT), key


def test_the_base_may_be_told_from_the_rear_axle() -> None:
    found = numbers(bench(DEMOS[0], "\njig: {rear_axle_above_base: 400}\n"))
    assert found["rear_axle_height", "base"] == pytest.approx(400.0, abs=EXACT)
    assert found["bb_above_base", "base"] == pytest.approx(400.0 - found["bb_drop", "rear_axle"], abs=EXACT)


def test_the_order_is_that_of_the_bench() -> None:
    assert [s.name for s in bench(DEMOS[0], "\njig: {settings: {stack: {}, bb_drop: {}}}\n")] == [
        "bb_drop", "rear_centre", "front_centre", "head_tube_height", "rear_axle_height",
        "front_axle_height", "fork_offset", "head_angle", "seat_angle", "stack",
    ]  # fmt: skip


def test_a_stepped_stop_gets_its_hole_and_the_fewest_shims() -> None:
    """72 on steps of 5 from a zero at 10: the hole at 80 is 70, and 2 on it; 0.5 + 1 + 0.5 would be three."""
    jig = "\njig: {settings: {bb_drop: {offset: 10, pitch: 5, shims: [0.5, 0.5, 1, 2]}}}\n"
    found = bench(all_road(), jig)
    scale = found[0].scale
    assert scale is not None
    assert (scale.reading, scale.step, scale.hole, scale.shims) == (82.0, 80.0, 16, (2.0,))
    assert scale.error == pytest.approx(0.0, abs=1e-9)
    assert list(notices(found)) == []


def test_shims_that_lower_stand_on_the_step_above() -> None:
    found = bench(all_road(), "\njig: {settings: {bb_drop: {pitch: 5, shims: [3], shims_make: less}}}\n")
    scale = found[0].scale
    assert scale is not None
    assert (scale.step, scale.shims) == (75.0, (3.0,))


def test_a_scale_that_counts_down_has_its_step_in_its_own_terms() -> None:
    """Reading 200 - drop: 128 for 72; steps at 125 (75) and 130 (70); a shim of 2 makes 70 into 72."""
    jig = "\njig: {settings: {bb_drop: {offset: 200, counts: down, pitch: 5, shims: [2]}}}\n"
    scale = bench(all_road(), jig)[0].scale
    assert scale is not None
    assert (scale.reading, scale.step, scale.hole, scale.shims) == (128.0, 130.0, 26, (2.0,))


@pytest.mark.parametrize(
    ("jig", "code", "words"),
    [
        ("front_centre: {range: [540, 600]}", "jig_range", "but the jig goes from 540.0 mm to 600.0 mm."),
        ("bb_drop: {pitch: 5, shims: [1]}", "jig_step", "nearest step with shims is 1.00 mm less"),
        ("bb_drop: {pitch: 50, range: [60, 90]}", "jig_range", "no step of the jig lies within its range"),
    ],
)
def test_what_the_jig_cannot_be_set_to_is_said(jig: str, code: str, words: str) -> None:
    (notice,) = notices(bench(all_road(), f"\njig: {{settings: {{{jig}}}}}\n"))
    assert notice.code == code
    assert words in notice.message


def test_a_value_on_the_edge_of_the_range_can_be_set() -> None:
    found = bench(all_road(), "\njig: {settings: {front_centre: {range: [540, 612]}}}\n")
    assert list(notices(found)) == []


def test_the_jig_grips_a_head_tube_that_is_not_faced_yet() -> None:
    """The number to set was the faced end's: 1.5 to be faced, so the rough lower end is that much lower."""
    rows = "head_tube_height: {}, head_tube_top_height: {}"
    spec, frame = read(all_road(), f"\njig: {{settings: {{{rows}}}}}\n")
    assert spec.spec.tubes.head_tube.facing_allowance == 1.5
    for setting in settings(frame):
        sign = {"head_tube_height": -1.0, "head_tube_top_height": 1.0}.get(setting.name)
        if sign is None:
            assert all(v.finished is None for v in setting.values)
            continue
        main, scale = setting.main, setting.scale
        assert main.finished is not None and scale is not None and scale.finished is not None
        assert main.value - main.finished == pytest.approx(1.5 * sign, abs=1e-9)
        assert scale.reading - scale.finished == pytest.approx(1.5 * sign, abs=1e-9)
        point = "head_tube_bottom" if sign < 0 else "head_tube_top"
        lean = math.radians(frame.plane.dimensions["head_angle"])
        for value in setting.beside:
            part = math.sin(lean) if value.name.endswith("_height") else -math.cos(lean)
            assert value.name.startswith(point) and value.finished is not None
            assert value.value - value.finished == pytest.approx(1.5 * sign * part, abs=1e-9)


def test_a_jig_that_measures_square_is_set_to_the_rough_end_too() -> None:
    """It said nothing of the rough end there. The end stands 1.5 sin(head angle) lower, by hand."""
    row = "head_tube_height: {measured: square}"
    _, frame = read(all_road(), f"\njig: {{settings: {{{row}}}}}\n")
    (height,) = (s for s in settings(frame) if s.name == "head_tube_height")
    assert height.main.finished is not None
    drop = 1.5 * math.sin(math.radians(frame.plane.dimensions["head_angle"]))
    assert height.main.value == pytest.approx(height.main.finished - drop, abs=1e-9)
    points = frame.plane.points
    assert height.main.finished == pytest.approx(points["head_tube_bottom"][1] - points["front_axle"][1])


def test_a_seat_tube_offset_is_set_where_there_is_one() -> None:
    text = all_road().read_text(encoding="utf-8")
    spec = loads(text.replace("head_angle: 71.5", "head_angle: 71.5\n  seat_tube_offset: 12"))
    found = settings(solve(spec))
    assert [s.main.value for s in found if s.name == "seat_tube_offset"] == [12.0]


def all_road() -> Path:
    return next(p for p in DEMOS if p.stem == "all-road")


def test_the_demos_are_all_there() -> None:
    assert len(DEMOS) >= 5
    assert load(all_road()).spec.jig.is_plate


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
@pytest.mark.parametrize("measured", ["along", "square"])
def test_a_setting_is_what_is_measured_where_it_says(path: Path, measured: str):
    """The value against its two points: what is added up, or solved, and what a ruler reads."""
    names = ("rear_centre", "front_centre", "head_tube_height", "head_tube_top_height")
    rows = "".join(f"\n    {name}: {{measured: {measured}}}" for name in names)
    more = "" if read(path)[0].spec.jig.settings else f"\njig:\n  settings:{rows}\n"
    _, frame = read(path, more)
    for setting in settings(frame):
        span = span_of(setting.main.name)
        assert span is not None
        placed = span.placed(rough_points(frame))
        assert placed is not None
        assert placed.value == pytest.approx(setting.main.value, abs=EXACT), setting.main.name


FROM_BB = """
rear_centre front_centre rear_centre_horizontal front_centre_horizontal stack reach seat_tube_offset
seat_tube_length seat_tube_cc down_tube_offset down_tube_length saddle_height saddle_clamp_back bar_x bar_y
rear_axle_height front_axle_height
""".split()
FROM_REAR_AXLE = ["bb_drop", "wheelbase", "rear_radius"]


def test_a_setting_says_what_it_is_measured_from() -> None:
    """The rest are lengths and angles of their own, set from the base."""
    text = all_road().read_text(encoding="utf-8")
    rows = "".join(f"\n    {name}: {{}}" for name in (*REGISTRY, *DESCRIBED_SETTINGS))
    found = settings(solve(loads(f"{text}\njig:\n  settings:{rows}\n", "all.yaml")))
    origins = {s.main.name: s.main.origin for s in found}
    assert origins.keys() > {*FROM_BB, *FROM_REAR_AXLE, "trail", "bar_x"}
    assert {n for n, origin in origins.items() if origin == "bb"} == set(FROM_BB)
    assert {n for n, origin in origins.items() if origin == "rear_axle"} == set(FROM_REAR_AXLE)
    assert set(origins.values()) == {"bb", "rear_axle", "base"}
