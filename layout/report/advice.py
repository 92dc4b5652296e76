"""What an inspection means for the bicycle and the bench, in words.

    effects   trail, wheelbase, drop and fit: what the rider will notice
    pulls     before welding: which point lies where, and which way it has to go
    corrections   in tolerance but off: what cold-setting, facing or reaming would bring nearer; common
              practice, with its caution

A deviation under its own standard deviation is not told from none, and nothing is made of it. What a rider
notices is said only of what is surely off, and by so much that it is felt.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from layout.checks.alignment import HEIGHT, SPACING, TWIST
from layout.checks.built import Judged
from layout.checks.fit import HALF_WIDTH_95
from layout.checks.inspect import FrameVerdict, Inspection
from layout.drafting.numbers import format_number
from layout.geometry.dimensions import REGISTRY
from layout.spec.readings import ALIGNMENTS

SMALLEST = {"mm": 0.1, "deg": 0.05}
"""Less than this is not worth a word: what the tables show."""
FELT = {"mm": 1.0, "deg": 0.1}
"""Less than this no rider notices; common practice."""
CAUTION = (
    "Common practice, for steel frames only, cold, a little at a time, measured after each pull. Never on "
    "aluminium, titanium, carbon or heat-treated tubes, and never where a joint or a dent would take the "
    "bend: a frame bent to true can crack later. If in doubt leave it, or ask a qualified builder."
)


class _Effect(NamedTuple):
    """What more and less of a dimension is called, and what it does."""

    name: str
    more: str
    less: str


EFFECTS = (
    _Effect("trail", "more trail: steadier, slower to steer", "less trail: quicker, lighter to steer"),
    _Effect("wheelbase", "longer wheelbase: steadier, a wider turn", "shorter wheelbase: livelier"),
    _Effect(
        "bb_drop",
        "more drop: the BB lies lower, pedals nearer the ground",
        "less drop: the BB and the rider sit higher",
    ),
    _Effect("reach", "more reach: the bars are further forward", "less reach: the bars are nearer"),
    _Effect("stack", "more stack: the bars are higher", "less stack: the bars are lower"),
    _Effect(
        "seat_angle",
        "steeper seat tube: the saddle comes forward",
        "slacker seat tube: the saddle goes back",
    ),
    _Effect(
        "toe_clearance", "more room between shoe and front tyre", "less room between shoe and front tyre"
    ),
)
"""In the order in which they are told; common practice."""

_CORRECTIONS = {
    TWIST: "head tube twist: hold the shell, put a bar through the head tube, turn it back",
    "dropout_height": "dropout height: file the dropout in its slot, or pull the stay at the axle end",
    "wheel_centring": "wheel centring: pull both stays together to the other side",
    SPACING: "dropout spacing: pull each dropout by half, then make them parallel again",
    "head_tube_length": "head tube length: face the longer end, as far as the headset allows",
    "seat_tube_length": "seat tube length: trim the top, then ream the bore and open the slot",
}


def effects(found: Inspection) -> Iterator[str]:
    """One sentence for each of trail, wheelbase, drop and fit that is off; one for those that are not.

    First what of the alignment is out of tolerance: no figure in the plane makes up for it.
    """
    as_designed = []
    yield from _out_of_line(found)
    for effect in EFFECTS:
        judged = found.dimensions.get(effect.name)
        if judged is None or judged.deviation is None:
            continue
        if not _is_felt(judged):
            as_designed.append(effect.name.replace("bb_", "BB ").replace("_", " "))
            continue
        words = effect.more if judged.deviation > 0 else effect.less
        yield f"{amount_text(judged)} {words}{_saddle(found, effect.name)}."
    if as_designed:
        yield f"As designed, or too near to feel or to measure: {', '.join(as_designed)}."
    yield from _too_near(found)


def pulls(found: Inspection) -> Iterator[str]:
    """Which way each point that is off has to go, the BB held and the frame level."""
    for move in found.moves:
        ahead = _way(move.ahead, move.ahead_deviation, "towards the rear", "towards the front")
        up = _way(move.up, move.up_deviation, "down", "up")
        if ahead or up:
            name = move.point.replace("_", " ")
            yield f"{name}: bring it {' and '.join(w for w in (ahead, up) if w)}."


def corrections(found: Inspection) -> Iterator[str]:
    """What would bring nearer what is in tolerance but off; nothing where the frame is out of tolerance."""
    if found.verdict is FrameVerdict.FAIL:
        return
    for name, judged in found.dimensions.items():
        if judged.within and is_off(judged) and (said := _mend(name, judged)):
            yield f"{said} ({signed_text(judged)})."


def is_off(judged: Judged) -> bool:
    """Whether a deviation is told from none by the readings, and is worth a word."""
    off, deviation = judged.deviation, judged.uncertainty
    if off is None or deviation is None:
        return False
    return abs(off) >= max(deviation, SMALLEST[judged.unit])


def _is_felt(judged: Judged) -> bool:
    """Whether a dimension is surely off (95 %), and by so much that a rider may notice."""
    off, deviation = judged.deviation, judged.uncertainty
    if off is None or deviation is None:
        return False
    return abs(off) >= max(HALF_WIDTH_95 * deviation, FELT[judged.unit])


def signed_text(judged: Judged) -> str:
    """A deviation with its sign and unit.

    >>> signed_text(Judged("trail", "mm", 60.0, 61.2, 0.5, 1.0))
    '+1.2 mm'
    """
    decimals = DECIMALS[judged.unit]
    off = judged.deviation or 0.0
    shown = format_number(off, decimals)
    sign = "+" if off > 0 and shown != format_number(0.0, decimals) else ""
    return f"{sign}{shown}{_UNITS[judged.unit]}"


def amount_text(judged: Judged) -> str:
    """The size of a deviation with its unit."""
    return f"{format_number(abs(judged.deviation or 0.0), DECIMALS[judged.unit])}{_UNITS[judged.unit]}"


DECIMALS = {"mm": 1, "deg": 2}
_UNITS = {"mm": " mm", "deg": "°"}


def _out_of_line(found: Inspection) -> Iterator[str]:
    """What of the alignment is out of tolerance."""
    out = [
        f"{name.replace('_', ' ')} {signed_text(j)}"
        for name, j in found.dimensions.items()
        if j.within is False and (name in ALIGNMENTS or name.startswith(HEIGHT))
    ]
    if out:
        yield (
            f"Alignment is out of tolerance ({', '.join(out)}): correct this first. The bicycle may not "
            "run straight even if every side-view dimension is right."
        )


def _saddle(found: Inspection, name: str) -> str:
    """How far the saddle has to slide to where it was, where its height is known."""
    height, seat = found.dimensions.get("saddle_height"), found.dimensions.get("seat_angle")
    if name != "seat_angle" or seat is None or seat.deviation is None:
        return ""
    if height is None or height.design is None or seat.design is None or seat.estimate is None:
        return ""
    was, now = (height.design * math.cos(math.radians(a)) for a in (seat.design, seat.estimate))
    way = "back" if now < was else "forward"
    return f"; slide it {format_number(abs(was - now), 0)} mm {way} to keep the rider's position"


def _too_near(found: Inspection) -> Iterator[str]:
    for name in ("down_tube_to_tyre", "pedal_lean_angle", "pedal_to_tyre"):
        judged, usual = found.dimensions.get(name), REGISTRY[name].usual
        if judged is None or judged.estimate is None or usual is None or judged.estimate >= usual[0]:
            continue
        has, unit = format_number(judged.estimate, DECIMALS[judged.unit]), _UNITS[judged.unit]
        asked = f"ISO 4210-2 asks for at least {usual[0]:g}{unit} (from memory: check it)"
        yield f"{name.replace('_', ' ')} is {has}{unit}. {asked}."


def _way(off: float, deviation: float, more: str, less: str) -> str:
    """The way back from an offset: nothing where the readings do not tell it from none."""
    if abs(off) < max(deviation, SMALLEST["mm"]):
        return ""
    return f"{format_number(abs(off), 1)} mm {more if off > 0 else less}"


def _mend(name: str, judged: Judged) -> str:
    if name.startswith(HEIGHT):
        point = name.removeprefix(HEIGHT).replace("_", " ")
        return f"{point} off the plane: hold the shell, pull it towards the plane"
    if name.endswith("_length") and (judged.deviation or 0.0) < 0:
        return ""
    return _CORRECTIONS.get(name, "")
