"""How an upright part stands in the base: two tabs in slots, a bolt between them into a caught nut.

    upright, from its engraved face            base, from above
            |             |
            |    .-----.  |  nut                 +----+    _    +----+
            |    `-. .-'  |                      |slot|   (_)   |slot|
            |      | |    |  bolt                +----+  bolt   +----+
    v = 0 --+  +---+ +---+  +--                     0
            |__|       |__|  tabs into the base

u runs along the foot from its middle, v up from the base's upper face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from layout.errors import Fault
from layout.geometry.plates.contour import Point
from layout.geometry.plates.corners import OVERSHOOT, TAKEN, Corner, Turn, slot
from layout.geometry.plates.plate import Cutout, circle
from layout.geometry.plates.process import BOLT_LENGTHS, WASHER, Process

SPARE = 0.3
"""What webs are designed over the least the process allows, mm: so that no rule hangs on a rounding."""
TAB_OVER_THICKNESS = 2.0
SHORTEST_TAB = 12.0
"""A tab's length: twice the plate's thickness, 12 at least, so that it does not bend; common practice."""
TAB_SHORT = 0.5
"""A tab ends this far inside the base, so that the base lies flat, mm."""
NUT_PLAY = 0.5
"""Of the nut in its pocket, across flats and in height, mm; common practice."""
PAST_NUT = 0.4
"""A bolt reaches at least this far past its nut, over its diameter: two threads; common practice."""
BOLT_ROOM = 1.5
"""Free beyond the longest bolt's end in its slot, mm."""
NUT_OVER_BOLT = 1.5
"""From the base to the nut, over the bolt's diameter, at least: what it pulls on must not bend."""


class Relieved(NamedTuple):
    """A straight side with a relief at one end or both: its name and length (mm).

    `of_plate`: it is longer in thicker plate.
    """

    what: str
    length: float
    reliefs: int
    of_plate: bool = False

    @property
    def most(self) -> float:
        """The greatest radius of its reliefs, mm."""
        return self.length / (self.reliefs * TAKEN)


class Foot(NamedTuple):
    """The sizes of a foot, all from the process."""

    process: Process

    @property
    def relief(self) -> float:
        """Radius of the reliefs."""
        return self.process.inner_radius

    @property
    def web(self) -> float:
        """Least material that is designed between two cuts."""
        return self.process.least_web + SPARE

    @property
    def tab_inner(self) -> float:
        """From the middle to a tab: the web to its slot in the base, and beside it the relief."""
        p = self.process
        beside_bolt = max(self.web + OVERSHOOT * self.relief + p.fit / 2, TAKEN * self.relief + SPARE)
        return p.bolt.hole / 2 + beside_bolt

    @property
    def tab(self) -> float:
        """Length of a tab."""
        return max(TAB_OVER_THICKNESS * self.process.thickness, SHORTEST_TAB)

    @property
    def tab_outer(self) -> float:
        """From the middle to the far side of a tab."""
        return self.tab_inner + self.tab

    @property
    def half(self) -> float:
        """Half of the foot's width, shoulders included."""
        return self.tab_outer + max(self.web, TAKEN * self.relief + SPARE)

    @property
    def tab_depth(self) -> float:
        """How far a tab reaches into the base."""
        return self.process.thickness - TAB_SHORT

    @property
    def nut_low(self) -> float:
        """From the base to the nut's pocket."""
        return max(self.web, NUT_OVER_BOLT * self.process.bolt.diameter)

    @property
    def nut_high(self) -> float:
        """Top of the nut's pocket."""
        return self.nut_low + self.process.bolt.nut_height + NUT_PLAY

    @property
    def bolt_needed(self) -> float:
        """The least length of a bolt that reaches through base, washer and nut."""
        p = self.process
        return p.thickness + (WASHER + PAST_NUT) * p.bolt.diameter + self.nut_high

    @property
    def bolt_length(self) -> float:
        """The shortest bolt made that reaches through base, washer and nut.

        Raises ValueError where the table has none; `faults` says so before.
        """
        for length in BOLT_LENGTHS:
            if length >= self.bolt_needed:
                return float(length)
        raise ValueError(f"no bolt of {self.bolt_needed:.0f} mm")

    def faults(self) -> Iterator[Fault]:
        """What in the process leaves no room for a foot, each with the value that would do."""
        r = self.relief
        short = sorted((s for s in self._relieved() if r > s.most), key=lambda s: s.most)
        if short:
            tightest, most = short[0], f"{_floor_hundredths(short[0].most):g} mm or less"
            otherwise = ", or thicker plate" if all(s.of_plate for s in short) else ""
            said = "a relief" if tightest.reliefs == 1 else "two reliefs"
            yield Fault(
                f"is {r:g} mm; {said} of that radius would take {tightest.reliefs * TAKEN * r:.2f} mm. "
                f"{tightest.what[:1].upper()}{tightest.what[1:]} is {tightest.length:.2f} mm. "
                f"Take {most}{otherwise}.",
                "range",
                "plates.inner_radius",
            )
        over = self.bolt_needed - BOLT_LENGTHS[-1]
        if over > 0.0:
            p = self.process
            web = _floor_hundredths(p.smallest_web - over / p.thickness)
            yield Fault(
                f"is {p.smallest_web:g}. With {p.least_web:g} mm of material under its nut, a foot's bolt "
                f"would be {self.bolt_needed:.0f} mm long. The longest made is {BOLT_LENGTHS[-1]} mm. "
                f"Take {web:g} or less, or thinner plate.",
                "range",
                "plates.smallest_web",
            )

    def _relieved(self) -> Iterator[Relieved]:
        """The sides that reliefs leave the least of."""
        p, m = self.process, f"M{self.process.bolt.diameter:g}"
        step = (p.bolt.nut_flats + NUT_PLAY - p.bolt.hole) / 2
        yield Relieved("a slot's width (thickness and fit)", p.thickness + p.fit, 2, of_plate=True)
        yield Relieved("a tab's depth", self.tab_depth, 1, of_plate=True)
        yield Relieved(f"the step from bolt to nut of {m}", step, 1)
        yield Relieved(f"the height of the nut's pocket for {m}", p.bolt.nut_height + NUT_PLAY, 2)
        yield Relieved(f"the width of the slot for {m}", p.bolt.hole, 2)

    @property
    def slot_top(self) -> float:
        """Where the bolt's slot ends: room for the bolt without a washer."""
        return self.bolt_length - self.process.thickness + BOLT_ROOM

    @property
    def slot_reach(self) -> float:
        """From the middle to the far end of a slot in the base, its relief included."""
        return self.tab_outer + self.process.fit / 2 + OVERSHOOT * self.relief

    @property
    def slot_half(self) -> float:
        """Half the width that slots, reliefs and bolt hole take in the base."""
        p = self.process
        return max((p.thickness + p.fit) / 2 + OVERSHOOT * self.relief, p.bolt.hole / 2)

    def lower_edge(self, half: float, bolted: bool) -> list[Turn]:
        """The corners of an upright's lower edge from (-half, 0) to (half, 0), both included."""
        left = self._tab(-self.tab_outer, -self.tab_inner)
        right = self._tab(self.tab_inner, self.tab_outer)
        middle = self._bolt_slot() if bolted else []
        return [Turn((-half, 0.0)), *left, *middle, *right, Turn((half, 0.0))]

    def _tab(self, left: float, right: float) -> list[Turn]:
        r, depth = self.relief, -self.tab_depth
        return [
            Turn((left, 0.0), Corner.RELIEF, r),
            Turn((left, depth)),
            Turn((right, depth)),
            Turn((right, 0.0), Corner.RELIEF, r),
        ]

    def _bolt_slot(self) -> list[Turn]:
        """The slot open below, with the nut's pocket across it."""
        p, r = self.process, self.relief
        b, n = p.bolt.hole / 2, (p.bolt.nut_flats + NUT_PLAY) / 2
        low, high, top = self.nut_low, self.nut_high, self.slot_top
        up = [(-b, 0.0), (-b, low), (-n, low), (-n, high), (-b, high), (-b, top)]
        down = [(-u, v) for u, v in reversed(up)]
        inner = {(-n, low), (-n, high), (n, low), (n, high), (-b, top), (b, top)}
        return [Turn(at, Corner.RELIEF if at in inner else Corner.SHARP, r) for at in (*up, *down)]

    def upper_edge(self, half: float, top: float, tab: float, rise: float) -> list[Turn]:
        """The corners of an upper edge from (half, top) to (-half, top) with one tab in its middle."""
        r, a = self.relief, tab / 2
        return [
            Turn((half, top)),
            Turn((a, top), Corner.RELIEF, r),
            Turn((a, top + rise)),
            Turn((-a, top + rise)),
            Turn((-a, top), Corner.RELIEF, r),
            Turn((-half, top)),
        ]

    def cutouts(self, name: str, at: Point, along: Point, bolted: bool) -> tuple[Cutout, ...]:
        """What the foot of the part `name` asks of the base: its middle at `at`, u along `along`."""
        found = []
        middle = (self.tab_inner + self.tab_outer) / 2
        p = self.process
        for side, word in ((-1.0, "left"), (1.0, "right")):
            shape = slot((side * middle, 0.0), self.tab + p.fit, p.thickness + p.fit, self.relief)
            found.append(Cutout(f"slot for the {word} tab of {name}", shape.placed(at, along)))
        if bolted:
            found.append(circle(f"bolt hole of {name}", at, p.bolt.hole))
        return tuple(found)


def _floor_hundredths(value: float) -> float:
    """A value that people write, never over the one that is still right: two decimals."""
    return math.floor(value * 100.0) / 100.0
