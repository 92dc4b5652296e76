"""The frame's tubes on the side view: their shadows on its plane, cut as their mitres are.

Of a mitre the half that faces the viewer is drawn; the drive side's stays stand for both.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

import numpy as np

from layout.drafting.entities import Circle, Stroke
from layout.drafting.style import Layer
from layout.geometry.space.roles import ROLES, SHELL
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
        yield from outline(cut, tube, onto, without=SHELL.name, facing=True)
    yield Circle(p["bb"], p.frame.plane.shell_diameter / 2, Layer.OUTLINE)
