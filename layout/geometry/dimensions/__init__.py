"""The registry of plane dimensions: every name of the trade that may be given or asked for.

Each is one function of the plane frame, in the module of its theme; the order is the
order in which they are listed to people. A dimension is added by writing its function
in one of these modules, and nowhere else.
"""

from __future__ import annotations

from layout.geometry.dimensions import chassis, joints, rider, steering, tubes
from layout.geometry.dimensions.kind import Dimension

__all__ = ["REGISTRY", "Dimension"]

REGISTRY: dict[str, Dimension] = {
    d.name: d
    for d in (*chassis.ENTRIES, *tubes.ENTRIES, *steering.ENTRIES, *rider.ENTRIES, *joints.ENTRIES)
}
"""Name to Dimension, in the order people read them."""
