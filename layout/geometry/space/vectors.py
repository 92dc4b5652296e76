"""Vectors and right-handed triads in space.

Origin at the bottom-bracket centre: x forward, y up, z towards the drive side. A vector is a
float array whose last axis is (x, y, z); lengths mm.

A triad rides on a tube's axis:

        reference (phi = 0)
            |
            |     along (phi turns right-handed about it)
            |   /
            | /
            o------ across = along x reference (phi = 90)
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
Flags = NDArray[np.bool_]

X: Array = np.array([1.0, 0.0, 0.0])
Y: Array = np.array([0.0, 1.0, 0.0])
Z: Array = np.array([0.0, 0.0, 1.0])

PARALLEL = 1e-9
"""Sine of the angle between axes below which they have no one nearest point."""


def vector(x: float, y: float, z: float = 0.0) -> Array:
    """A vector from its components."""
    return np.array([x, y, z], dtype=np.float64)


def length(v: Array) -> float:
    """Length of one vector."""
    return float(math.sqrt(float(v @ v)))


def unit(v: Array) -> Array:
    """The direction of one vector. Raises ValueError for a vector of no length."""
    size = length(v)
    if size == 0.0:
        raise ValueError("a vector of no length has no direction")
    return v / size


def cross(a: Array, b: Array) -> Array:
    """The vector product of two vectors; numpy's own is made for many and slow for one."""
    ax, ay, az = a.tolist()
    bx, by, bz = b.tolist()
    return np.array([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx])


def square_to(v: Array, direction: Array) -> Array:
    """The part of `v` square to the unit vector `direction`."""
    return v - float(v @ direction) * direction


def rotate(v: Array, axis: Array, angle: float) -> Array:
    """One vector turned right-handed about the unit vector `axis` by `angle` degrees.

    >>> rotate(X, Z, 90.0).round(12).tolist()
    [0.0, 1.0, 0.0]
    """
    a = math.radians(angle)
    c, s = math.cos(a), math.sin(a)
    return c * v + s * cross(axis, v) + (1.0 - c) * float(axis @ v) * axis


@dataclass(frozen=True)
class Triad:
    """A point on an axis with the axis's direction and reference, both unit and square to each other."""

    at: Array
    along: Array
    reference: Array

    @cached_property
    def across(self) -> Array:
        """The direction of phi = 90."""
        return cross(self.along, self.reference)

    @cached_property
    def _axes(self) -> Array:
        return np.stack([self.along, self.reference, self.across], axis=1)

    def point(self, ahead: float, phi: float = 0.0, radius: float = 0.0) -> Array:
        """The point `ahead` mm along the axis and `radius` mm off it at `phi` degrees."""
        return self.at + ahead * self.along + radius * self.spoke(phi)

    def spoke(self, phi: float) -> Array:
        """The unit vector square to the axis at `phi` degrees."""
        a = math.radians(phi)
        return math.cos(a) * self.reference + math.sin(a) * self.across

    def local(self, points: Array) -> Array:
        """Points (..., 3) as (ahead, up the reference, across), in memory all of one before the next."""
        off = np.moveaxis(points, -1, 0).reshape(3, -1) - self.at[:, None]
        return np.moveaxis((self._axes.T @ off).reshape(3, *points.shape[:-1]), 0, -1)

    def local_direction(self, directions: Array) -> Array:
        """Directions (..., 3) as (ahead, up the reference, across)."""
        found: Array = directions @ self._axes
        return found

    def moved(self, ahead: float) -> Triad:
        """The triad `ahead` mm further along its own direction."""
        return Triad(self.at + ahead * self.along, self.along, self.reference)


def triad(at: Array, along: Array, up: Array) -> Triad:
    """A triad whose reference is as near to `up` as the axis allows.

    Raises ValueError where the axis runs along `up`.
    """
    direction = unit(along)
    return Triad(at, direction, unit(square_to(up, direction)))


class Approach(NamedTuple):
    """How two endless axes pass.

    Stations of their nearest points from each triad's own point, mm, the distance between
    these, and the included angle, 0 to 90 degrees.
    """

    first: float
    second: float
    distance: float
    angle: float


def approach(a: Triad, b: Triad) -> Approach | None:
    """Nearest points of two axes; None where they are parallel."""
    cosine = float(a.along @ b.along)
    normal = cross(a.along, b.along)
    sine = length(normal)
    if sine < PARALLEL:
        return None
    gap = b.at - a.at
    first = (float(gap @ a.along) - cosine * float(gap @ b.along)) / sine**2
    second = (cosine * float(gap @ a.along) - float(gap @ b.along)) / sine**2
    distance = abs(float(gap @ normal)) / sine
    return Approach(first, second, distance, math.degrees(math.atan2(sine, abs(cosine))))
