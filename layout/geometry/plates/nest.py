"""Parts laid on stock sheets by their bounding boxes, for a price; a supplier nests closer.

The largest first, each where its box leaves the shortest strip (best short side fit among the
maximal free rectangles; J. Jylänki's survey of rectangle packing, 2010, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Room = tuple[float, float, float, float]
"""Left, bottom, right, top of free room."""


@dataclass(frozen=True)
class Laid:
    """One part on a sheet: which, its box's lower left corner, whether it is turned by a quarter."""

    part: int
    sheet: int
    left: float
    bottom: float
    turned: bool


def nested(sizes: Sequence[tuple[float, float]], room: tuple[float, float], spacing: float) -> list[Laid]:
    """Boxes of `sizes` (width, height) on as many sheets of `room` as it takes, `spacing` between them.

    Raises ValueError for a box that is larger than the room either way round.
    """
    order = sorted(range(len(sizes)), key=lambda k: (-max(sizes[k]), -min(sizes[k]), k))
    whole: Room = (0.0, 0.0, room[0] + spacing, room[1] + spacing)
    sheets: list[list[Room]] = []
    found: list[Laid] = []
    for k in order:
        w, h = sizes[k][0] + spacing, sizes[k][1] + spacing
        best = _best(sheets, w, h)
        if best is None:
            sheets.append([whole])
            best = _best([[whole]], w, h)
            if best is None:
                raise ValueError(f"a part of {sizes[k][0]:.0f} x {sizes[k][1]:.0f} is larger than the sheet")
            best = (len(sheets) - 1, *best[1:])
        sheet, left, bottom, turned = best
        found.append(Laid(k, sheet, left, bottom, turned))
        a, b = (h, w) if turned else (w, h)
        sheets[sheet] = _without(sheets[sheet], (left, bottom, left + a, bottom + b))
    return found


def _best(sheets: Sequence[Sequence[Room]], w: float, h: float) -> tuple[int, float, float, bool] | None:
    """The first sheet with room, and on it the place that leaves the shortest strip."""
    for number, rooms in enumerate(sheets):
        fits = [
            (min(r[2] - r[0] - a, r[3] - r[1] - b), r[1], r[0], turned)
            for r in rooms
            for turned, (a, b) in ((False, (w, h)), (True, (h, w)))
            if a <= r[2] - r[0] + 1e-9 and b <= r[3] - r[1] + 1e-9
        ]
        if fits:
            _, bottom, left, turned = min(fits)
            return number, left, bottom, turned
    return None


def _without(rooms: Sequence[Room], taken: Room) -> list[Room]:
    """The maximal free rectangles once one is taken out of them."""
    split: list[Room] = []
    for r in rooms:
        if taken[0] >= r[2] or taken[2] <= r[0] or taken[1] >= r[3] or taken[3] <= r[1]:
            split.append(r)
            continue
        if taken[0] > r[0]:
            split.append((r[0], r[1], taken[0], r[3]))
        if taken[2] < r[2]:
            split.append((taken[2], r[1], r[2], r[3]))
        if taken[1] > r[1]:
            split.append((r[0], r[1], r[2], taken[1]))
        if taken[3] < r[3]:
            split.append((r[0], taken[3], r[2], r[3]))
    kept = list(dict.fromkeys(split))
    return [r for r in kept if not any(o != r and _holds(o, r) for o in kept)]


def _holds(outer: Room, inner: Room) -> bool:
    return outer[0] <= inner[0] and outer[1] <= inner[1] and outer[2] >= inner[2] and outer[3] >= inner[3]
