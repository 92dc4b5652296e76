"""Tables with one wrong number, as slips happen: a digit, two swapped, inches, a sign, one for another."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from tables import WRITTEN, Values, a_frame, catalogue_names, dimensions_of, rounded

from layout.geometry.dimensions import REGISTRY

SIGNED = ("bb_drop", "fork_offset", "top_tube_slope")
EXCHANGED = ("head_angle", "seat_angle")
ONE_FOR_ANOTHER = {
    "top_tube_length": "top_tube_effective",
    "top_tube_effective": "top_tube_length",
    "seat_tube_cc": "seat_tube_length",
    "seat_tube_length": "seat_tube_cc",
}
INCHES = ("bb_drop", "fork_offset", "trail", "top_tube_at_head", "down_tube_at_head", "lower_stack")
"""Small enough that their inches pass for millimetres."""
KINDS = ("digit", "swapped", "inches", "exchanged", "another", "sign")


@dataclass(frozen=True)
class Slipped:
    """A table with a slip: what was typed, the frame's true dimensions, which names are wrong and how."""

    numbers: Values
    truth: Values
    wrong: tuple[str, ...]
    kind: str


def text_of(name: str, value: float) -> str:
    return f"{rounded(name, value):.{1 if REGISTRY[name].unit == 'deg' else 0}f}"


def digits_changed(rng: random.Random, text: str) -> Iterator[float]:
    places = [i for i, c in enumerate(text) if c.isdigit()]
    at = rng.choice(places)
    yield float(text[:at] + rng.choice([d for d in "0123456789" if d != text[at]]) + text[at + 1 :])


def digits_swapped(rng: random.Random, text: str) -> Iterator[float]:
    pairs = [i for i in range(len(text) - 1) if text[i].isdigit() and text[i + 1].isdigit()]
    pairs += [i for i in range(len(text) - 2) if text[i + 1] == "."]
    if pairs:
        at = rng.choice(pairs)
        to = at + (2 if text[at + 1] == "." else 1)
        swapped = list(text)
        swapped[at], swapped[to] = swapped[to], swapped[at]
        yield float("".join(swapped))


def slipped(rng: random.Random, table: Values, truth: Values) -> Slipped | None:
    """The table with a slip of a random kind; None where that kind has no place in it or changes nothing."""
    kind = rng.choice(KINDS)
    names = [n for n in table if not n.endswith("radius")]
    if kind == "exchanged":
        if not set(EXCHANGED) <= set(names):
            return None
        head, seat = (table[n] for n in EXCHANGED)
        changed = dict(zip(EXCHANGED, (seat, head), strict=True))
    else:
        name = rng.choice(names)
        found = next(_wrong(rng, kind, name, table[name], truth), None)
        changed = {} if found is None else {name: found}
    changed = {n: v for n, v in changed.items() if v != table[n]}
    if not changed or not all(REGISTRY[n].is_possible(v) for n, v in changed.items()):
        return None
    return Slipped({**table, **changed}, truth, tuple(changed), kind)


def _wrong(rng: random.Random, kind: str, name: str, value: float, truth: Values) -> Iterator[float]:
    text = text_of(name, value)
    if kind == "digit":
        yield from digits_changed(rng, text)
    elif kind == "swapped":
        yield from digits_swapped(rng, text)
    elif kind == "inches" and name in INCHES:
        yield round(truth[name] / 25.4, 2)
    elif kind == "another" and name in ONE_FOR_ANOTHER:
        yield rounded(name, truth[ONE_FOR_ANOTHER[name]])
    elif kind == "sign" and name in SIGNED:
        yield -value


def a_slipped_table(rng: random.Random, count: int) -> Slipped:
    """A rounded table of `count` numbers, wheels and lower stack besides, with one slip."""
    while True:
        truth = dimensions_of(a_frame(rng))
        names = catalogue_names(rng, count, WRITTEN)
        table = {n: truth[n] if n.endswith("radius") else rounded(n, truth[n]) for n in names}
        table["lower_stack"] = round(truth["lower_stack"], 1)
        found = slipped(rng, table, truth)
        if found is not None:
            return found
