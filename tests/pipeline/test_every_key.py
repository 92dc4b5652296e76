"""Every key of the blocks that describe parts changes something that is put out, or is refused.

A key that is read and used for nothing is worse than none: the builder believes that it was heeded.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

import pytest
import yaml

from layout.bench.cut_list import cut_list, stock
from layout.bench.cutting import rows
from layout.bench.plates.settings import settings as plate_settings
from layout.bench.settings import settings
from layout.drafting.entities import Text
from layout.drafting.numbers import format_number
from layout.errors import SpecError
from layout.frame.solve import solve
from layout.geometry.space.clearance import Clearances
from layout.spec.keys import block_at, fields_of
from layout.spec.load import FrameSpec, loads
from layout.views.cutting import cutting_panels
from layout.views.setup.panels import Work, blocks_panel, fittings_panel, order_words

BLOCKS = ("bottom_bracket", "rear_end", "drivetrain", "tubes", "fittings")
TUBES = ("seat_tube", "top_tube", "down_tube", "head_tube", "chain_stay", "seat_stay")
TUBE_KEYS = {
    "diameter", "wall", "walls", "butts", "diameter_end", "taper", "section", "turned", "bends",
    "diameter_top", "diameter_bottom", "facing_allowance", "lug", "collar", "dimples",
}  # fmt: skip
"""What the contract lists for each of the six tubes."""

PLANE: dict[str, Any] = {
    "geometry": {
        "bb_drop": 70, "rear_centre": 435, "front_centre": 610, "head_angle": 72, "seat_angle": 73,
        "head_tube_length": 150, "seat_tube_length": 540, "top_tube_slope": 2,
    },
    "fork": {"axle_to_crown": 395, "offset": 45},
    "wheels": {"rear": "37-622", "front": "37-622"},
}  # fmt: skip

ROWS = ("bends", "dimples")
"""Keys of a tube that hold lists of blocks."""
Case = tuple[dict[str, Any], Any]
"""What stands beside a key in its block, and the value that is to change something there."""

BEND = {"at": 180, "angle": 5, "plane": 90, "radius": 150}
OVAL: dict[str, Any] = {"diameter": 30, "section": [24, 34]}
ANY_TUBE: dict[str, Case] = {
    "diameter": ({"diameter": 30}, 32),
    "wall": ({"wall": 0.8}, 0.9),
    "walls": ({"walls": [0.8, 0.5, 0.8]}, [0.8, 0.6, 0.8]),
    "butts": ({"walls": [0.8, 0.5, 0.8], "butts": [90, 90]}, [90, 80]),
    "diameter_end": ({"diameter": 30}, 26),
    "taper": ({"diameter": 30, "diameter_end": 20}, [100, 200]),
    "section": ({"diameter": 30}, [24, 34]),
    "turned": (OVAL, 30),
    "lug": ({"lug": 40}, [38, 45]),
}
DIMPLED = {"at": 100, "length": 60, "depth": 3, "plane": 90}
BENT: dict[str, Case] = {
    "dimples": ({}, [DIMPLED]),
    **{f"dimples.0.{key}": ({"dimples": [DIMPLED]}, new) for key, new in
       {"at": 120, "length": 50, "depth": 2, "plane": 270}.items()},
    "bends": ({}, [BEND]),
    **{f"bends.0.{key}": ({"bends": [BEND]}, new) for key, new in
       {"at": 200, "angle": 7, "plane": 80, "radius": 200}.items()},
}  # fmt: skip
CASES: dict[str, Case] = {
    "bottom_bracket.shell": ({"shell": "iso-68"}, "m47-73"),
    "bottom_bracket.width": ({}, 73),
    "bottom_bracket.diameter": ({}, 44),
    "rear_end.spacing": ({"spacing": 135}, 142),
    "rear_end.axle": ({"spacing": 135, "axle": 10}, 12),
    "rear_end.dropout.thickness": ({}, 8),
    "rear_end.dropout.inset": ({}, 30),
    "rear_end.dropout.slot": ({"slot": 10}, 9),
    **{f"rear_end.dropout.{stay}.{key}": ({}, new) for stay in ("chain_stay", "seat_stay")
       for key, new in {"from_axle": 34, "off": 9}.items()},
    "rear_end.rotor.diameter": ({}, 160),
    "rear_end.rotor.thickness": ({"diameter": 160}, 3),
    "rear_end.rotor.from_face": ({"diameter": 160}, 11),
    "rear_end.stay_spacing_at_shell": ({}, 44),
    "rear_end.stay_spacing_at_top": ({}, 40),
    "rear_end.seat_stay_mount": ({}, "side"),
    "drivetrain.chainline": ({}, 45),
    "drivetrain.chainring_teeth": ({}, 44),
    "drivetrain.crank_clearance": ({}, 66),
    **{f"tubes.{tube}.{key}": case for tube in TUBES if tube != "head_tube"
       for key, case in ANY_TUBE.items()},
    "tubes.seat_tube.facing_allowance": ({"facing_allowance": 2}, 3),
    "tubes.seat_tube.collar.kind": ({}, "sleeve"),
    "tubes.seat_tube.collar.slot": ({}, 40),
    "tubes.seat_tube.collar.insertion": ({}, 90),
    **{f"tubes.head_tube.{key}": ANY_TUBE[key] for key in ("diameter", "wall", "walls", "butts")},
    "tubes.head_tube.diameter_top": ({"diameter": 40}, 44),
    "tubes.head_tube.diameter_bottom": ({"diameter": 40}, 44),
    "tubes.head_tube.taper": ({"diameter_top": 36, "diameter_bottom": 50}, [40, 40]),
    "tubes.head_tube.facing_allowance": ({}, 2),
    **{f"tubes.{stay}.{key}": case for stay in ("chain_stay", "seat_stay") for key, case in BENT.items()},
    "fittings.0.kind": ({"kind": "boss", "tube": "down_tube", "at": 200}, "guide"),
    "fittings.0.tube": ({"kind": "boss", "tube": "down_tube", "at": 200}, "top_tube"),
    "fittings.0.at": ({"kind": "boss", "tube": "down_tube", "at": 200}, 210),
    "fittings.0.from": ({"kind": "boss", "tube": "down_tube", "at": 200, "from": "bb"}, "head"),
    "fittings.0.side": ({"kind": "boss", "tube": "down_tube", "at": 200, "side": "up"}, "down"),
    "fittings.0.diameter": ({"kind": "vent", "tube": "down_tube", "at": 200, "diameter": 6}, 5),
    "fittings.0.radius": ({"kind": "bridge", "tube": "seat_stay", "at": 372, "from": "axle"}, 60),
    "fittings.0.size": ({"kind": "port", "tube": "down_tube", "at": 200, "size": [18, 9]}, [20, 9]),
}  # fmt: skip
BESIDE_A_SECTION: dict[str, Case] = {
    f"tubes.{tube}.diameter": (OVAL, 32) for tube in TUBES if tube != "head_tube"
}
"""An oval's size is its section; the diameter beside it is what it was made from."""


def leaves() -> Iterator[str]:
    """Every key of the blocks that holds a value, as a case names it."""

    def below(path: tuple[str | int, ...]) -> Iterator[str]:
        block = block_at(path)
        if block is None:
            yield ".".join(map(str, path))
            return
        for key in fields_of(block):
            yield from below((*path, key))
        if path[-1] in ROWS:
            yield ".".join(map(str, path))

    for name in BLOCKS:
        yield from below((name,))


def test_there_is_a_case_for_every_key() -> None:
    assert {key.replace(".0.", ".") for key in CASES} == set(leaves())
    for tube in TUBES:
        assert set(fields_of(block_at(("tubes", tube)) or pytest.fail(tube))) <= TUBE_KEYS


def spec_with(key: str, beside: dict[str, Any], value: Any = None) -> FrameSpec:
    """The plain frame, the block that the key is in as it stands `beside` the key, and the key's value."""
    *way, last = [int(k) if k.isdigit() else k for k in key.split(".")]
    owner = [k for k in way if not (way[0] == "tubes" and k in (*ROWS, 0))]
    own = {k: [dict(b) for b in v] if k in ROWS else v for k, v in beside.items()}
    inner: Any = next((own[k][0] for k in ROWS if k in way), own)
    if value is not None:
        inner[last] = value
    tree: Any = own
    for k in reversed(owner):
        tree = [tree] if k == 0 else {k: tree}
    return loads(yaml.safe_dump({**PLANE, **tree}, sort_keys=False), "frame.yaml")


def put_out(spec: FrameSpec) -> Iterator[str]:
    """What papers and files say of a frame, the quickest to find first."""
    frame = solve(spec)
    found = settings(frame)
    yield from (f"{g.tube} {g.part} {format_number(g.value, 1)}" for g in
                Clearances(frame.space, frame.around).gaps)  # fmt: skip
    spacing = frame.space.rear.spacing
    yield str(plate_settings(spec, spacing).numbers)
    cuts = cut_list(frame)
    work = Work(frame, found, cuts, ())
    yield f"{order_words(work)} {stock(cuts)} {cuts}"
    panels = [blocks_panel(work, 90.0), *([fittings_panel(work, 90.0)] if frame.fittings else [])]
    panels += cutting_panels("17", frame, frame.placed.assumed)
    yield from (e.text for p in panels for e in p.drawing if isinstance(e, Text))
    yield from map(str, rows(frame.lengths))


def changes(key: str, case: Case) -> bool:
    beside, value = case
    before = put_out(spec_with(key, beside))
    return any(a != b for a, b in zip_longest(before, put_out(spec_with(key, beside, value))))


@pytest.mark.parametrize("key", CASES)
def test_a_key_changes_what_is_put_out(key: str) -> None:
    assert changes(key, CASES[key])


@pytest.mark.parametrize("key", BESIDE_A_SECTION)
def test_the_diameter_beside_a_section_changes_what_is_put_out(key: str) -> None:
    assert changes(key, BESIDE_A_SECTION[key])


def test_the_measure_finds_a_key_that_changes_nothing() -> None:
    assert not changes("drivetrain.chainline", ({"chainline": 45}, 45))


REFUSED = [(tube, key) for tube in TUBES for key in sorted(TUBE_KEYS - {
    k.split(".")[2] for k in CASES if k.startswith(f"tubes.{tube}.")
})]  # fmt: skip
SAMPLES: dict[str, Any] = {"bends": [{"at": 100, "angle": 5}], "section": [24, 34]}


@pytest.mark.parametrize(("tube", "key"), REFUSED)
def test_a_key_without_a_meaning_for_a_tube_is_refused_and_says_what_to_do(tube: str, key: str) -> None:
    text = yaml.safe_dump({**PLANE, "tubes": {tube: {key: SAMPLES.get(key, 30)}}}, sort_keys=False)
    with pytest.raises(SpecError) as caught:
        loads(text, "frame.yaml")
    (fault,) = caught.value.faults
    assert fault.key == f"tubes.{tube}.{key}"
    assert "write" in fault.message.lower() or "Delete it" in fault.message
