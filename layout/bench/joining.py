"""What a frame's way of joining asks for: the room that each joint's edge takes, and the notes on it.

welded    a bead on both sides of the joint's line
fillet    a fillet of brass over it
lugged    the lug or socket from the tube's long point to its own point
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layout.bench.fillets import FILLET_RADIUS, fillets
from layout.bench.lugs import lugs
from layout.bench.marks import Mark, fitting_marks, what_words
from layout.drafting.numbers import format_number
from layout.errors import Notice
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.mitre import Cut
from layout.geometry.space.tube import FIRST, Tube
from layout.geometry.space.vectors import Array

WELDED, FILLET, LUGGED = "welded", "fillet", "lugged"
EDGE = {WELDED: 5.0, FILLET: FILLET_RADIUS + 2.0}
"""From a joint's line to clear of its bead or its fillet, mm; common practice."""
FOOT = 5.0
"""Half a fitting's foot where its size is not written, mm: of a bottle boss, common practice."""
SEATED = ("boss", "guide", "hanger", "brake_mount", "port")
"""What must stay clear of a joint's edge; vents open inside it and bridges are joints of their own."""
AT_JOINT = (
    "{what}, {at} mm from {origin}: its middle is {apart} mm from the joint of the {tube} and the {other}. "
    "At least {least} mm needed for a {joining} joint (common practice). Move it."
)
IN_LUG = (
    "{what}, {at} mm from {origin}: its middle is {apart} mm from the end of the {tube}. The lug covers "
    "{least} mm there. Move it."
)


def joint_notices(frame: Frame) -> Iterator[Notice]:
    """Each fitting whose place a bead, a fillet or a lug takes."""
    for fitting in frame.fittings:
        if fitting.kind not in SEATED:
            continue
        *_, mark = fitting_marks(frame, fitting)
        said = _in_lug if frame.model.joining == LUGGED else _at_joint
        found = said(frame, fitting, mark)
        if found is not None:
            yield Notice("fitting_at_joint", found)


def joining_notes(frame: Frame) -> Iterator[str]:
    """What the cutting table says of a welded or a fillet-brazed frame."""
    joining = frame.model.joining
    if joining == WELDED:
        yield (
            f"Welded (common practice): keep fittings {_mm(EDGE[WELDED])} mm clear of each joint's line. "
            "Purge through the vents."
        )
    if joining == FILLET:
        yield (
            f"Fillet brazed (common practice): fillets are drawn with a radius of {_mm(FILLET_RADIUS)} mm. "
            f"Keep fittings {_mm(EDGE[FILLET])} mm clear of each joint's line. "
            "Clean both tubes past the fillet. It hides marks: measure before you braze."
        )
        yield from _short_fillets(frame)


def _short_fillets(frame: Frame) -> Iterator[str]:
    for each in fillets(frame):
        if each.end is not None:
            host = words(each.host.name)
            yield (
                f"{words(each.tube.name).capitalize()}: the {host} ends too near for a whole fillet at its "
                f"{words(each.host.ends[each.end])}. Its radius there is {_mm(each.radius)} mm at most."
            )


def _in_lug(frame: Frame, fitting: Fitting, mark: Mark) -> str | None:
    """What is said of a fitting under a lug of its own tube."""
    for lug in lugs(frame):
        if lug.tube.role == mark.tube.role:
            station = _station(frame, mark)
            apart = (station - lug.long_point) * lug.tube.end(lug.end).inward
            if apart < lug.length + _foot(fitting):
                return IN_LUG.format(
                    what=_what(fitting), at=_mm(fitting.at), origin=words(fitting.origin), apart=_mm(apart),
                    tube=words(mark.tube.label), least=_mm(lug.length),
                )  # fmt: skip
    return None


def _at_joint(frame: Frame, fitting: Fitting, mark: Mark) -> str | None:
    """What is said of a fitting whose foot a joint's edge would reach."""
    at, least = _point(frame, mark), EDGE[frame.model.joining] + _foot(fitting)
    near = [(_apart(cut, at), cut) for cut in frame.space.cuts if mark.tube.name in (cut.tube, *cut.against)]
    apart, cut = min(near, key=lambda found: found[0], default=(least, None))
    if cut is None or apart >= least:
        return None
    other = cut.hosts[0].tube if cut.tube == mark.tube.name else cut.end.tube
    return AT_JOINT.format(
        what=_what(fitting), at=_mm(fitting.at), origin=words(fitting.origin), apart=_mm(apart),
        tube=words(mark.tube.label), other=words(other.label), least=_mm(least), joining=frame.model.joining,
    )  # fmt: skip


def _apart(cut: Cut, at: Array) -> float:
    hit = ~cut.missed
    off = cut.points(cut.phi[hit], cut.s[hit]) - at
    return float(np.sqrt((off * off).sum(axis=1).min()))


def _point(frame: Frame, mark: Mark) -> Array:
    """Where a mark lies on its tube's outside."""
    tube, station = mark.tube, _station(frame, mark)
    radius = float(tube.profile.radius(mark.phi, station))
    return tube.path.at(station).point(0.0, mark.phi, radius)


def _station(frame: Frame, mark: Mark) -> float:
    cut = frame.space.cut_of(mark.tube.name, mark.end)
    origin = _end_station(mark.tube, mark.end) if cut is None else cut.origin
    return origin + mark.tube.end(mark.end).inward * mark.s


def _end_station(tube: Tube, end: int) -> float:
    return 0.0 if end == FIRST else tube.length


def _foot(fitting: Fitting) -> float:
    """How far a fitting reaches from its middle, mm."""
    sizes = (*(fitting.size or ()), *((fitting.diameter,) if fitting.diameter else ()))
    return max(sizes, default=2.0 * FOOT) / 2


def _what(fitting: Fitting) -> str:
    said = what_words(fitting)
    return said[0].upper() + said[1:]


def _mm(value: float) -> str:
    return format_number(value, 1)
