"""A printed template wrapped on its tube again: from paper to the tube's outside, by the tube's own shape.

The paper's middle lies half its thickness outside the tube. Round, oval of one section, or cone.
"""

from __future__ import annotations

import math

import numpy as np

from layout.geometry.space.develop import PAPER
from layout.geometry.space.mitre import Cut


def wrapped(cut: Cut, off: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Phi (degrees) and station of a strip's points, its phase line on the tube's.

    `off` (n, 2) is from the strip's centre cross, mm on paper, the joint upwards.
    """
    profile, sign = cut.end.tube.profile, -cut.end.inward
    x, y = sign * off[:, 0], sign * off[:, 1]
    middle, deepest = (cut.least.s + cut.greatest.s) / 2, cut.greatest.s
    at = (cut.origin + cut.end.inward * s for s in (middle, deepest))
    (h, w), (h1, w1) = (map(float, profile.halves(station)) for station in at)
    taper = (h1 - h) / (cut.end.inward * (deepest - middle))
    h0 = h1 - taper * cut.end.inward * deepest
    if abs(h - w) < 1e-9 and abs(taper) < 1e-9:
        return np.degrees(x / (h0 + PAPER / 2)), cut.origin + y
    if abs(h - w) < 1e-9:
        slope = math.atan(taper)
        apex = (h0 + PAPER / 2 * math.cos(slope)) / math.sin(slope)
        rho = math.copysign(1.0, apex) * np.hypot(x, y + apex)
        theta = np.arctan2(x * np.sign(apex), (y + apex) * np.sign(apex))
        # The paper's middle is set off square to the cone, so it stands a little along it too.
        return np.degrees(theta / math.sin(slope)), cut.origin + (rho - apex) * math.cos(slope)
    return np.degrees(_round_an_oval(profile.turned, x, h1, w1)) + profile.turned, cut.origin + y


def _round_an_oval(turned: float, x: np.ndarray, height: float, width: float) -> np.ndarray:
    """The polar angle from the oval's height, radians, where the paper has run `x` mm from phi = 0."""
    e = np.radians(np.linspace(-720.0, 720.0, 288001))
    up, over = height * np.cos(e), width * np.sin(e)
    n = np.stack([np.cos(e) / height, np.sin(e) / width])
    n /= np.hypot(*n)
    ring_up, ring_over = up + PAPER / 2 * n[0], over + PAPER / 2 * n[1]
    run = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(ring_up), np.diff(ring_over)))])
    polar = e + np.arctan2(np.sin(np.arctan2(over, up) - e), np.cos(np.arctan2(over, up) - e))
    zero = np.interp(math.radians(-turned), polar, run)
    return np.interp(zero + x, run, polar)
