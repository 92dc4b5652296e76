"""The callouts of the side view, placed among its strokes: on a roll, or each whole on one page.

What they are placed on is the same on every paper, and is worked out once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from itertools import chain
from typing import NamedTuple

from layout.drafting.alike import place_alike, place_alike_in_groups
from layout.drafting.calls import Call, NoteCall
from layout.drafting.calls.notes import long_leader
from layout.drafting.entities import Entity, Line
from layout.drafting.obstacles import HARD, Obstacles
from layout.drafting.placer import DrawnScene, PlacedCalls, Placer
from layout.drafting.places import TakenPlace
from layout.drafting.rooms import Rooms
from layout.drafting.scene import Group, scene, squares
from layout.drafting.style import TEXT_NOTE, Layer
from layout.drafting.vector import Point, along, bearing, middle
from layout.frame.words import words
from layout.views.crosses import crosses, name_calls
from layout.views.fittings import fitting_notes
from layout.views.side.callouts import angle_calls, ground_calls, length_calls
from layout.views.side.ends import seat_top_notes
from layout.views.side.plan import Plan
from layout.views.side.strokes import BRAKE_OUT, SideStrokes, arm

AT_HEAD = ("head_tube_top", "top_tube_at_head", "down_tube_at_head", "head_tube_bottom", "crown_race")
"""Points along the head tube: their names keep the points' order."""
WAY_OUT, WAY_OUT_PRICE = 90.0, 150.0
"""So far, mm, names along the head tube leave the way of dimensions free; what it costs not to do so."""
CROSS_CLEAR = 5.0
"""Half the square round a cross's centre that lettering keeps off, for the scriber's point."""
CENTRELINE_PRICE, WHEEL_PRICE, DATUM_PRICE, ARM_PRICE = 24.0, 8.0, 20.0, 3000.0
WAY_DOWN, WAY_DOWN_PRICE = 180.0, 100.0
"""The same below the axles: words there would send the long level dimensions up across the frame."""
MANY_LEFT = 4
"""Where more callouts than these find no place in one order, no other order finds room for them all."""
BRAKE_NOTE, BRAKE_NEAR = "room for the brake", 3.0


class LetteredView(NamedTuple):
    """What callouts draw on one paper: all of the frame, and a group each of the ground and points around."""

    frame: tuple[Entity, ...]
    ground: tuple[tuple[Entity, ...], ...]
    around: tuple[tuple[Entity, ...], ...]
    crowded: tuple[str, ...]


@dataclass(frozen=True)
class Lettering:
    """The callouts of a view, and what they are placed on."""

    strokes: SideStrokes

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """All strokes with their prices."""
        strokes, p = self.strokes, self.strokes.plan
        around = crosses(strokes.around.values(), partial(arm, p))
        return (
            (strokes.outlines, HARD),
            (strokes.axes, CENTRELINE_PRICE),
            (strokes.wheels, WHEEL_PRICE),
            ([*strokes.arms, *around, *strokes.fittings], ARM_PRICE),
            (squares(p.points.values(), CROSS_CLEAR), HARD),
            (list(_levels(p)), DATUM_PRICE),
            (list(_ways_down(p)), WAY_DOWN_PRICE),
        )

    @cached_property
    def drawn(self) -> DrawnScene:
        """What callouts are placed on."""
        return DrawnScene(scene(self.groups))

    @cached_property
    def around_head(self) -> Obstacles:
        """What names along the head tube are placed on."""
        ways_out = list(_ways_out(self.strokes.plan, [call.at for call in self.names_at_head]))
        return scene((*self.groups, (ways_out, WAY_OUT_PRICE))).frozen()

    @cached_property
    def names(self) -> list[Call]:
        """The names of the points that must be on the sheet."""
        return _names(self.strokes.core)

    @cached_property
    def names_at_head(self) -> list[NoteCall]:
        """Those along the head tube, which are placed as one."""
        said = {words(n) for n in AT_HEAD}
        return [call for call in self.names if isinstance(call, NoteCall) and call.text in said]

    def on(self, rooms: Rooms | None) -> LetteredView:
        """The callouts placed on a roll, or with `rooms` on pages that join."""
        strokes, p = self.strokes, self.strokes.plan
        settled = self._settled(rooms)
        apart = [call for i, call in enumerate(self.names_at_head) if i not in settled]
        names = [*(call for call in self.names if call not in self.names_at_head), *apart]
        lengths = length_calls(p, strokes.checks)
        notes = [*fitting_notes(strokes.sited), *brake_notes(p), *seat_top_notes(p)]
        ground = ground_calls(p) if strokes.wheeled else []
        calls = [*ground, *_names(strokes.around)]
        angles, placer = angle_calls(p), Placer(self.drawn, rooms, tuple(settled.values()))
        orders = _orders(lengths, notes, names, joined=rooms is not None)
        best = _best(placer.place([*angles, *order, *calls]) for order in orders)
        groups, first = best.groups, len(best.groups) - len(calls)
        of_frame = (*groups[:first], *(place.entities for place in settled.values()))
        last = first + len(ground)
        return LetteredView(tuple(chain(*of_frame)), groups[first:last], groups[last:], best.crowded)

    def _settled(self, rooms: Rooms | None) -> dict[int, TakenPlace]:
        """The places of the names along the head tube, by their number."""
        if rooms is None:
            return place_alike(self.names_at_head, self.around_head)
        return place_alike_in_groups(self.names_at_head, self.around_head, rooms)


def _best(tries: Iterable[PlacedCalls]) -> PlacedCalls:
    """The first try that leaves no callout without a place, or the one that leaves the fewest.

    Of such the one with the fewest long leaders. Where many are left no other is tried.
    """
    best: tuple[tuple[int, int], PlacedCalls] | None = None
    for placed in tries:
        unclear = len(placed.crowded), sum(long_leader(group) for group in placed.groups)
        best = (unclear, placed) if best is None or unclear < best[0] else best
        if not 0 < len(placed.crowded) <= MANY_LEFT:
            break
    assert best is not None
    return best[1]


def _orders(
    lengths: Sequence[Call], notes: Sequence[Call], names: Sequence[Call], *, joined: bool
) -> Iterator[tuple[Call, ...]]:
    """In which order callouts are placed: what is placed first has the better places.

    Notes come first: they have the least room. Where pages join, that is the only order tried. Another is
    tried where callouts are left without a place. For long leaders alone none is: 21 of 85 frames had such
    leaders (the demos with head angles moved by up to a degree), and no order made them fewer.
    """
    yield (*notes, *lengths, *names)
    if not joined:
        yield (*lengths, *notes, *names)
        yield (*names, *notes, *lengths)


def brake_notes(p: Plan) -> Iterator[Call]:
    """What the zone about the rotor's rim is for."""
    rotor = p.frame.around.rotor
    if rotor is not None:
        at = p["rear_axle"]
        down, up = (along(at, bearing(at, p[name]), 100.0) for name in ("bb", "top_tube_at_seat"))
        between = middle(down, up)
        out = along(at, bearing(at, between), rotor.radius + BRAKE_OUT)
        yield NoteCall(BRAKE_NOTE, out, TEXT_NOTE, Layer.WHEEL, near=BRAKE_NEAR)


def _ways_out(p: Plan, points: Iterable[Point]) -> Iterator[Line]:
    """Where extension lines leave points along the head tube, to both sides."""
    across = bearing(p["head_tube_bottom"], p["head_tube_top"]) + 90.0
    for at in points:
        yield Line(along(at, across, -WAY_OUT), along(at, across, WAY_OUT), Layer.DIM)


def _ways_down(p: Plan) -> Iterator[Line]:
    """Where extension lines leave the axles and the BB downwards, to the long level dimensions."""
    for name in ("rear_axle", "bb", "front_axle"):
        yield Line(p[name], along(p[name], -90.0, WAY_DOWN), Layer.DIM)


def _names(points: Mapping[str, Point]) -> list[Call]:
    return name_calls(points, words)


def _levels(p: Plan) -> Iterator[Line]:
    """The lines of the datums and of the ground, as far as any sheet goes."""
    far = 2000.0
    ground = middle(p["rear_contact"], p["front_contact"])
    for at, angle in ((p["rear_axle"], 0.0), (p["bb"], 0.0), (p["bb"], 90.0), (ground, 0.0)):
        yield Line(along(at, angle, -far), along(at, angle, far), Layer.DIM)
