"""What makes room where a bridge comes too near the tyre: another place on its stays, or a curve."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from layout.bench.fitted import fitted_station, fitting_of
from layout.drafting.numbers import format_number
from layout.errors import spoken
from layout.frame.job import Fitting
from layout.frame.solve import Frame
from layout.geometry.space.bridges import bridge_path
from layout.geometry.space.clearance import TYRE, TYRE_GAP
from layout.geometry.space.form import BridgePlace, round_form
from layout.geometry.space.frame import bridge_room
from layout.geometry.space.gaps import TyreSolid, least_gap
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.roles import CHAIN_STAY
from layout.geometry.space.tube import FIRST, Tube

MOVES = tuple(float(k) for k in range(1, 61))
"""How far a bridge is moved from the axle to try it, mm."""
RADII = (300.0, 200.0, 150.0, 120.0, 100.0, 80.0, 60.0, 50.0, 40.0)
"""Curves that are tried, the flattest first."""


def bridge_words(frame: Frame, bridge: Tube) -> Iterator[str]:
    """The least move away from the axle that clears the tyre, and the flattest curve that does."""
    fitting, tyre = fitting_of(frame, bridge), frame.around.tyre
    if fitting is None or tyre is None:
        return

    def clears(place: BridgePlace) -> bool:
        return _clears(frame, bridge, tyre, place)

    station = fitted_station(frame, fitting)
    here = BridgePlace(fitting.role, station, bridge.diameter_at(0.0)[0], fitting.radius)
    way = -1.0 if fitting.role == CHAIN_STAY else 1.0
    move = _first((m for m in MOVES), lambda m: clears(here._replace(at=station + way * m)))
    if move is not None:
        yield f"{{at: {format_number(_at(fitting, way * move), 1)}}} in {spoken(fitting.key)}"
    if fitting.radius is None:
        radius = _first(RADII, lambda r: clears(here._replace(radius=r)))
        yield "" if radius is None else f"{{radius: {radius:g}}} in {spoken(fitting.key)}"


def _at(fitting: Fitting, along: float) -> float:
    """The fitting's `at` once it is moved along its stay, mm towards the stay's second end."""
    return fitting.at + along if fitting.role.end(fitting.origin) == FIRST else fitting.at - along


def _first(steps: Iterable[float], clears: Callable[[float], bool]) -> float | None:
    return next((step for step in steps if clears(step)), None)


def _clears(frame: Frame, bridge: Tube, tyre: TyreSolid, place: BridgePlace) -> bool:
    """Whether a bridge at a place fits between its stays and leaves the tyre its room."""
    stay = frame.space.drawn(place.stay)
    if not 0.0 < place.at < stay.length or bridge_room(frame.space, place) <= 0.0:
        return False
    try:
        path = bridge_path(place, *frame.space.pair(place.stay), frame.space.rear_axle)
    except MisfitError:
        return False
    tried = replace(bridge, path=path, profile=round_form(place.diameter).profile(path.length))
    return least_gap(tried, tyre, TYRE).value >= TYRE_GAP
