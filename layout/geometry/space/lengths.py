"""What a tube is cut to: lengths between origins, long points and short points, and what a mill is set to.

    first end                                                   second end
    long point |<----------------- cut_length ------------------>| long point
       short point |<---- ... ---->| mark |<---- ... ---->| short point
         origin |<--------------- centre_length --------------->| origin

Both s are measured from an origin into the tube, so cut_length = centre_length - least s - least s.
The mark is half way between the origins. An end that meets no tube has its end point as its origin, and
where it is faced after welding the tube is cut longer there by what facing takes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import NamedTuple

from layout.geometry.space.assembly import Assembly
from layout.geometry.space.cutter import MISFIT, Cutter
from layout.geometry.space.meeting import nearest_host_axis
from layout.geometry.space.mitre import Cut
from layout.geometry.space.tube import FIRST, SECOND, Tube
from layout.geometry.space.vectors import Approach

SQUARE = math.sin(math.radians(0.05))
"""Axes this near to square (cosine) have no acute side: a table shows 0.0 from square."""
ALLOWANCE = 5.0
"""Left on each mitred end when a tube is cut to length before mitring, mm; common practice."""
BUTT_LEAST = 15.0
"""Thick wall wanted behind the deepest point of a cut, for the heat of welding, mm; common practice."""


class Mill(NamedTuple):
    """How the mill is set to cut an end on one of the tubes that it meets, `on`; mm and degrees.

    `between` is the angle of the axes (0 to 90), `offset` their distance, `acute` the phi of the side where
    the tubes make the acute angle, and `level` the phi of the other axis (0 to 180): the cutter passes
    along it. `fitting` looks for `best`; `reached`: the tube shapes the cut.
    """

    on: str
    between: float
    offset: float
    acute: float
    level: float
    fitting: Callable[[], Cutter | None]
    reached: bool = True

    @property
    def best(self) -> Cutter | None:
        """The hole saw that fits best, None where none does."""
        return self.fitting()

    @property
    def cutter(self) -> Cutter | None:
        """The hole saw to cut with, None where none fits well enough: then there is the template only."""
        return self.best if self.best is not None and self.best.misfit <= MISFIT else None

    @property
    def acute_side(self) -> float:
        """The phi of the side where the cutter makes the acute angle, the tubes' own where there is none."""
        square = self.cutter is None or math.cos(math.radians(self.cutter.angle)) < SQUARE
        return self.acute if self.cutter is None or square else self.cutter.acute

    @property
    def short(self) -> tuple[float, ...]:
        """The phi of the side where the tube is left shortest; of both where the axes are square."""
        if math.sin(math.radians(90.0 - self.between)) < SQUARE:
            return self.level, self.level + 180.0
        return (self.acute,)


class EndSetting(NamedTuple):
    """How one end is cut: mill and tape, mm and degrees.

    `mills` has a setting for each tube that it is cut against; `angle` is that of the first. The mark along
    the tube is `mark` from the origin of the cut.
    """

    cut: Cut
    mills: tuple[Mill, ...]
    mark: float

    @property
    def name(self) -> str:
        """What the end is called."""
        return self.cut.end_name

    @property
    def from_mark_long(self) -> float:
        """From the mark to the long point of the whole cut."""
        return self.mark - self.cut.least.s

    @property
    def from_mark_short(self) -> float:
        """From the mark to the short point of the whole cut."""
        return self.mark - self.cut.greatest.s

    @property
    def long_phi(self) -> float:
        """The side with the long point."""
        return self.cut.least.phi

    @property
    def short_phi(self) -> float:
        """The side with the short point."""
        return self.cut.greatest.phi

    @property
    def missed(self) -> int:
        """How many of 360 degrees pass beside all the tubes that it is cut against."""
        return int(self.cut.missed.sum())

    @property
    def angle(self) -> float:
        """Between this axis and that of the first tube it is cut against, 0 to 90 degrees."""
        return self.mills[0].between


class TubeLengths(NamedTuple):
    """One tube's lengths, mm. `rotation` turns the second end's cut against the first's, degrees.

    `rotation` is about the direction first end to second, in (-180, 180], from the short side of the
    first end to that of the second; where the axes are square at an end, it has two, and the turn is to
    or from the nearer, in (-90, 90]. `turned` has the phi of these two sides. None where an end is square
    cut. `facing` is what facing takes of each end. `butts` is
    the thick wall left behind the deepest point at each end of a tube cut to `length_needed`; None for
    a tube that is not butted or whose butts are not known.
    """

    tube: Tube
    centre_length: float
    cut_length: float
    ends: tuple[EndSetting | None, EndSetting | None]
    rotation: float | None
    butts: tuple[float, float] | None
    facing: tuple[float, float] = (0.0, 0.0)
    turned: tuple[float, float] | None = None

    @property
    def length_needed(self) -> float:
        """What to cut before mitring and facing: ALLOWANCE more for each mitred end, and the facing."""
        return self.cut_length + ALLOWANCE * sum(e is not None for e in self.ends) + sum(self.facing)

    @property
    def butts_eaten(self) -> tuple[bool, bool]:
        """At which mitred ends less than BUTT_LEAST of the thick wall is left."""
        if self.butts is None:
            return False, False
        first, second = (
            end is not None and left < BUTT_LEAST for end, left in zip(self.ends, self.butts, strict=True)
        )
        return first, second

    @property
    def spare(self) -> tuple[float, float] | None:
        """The most that may come off each end of the tube as bought, before it is sawn to length, mm.

        So much that at a mitred end BUTT_LEAST of thick wall stays behind the deepest point, at a square
        end some. None for a tube without known butts.
        """
        if self.butts is None:
            return None
        first, second = (
            max(0.0, left - (0.0 if end is None else BUTT_LEAST))
            for end, left in zip(self.ends, self.butts, strict=True)
        )
        return first, second


class LengthsOfAll(Mapping[str, TubeLengths]):
    """The lengths of every tube that is cut, in the order of assembly, each worked out when it is asked for.

    The shell is not cut.
    """

    def __init__(self, frame: Assembly) -> None:
        self._frame = frame
        self._known: dict[str, TubeLengths] = {}

    def __getitem__(self, name: str) -> TubeLengths:
        if name not in self._known:
            if name not in set(self):
                raise KeyError(name)
            self._known[name] = lengths_of(self._frame, name)
        return self._known[name]

    def __iter__(self) -> Iterator[str]:
        return (name for name, tube in self._frame.tubes.items() if tube.role.cut)

    def __len__(self) -> int:
        return sum(1 for _ in self)

    @property
    def listed(self) -> Iterator[TubeLengths]:
        """Those of the tubes that have a row of a table: one of a pair."""
        return (self[t.name] for t in self._frame.listed)


def lengths_of(frame: Assembly, name: str) -> TubeLengths:
    """Lengths and settings of one tube. An end without a mitre has its end point as its origin."""
    tube = frame.tubes[name]
    cuts = (frame.cut_of(name, FIRST), frame.cut_of(name, SECOND))
    origins = (
        0.0 if cuts[0] is None else cuts[0].origin,
        tube.length if cuts[1] is None else cuts[1].origin,
    )
    centre = origins[1] - origins[0]
    least = [0.0 if c is None else c.least.s for c in cuts]
    ends = tuple(None if c is None else EndSetting(c, _mills(frame, c), centre / 2) for c in cuts)
    rotation = turned = None
    if ends[0] is not None and ends[1] is not None:
        rotation, turned = _rotation(ends[0].mills[0], ends[1].mills[0])
    cut_length = centre - sum(least)
    butts = _butts(tube, cuts)
    return TubeLengths(
        tube,
        centre,
        cut_length,
        (ends[0], ends[1]),
        rotation=rotation,
        butts=butts,
        facing=tube.facing,
        turned=turned,
    )


def _butts(tube: Tube, cuts: tuple[Cut | None, Cut | None]) -> tuple[float, float] | None:
    """Thick wall left at each end, mm: the butt less what facing takes, or allowance and mitre's depth."""
    if tube.walls is None or tube.walls.butts is None or not tube.walls.butted:
        return None
    taken = [
        faced if c is None else ALLOWANCE + c.greatest.s - c.least.s
        for c, faced in zip(cuts, tube.facing, strict=True)
    ]
    return tube.walls.butts[0] - taken[0], tube.walls.butts[1] - taken[1]


def _mills(frame: Assembly, cut: Cut) -> tuple[Mill, ...]:
    return tuple(_mill(cut, k, partial(_fitting, frame, cut, k)) for k in range(len(cut.hosts)))


def _fitting(frame: Assembly, cut: Cut, k: int) -> Cutter | None:
    return frame.cutters(cut)[k]


def _mill(cut: Cut, k: int, fitting: Callable[[], Cutter | None]) -> Mill:
    host = cut.hosts[k].tube
    passing = _passing(cut, host)
    level, acute = _directions(cut, host)
    return Mill(
        host.name,
        passing.angle,
        passing.distance,
        acute,
        level=level,
        fitting=fitting,
        reached=bool((cut.host == k).any()),
    )


def _passing(cut: Cut, host: Tube) -> Approach:
    """Where the axis of the end passes that of a tube it is cut against: a cut has no parallel ones."""
    found = nearest_host_axis(cut.end, host)
    if found is None:
        raise ValueError(f"{cut.tube} runs parallel to {host.name}, which it is cut against")
    return found


def _directions(cut: Cut, host: Tube) -> tuple[float, float]:
    """The phi (0 to 180) of the other axis seen along this tube, and the phi of the acute side.

    On the acute side the other axis leans towards the tube, so the cut is deepest there (greatest s).
    Where the axes are square there is no acute side: it is given as the same as the first.
    """
    here, other = cut.end.triad, host.path.at(_passing(cut, host).second).along
    towards = other if float(other @ here.along) * cut.end.inward > 0.0 else -other
    phi = math.degrees(math.atan2(float(towards @ here.across), float(towards @ here.reference))) % 360.0
    level = phi % 180.0
    square = abs(float(other @ here.along)) < SQUARE
    return level, level if square else phi


def _rotation(first: Mill, second: Mill) -> tuple[float, tuple[float, float]]:
    """The least turn from a short side of the first end to one of the second, and the phi of both."""
    ways = [((b - a) % 360.0, a, b) for a in first.short for b in second.short]
    signed = [(turn - 360.0 if turn > 180.0 else turn, a, b) for turn, a, b in ways]
    turn, a, b = min(signed, key=lambda way: (round(abs(way[0]), 6), -way[0]))
    return turn, (a % 360.0, b % 360.0)
