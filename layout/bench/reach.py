"""What lets a jig be set that cannot: the given number whose smallest change brings the setting there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from layout.bench.settings import SUMS, Setting, notices
from layout.errors import Notice
from layout.frame.plane import tolerances
from layout.frame.solve import Frame
from layout.geometry.diagnosis.words import measured
from layout.geometry.dimensions import REGISTRY

CHANGE = "Change {given} from {old} to {new}, or correct jig.settings.{name}."
CORRECT = "Correct jig.settings.{name}, or set it without this stop."
ANSWERS = 1e-3
"""A given number that moves a setting by less than this for each unit does not reach it."""


def reach_notices(frame: Frame, found: Sequence[Setting]) -> Iterator[Notice]:
    """What the jig cannot be set to, each with the change of one given number that would do."""
    for setting in found:
        for notice in notices((setting,)):
            yield replace(notice, message=f"{notice.message} {_what_would_do(frame, setting)}")


def _what_would_do(frame: Frame, setting: Setting) -> str:
    """The least change of one given number, as a share of what is usual; without one, what else to do."""
    correct = CORRECT.format(name=setting.name)
    lack = _lack(setting)
    parts = SUMS.get(setting.main.name, (setting.main.name,))
    if lack is None or not all(part in REGISTRY for part in parts):
        return correct
    moved = tolerances(frame.spec)
    ways = []
    for given, error in moved.errors.items():
        answer = sum(moved.effects[given].get(part, 0.0) for part in parts) / error
        usual, value = REGISTRY[given].usual, frame.plane.dimensions[given]
        if abs(answer) < ANSWERS or usual is None or value is None:
            continue
        change = lack / answer
        if REGISTRY[given].is_possible(value + change):
            ways.append((abs(change) / (usual[1] - usual[0]), given, value, change))
    if not ways:
        return correct
    _, given, value, change = min(ways)
    old, new = measured(value, given), measured(value + change, given)
    return CHANGE.format(given=given, old=old, new=new, name=setting.name)


def _lack(setting: Setting) -> float | None:
    """By how much the setting's number has to change for the jig to reach it."""
    scale = setting.scale
    if scale is None:
        return None
    if scale.limits is not None:
        low, high = scale.limits
        return low - setting.main.value if setting.main.value < low else high - setting.main.value
    return None if scale.reached or scale.step is None else scale.error
