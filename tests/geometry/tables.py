"""Geometry tables as builders type them: frames of all kinds, numbers rounded, copied or slipped.

Frames are made forwards from base parameters, by kind; a table is some of their dimensions.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

from frame_maker import dimensions_of, is_possible

from layout.geometry.dimensions import REGISTRY
from layout.geometry.structure import structure

Values = dict[str, float]
Range = tuple[float, float]

KINDS: dict[str, dict[str, Range]] = {
    "road": {
        "bb_drop": (60, 80),
        "rear_centre": (402, 432),
        "front_centre": (560, 625),
        "head_angle": (70, 74),
        "seat_angle": (72, 76),
        "head_tube_length": (95, 220),
        "fork_offset": (40, 55),
        "over": (16, 45),
        "width": (23, 40),
        "bead": (622, 622),
    },
    "all-road": {
        "bb_drop": (55, 80),
        "rear_centre": (415, 450),
        "front_centre": (590, 690),
        "head_angle": (68, 73),
        "seat_angle": (71, 76),
        "head_tube_length": (90, 230),
        "fork_offset": (42, 60),
        "over": (25, 80),
        "width": (32, 55),
        "bead": (584, 622),
    },
    "mountain": {
        "bb_drop": (25, 65),
        "rear_centre": (410, 450),
        "front_centre": (640, 820),
        "head_angle": (62, 70),
        "seat_angle": (71, 78),
        "head_tube_length": (85, 150),
        "fork_offset": (37, 52),
        "over": (90, 180),
        "width": (50, 75),
        "bead": (559, 622),
    },
    "touring": {
        "bb_drop": (45, 80),
        "rear_centre": (425, 475),
        "front_centre": (580, 660),
        "head_angle": (70, 73.5),
        "seat_angle": (71, 74.5),
        "head_tube_length": (110, 260),
        "fork_offset": (42, 70),
        "over": (20, 70),
        "width": (28, 50),
        "bead": (559, 622),
    },
    "small": {
        "bb_drop": (0, 50),
        "rear_centre": (360, 420),
        "front_centre": (500, 590),
        "head_angle": (69, 73),
        "seat_angle": (71, 76),
        "head_tube_length": (85, 180),
        "fork_offset": (30, 55),
        "over": (15, 80),
        "width": (28, 50),
        "bead": (406, 559),
    },
}
"""Ranges of base parameters by kind, mm and degrees; `over` is the crown race above the tyre, `bead` and
`width` the wheel's. Common practice."""

BEADS = (406, 451, 507, 559, 584, 622)
CATALOGUE = (
    "stack",
    "reach",
    "top_tube_effective",
    "seat_tube_length",
    "head_tube_length",
    "head_angle",
    "seat_angle",
    "rear_centre",
    "wheelbase",
    "bb_drop",
    "fork_offset",
    "axle_to_crown",
)
"""What most tables of makers have."""
MORE = (
    "front_centre", "bb_height", "trail", "standover", "seat_tube_cc", "top_tube_length", "top_tube_slope",
    "top_tube_at_head", "down_tube_at_head", "down_tube_length",
)  # fmt: skip
"""What fitters and old drawings add."""
POOL = (*CATALOGUE, *MORE)
WRITTEN = ("rear_radius", "front_radius", "lower_stack")


@dataclass(frozen=True)
class Table:
    """Numbers as typed, and the dimensions of the frame they are of."""

    numbers: Values
    truth: Values


def a_frame(rng: random.Random, alike: float = 0.7) -> Values:
    """Base parameters of a frame of a random kind, its wheels alike with this chance."""
    while True:
        kind = KINDS[rng.choice(list(KINDS))]
        draw = {n: rng.uniform(*r) for n, r in kind.items() if n not in ("bead", "width")}
        rear, front = a_wheel(rng, kind), a_wheel(rng, kind)
        if rng.random() < alike:
            front = rear
        drop, over = draw.pop("bb_drop"), draw.pop("over")
        crown = front + over
        frame = {
            "bb_drop": drop,
            "rear_centre_horizontal": (draw.pop("rear_centre") ** 2 - drop**2) ** 0.5,
            "front_centre_horizontal": (draw.pop("front_centre") ** 2 - (drop + front - rear) ** 2) ** 0.5,
            "rear_radius": rear,
            "front_radius": front,
            "fork_length_on_axis": (crown**2 - draw["fork_offset"] ** 2) ** 0.5,
            "lower_stack": rng.choice((0.0, rng.uniform(2.0, 4.0), rng.uniform(9.0, 16.0))),
            "upper_stack": rng.uniform(0.0, 25.0),
            "seat_tube_length": rng.uniform(400.0, 640.0),
            "top_tube_at_head": rng.uniform(24.0, 45.0),
            "top_tube_at_seat": rng.uniform(20.0, 80.0),
            "down_tube_at_head": rng.uniform(25.0, 45.0),
            **draw,
        }
        if is_possible(frame) and -4.0 < dimensions_of(frame)["top_tube_slope"] < 20.0:
            return frame


def a_wheel(rng: random.Random, kind: dict[str, Range]) -> float:
    bead = rng.choice([b for b in BEADS if kind["bead"][0] <= b <= kind["bead"][1]])
    return bead / 2 + float(round(rng.uniform(*kind["width"])))


def some_names(rng: random.Random, count: int, more: tuple[str, ...] = ()) -> list[str]:
    """Names of a table of any numbers that settles a frame together with `more`."""
    while True:
        names = rng.sample(POOL, count)
        if not structure((*names, *more)).free:
            return [*names, *more]


def catalogue_names(rng: random.Random, count: int, more: tuple[str, ...] = ()) -> list[str]:
    """The same of a table as makers print it: most of what all have, and some of the rest."""
    while True:
        usual = rng.sample(CATALOGUE, rng.randint(9, len(CATALOGUE)))
        names = [*usual, *rng.sample(MORE, count - len(usual))]
        if not structure((*names, *more)).free:
            return [*rng.sample(names, count), *more]


def rounded(name: str, value: float) -> float:
    """A number as tables have it: whole millimetres, tenths of a degree."""
    return round(value, 1 if REGISTRY[name].unit == "deg" else 0)


def a_table(rng: random.Random, count: int, written: bool) -> Table:
    """A rounded table of `count` numbers: wheels and lower stack besides, or equal wheels unwritten."""
    frame = a_frame(rng, 0.7 if written else 1.0)
    truth = dimensions_of(frame)
    names = some_names(rng, count, WRITTEN if written else ())
    numbers = {n: truth[n] if n.endswith("radius") else rounded(n, truth[n]) for n in names}
    if written:
        numbers["lower_stack"] = round(truth["lower_stack"], 1)
    return Table(numbers, truth)
