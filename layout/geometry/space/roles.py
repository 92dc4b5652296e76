"""What each tube is to the bicycle: the one table that knows a tube by its name.

A tube is a role and, of a pair, a side. Whatever depends on which tube it is stands here as a field:
what its ends are called and cut to, the words for its quarters, where it is drawn, when it is mitred.
Who wants to know asks the role; nobody else compares, splits or builds a tube's name.

    ends          first and second: a tube runs from one to the other
    quarters      phi = 0, 90, 180, 270 about that direction; the first is the reference line's side. Of a
                  pair they are the drive side's; on its mirror image 90 and 270 change places

A new tube is a row here, two named points of the frame and a block in a spec.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum, Flag, auto
from typing import NamedTuple

UP, DOWN, FRONT, BACK = "up", "down", "front", "back"
INNER, OUTER = "inner", "outer"


class Side(Enum):
    """The side of the bicycle that one of a pair is on; the drive side is right."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def sign(self) -> float:
        """+1 towards the drive side (+z), else -1."""
        return 1.0 if self is Side.RIGHT else -1.0


LEFT, RIGHT = Side.LEFT.value, Side.RIGHT.value
DRAWN = Side.RIGHT
"""Of a pair the one that stands for both where one is drawn or listed."""


class Seen(Flag):
    """The views that draw the outline of every tube that has them here."""

    SIDE = auto()
    PLAN = auto()
    SEAT_STAYS = auto()


class End(NamedTuple):
    """One end of a role's tubes.

    `word` is what it is called; `point` the named point that distances are taped from, empty where none
    are. `hosts` are the roles that it is mitred against, in order; the first `always` of them are listed
    even where they do not shape the cut. `faced`: it is faced after welding; `dropout`: it ends at a
    dropout, short of its point.
    """

    word: str
    point: str = ""
    hosts: tuple[str, ...] = ()
    always: int = 1
    faced: bool = False
    dropout: bool = False


@dataclass(frozen=True, kw_only=True)
class Role:
    """A kind of tube.

    `name` is as a spec and files for machines have it. `turn` is its place in the order of mitring.
    `diameters` are those of its thick and its thin end where none are given, mm: from the ranges of
    common practice. `inner` is the side that a fitting is on where nothing is said.
    """

    name: str
    ends: tuple[End, End]
    quarters: tuple[str, str, str, str]
    turn: int
    seen: Seen
    diameters: tuple[float, float]
    inner: str
    paired: bool = False
    """There are two, mirror images of each other."""
    bridge: str = ""
    """The role of a bridge between the two of the pair."""
    written: bool = False
    """A spec has a block for it."""
    thick: int = 0
    """The end (0 first, 1 second) that its diameter in a spec is that of."""
    tapered: bool = False
    """Its other end is thinner where the spec does not say."""
    sized_by_end: bool = False
    """A spec may size each end by its word (diameter_top)."""
    oval: tuple[bool, bool] = (True, True)
    """The ends that a section in a spec is that of: near them it is kept, before the taper."""
    laid: bool = False
    """It lies in the middle plane, on blocks or cradles of its own."""
    beside_tyre: bool = False
    beside_chain: bool = False
    """On the drive side it is near chainring and crank."""
    alike_ends: bool = False
    """Its ends are mirror images: a table for reading lists one."""
    cut: bool = True
    """It is cut from a length of tube."""

    @property
    def words(self) -> str:
        """The role as people read it."""
        return self.name.replace("_", " ")

    @property
    def plural(self) -> str:
        """What one row calls all of its tubes as people read it: a pair is two."""
        return f"{self.words}s" if self.paired else self.words

    @property
    def end_words(self) -> tuple[str, str]:
        """What its ends are called, first end first."""
        return self.ends[0].word, self.ends[1].word

    @property
    def points(self) -> tuple[str, str]:
        """The named points that distances along it are taped from, first end first."""
        return self.ends[0].point, self.ends[1].point

    @property
    def dropout(self) -> int | None:
        """The end (0 first, 1 second) that a dropout closes, None for none."""
        return next((k for k, end in enumerate(self.ends) if end.dropout), None)

    def end(self, word: str) -> int | None:
        """The end (0 first, 1 second) called so, None where it has none."""
        return self.end_words.index(word) if word in self.end_words else None

    def quarter(self, phi: float, side: Side | None = None) -> str:
        """The word for the side of the tube at a quarter mark, `phi` in degrees.

        >>> CHAIN_STAY.quarter(90.0, Side.RIGHT), CHAIN_STAY.quarter(90.0, Side.LEFT)
        ('inner', 'outer')
        """
        turns = round(phi / 90.0)
        return self.quarters[(-turns if side is Side.LEFT else turns) % 4]

    def label(self, number: int = 1) -> str:
        """The role's name, numbered from the second of several; a pair is one.

        >>> SEAT_STAY_BRIDGE.label(2)
        'seat_stay_bridge_2'
        """
        return self.name if number == 1 else f"{self.name}_{number}"

    def tube(self, side: Side | None = None, number: int = 1) -> str:
        """The name of one tube of this role, by the side of a pair.

        >>> CHAIN_STAY.tube(Side.LEFT)
        'chain_stay_left'
        """
        label = self.label(number)
        return label if side is None else f"{label}_{side.value}"


SHELL = Role(
    name="bottom_bracket",
    ends=(End(LEFT), End(RIGHT)),
    quarters=(UP, BACK, DOWN, FRONT),
    turn=0,
    seen=Seen(0),
    diameters=(40.0, 40.0),
    inner=UP,
    cut=False,
)
SEAT_TUBE = Role(
    name="seat_tube",
    ends=(End("bb", "seat_tube_foot", (SHELL.name,)), End("top", "seat_tube_top", faced=True)),
    quarters=(FRONT, LEFT, BACK, RIGHT),
    turn=2,
    seen=Seen.SIDE,
    diameters=(28.6, 28.6),
    inner=FRONT,
    written=True,
    laid=True,
    beside_tyre=True,
)
TOP_TUBE = Role(
    name="top_tube",
    ends=(End("seat", "top_tube_at_seat", ("seat_tube",)), End("head", "top_tube_at_head", ("head_tube",))),
    quarters=(UP, RIGHT, DOWN, LEFT),
    turn=4,
    seen=Seen.SIDE,
    diameters=(28.6, 28.6),
    inner=DOWN,
    written=True,
    laid=True,
)
DOWN_TUBE = Role(
    name="down_tube",
    ends=(
        End("bb", "down_tube_at_bb", (SHELL.name, "seat_tube"), always=2),
        End("head", "down_tube_at_head", ("head_tube", "top_tube")),
    ),
    quarters=(UP, RIGHT, DOWN, LEFT),
    turn=3,
    seen=Seen.SIDE,
    diameters=(34.9, 34.9),
    inner=UP,
    written=True,
    laid=True,
)
HEAD_TUBE = Role(
    name="head_tube",
    ends=(End("bottom", "head_tube_bottom", faced=True), End("top", "head_tube_top", faced=True)),
    quarters=(FRONT, LEFT, BACK, RIGHT),
    turn=1,
    seen=Seen.SIDE,
    diameters=(36.0, 36.0),
    inner=FRONT,
    written=True,
    sized_by_end=True,
    laid=True,
)
CHAIN_STAY = Role(
    name="chain_stay",
    ends=(End("bb", "bb", (SHELL.name, "seat_tube")), End("axle", "rear_axle", dropout=True)),
    quarters=(UP, INNER, DOWN, OUTER),
    turn=6,
    seen=Seen.SIDE | Seen.PLAN,
    diameters=(22.2, 14.0),
    inner=UP,
    paired=True,
    bridge="chain_stay_bridge",
    written=True,
    tapered=True,
    oval=(True, False),
    beside_tyre=True,
    beside_chain=True,
)
SINGLE_STAY = Role(
    name="single_stay",
    ends=(End("seat", "top_tube_at_seat", ("seat_tube", "top_tube")), End("stays")),
    quarters=(UP, LEFT, DOWN, RIGHT),
    turn=5,
    seen=Seen.SEAT_STAYS,
    diameters=(28.6, 28.6),
    inner=UP,
    beside_tyre=True,
)
SEAT_STAY = Role(
    name="seat_stay",
    ends=(
        End("axle", "rear_axle", dropout=True),
        End("top", "top_tube_at_seat", ("seat_tube", "top_tube")),
    ),
    quarters=(FRONT, INNER, BACK, OUTER),
    turn=7,
    seen=Seen.SIDE | Seen.SEAT_STAYS,
    diameters=(16.0, 12.0),
    inner=UP,
    paired=True,
    bridge="seat_stay_bridge",
    written=True,
    thick=1,
    tapered=True,
    oval=(False, True),
    beside_tyre=True,
)
CHAIN_STAY_BRIDGE = Role(
    name="chain_stay_bridge",
    ends=(End(LEFT, hosts=("chain_stay",)), End(RIGHT, hosts=("chain_stay",))),
    quarters=(UP, BACK, DOWN, FRONT),
    turn=8,
    seen=Seen.PLAN,
    diameters=(14.0, 14.0),
    inner=UP,
    beside_tyre=True,
    alike_ends=True,
)
SEAT_STAY_BRIDGE = Role(
    name="seat_stay_bridge",
    ends=(End(LEFT, hosts=("seat_stay",)), End(RIGHT, hosts=("seat_stay",))),
    quarters=(UP, BACK, DOWN, FRONT),
    turn=8,
    seen=Seen.SEAT_STAYS,
    diameters=(14.0, 14.0),
    inner=UP,
    beside_tyre=True,
    alike_ends=True,
)

ROLES: Mapping[str, Role] = {
    role.name: role
    for role in (
        SEAT_TUBE, TOP_TUBE, DOWN_TUBE, HEAD_TUBE, SHELL, CHAIN_STAY, SINGLE_STAY, SEAT_STAY,
        CHAIN_STAY_BRIDGE, SEAT_STAY_BRIDGE,
    )
}  # fmt: skip
"""Every role by name, in the order in which a frame is put together."""
WRITTEN = tuple(role for role in ROLES.values() if role.written)
"""The roles that a spec sizes."""
