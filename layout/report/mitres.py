"""What the builder should know before cutting: cuts that are not whole, butts eaten, gaps too small."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from layout.drafting.numbers import format_number
from layout.errors import Notice
from layout.frame.words import words
from layout.geometry.space.assembly import Joint
from layout.geometry.space.clearance import TYRE, WANTED, Clearances
from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.gaps import Gap
from layout.geometry.space.lengths import BUTT_LEAST, TubeLengths
from layout.geometry.space.meeting import nearest_host_axis
from layout.geometry.space.mitre import Cut
from layout.geometry.space.roles import SEAT_STAY, SHELL
from layout.geometry.space.tube import FIRST

if TYPE_CHECKING:
    from layout.views.templates.strips import Strip

PAST = 0.01
"""A cut reaches past the end of the other tube where it does so by more than this, mm."""
APPROXIMATE = (
    "{end}: the tube changes its shape under the template, so the template is up to {strain} mm off round "
    "the tube. Fit it by eye."
)
IN_BEND = (
    "{end}: the template reaches into a bend. Wrap it before you bend the tube, or cut it off {clear} mm "
    "from the joint's centre."
)
BEFORE_BENDING = "{tube}: wrap both templates on the straight tube and scribe the cuts. Then bend it and cut."
PARALLEL = "{end}: runs parallel to the {host}, so there is no mitre. Check the angles."
MISSED = (
    "{end}: does not touch the {host}: the axes are {apart} mm apart, the radii together {radii} mm. "
    "The end is left square. Check the sizes."
)
PARTIAL_ONE = (
    "{end}: the {sides} side ({count} of 360 degrees) does not touch {others}. Only the rest is mitred."
)
PARTIAL = (
    "{end}: the {sides} sides ({count} of 360 degrees) do not touch {others}. Only the rest is mitred."
)
CUT_IN_BEND = "{end}: the cut reaches into a bend. Move the bend away from the end."
PAST_FACE = "{end}: reaches {over} mm past the shell's face, where there is no wall. Check the offsets."
PAST_END = "{end}: reaches {over} mm past the end of the {host}, where there is no wall. Check the lengths."
BUTT_REMOVED = (
    "{end}: the cut leaves {left} mm of the butt behind its deepest point; at least {least} mm needed "
    "(common practice). Cut less off this end."
)
BUTT_GONE = (
    "{end}: the cut removes the whole butt; at least {least} mm needed behind its deepest point (common "
    "practice). Cut less off this end."
)
GAP = "{tube} to {part}: {value} mm; at least {least} mm needed ({reason})."
OVERLAP = "{tube} to {part}: they run into each other by {value} mm; at least {least} mm needed ({reason})."
CHANGE = "Change the frame or one of the parts."
"""What to do at a gap that is too small, where nothing better is known."""
SINGLE_ADVICE = (
    " No other overlap with the single tube makes more room. Bend the stays outwards, or write "
    "seat_stay_mount: side."
)
STRAIN = 0.02
"""A template further off than this is said to be, mm."""


def notices(
    frame: SpaceFrame,
    strips: Sequence[Strip],
    lengths: Mapping[str, TubeLengths],
    clearances: Clearances,
    *,
    advice: Callable[[Gap], str] | None = None,
) -> Iterator[Notice]:
    """Every warning of a frame's mitres, in the order of the work; `advice` says what makes room at a gap."""
    for joint in frame.missed:
        yield _missed_notice(frame, joint)
    for cut in frame.cuts:
        if cut.end.tube.listed:
            yield from _of_cut(cut)
    for strip in strips:
        if strip.laid.strain > STRAIN:
            strain = format_number(strip.laid.strain, 2)
            said = APPROXIMATE.format(end=_end(strip.cut), strain=strain)
            yield Notice("template_approximate", said)
        if strip.cut.end.tube.role.alike_ends:
            if not _straight(strip.cut) and strip.cut.end.which == FIRST:
                said = BEFORE_BENDING.format(tube=words(strip.cut.end.tube.label).capitalize())
                yield Notice("bridge_curved", said)
        elif strip.edge > _clear(strip.cut) and not _straight(strip.cut):
            clear = format_number(_clear(strip.cut), 0)
            yield Notice("template_in_bend", IN_BEND.format(end=_end(strip.cut), clear=clear))
    yield from _butts(frame, lengths)
    yield from _gaps(clearances, advice)


def _end(cut: Cut) -> str:
    return f"{words(cut.end.tube.label)}, {words(cut.end_name)} end"


def _missed_notice(frame: SpaceFrame, joint: Joint) -> Notice:
    tube, host = frame.tubes[joint.tube], frame.tubes[joint.hosts[0]]
    end = tube.end(joint.which)
    near = nearest_host_axis(end, host)
    name = f"{words(joint.tube)}, {words(end.name)} end"
    if near is None:
        return Notice("cut_missed", PARALLEL.format(end=name, host=words(host.name)))
    radii = format_number(tube.profile.greatest + host.profile.greatest, 1)
    apart = format_number(near.distance, 1)
    said = MISSED.format(end=name, host=words(host.name), apart=apart, radii=radii)
    return Notice("cut_missed", said)


def _of_cut(cut: Cut) -> Iterator[Notice]:
    if cut.partial:
        count = int(cut.missed.sum())
        others = " and ".join(f"the {words(n)}" for n in cut.against)
        sides = list(dict.fromkeys(cut.end.tube.quarter(phi) for phi in cut.passing))
        said = PARTIAL_ONE if len(sides) == 1 else PARTIAL
        said = said.format(end=_end(cut), sides=" and ".join(sides), count=count, others=others)
        yield Notice("cut_partial", said)
    if cut.greatest.s > _clear(cut) and not _straight(cut):
        yield Notice("cut_in_bend", CUT_IN_BEND.format(end=_end(cut)))
    for k, host in enumerate(cut.hosts):
        over = _past(cut, k)
        if over > PAST:
            said = PAST_FACE if host.tube.role == SHELL else PAST_END
            said = said.format(end=_end(cut), over=format_number(over, 1), host=words(host.tube.name))
            yield Notice("cut_past_end", said)


def _straight(cut: Cut) -> bool:
    return cut.end.tube.path.straight


def _clear(cut: Cut) -> float:
    """How far the tube is straight from the origin of s on, mm."""
    return cut.end.clear + cut.end.inward * (cut.end.t - cut.origin)


def _past(cut: Cut, k: int) -> float:
    """How far a cut's curve lies past the end of the host it lies on there, mm; 0 if it does not."""
    host = cut.hosts[k].tube
    mine = cut.host == k
    if not host.path.straight or not mine.any():
        return 0.0
    points = cut.points(cut.phi[mine], cut.s[mine])
    stations = host.path.first.local(points)[:, 0]
    return float(max((-stations).max(), (stations - host.length).max(), 0.0))


def _butts(frame: SpaceFrame, lengths: Mapping[str, TubeLengths]) -> Iterator[Notice]:
    for name, found in lengths.items():
        if found.butts is None:
            continue
        for k, eaten in enumerate(found.butts_eaten):
            if eaten:
                end = f"{words(name)}, {words(frame.tubes[name].ends[k])} end"
                left, least = format_number(found.butts[k], 1), format_number(BUTT_LEAST, 0)
                said = BUTT_REMOVED if found.butts[k] > 0.0 else BUTT_GONE
                yield Notice("butt_eaten", said.format(end=end, left=left, least=least))


def _gaps(clearances: Clearances, advice: Callable[[Gap], str] | None) -> Iterator[Notice]:
    single = clearances.frame.rear.mount == "single"
    for gap in clearances.short:
        want, tube = WANTED[gap.part], clearances.frame.tubes[gap.tube]
        said = (OVERLAP if gap.value < 0.0 else GAP).format(
            tube=words(tube.label), part=gap.part, value=format_number(abs(gap.value), 1),
            least=format_number(want.least, 1), reason=want.reason,
        )  # fmt: skip
        ways = "" if advice is None else advice(gap)
        if single and tube.role == SEAT_STAY and gap.part == TYRE:
            ways = SINGLE_ADVICE + ways
        yield Notice("gap_small", said + (ways or f" {CHANGE}"))
