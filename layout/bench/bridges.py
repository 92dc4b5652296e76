"""Which bridge a fitting is, and the fitting that a bridge comes from.

Several bridges between one pair of stays are numbered in the order in which a spec has them.
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.drafting.numbers import format_number
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.tube import FIRST, Tube

BRIDGE = "bridge"


def bridge_of(frame: Frame, fitting: Fitting) -> Tube:
    """The tube of a fitting that is a bridge."""
    own = [f for f in frame.fittings if f.kind == BRIDGE and f.role == fitting.role]
    return frame.space.bridges(fitting.role)[next(k for k, f in enumerate(own) if f is fitting)]


def fitting_of(frame: Frame, bridge: Tube) -> Fitting | None:
    """The fitting that a tube comes from, None for a tube that is no bridge."""
    own = [f for f in frame.fittings if f.kind == BRIDGE and f.role.bridge == bridge.role.name]
    return own[bridge.number - 1] if own else None


def bridge_notes(frame: Frame) -> Iterator[str]:
    """In which order each curved bridge is made, for the cutting table."""
    for tube in frame.space.tubes.values():
        if tube.role.alike_ends and not tube.path.straight:
            straight = format_number(tube.end(FIRST).clear, 1)
            yield (
                f"{words(tube.label).capitalize()}: curved. Its lengths are along the bent axis. Each end is "
                f"straight, {straight} from the stay's axis. Wrap both templates on the straight tube and "
                "scribe the cuts. Bend the tube, lay it on its line, then cut."
            )
