"""The frame's tubes on the side view: their shadows on its plane, cut as their mitres are.

Of a mitre the half that faces the viewer is drawn; the drive side's stays stand for both.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

import numpy as np

from layout.drafting.entities import Circle, Point, Stroke
from layout.drafting.style import Layer
from layout.geometry.plates.contour import ContourPiece
from layout.geometry.space.dropout import EYE, outline_of
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.rear import axle_line
from layout.geometry.space.roles import ROLES, SHELL, Role
from layout.views.plates.shapes import drawn_piece
from layout.views.projection import ProjectionPlane, outline
from layout.views.side.plan import Plan


def tubes(p: Plan, names: Collection[str] | None = None) -> Iterator[Stroke]:
    """The outlines of the tubes named (None: all) and the shell, whose circle is drawn once."""
    space = p.frame.space
    onto = ProjectionPlane(np.zeros(3), np.array([p.forward, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]))
    wanted = [name for name in p.bars if names is None or name in names]
    shown = {tube.name: tube for tube in (space.drawn(ROLES[name]) for name in wanted)}
    cut = replace(space, joints=tuple(j for j in space.joints if j.tube in shown))
    for tube in shown.values():
        yield from outline(cut, tube, onto, without=SHELL.name)
    yield Circle(p["bb"], p.frame.plane.shell_diameter / 2, Layer.OUTLINE)


def dropout(p: Plan) -> Iterator[Stroke]:
    """The drive side's plate as a plain outline, its tongues hidden in the stays.

    Where one plate cannot hold both stays, the axle's eye alone.
    """
    x, y = p["rear_axle"]
    try:
        plate = outline_of(p.frame.space, p.frame.model.rear_end.dropout.slot, p.frame.model.rear_end.axle)
    except MisfitError:
        yield Circle((x, y), EYE, Layer.OUTLINE)
        return
    for piece in plate.edge:
        yield drawn_piece(_placed(piece, (x, y), p.forward), Layer.OUTLINE)
    for piece in plate.tongues:
        yield drawn_piece(_placed(piece, (x, y), p.forward), Layer.HIDDEN)
    if plate.hole is not None:
        yield Circle((x, y), plate.hole / 2, Layer.OUTLINE)


def _placed(piece: ContourPiece, at: Point, forward: float) -> ContourPiece:
    """A piece about the axle on paper, mirrored where the bicycle heads left."""
    start, end = ((at[0] + forward * x, at[1] + y) for x, y in (piece.start, piece.end))
    return ContourPiece(start, end, forward * piece.bulge)


def stay_axis(p: Plan, role: Role) -> tuple[Point, Point]:
    """A stay's axis in the side view, from its other end to where it passes the axle, first end first."""
    space, names = p.frame.space, role.points
    line = axle_line(p.frame.plane.points, role, space.rear)
    foot = p.forward * float(line.foot[0]) + 0.0, float(line.foot[1])
    return (foot, p[names[1]]) if role.dropout == 0 else (p[names[0]], foot)
