"""What tubes, shell and rear end are, before they are placed: the sizes, with the defaults by name.

Nothing here knows where a spec writes a size; who fills these in lists the defaults taken.
"""

from __future__ import annotations

from typing import NamedTuple

from layout.geometry.space.dimple import Dimple
from layout.geometry.space.gaps import TyreSolid
from layout.geometry.space.path import Bend
from layout.geometry.space.profile import Profile
from layout.geometry.space.roles import CHAIN_STAY, SEAT_STAY_BRIDGE, SINGLE_STAY, Role
from layout.geometry.space.tube import Walls

HUB_SPACING = 135.0
HUB_SPACING_THROUGH = 142.0
"""Over-locknut spacing for an axle that drops in, and for one of 12 that goes through; common practice."""
THROUGH_AXLE = 11.0
"""An axle this thick or thicker goes through, mm."""
DROPOUT_THICKNESS = 6.0
"""A plate dropout of steel, common practice."""
DROPOUT_INSET = 25.0
"""From the axle to the end of the stay, common practice."""
STAY_INSIDE_SHELL = 3.0
"""How far the chain stays' outer sides lie inside the shell's faces, so that a weld has room and the
chainring clears them; common practice."""
BEND_RADIUS = 100.0
"""Radius of a stay's bend where none is given, common practice."""
OVAL_KEPT = 150.0
"""An oval stay keeps its section this far from the thick end, then tapers to round; common practice."""
EXTENDED = 40.0
"""A tube that tapers from end to end does so this far past its end points, mm: more than mitres reach."""
THINNED = 0.5
"""But a steep one only until it is this part of its thin end: short of the point of the cone."""
BRIDGE_DIAMETER = SEAT_STAY_BRIDGE.diameters[0]
SINGLE_LENGTH = 60.0
"""From the seat tube's axis to where two seat stays' axes meet on the single tube that they run into."""
MOUNTS = ("back", "side", "single")

Section = tuple[float, float]
"""Height and width of a section, mm; equal for a round tube."""


class Form(NamedTuple):
    """One tube: its section at the first and second end, mm, and how it gets from one to the other.

    `taper` is where the change begins and ends, stations from the first end; None: from `kept[0]`
    to `kept[1]` short of the second end, and where nothing is kept, on past both ends. `turned` turns
    an oval about the axis, degrees. `facing` is what facing will take of each end, mm.
    """

    first: Section
    second: Section
    taper: tuple[float, float] | None = None
    kept: tuple[float, float] = (0.0, 0.0)
    turned: float = 0.0
    walls: Walls | None = None
    bends: tuple[Bend, ...] = ()
    facing: tuple[float, float] = (0.0, 0.0)
    dimples: tuple[Dimple, ...] = ()

    def profile(self, length: float) -> Profile:
        """The outside of such a tube `length` mm long."""
        if self.taper is None and self.kept == (0.0, 0.0):
            return self._through(length)
        kept = min(1.0, length / max(sum(self.kept), length))
        low, high = self.taper or (kept * self.kept[0], length - kept * self.kept[1])
        if self.first == self.second:
            return Profile((0.0,), (self.first[0] / 2,), (self.first[1] / 2,), self.turned)
        heights = (self.first[0] / 2, self.second[0] / 2)
        widths = (self.first[1] / 2, self.second[1] / 2)
        return Profile((low, high), heights, widths, self.turned)

    def _through(self, length: float) -> Profile:
        """A taper from end to end goes on past both, so that a mitre there is all on one cone."""
        ways = (self.second, self.first), (self.first, self.second)
        low, high = (_reach(x, y, length) for x, y in ways)
        ends = [
            tuple((b + (b - a) * (past / length)) / 2 for a, b in zip(x, y, strict=True))
            for past, (x, y) in zip((low, high), ways, strict=True)
        ]
        heights, widths = (ends[0][0], ends[1][0]), (ends[0][1], ends[1][1])
        return Profile((-low, length + high), heights, widths, self.turned)

    def across(self, which: int) -> float:
        """How wide the tube is at its first (0) or second (1) end, square to its reference line, mm."""
        height, width = (self.first, self.second)[which]
        return 2 * Profile((0.0,), (height / 2,), (width / 2,), self.turned).half_extent(0.0, 0.0, 1.0)

    @property
    def mirrored(self) -> Form:
        """The same tube on the other side of the frame."""
        return self._replace(
            turned=-self.turned,
            bends=tuple(b.mirrored for b in self.bends),
            dimples=tuple(d.mirrored for d in self.dimples),
        )


def _reach(start: Section, end: Section, length: float) -> float:
    """How far past `end` a tube goes on tapering that came from `start`, mm."""
    narrowing = ((a - b, b) for a, b in zip(start, end, strict=True) if a > b)
    return min((EXTENDED, *((1.0 - THINNED) * b * length / less for less, b in narrowing)))


def round_form(first: float, second: float | None = None, walls: Walls | None = None) -> Form:
    """A round tube of one diameter, or a cone from `first` to `second`, mm."""
    end = first if second is None else second
    return Form((first, first), (end, end), walls=walls)


class Shell(NamedTuple):
    """The bottom-bracket shell: width along its axis and outside diameter, mm."""

    width: float
    diameter: float


class StayPlace(NamedTuple):
    """Where a stay ends at its dropout, mm.

    Seen from the side its axis touches a circle of radius `off` about the axle (a chain stay's passes
    above it, a seat stay's ahead, where `off` is more than 0) and ends `from_axle` before it touches.
    """

    from_axle: float = DROPOUT_INSET
    off: float = 0.0


class RearEnd(NamedTuple):
    """Hub, dropouts and where the stays go, mm.

    `stay_spacing` is between the chain stays' axes on the shell's axis, `top_spacing` between the seat
    stays' axes at their tops, None where that follows from the tubes; `mount` is back, side or single.
    `tyre_reach` is how far from the axle a single tube stays clear of the tyre, 0 where that is not known;
    its stays keep `tyre_gap` from the `tyre`, None where its width is not known.
    """

    spacing: float = HUB_SPACING
    thickness: float = DROPOUT_THICKNESS
    chain_stay: StayPlace = StayPlace()
    seat_stay: StayPlace = StayPlace()
    stay_spacing: float = 45.0
    top_spacing: float | None = None
    mount: str = "back"
    single_diameter: float = SINGLE_STAY.diameters[0]
    single_length: float = SINGLE_LENGTH
    tyre_reach: float = 0.0
    tyre: TyreSolid | None = None
    tyre_gap: float = 0.0

    @property
    def dropout_plane(self) -> float:
        """Distance of a dropout's middle from the frame's middle plane: a stay's end is centred on it."""
        return (self.spacing + self.thickness) / 2

    def place(self, stay: Role) -> StayPlace:
        """Where a stay of that role ends."""
        return self.chain_stay if stay == CHAIN_STAY else self.seat_stay


def default_stay_spacing(shell_width: float, stay_width: float) -> float:
    """Between the chain stays' axes at the shell: their sides STAY_INSIDE_SHELL within its faces, mm.

    >>> default_stay_spacing(68.0, 22.0)
    40.0
    """
    return max(shell_width - stay_width - 2 * STAY_INSIDE_SHELL, stay_width)


class BridgePlace(NamedTuple):
    """A bridge between the two stays of a pair at station `at` from their first end."""

    stay: Role
    at: float
    diameter: float = BRIDGE_DIAMETER
    radius: float | None = None
    """That of a curved bridge's axis; None for a straight one."""
