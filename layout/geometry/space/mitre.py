"""Mitres: the exact curve at which a tube's end is cut to fit one or several others.

    s(phi)     mm along the axis from the origin, into the tube
    origin     the point of this axis nearest the axis of the first tube it is cut against
    phi        degrees from the tube's reference line, right-handed about first end to second end

For a round tube (radius r) on a cylinder (radius R), axes at the angle t and e apart, with psi counted
from the acute side, the curve is s = (r cos psi cos t + sqrt(R^2 - (e + r sin psi)^2)) / sin t.

A generator that misses all the others has no s (NaN): the tube passes beside them there.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from layout.geometry.space.meeting import Host, meet, nearest_host_axis
from layout.geometry.space.tube import Tube, TubeEnd
from layout.geometry.space.vectors import Approach, Array, Flags, Indices

EVERY_DEGREE: Array = np.arange(360.0)
"""The samples of the surface: phi = 0, 1, ... 359."""
ALIKE = 1e-9
"""Two s nearer than this, mm, are one."""
ZOOMS, ZOOM_SAMPLES = 4, 65
"""Extremes are looked for again between the neighbours of the best sample: 2 degrees / 32^4 at the end."""
BITES = 1e-6
"""A second tube shapes a cut only where it reaches this much further in than the first, mm."""


class Extreme(NamedTuple):
    """The least or greatest s of a curve, and the phi where it is."""

    phi: float
    s: float


@dataclass(frozen=True)
class Cut:
    """One end's mitre: see the module.

    `origin` is the station of s = 0 on the tube's axis, `second` the station on the first host where the
    axes pass; `host` the index of the host met at each phi, -1 for none.
    """

    end: TubeEnd
    hosts: tuple[Host, ...]
    angle: float
    offset: float
    origin: float
    second: float
    phi: Array
    s: Array
    host: Indices

    @property
    def tube(self) -> str:
        """Name of the tube that is cut."""
        return self.end.tube.name

    @property
    def end_name(self) -> str:
        """Name of the end that is cut."""
        return self.end.name

    @property
    def against(self) -> tuple[str, ...]:
        """Names of the tubes it is cut against, the first being the one that `origin` refers to."""
        return tuple(h.tube.name for h in self.hosts)

    @property
    def missed(self) -> Flags:
        """Which generators miss every one of the others."""
        return np.isnan(self.s)

    @property
    def passing(self) -> tuple[float, ...]:
        """The phi in the middle of each stretch that misses every one of the others, degrees."""
        missed = self.missed
        if missed.all() or not missed.any():
            return ()
        start = int((~missed).argmax())
        turned = np.roll(missed, -start)
        edges = np.flatnonzero(np.diff(np.concatenate([[False], turned, [False]]).astype(int)))
        phi = np.unwrap(np.roll(self.phi, -start), period=360.0)
        return tuple(
            float((phi[a] + phi[b - 1]) / 2 % 360.0) for a, b in zip(edges[::2], edges[1::2], strict=True)
        )

    @property
    def partial(self) -> bool:
        """Whether part of the tube passes beside the others."""
        return bool(self.missed.any())

    def at(self, phi: Array) -> tuple[Array, Indices]:
        """Each s and the index of the tube met, -1 for none, at any phi (degrees), each of its shape."""
        flat = np.ravel(phi)
        s, host = _greatest(self.end, self.hosts, self._near, flat, origin=self.origin)
        return s.reshape(np.shape(phi)), host.reshape(np.shape(phi))

    def stations(self, s: Array) -> Array:
        """Stations on the tube of values of s."""
        return self.origin + self.end.inward * s

    def points(self, phi: Array, s: Array) -> Array:
        """Points (..., 3) in space on the tube's outside at phi and s."""
        r = self.end.tube.profile.radius(phi, self.stations(s))
        here = self.end.triad
        a = np.radians(phi)
        ahead = self.stations(s) - self.end.t
        found: Array = (
            here.at
            + ahead[..., None] * here.along
            + (r * np.cos(a))[..., None] * here.reference
            + (r * np.sin(a))[..., None] * here.across
        )
        return found

    @cached_property
    def least(self) -> Extreme:
        """The tube's longest point: the least s, between the samples too.

        Where part of the tube passes beside, the curve ends on a tangent, in a hair less than a degree wide
        that nobody could hook: there it is the least of the samples, and the part beside is sawn off there.
        """
        return self._extreme(np.nanargmin, np.nanmin)

    @cached_property
    def greatest(self) -> Extreme:
        """The tube's shortest point: the greatest s, found as the least is."""
        return self._extreme(np.nanargmax, np.nanmax)

    @cached_property
    def _near(self) -> tuple[Approach | None, ...]:
        return tuple(nearest_host_axis(self.end, h.tube) for h in self.hosts)

    def _extreme(self, which: Callable[[Array], np.intp], value: Callable[[Array], float]) -> Extreme:
        k = _first_like(self.s, int(which(self.s)))
        phi, s, step = float(self.phi[k]), float(value(self.s)), 1.0
        at_edge = bool(np.take(self.missed, [k - 1, k + 1], mode="wrap").any())
        for _ in range(0 if at_edge else ZOOMS):
            around = np.linspace(phi - step, phi + step, ZOOM_SAMPLES)
            found, _ = self.at(around)
            if np.isnan(found).all():
                break
            k = _first_like(found, int(which(found)))
            candidate = float(value(np.array([s, float(found[k])])))
            if abs(candidate - s) > ALIKE:
                phi, s = float(around[k]), candidate
            step *= 2.0 / (ZOOM_SAMPLES - 1)
        return Extreme(phi % 360.0, s)


def _first_like(values: Array, k: int) -> int:
    """The first place whose value is that of place `k`: last bits do not choose among several."""
    return int(np.flatnonzero(np.abs(values - values[k]) <= ALIKE)[0])


def mitre(
    tube: Tube,
    which: int,
    hosts: Sequence[Host],
    *,
    always: int = 1,
    phi: Array = EVERY_DEGREE,
) -> Cut | None:
    """The mitre of a tube's end (0 first, 1 second) against `hosts`, the first of which gives the origin.

    The first `always` hosts are listed whether or not they shape the curve; any other only where
    it bites. `phi` (n,) in degrees. None where the end meets none of them, or runs
    parallel to the first: then there is no mitre.
    """
    end = tube.end(which)
    near = [nearest_host_axis(end, h.tube) for h in hosts]
    first = near[0]
    if first is None:
        return None
    used: list[int] = []
    best = np.full(phi.shape, np.nan)
    owner = np.full(phi.shape, -1, dtype=np.intp)
    for k, (host, passing) in enumerate(zip(hosts, near, strict=True)):
        if passing is None:
            continue
        s = end.inward * (meet(end, host, phi, passing) - first.first)
        further = _further(s, best)
        if k < always or (further & _further(s - BITES, best)).any():
            best, owner = np.where(further, s, best), np.where(further, len(used), owner)
            used.append(k)
    if np.isnan(best).all():
        return None
    kept = tuple(hosts[k] for k in used)
    return Cut(
        end,
        kept,
        first.angle,
        first.distance,
        origin=first.first,
        second=first.second,
        phi=phi,
        s=best,
        host=owner,
    )


def _further(s: Array, best: Array) -> Flags:
    """Where s lies deeper in the tube than the best so far, or nothing was met before."""
    found: Flags = (s > best) | (np.isnan(best) & ~np.isnan(s))
    return found


def _greatest(
    end: TubeEnd, hosts: Sequence[Host], near: Sequence[Approach | None], phi: Array, origin: float
) -> tuple[Array, Indices]:
    """The greatest s over all hosts and which host gives it, -1 where all are missed."""
    best = np.full(phi.shape, np.nan)
    owner = np.full(phi.shape, -1, dtype=np.intp)
    for k, (host, passing) in enumerate(zip(hosts, near, strict=True)):
        if passing is None:
            continue
        s = end.inward * (meet(end, host, phi, passing) - origin)
        further = _further(s, best)
        best, owner = np.where(further, s, best), np.where(further, k, owner)
    return best, owner
