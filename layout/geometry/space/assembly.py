"""Tubes put together: which of them there are, and which end is cut against what.

A bicycle's frame is one (`frame.py`); so is whatever else is made of tubes that meet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from layout.geometry.space.cutter import Cutter, best_cutter
from layout.geometry.space.meeting import Host
from layout.geometry.space.mitre import Cut, mitre
from layout.geometry.space.roles import DRAWN, Role, Seen, Side
from layout.geometry.space.tube import Tube


class Joint(NamedTuple):
    """An end of a tube and the tubes it is cut against, in order.

    The first of them is taken as endless, every other from its own first end to its second: a seat tube
    ends on the shell, so nothing of it is met below. The first `always` are listed even where they do not
    shape the cut.
    """

    tube: str
    which: int
    hosts: tuple[str, ...]
    always: int = 1


@dataclass(frozen=True)
class Assembly:
    """Every tube by name, in the order in which they are put together, and every joint as it is cut."""

    tubes: Mapping[str, Tube]
    joints: tuple[Joint, ...]

    def of(self, role: Role, side: Side | None = None) -> Tube:
        """The tube of a role, of a pair the one on `side`."""
        return self.tubes[role.tube(side)]

    def pair(self, role: Role) -> tuple[Tube, Tube]:
        """Both tubes of a pair, the left one first."""
        return self.of(role, Side.LEFT), self.of(role, Side.RIGHT)

    def drawn(self, role: Role) -> Tube:
        """The tube of a role that is drawn in the side view: the drive side's of a pair."""
        return self.of(role, DRAWN if role.paired else None)

    def seen(self, view: Seen) -> tuple[Tube, ...]:
        """The tubes whose outlines a view draws, both of a pair."""
        return tuple(t for t in self.tubes.values() if view in t.role.seen)

    @property
    def listed(self) -> tuple[Tube, ...]:
        """The tubes that are cut from a length and have a row of a table: one of a pair."""
        return tuple(t for t in self.tubes.values() if t.role.cut and t.listed)

    @cached_property
    def cuts(self) -> tuple[Cut, ...]:
        """The mitre of every joint that has one."""
        found = ((j, self.cut(j)) for j in self.joints)
        return tuple(c for _, c in found if c is not None)

    def cutters(self, cut: Cut) -> tuple[Cutter | None, ...]:
        """The hole saw that fits best, for each tube that an end is cut on."""
        key = cut.tube, cut.end.which
        if key not in self._fitting:
            self._fitting[key] = tuple(best_cutter(cut, k) for k in range(len(cut.hosts)))
        return self._fitting[key]

    @cached_property
    def missed(self) -> tuple[Joint, ...]:
        """Joints without a mitre: the tube passes wholly beside, or runs parallel."""
        have = {(c.tube, c.end.which) for c in self.cuts}
        return tuple(j for j in self.joints if (j.tube, j.which) not in have)

    @cached_property
    def _known(self) -> dict[Joint, Cut | None]:
        """The mitres worked out so far: who asks for one end does not wait for all."""
        return {}

    @cached_property
    def _fitting(self) -> dict[tuple[str, int], tuple[Cutter | None, ...]]:
        """The hole saws worked out so far."""
        return {}

    def cut(self, joint: Joint) -> Cut | None:
        """One joint's mitre."""
        if joint not in self._known:
            self._known[joint] = self._mitre(joint)
        return self._known[joint]

    def _mitre(self, joint: Joint) -> Cut | None:
        hosts = [
            Host(t) if k == 0 else Host(t, 0.0, t.length)
            for k, t in enumerate(self.tubes[h] for h in joint.hosts)
        ]
        return mitre(self.tubes[joint.tube], joint.which, hosts, always=joint.always)

    def cut_of(self, tube: str, which: int) -> Cut | None:
        """The mitre of a tube's first (0) or second (1) end, None where it is square."""
        joints = (j for j in self.joints if (j.tube, j.which) == (tube, which))
        return next((c for c in map(self.cut, joints) if c is not None), None)
