"""A setting that the jig cannot reach comes with the one number whose change would let it."""

from __future__ import annotations

import re

import pytest

from layout.bench.reach import reach_notices
from layout.bench.settings import notices, settings
from layout.frame.solve import Frame, solve
from layout.spec.load import loads

SPEC = """
geometry: {{bb_drop: 70, rear_centre: 425, {front}, head_angle: 72, seat_angle: 73, head_tube_length: 150}}
fork: {{axle_to_crown: 395, offset: 45}}
jig: {{settings: {{{jig}}}}}
"""


def framed(jig: str, front: str = "front_centre: 605") -> Frame:
    return solve(loads(SPEC.format(front=front, jig=jig)))


@pytest.mark.parametrize(
    ("jig", "said"),
    [
        ("front_centre: {range: [540, 600]}", "Change front_centre from 605.0 mm to 600.0 mm"),
        ("bb_drop: {range: [75, 90]}", "Change bb_drop from 70.0 mm to 75.0 mm"),
        ("head_angle: {range: [60, 71.5]}", "Change head_angle from 72.00 degrees to 71.50 degrees"),
    ],
)
def test_a_given_setting_out_of_reach_says_the_nearest_number(jig: str, said: str) -> None:
    frame = framed(jig)
    (told,) = reach_notices(frame, settings(frame))
    name = jig.split(":")[0]
    assert told.message.endswith(f" {said}, or correct jig.settings.{name}.")


def test_the_number_that_would_let_it_does(jig: str = "front_centre: {range: [540, 600]}") -> None:
    """Where the setting is not given itself, the number named is one of those given, and it works."""
    frame = framed(jig, "reach: 395")
    (told,) = reach_notices(frame, settings(frame))
    name, new = re.search(r"Change (\w+) from \S+ mm to (\S+) mm", told.message).groups()  # type: ignore[union-attr]
    assert name in frame.plane.given
    numbers = {n: frame.plane.dimensions[n] for n in frame.plane.given}
    value = float(new) - (0.05 if float(new) < numbers[name] else -0.05)
    text = SPEC.format(front="reach: 395", jig=jig)
    key = {"axle_to_crown": "axle_to_crown", "fork_offset": "offset"}.get(name, name)
    changed = re.sub(rf"\b{key}: [\d.]+", f"{key}: {value}", text)
    again = solve(loads(changed))
    assert list(notices(settings(again))) == []
