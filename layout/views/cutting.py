"""The cutting table: what each tube is cut to and how the mill is set, as panels.

Lengths mm, angles degrees. Distances from the mark are taped along the tube from a line scribed half
way between its two centre points. Phi is counted from the tube's phase line, right-handed about first
end to second.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from layout.bench.cutting import diameter_words, wall_words
from layout.bench.fitted import BRIDGE, bridge_notes
from layout.bench.joining import joining_notes
from layout.bench.lugs import lug_notes
from layout.bench.marks import BEND, DIMPLE, VENT, Mark, dimple_marks, marks, side_words
from layout.bench.vents import LUGGED, unvented
from layout.drafting.cautions import cautions_across
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import Cells, Column, table, text_block
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.assembly import Assembly
from layout.geometry.space.cutter import MISFIT
from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.lengths import ALLOWANCE, EndSetting, Mill, TubeLengths
from layout.geometry.space.mitre import Cut
from layout.geometry.space.roles import CHAIN_STAY
from layout.geometry.space.tube import FIRST, SECOND, Tube
from layout.views.long_tables import long_table
from layout.views.mounts import mount_tables
from layout.views.stay_ends import stay_end_table
from layout.views.templates.words import SMALL_NOTE

WIDTH = 170.0
"""Fits upright A4 and Letter inside their borders."""
TUBE_WIDTH = 40.0
"""The longest name of a tube on one line of a table, mm."""
TEMPLATE_ONLY = "template only"
NOT_REACHED = "not reached"
MISFIT_SHOWN = 0.005
"""A misfit this small is none on a page, mm."""
ANGLES = {
    "angle_top_head": "head lug, top tube",
    "angle_down_head": "head lug, down tube",
    "angle_seat_top": "seat lug, top tube",
    "angle_seat_down": "shell, seat tube to down tube",
    "angle_seat_chain": "shell, seat tube to chain stay",
}
"""Lug and socket angles by the dimension that holds each."""
def cutting_panels(job: str, frame: Frame, assumed: Mapping[str, str]) -> list[Panel]:
    """The tables of the cutting sheet, WIDTH wide, in reading order; `job` names the spec.

    A pair of stays
    is one row: the left one is the mirror image of the right one. `assumed` are the
    sizes that the spec does not give, by key.
    """
    space = frame.space
    found = {t.tube.name: t for t in frame.lengths.listed}
    notes = [
        *_notes(space, found), *bridge_notes(frame), *lug_notes(frame), *joining_notes(frame),
        *_vent_notes(frame), *_assumed_notes(assumed),
    ]  # fmt: skip
    return [
        *_tube_table(job, space, found),
        *_rotation_table(space, found),
        stay_end_table(frame, WIDTH, TUBE_WIDTH),
        _angle_table(frame),
        cautions_across(WIDTH, SMALL_NOTE),
        *_end_table(space, found),
        *_point_table(space, found),
        *_mark_table(frame, (*marks(frame), *dimple_marks(frame))),
        *mount_tables(frame, WIDTH),
        text_block("cutting_notes", "Notes", notes, WIDTH, text_height=SMALL_NOTE),
    ]


def _tube_table(job: str, space: Assembly, found: Mapping[str, TubeLengths]) -> Iterator[Panel]:
    columns = (
        Column("tube", least=TUBE_WIDTH), Column("Ø"), Column("wall"),
        Column("centre length", Cells.NUMBER), Column("cut length", Cells.NUMBER),
        Column("cut to, before mitring", Cells.NUMBER), Column("butts left"),
    )  # fmt: skip
    body = []
    for name, lengths in found.items():
        tube = space.tubes[name]
        sizes = dict.fromkeys((diameter_words(tube, 0.0), diameter_words(tube, tube.length)))
        walls = [wall_words(tube, k) for k in (0, 2, 1)] if tube.walls is not None else []
        walls = walls[:1] if len(set(walls)) == 1 else walls
        left = "" if lengths.butts is None else "/".join(format_number(b, 0) for b in lengths.butts)
        body.append((
            _listed_name(tube), "-".join(sizes), "/".join(walls), _mm(lengths.centre_length),
            _mm(lengths.cut_length), _mm(lengths.length_needed), left,
        ))  # fmt: skip
    return long_table("tubes", f"{job}: tubes, mm", columns, body, width=WIDTH)


def _rotation_table(space: Assembly, found: Mapping[str, TubeLengths]) -> Iterator[Panel]:
    """How each tube that is mitred at both ends is turned between its cuts, from which side to which."""
    columns = (Column("tube", share=2.0), Column("rotation", Cells.NUMBER),
               Column("from the short side", share=2.0), Column("to the short side", share=2.0))  # fmt: skip
    body = []
    for name, lengths in found.items():
        cuts = [space.cut_of(name, which) for which in (FIRST, SECOND)]
        if lengths.rotation is None or lengths.turned is None:
            continue
        sides = [f"{c.end.tube.quarter(phi)}, at {words(c.end_name)}"
                 for c, phi in zip(cuts, lengths.turned, strict=True) if c is not None]  # fmt: skip
        body.append((_listed_name(lengths.tube), format_number(lengths.rotation, 1) + "°", *sides))
    title = "Rotation between the cuts of one tube"
    return long_table("rotation", title, columns, body, width=WIDTH)


def _end_table(space: Assembly, found: Mapping[str, TubeLengths]) -> Iterator[Panel]:
    """How the mill is set for each tube that an end is cut on."""
    columns = (
        Column("end", least=33.0), Column("cut on", share=1.0), Column("mill, between axes", Cells.NUMBER),
        Column("mill, from square", Cells.NUMBER), Column("cutter Ø", Cells.NUMBER),
        Column("misfit", Cells.NUMBER), Column("cutter axis", Cells.NUMBER), Column("offset", Cells.NUMBER),
        Column("short side"),
    )  # fmt: skip
    body = [row for cut, end in _mitred_ends(space, found) for row in _mill_rows(space, cut, end)]
    return long_table("ends", "Mitred ends: mill", columns, body, width=WIDTH)


def _point_table(space: Assembly, found: Mapping[str, TubeLengths]) -> Iterator[Panel]:
    """Where the long and the short point of each mitred end lie from the mark."""
    columns = (
        Column("end", share=1.0), Column("mark to long point", Cells.NUMBER), Column("side"),
        Column("mark to short point", Cells.NUMBER), Column("side"),
    )  # fmt: skip
    body = [
        (
            _end_words(cut), _mm(end.from_mark_long), side_words(cut.end.tube, end.long_phi),
            _mm(end.from_mark_short), side_words(cut.end.tube, end.short_phi),
        )
        for cut, end in _mitred_ends(space, found)
    ]  # fmt: skip
    title = "Mitred ends: long and short points"
    return long_table("points", title, columns, body, width=WIDTH)


def _mitred_ends(space: Assembly, found: Mapping[str, TubeLengths]) -> Iterator[tuple[Cut, EndSetting]]:
    """Every end that has a cut and a row of its own."""
    for name, lengths in found.items():
        for k, end in enumerate(lengths.ends):
            cut = space.cut_of(name, k)
            if end is not None and cut is not None and not (lengths.tube.role.alike_ends and k == SECOND):
                yield cut, end


def _end_words(cut: Cut) -> str:
    tube = cut.end.tube
    return _listed_name(tube) if tube.role.alike_ends else f"{_listed_name(tube)}, {words(cut.end_name)}"


def _mill_rows(space: Assembly, cut: Cut, end: EndSetting) -> Iterator[tuple[str, ...]]:
    """A row for each tube that an end is cut on."""
    tube = cut.end.tube
    for mill in end.mills:
        host = space.tubes[mill.on]
        on = words(host.label if tube.role.alike_ends else host.name)
        side = ", ".join(tube.quarter(phi) for phi in mill.short)
        yield (_end_words(cut), on + _mill_remark(mill), *_mill_words(mill, cut), _mm(mill.offset), side)


def _mill_remark(mill: Mill) -> str:
    """What stands behind the tube's name where no hole saw cuts the joint."""
    if not mill.reached:
        return f": {NOT_REACHED}"
    return "" if mill.cutter is not None else f": {TEMPLATE_ONLY}"


def _mill_words(mill: Mill, cut: Cut) -> tuple[str, ...]:
    """Angle between the axes and from square, cutter, misfit, and where the cutter's axis stands."""
    cutter = mill.cutter
    if cutter is None:
        return ("",) * 5
    misfit = _mm(cutter.misfit, 2) if cutter.misfit >= MISFIT_SHOWN else ""
    angles = (format_number(v, 1) + "°" for v in (cutter.angle, 90.0 - cutter.angle))
    return (*angles, _mm(cutter.diameter), misfit, _mm(cutter.place - cut.least.s))


def _angle_table(frame: Frame) -> Panel:
    """Lug and socket angles: as they are, as the acute angle for a mill, and from square."""
    columns = (Column("lug or socket", share=3.0), Column("angle", Cells.NUMBER),
               Column("acute", Cells.NUMBER), Column("from square", Cells.NUMBER))  # fmt: skip
    body = []
    for name, said in ANGLES.items():
        value = frame.plane.dimensions.get(name)
        if value is not None:
            body.append((said, *_angles(value)))
    right = frame.space.drawn(CHAIN_STAY).path.first.along
    spread = 2 * math.degrees(math.asin(min(1.0, float(abs(right[2])))))
    body.append(("shell, chain stay to chain stay", *_angles(spread)))
    return table("angles", "Lugs and sockets", columns, body, text_height=TEXT_NOTE, width=WIDTH)


def _angles(angle: float) -> tuple[str, str, str]:
    acute = min(angle, 180.0 - angle)
    return tuple(format_number(v, 1) + "°" for v in (angle, acute, 90.0 - acute))  # type: ignore[return-value]


def _mark_table(frame: Frame, marked: Sequence[Mark]) -> Iterator[Panel]:
    """Where each vent, fitting and bend is marked, from what a tape hooks on; of a pair the right one."""
    columns = (
        Column("mark", share=2.0), Column("on", share=1.0), Column("distance", Cells.NUMBER),
        Column("hook the tape on", share=2.0), Column("side", share=1.0),
    )  # fmt: skip
    both = Counter(m.feature for m in marked if m.tube.role.paired)
    body = []
    for m in marked:
        alike = _alike_pair(m) or both[m.feature] > 1
        if m.tube.listed or not m.tube.role.paired or not alike:
            on = _listed_name(m.tube) if alike or not m.tube.role.paired else words(m.tube.name)
            hook = f"past {m.hook}" if m.way == "past" else m.hook
            body.append((m.what, on, _mm(abs(m.distance)), hook, m.side))
    title = f"Marks along each tube; vents for a {frame.model.joining} frame"
    return long_table("marks", title, columns, body, width=WIDTH)


def _alike_pair(mark: Mark) -> bool:
    """Whether the other tube of the pair has the same mark."""
    return mark.kind in (BEND, BRIDGE, DIMPLE) or mark.feature.startswith(VENT)


def _vent_notes(frame: Frame) -> Iterator[str]:
    """What is drilled because of how the frame is joined, and where no hole has room."""
    if frame.model.joining == LUGGED:
        yield (
            "Lugged: main tubes open into the lugs and the shell, so the joints need no vents. A tube closed "
            "at both ends needs its own vent. Heating a sealed tube is dangerous."
        )
    for missing in unvented(frame):
        own = "They have vents of their own." if missing.tube.role.paired else "It has a vent of its own."
        yield f"{missing.words} {own}"


def _notes(space: SpaceFrame, found: Mapping[str, TubeLengths]) -> Iterator[str]:
    yield (
        "Centre lengths are between the points where the axes come closest. Cut length is from long point "
        f"to long point. Before mitring, cut {_mm(ALLOWANCE, 0)} mm more for each mitred end."
    )
    yield (
        "Stays are listed once: the left one is the mirror image of the right one. So are a bridge's two "
        "ends. An end without a row is cut square."
    )
    if any(end is not None and len(end.mills) > 1 for t in found.values() for end in t.ends):
        yield (
            "An end cut on two tubes has a row for each: mill both. Long and short point are of the finished "
            "end."
        )
    yield (
        "The mark is scribed round the tube half way between its centre points. Short side: where the cut is "
        "deepest. An end cut square to a tube has two, opposite each other. Rotation turns the tube from the "
        "first end's short side to the second's. Positive: clockwise, seen from the first end. Scribe one "
        "line along the tube to set both."
    )
    yield from _mill_notes([m for t in found.values() for e in t.ends if e is not None for m in e.mills])
    yield from _butt_notes(space, found)
    yield from _facing_notes(space, found)
    yield f"Shell: {_mm(space.shell.width)} mm wide when faced; add the facing allowance."


def _mill_notes(mills: Sequence[Mill]) -> Iterator[str]:
    """Where the cutter's axis is counted from, what template only means, and a misfit."""
    if any(m.cutter is not None for m in mills):
        yield "Cutter axis: where it crosses the tube's axis, from the long point. Negative: past the end."
    if any(m.reached and m.cutter is None for m in mills):
        yield (
            f"{TEMPLATE_ONLY.capitalize()}: the other tube is not a round cylinder over the whole joint. The "
            f"best hole saw misses the curve by more than {_mm(MISFIT, 2)} mm. Use the template."
        )
    if any(m.cutter is not None and m.cutter.misfit >= MISFIT_SHOWN for m in mills):
        yield (
            "Misfit: how far the hole saw's cut misses the true curve. The mill's angle is then the "
            "best hole saw's, not the one between the axes. File to the template."
        )


def _butt_notes(space: Assembly, found: Mapping[str, TubeLengths]) -> Iterator[str]:
    """Which way round a tube of unequal butts goes, and where a cut eats one."""
    for name, lengths in found.items():
        walls, ends = space.tubes[name].walls, space.tubes[name].ends
        butts = None if walls is None or lengths.butts is None else walls.butts
        if butts is not None and butts[0] != butts[1]:
            k = 0 if butts[0] > butts[1] else 1
            tube, length = words(name).capitalize(), _mm(butts[k], 0)
            yield f"{tube}: the longer butt, {length} mm, goes to the {words(ends[k])} end."
    eaten = [
        f"{words(n)} at the {words(space.tubes[n].ends[k])} end"
        for n, lengths in found.items() for k in (0, 1) if lengths.butts_eaten[k]
    ]  # fmt: skip
    if eaten:
        yield "The cut removes the whole butt: " + ", ".join(eaten) + "."
    yield (
        "Butt left: thick wall behind the deepest point of the finished cut, if nothing is cut off before. "
        "Butted tubes are bought long."
    )
    for found_one in found.values():
        if found_one.spare is not None:
            name, ends = words(found_one.tube.label).capitalize(), found_one.tube.ends
            off = (f"{words(e)} {_mm(math.floor(v), 0)}" for e, v in zip(ends, found_one.spare, strict=True))
            yield f"{name}: cut at most this off each end of the tube as bought, in mm: {', '.join(off)}."


def _facing_notes(space: Assembly, found: Mapping[str, TubeLengths]) -> Iterator[str]:
    """What is cut longer for facing, and at which ends."""
    for name, lengths in found.items():
        ends = [k for k in (0, 1) if lengths.facing[k]]
        if ends:
            where = "each" if len(ends) == 2 else f"the {words(space.tubes[name].ends[ends[0]])}"
            yield (
                f"{words(name).capitalize()}: cut {_mm(lengths.length_needed)} mm; facing removes "
                f"{_mm(lengths.facing[ends[0]])} mm at {where} end."
            )


def _listed_name(tube: Tube) -> str:
    """A tube's name in a table: a pair of stays is listed once."""
    return tube.role.plural if tube.role.paired else words(tube.label)


def _assumed_notes(assumed: Mapping[str, str]) -> Iterator[str]:
    if assumed:
        yield "Defaults, not in the spec: " + ", ".join(f"{k} {v}" for k, v in assumed.items()) + "."


def _mm(value: float, decimals: int = 1) -> str:
    return format_number(value, decimals)
