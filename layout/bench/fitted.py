"""On which tubes a fitting sits and where along them; which bridge it is, and which fitting a bridge is.

Several bridges between one pair of stays are numbered in the order in which a spec has them.
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.drafting.numbers import format_number
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.geometry.space.roles import LEFT, RIGHT
from layout.geometry.space.stations import stay_station, stay_tube
from layout.geometry.space.tube import FIRST, Tube

BRIDGE = "bridge"
ON_BOTH = ("vent", "brake_mount")
"""What both of a pair of stays have where no side is named."""


def fitted_tubes(frame: Frame, fitting: Fitting) -> tuple[Tube, ...]:
    """The tubes that a fitting sits on.

    A bridge joins both of its pair; a vent and a brake mount are on both of a pair unless they are said to
    be on the left or the right.
    """
    role = fitting.role
    if not role.paired:
        return (frame.space.of(role),)
    both = fitting.kind == BRIDGE or (fitting.kind in ON_BOTH and fitting.side not in (LEFT, RIGHT))
    return frame.space.pair(role) if both else (stay_tube(frame.space, fitting),)


def fitted_station(frame: Frame, fitting: Fitting) -> float:
    """The station of a fitting on its tube's axis, mm from the first end."""
    if fitting.role.paired:
        return stay_station(frame.space, fitting)
    length = frame.space.of(fitting.role).length
    return fitting.at if fitting.role.end(fitting.origin) == FIRST else length - fitting.at


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
                f"straight, {straight} mm from the stay's axis. Wrap both templates on the straight tube and "
                "scribe the cuts. Bend the tube, lay it on its line, then cut."
            )
