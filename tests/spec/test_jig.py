"""The jig block: what a setting says of its scale, and what is refused."""

from __future__ import annotations

import pytest

from layout.errors import SpecError
from layout.spec.load import loads

GEOMETRY = "geometry: {head_angle: 72}\n"


def faults_of(jig: str) -> list[tuple[str | None, str, int | None, str]]:
    with pytest.raises(SpecError) as caught:
        loads(GEOMETRY + jig, "a.yaml")
    return [(f.key, f.code, f.line, f.message) for f in caught.value.faults]


def test_a_scale_counts_up_or_down_from_its_own_zero() -> None:
    jig = loads(
        GEOMETRY
        + "jig: {settings: {bb_drop: {offset: 10}, front_centre: {offset: 900, counts: down},"
        + " head_tube_height: {measured: square}}}"
    ).spec.jig
    drop, front = jig.settings["bb_drop"], jig.settings["front_centre"]
    assert (drop.reading(72.0), drop.value(82.0)) == (82.0, 72.0)
    assert (front.reading(612.0), front.value(288.0)) == (288.0, 612.0)
    assert jig.settings["head_tube_height"].measured == "square"
    assert not jig.is_plate


@pytest.mark.parametrize(
    ("jig", "plate"),
    [("", True), ("jig: {kind: jig}", False), ("jig: {settings: {bb_drop: {}}}", False),
     ("jig: {kind: plate, settings: {bb_drop: {}}}", True)],
)  # fmt: skip
def test_without_a_described_jig_the_frame_lies_on_a_plate(jig: str, plate: bool) -> None:
    assert loads(GEOMETRY + jig).spec.jig.is_plate is plate


@pytest.mark.parametrize(
    ("jig", "key", "code", "words"),
    [
        ("jig: {settings: {bb_drop: {range: [90, 40]}}}", "settings.bb_drop", "range", "least value first"),
        ("jig: {settings: {bb_drop: {shims: [1]}}}", "settings.bb_drop", "type", "pitch"),
        (f"jig: {{settings: {{bb_drop: {{pitch: 5, shims: [{'1, ' * 40}1]}}}}}}", "settings.bb_drop", "range",
         "at most 40"),
        ("jig: {bb_above_base: 1, rear_axle_above_base: 2}", "", "duplicate", "Delete one"),
        ("jig: {settings: {head_angle: {pitch: 0.5, shims: [1]}}}", "settings.head_angle.shims", "type",
         "angle"),
        ("jig: {settings: {bb_drop: {measured: square}}}", "settings.bb_drop.measured", "type",
         "rear_centre"),
        ("jig: {settings: {head_tube_hight: {}}}", "settings.head_tube_hight", "unknown_key",
         "Did you mean head_tube_height"),
    ],
)  # fmt: skip
def test_what_is_refused(jig: str, key: str, code: str, words: str) -> None:
    (fault,) = faults_of(jig)
    assert fault[:2] == (f"jig.{key}".rstrip("."), code)
    assert words in fault[3]


def test_a_setting_of_an_angle_with_shims_is_told_at_its_line() -> None:
    (fault,) = faults_of("jig:\n  settings:\n    head_angle:\n      pitch: 0.5\n      shims: [1]")
    assert fault[2] == 6
