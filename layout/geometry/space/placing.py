"""Tubes of a role placed between two points in space, one or both of a pair.

The reference line (phi = 0) is the generator on a tube's up or forward side, as its role says, as near as
the axis allows.
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.geometry.space.form import Form
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.roles import FRONT, UP, Role, Side
from layout.geometry.space.stays import stay_path
from layout.geometry.space.tube import Tube
from layout.geometry.space.vectors import Array, X, Y, vector

REFERENCES = {UP: Y, FRONT: X}
"""The direction that a reference line lies nearest to, by its side of the tube."""


def reference(role: Role) -> Array:
    """The direction that the reference line of a role's tubes lies nearest to."""
    return REFERENCES[role.quarters[0]]


def place_tube(role: Role, start: Array, end: Array, form: Form, side: Side | None = None) -> Tube:
    """A tube with its form; `start`, `end` and `form` are those of its own side."""
    try:
        path = stay_path(start, end, reference(role), form.bends)
    except MisfitError as e:
        raise e.of(role.name) from e
    profile = form.profile(path.length)
    return Tube(role, path, profile, side, walls=form.walls, facing=form.facing, dimples=form.dimples)


def placed_pair(role: Role, start: Array, end: Array, form: Form) -> Iterator[Tube]:
    """Both of a pair from the drive side's end points and form, the left one first."""
    for side in Side:
        own = form if side.sign > 0 else form.mirrored
        yield place_tube(role, _mirror_point(start, side), _mirror_point(end, side), own, side=side)


def _mirror_point(p: Array, side: Side) -> Array:
    return p * vector(1.0, 1.0, side.sign)
