"""What the builder should know before cutting: cuts that are not whole, butts eaten, gaps too small."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.drafting.numbers import format_number
from layout.errors import Notice
from layout.frame.words import words
from layout.geometry.space.assembly import Joint
from layout.geometry.space.clearance import TYRE, WANTED, Clearances
from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.lengths import BUTT_LEAST, TubeLengths
from layout.geometry.space.meeting import nearest_host_axis
from layout.geometry.space.mitre import Cut
from layout.geometry.space.roles import SEAT_STAY, SHELL
from layout.views.templates.strips import Strip

PAST = 0.01
"""A cut reaches past the end of the other tube where it does so by more than this, mm."""
SINGLE_ADVICE = (
    ". However the stays lap the single tube, there is no more room: bend the stays outwards, or write "
    "seat_stay_mount: side"
)
STRAIN = 0.02
"""A template further off than this is said to be, mm."""


def notices(
    frame: SpaceFrame, strips: Sequence[Strip], lengths: dict[str, TubeLengths], clearances: Clearances
) -> Iterator[Notice]:
    """Every warning of a frame's mitres, in the order of the work."""
    for joint in frame.missed:
        yield _missed_notice(frame, joint)
    for cut in frame.cuts:
        yield from _of_cut(cut)
    for strip in strips:
        if strip.laid.strain > STRAIN:
            yield Notice(
                "template_approximate",
                f"{_end(strip.cut)}: the tube changes its shape under the template, which cannot be laid "
                f"flat exactly: up to {format_number(strip.laid.strain, 2)} mm round the tube; fit it by eye",
            )
        if strip.edge > _clear(strip.cut) and not _straight(strip.cut):
            yield Notice(
                "template_in_bend",
                f"{_end(strip.cut)}: the template reaches into a bend; shorten it to "
                f"{format_number(_clear(strip.cut), 0)} from the joint's centre",
            )
    yield from _butts(frame, lengths)
    yield from _gaps(clearances)


def _end(cut: Cut) -> str:
    return f"{words(cut.tube)}, {words(cut.end_name)} end"


def _missed_notice(frame: SpaceFrame, joint: Joint) -> Notice:
    tube, host = frame.tubes[joint.tube], frame.tubes[joint.hosts[0]]
    end = tube.end(joint.which)
    near = nearest_host_axis(end, host)
    name = f"{words(joint.tube)}, {words(end.name)} end"
    if near is None:
        return Notice("cut_missed", f"{name}: runs parallel to the {words(host.name)}: there is no mitre")
    radii = tube.profile.greatest + host.profile.greatest
    return Notice(
        "cut_missed",
        f"{name}: passes wholly beside the {words(host.name)}: the axes are "
        f"{format_number(near.distance, 1)} apart, the radii together {format_number(radii, 1)}: "
        "there is no mitre, the end is left square",
    )


def _of_cut(cut: Cut) -> Iterator[Notice]:
    if cut.partial:
        count = int(cut.missed.sum())
        others = " and ".join(words(n) for n in cut.against)
        sides = list(dict.fromkeys(cut.end.tube.quarter(phi) for phi in cut.passing))
        which = f"its {sides[0]} side passes" if len(sides) == 1 else f"its {' and '.join(sides)} sides pass"
        yield Notice(
            "cut_partial",
            f"{_end(cut)}: {which} beside {others} over {count} of 360 degrees: only the rest is cut to fit",
        )
    if cut.greatest.s > _clear(cut) and not _straight(cut):
        yield Notice(
            "cut_in_bend", f"{_end(cut)}: the cut reaches into a bend; move the bend away from the end"
        )
    for k, host in enumerate(cut.hosts):
        over = _past(cut, k)
        if over > PAST:
            what = (
                "the shell's face" if host.tube.role == SHELL else f"the end of the {words(host.tube.name)}"
            )
            yield Notice(
                "cut_past_end",
                f"{_end(cut)}: reaches {format_number(over, 1)} past {what}; it has no wall there",
            )


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


def _butts(frame: SpaceFrame, lengths: dict[str, TubeLengths]) -> Iterator[Notice]:
    for name, found in lengths.items():
        if found.butts is None:
            continue
        for k, eaten in enumerate(found.butts_eaten):
            if eaten:
                yield Notice(
                    "butt_eaten",
                    f"{words(name)}, {words(frame.tubes[name].ends[k])} end: the cut leaves "
                    f"{format_number(found.butts[k], 1)} of the butt behind its deepest point; at least "
                    f"{format_number(BUTT_LEAST, 0)} is wanted (common practice)",
                )


def _gaps(clearances: Clearances) -> Iterator[Notice]:
    single = clearances.frame.rear.mount == "single"
    for gap in clearances.short:
        want, tube = WANTED[gap.part], clearances.frame.tubes[gap.tube]
        pair = f"{words(gap.tube)} and {gap.part}"
        if gap.value < 0.0:
            said = f"{pair} run into each other by {format_number(-gap.value, 1)}"
        else:
            said = f"{pair}: a gap of {format_number(gap.value, 1)}"
        said = f"{said}; {format_number(want.least, 0)} is wanted ({want.reason})"
        if single and tube.role == SEAT_STAY and gap.part == TYRE:
            said += SINGLE_ADVICE
        yield Notice("gap_small", said)
