"""Looking for wrong numbers among many by what they take off the sum of squares.

    whitened residual  e = (observed - predicted) / sigma  = Q r
    cofactors          Q = I - U U',  U the range of the whitened design
    standardised       w_i = e_i / sqrt(Q_ii),  redundancy Q_ii: 1 watched by the others, 0 by none
    a set S set aside takes  e_S' Q_SS^-1 e_S  off the sum of squares

Baarda's data snooping. Readings of a frame (checks/fit.py) and the numbers of a spec (culprits.py) are
searched by it alike.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

WATCHED = 1e-6
"""A number of less redundancy is watched by no other: its residual is zero whatever it says."""
_RANK = 1e-13


def cofactors_of(design: Floats) -> Floats:
    """The cofactors of whitened rows (n, m)."""
    u, size, _ = np.linalg.svd(design, full_matrices=False)
    u = u[:, size > _RANK * size[0]] if len(size) else u
    return np.asarray(np.eye(len(design)) - u @ u.T, float)


def standardised(e: Floats, cofactors: Floats) -> Floats:
    """Residuals over their standard deviations; 0 for readings that no other watches."""
    redundancy = np.diag(cofactors)
    watched = redundancy > WATCHED
    return np.where(watched, e / np.sqrt(np.where(watched, redundancy, 1.0)), 0.0)


def without(e: Floats, cofactors: Floats, aside: NDArray[np.int_]) -> tuple[Floats, Floats]:
    """Residuals and cofactors once some readings are set aside, as if each had a parameter of its own."""
    if not len(aside):
        return e, cofactors
    inner = cofactors[np.ix_(aside, aside)]
    gain = cofactors[:, aside] @ np.linalg.pinv(inner, rcond=WATCHED, hermitian=True)
    left, left_cofactors = e - gain @ e[aside], cofactors - gain @ cofactors[aside]
    left[aside], left_cofactors[aside], left_cofactors[:, aside] = 0.0, 0.0, 0.0
    return left, left_cofactors


def gains(e: Floats, cofactors: Floats, sets: NDArray[np.int_]) -> Floats:
    """What setting aside each of `sets` (k, size) takes off the sum of squares."""
    inner = cofactors[sets[:, :, None], sets[:, None, :]]
    inverse = np.linalg.pinv(inner, rcond=WATCHED, hermitian=True)
    return np.asarray(np.einsum("ki,kij,kj->k", e[sets], inverse, e[sets]))
