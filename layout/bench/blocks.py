"""What stands under each part of a frame laid on a flat plate, so that all axes lie at one height.

    middle plane  - - - -(tube)- - - -[shell]- - - -|dropout|- - - -
                          block        block         block           under its skin, its face, its outer face
    plate         ===================================================

A height below 0 does not fit on the plate: that part lies over the plate's edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from layout.frame.solve import Frame
from layout.geometry.space.roles import SHELL, WRITTEN
from layout.geometry.space.vectors import Z

DROPOUT = "rear_dropout"


class PlateBlock(NamedTuple):
    """How high a part is blocked over the plate, mm, at one of its ends; `end` is None for the whole part."""

    part: str
    end: str | None
    height: float


def plane_height(frame: Frame) -> float:
    """How high the middle plane lies over the plate, mm: as written, else the shell stands on its face."""
    return frame.model.jig.plane_above_plate or frame.plane.shell_width / 2


def blocks(frame: Frame) -> tuple[PlateBlock, ...]:
    """Every part that rests on the plate: shell, both ends of each tube in the middle plane, dropout."""
    return tuple(_blocks(frame))


def _blocks(frame: Frame) -> Iterator[PlateBlock]:
    plane, rear = plane_height(frame), frame.space.rear
    yield PlateBlock(SHELL.name, None, plane - frame.plane.shell_width / 2)
    for tube in (frame.space.of(role) for role in WRITTEN if role.laid):
        for end, station in zip(tube.ends, (0.0, tube.length), strict=True):
            yield PlateBlock(tube.name, end, plane - tube.half_extent(station, Z))
    yield PlateBlock(DROPOUT, None, plane - rear.spacing / 2 - rear.thickness)
