"""Which holes let the hot gas out of each tube, by how the frame is joined.

welded, fillet   each tube opens into the one it is cut on, inside the joint's footprint
lugged           main tubes open into the lugs and the shell: no holes at the joints
always           a tube that is closed at both ends has a hole of its own: heating a sealed tube is
dangerous
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from layout.bench.fitted import fitted_tubes
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.footprint import Footprint
from layout.geometry.space.mitre import Cut
from layout.geometry.space.roles import DOWN, INNER, SHELL
from layout.geometry.space.tube import FIRST, SECOND, Tube

LUGGED, VENT = "lugged", "vent"
MAIN, STAY = (6.0, 5.0, 4.0, 3.0), (3.0, 2.5, 2.0)
"""Drills for a main tube and for a stay or a bridge, Ø in mm, the first that has room; common practice."""
FROM_END = 20.0
"""A stay's own vent lies this far from its closed end, mm, common practice."""


class Vent(NamedTuple):
    """A hole to drill: in `tube` at a station (mm) and phi (degrees).

    It opens into another tube or, None, into the air. `end` (0 first, 1 second) is the end that it is
    measured from.
    """

    tube: Tube
    station: float
    phi: float
    diameter: float
    into: Tube | None
    end: int = 0


class Unvented(NamedTuple):
    """A joint in whose footprint no drill has room: the tube and the one it is cut on."""

    tube: Tube
    host: Tube

    @property
    def words(self) -> str:
        """What to do instead."""
        host, tube = words(self.host.name), self.tube.role.plural
        return f"No vent in the {host} reaches the {tube}: too little of the {host} lies under them."


def vents(frame: Frame) -> tuple[Vent, ...]:
    """Every hole, of both tubes of a pair, in the order of the joints, then the tubes' own."""
    found = [v for cut in _vented_joints(frame) for v in _at_joint(cut)]
    asked = {t.name for f in frame.fittings if f.kind == VENT for t in fitted_tubes(frame, f)}
    open_ = {v.into.name for v in found if v.into is not None}
    own = (t for t in frame.space.tubes.values() if t.name not in asked)
    return (*found, *(v for t in own for v in _own(frame, t, t.name in open_)))


def unvented(frame: Frame) -> tuple[Unvented, ...]:
    """The joints that should have a hole and have no room for one; of a pair once."""
    return tuple(
        Unvented(cut.end.tube, cut.hosts[0].tube)
        for cut in _vented_joints(frame)
        if cut.end.tube.listed and not list(_at_joint(cut))
    )


def opens_into(frame: Frame, tube: Tube, station: float, phi: float) -> Tube | None:
    """The tube in whose bore a hole at a station (mm) and phi (degrees) comes out, None for the air."""
    if not tube.path.straight:
        return None
    prints = (
        Footprint(cut, k)
        for cut in frame.space.cuts
        for k, host in enumerate(cut.hosts)
        if host.tube.name == tube.name
    )
    at = np.array(station), np.array(phi)
    return next((p.cut.end.tube for p in prints if bool(p.inside(*at))), None)


def _vented_joints(frame: Frame) -> Iterator[Cut]:
    """Joints on a tube that is drilled: not the shell, which has threads, nor a bridge's, nor a lug's."""
    if frame.model.joining == LUGGED:
        return
    for cut in frame.space.cuts:
        host = cut.hosts[0].tube
        if host.role.cut and not cut.end.tube.role.alike_ends:
            yield cut


def _at_joint(cut: Cut) -> Iterator[Vent]:
    tube = cut.end.tube
    hole = Footprint(cut, 0).hole(STAY if tube.role.paired else MAIN)
    if hole is not None:
        yield Vent(cut.hosts[0].tube, hole.station, hole.phi, hole.diameter, into=tube)


def _own(frame: Frame, tube: Tube, opened: bool) -> Iterator[Vent]:
    """The hole of a tube that nothing else lets the gas out of; `opened`: a joint's vent does."""
    role, closed = tube.role, tube.role.dropout
    if role.alike_ends:
        yield Vent(tube, tube.length / 2, _side_phi(tube, DOWN), STAY[0], into=None)
    elif closed is not None and not _opens_into_shell(frame, tube):
        station = FROM_END if closed == 0 else tube.length - FROM_END
        yield Vent(tube, station, _side_phi(tube, INNER), STAY[0], into=None, end=closed)
    elif not role.written and role != SHELL:
        yield Vent(tube, tube.length - FROM_END, _side_phi(tube, DOWN), STAY[0], into=None, end=SECOND)
    elif not opened and frame.model.joining != LUGGED and all(end.hosts for end in role.ends):
        cut = frame.space.cut_of(tube.name, FIRST)
        deepest = 0.0 if cut is None else cut.origin + cut.greatest.s
        yield Vent(tube, deepest + FROM_END, _side_phi(tube, DOWN), MAIN[-1], into=None)


def _opens_into_shell(frame: Frame, tube: Tube) -> bool:
    """A stay in a lugged shell's socket is open to it."""
    hosts = {name for end in tube.role.ends for name in end.hosts}
    return frame.model.joining == LUGGED and SHELL.name in hosts


def _side_phi(tube: Tube, word: str) -> float:
    """The phi of a quarter by its word."""
    return next(90.0 * k for k in range(4) if tube.quarter(90.0 * k) == word)
