"""The frame in space from its spec: tubes, rear end and drivetrain, with stated defaults.

What the spec leaves out is a default of geometry/space/form.py or of this module; each one that is
used is listed under the key where the spec would give it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from layout.errors import Fault, Notice, SolveError, spoken
from layout.frame.job import Fitting
from layout.frame.plane import PlaneFrame
from layout.frame.sizes import Oval, TubeSize, Wheel
from layout.frame.words import ASSUMED, MOVE_BEND, NO_ROOM_FOR_BRIDGE, ONE_ASSUMED
from layout.geometry.space.bridges import bridge_path
from layout.geometry.space.clearance import TYRE_GAP, Surroundings
from layout.geometry.space.dimple import Dimple
from layout.geometry.space.form import (
    BEND_RADIUS,
    BRIDGE_DIAMETER,
    DROPOUT_INSET,
    DROPOUT_THICKNESS,
    HUB_SPACING,
    HUB_SPACING_THROUGH,
    MOUNTS,
    OVAL_KEPT,
    THROUGH_AXLE,
    BridgePlace,
    Form,
    RearEnd,
    Shell,
    StayPlace,
    default_stay_spacing,
)
from layout.geometry.space.frame import SpaceFrame, assemble, bridge_room
from layout.geometry.space.gaps import DiscSolid, TyreSolid, chain_wheel
from layout.geometry.space.misfit import MisfitError
from layout.geometry.space.path import Bend
from layout.geometry.space.roles import CHAIN_STAY, WRITTEN, Role
from layout.geometry.space.stations import stay_station
from layout.geometry.space.tube import FIRST, Walls
from layout.spec.load import FrameSpec
from layout.spec.parts import Dropout, DropoutStay, TubeBlock
from layout.spec.standards import NARROWEST_TYRE, WIDEST_TYRE
from layout.spec.standards import TyreMarking as MarkedTyre

CHAINLINE = 47.5
CHAINRING_TEETH = 40
CHAIN_WIDTH = 8.0
"""Over the rivets of a chain on its chainring, with a little play; common practice."""
CRANK_CLEARANCE = 62.0
"""From the middle plane to the inner face of a crank's end: 150 across the cranks outside, 13 thick;
common practice."""
CRANK_THICKNESS = 13.0
ROTOR_THICKNESS = 1.8
ROTOR_FROM_FACE = 15.0
"""From a dropout's inner face to the rotor's outer one: 10 to 16, common practice. Measure the hub."""
CRANK_EYE = 15.0
"""A crank reaches this far past the pedal's axis, common practice."""
CRANK_LENGTH = 172.5
"""The crank that gaps are taken to where the rider's is not given, common practice."""
PARTS = ("tubes.", "bottom_bracket.")
"""Where the solved frame's own defaults are sizes of parts."""

Default = float | str


class Placed(NamedTuple):
    """A solved frame in space. `defaults` are those used beside the solved frame's own, by spec key."""

    plane: PlaneFrame
    frame: SpaceFrame
    around: Surroundings
    defaults: Mapping[str, Default]

    @property
    def assumed(self) -> dict[str, str]:
        """Every size of a part that the spec does not give, as people read it, by the key to give it with."""
        parts = {k: v for k, v in self.plane.defaults.items() if k.startswith(PARTS)}
        return {k: v if isinstance(v, str) else f"{v:g}" for k, v in {**parts, **self.defaults}.items()}

    def notices(self, *blocks: str) -> tuple[Notice, ...]:
        """A word on what was assumed, in those blocks of the spec alone where any are named."""
        found = self.assumed.items()
        asked = [(key, value) for key, value in found if not blocks or key.split(".")[0] in blocks]
        said = [f"{spoken(key).replace(',', '')} {value}" for key, value in asked]
        if not said:
            return ()
        told = ONE_ASSUMED if len(said) == 1 else ASSUMED
        return (Notice("assumed", told.format(count=len(said), sizes=", ".join(said))),)


class _Taken:
    """Gives what is written, else the default, and keeps a list of the defaults given."""

    def __init__(self) -> None:
        self.defaults: dict[str, Default] = {}

    def number(self, key: str, written: float | None, default: float) -> float:
        """The number written, else `default` (listed under `key`)."""
        if written is not None:
            return written
        self.defaults[key] = default
        return default

    def word(self, key: str, written: str | None, default: str) -> str:
        """The word written, else `default` (listed under `key`)."""
        if written is not None:
            return written
        self.defaults[key] = default
        return default


def place_frame(spec: FrameSpec, plane: PlaneFrame, fittings: Sequence[Fitting]) -> Placed:
    """Place the tubes of a solved frame in space.

    Raises SolveError where a stay's bends do not fit between its ends, or a bridge between its stays.
    """
    taken = _Taken()
    forms = {r.name: _form(getattr(spec.spec.tubes, r.name), r, plane.sizes[r.name], taken) for r in WRITTEN}
    shell = Shell(plane.shell_width, plane.shell_diameter)
    rear = _rear_end(spec, forms[CHAIN_STAY.name], shell, taken)
    rear = rear._replace(tyre=_tyre(plane), tyre_reach=plane.rear_wheel.radius + TYRE_GAP, tyre_gap=TYRE_GAP)
    try:
        frame = assemble(plane.points, forms, shell, rear)
    except MisfitError as e:
        raise SolveError(_bend_fault(spec, e)) from e
    bridges = tuple(_bridges(spec, fittings, frame, taken))
    if bridges:
        frame = assemble(plane.points, forms, shell, rear, bridges=bridges)
    return Placed(plane, frame, _surroundings(spec, plane, rear.spacing / 2, taken), taken.defaults)


def _form(tube: TubeBlock, role: Role, size: TubeSize, taken: _Taken) -> Form:
    """A tube's form; an oval that becomes round on the way is kept near the ends that are oval."""
    first, second = (_section(d, o) for d, o in zip((size.first, size.second), size.ovals, strict=True))
    kept = (0.0, 0.0)
    if tube.section is not None and tube.taper is None and first != second:
        kept = OVAL_KEPT * role.oval[0], OVAL_KEPT * role.oval[1]
    bends = tuple(_bend(b, f"tubes.{role.name}.bends", taken) for b in tube.bends)
    return Form(
        first,
        second,
        tube.taper,
        kept,
        turned=tube.turned or 0.0,
        walls=_walls(tube),
        bends=bends,
        facing=_facing(tube, role),
        dimples=tuple(Dimple(d.at, d.length, d.depth, d.plane) for d in tube.dimples),
    )


def _section(diameter: float, oval: Oval | None) -> tuple[float, float]:
    """Height and width of an end."""
    return (diameter, diameter) if oval is None else oval[::-1]


def _facing(tube: TubeBlock, role: Role) -> tuple[float, float]:
    """What facing takes of each end, mm."""
    taken = tube.facing_allowance or 0.0
    first, second = (taken if end.faced else 0.0 for end in role.ends)
    return first, second


def _bend(bend: object, key: str, taken: _Taken) -> Bend:
    at, angle, plane = (float(getattr(bend, n)) for n in ("at", "angle", "plane"))
    radius = taken.number(f"{key}.radius", getattr(bend, "radius", None), BEND_RADIUS)
    return Bend(at, angle, plane, radius)


def _walls(tube: TubeBlock) -> Walls | None:
    if tube.walls is not None:
        return Walls(*tube.walls, tube.butts)
    return None if tube.wall is None else Walls(tube.wall, tube.wall, tube.wall)


def _rear_end(spec: FrameSpec, stay: Form, shell: Shell, taken: _Taken) -> RearEnd:
    written = spec.spec.rear_end
    through = written.axle is not None and written.axle >= THROUGH_AXLE
    spacing = HUB_SPACING_THROUGH if through else HUB_SPACING
    between = default_stay_spacing(shell.width, stay.across(FIRST))
    return RearEnd(
        taken.number("rear_end.spacing", written.spacing, spacing),
        taken.number("rear_end.dropout.thickness", written.dropout.thickness, DROPOUT_THICKNESS),
        chain_stay=_stay_place(written.dropout, written.dropout.chain_stay, taken),
        seat_stay=_stay_place(written.dropout, written.dropout.seat_stay, taken),
        stay_spacing=taken.number(
            "rear_end.stay_spacing_at_shell", written.stay_spacing_at_shell, between
        ),
        top_spacing=written.stay_spacing_at_top,
        mount=taken.word("rear_end.seat_stay_mount", written.seat_stay_mount, MOUNTS[0]),
    )


def _stay_place(dropout: Dropout, stay: DropoutStay, taken: _Taken) -> StayPlace:
    """Where a pair of stays ends: as written, else at the inset, in line with the axle."""
    ends = stay.from_axle
    if ends is None:
        ends = taken.number("rear_end.dropout.inset", dropout.inset, DROPOUT_INSET)
    return StayPlace(ends, stay.off or 0.0)


def _surroundings(spec: FrameSpec, plane: PlaneFrame, half_hub: float, taken: _Taken) -> Surroundings:
    """Tyre, chainring, crank's sweep and rotor, as solids about their axles; `half_hub` mm of its spacing."""
    written = spec.spec.drivetrain
    line = taken.number("drivetrain.chainline", written.chainline, CHAINLINE)
    teeth = taken.number("drivetrain.chainring_teeth", written.chainring_teeth, CHAINRING_TEETH)
    inner = taken.number("drivetrain.crank_clearance", written.crank_clearance, CRANK_CLEARANCE)
    length = taken.number("rider.crank_length", plane.crank_length, CRANK_LENGTH)
    centre, half = (0.0, 0.0), CHAIN_WIDTH / 2
    wheel = plane.rear_wheel
    return Surroundings(
        _tyre(plane),
        DiscSolid(centre, chain_wheel(round(teeth)), line - half, line + half),
        DiscSolid(centre, length + CRANK_EYE, inner, inner + CRANK_THICKNESS),
        _radius_of(wheel),
        widths=(NARROWEST_TYRE, WIDEST_TYRE),
        bead_seat_radius=wheel.bead_seat_radius,
        rotor=_rotor(spec, plane, half_hub, taken),
    )


def _rotor(spec: FrameSpec, plane: PlaneFrame, half_hub: float, taken: _Taken) -> DiscSolid | None:
    """A brake's rotor on the left, where its diameter is written."""
    written = spec.spec.rear_end.rotor
    if written.diameter is None:
        return None
    thick = taken.number("rear_end.rotor.thickness", written.thickness, ROTOR_THICKNESS)
    face = taken.number("rear_end.rotor.from_face", written.from_face, ROTOR_FROM_FACE) - half_hub
    return DiscSolid(plane.points["rear_axle"], written.diameter / 2, face, face + thick)


def _tyre(plane: PlaneFrame) -> TyreSolid | None:
    """The rear tyre, None where its width is not known."""
    wheel = plane.rear_wheel
    if wheel.tyre_width is None:
        return None
    return TyreSolid(plane.points["rear_axle"], wheel.radius, wheel.tyre_width)


def _radius_of(wheel: Wheel) -> Callable[[float], float] | None:
    """The wheel's radius by its tyre's width, where the rim is known by its marking."""
    bead = wheel.bead_seat_radius
    if bead is None:
        return None
    diameter = round(2 * bead)
    return lambda width: MarkedTyre(width, diameter, "").radius


def _bridges(
    spec: FrameSpec, fittings: Sequence[Fitting], frame: SpaceFrame, taken: _Taken
) -> Iterator[BridgePlace]:
    """Bridges from the fittings. From the axle a distance is taped from the axle, not from the stay's end."""
    for k, fitting in enumerate(fittings):
        if fitting.kind == "bridge" and fitting.role.bridge:
            diameter = taken.number(f"{fitting.key}.diameter", fitting.diameter, BRIDGE_DIAMETER)
            place = BridgePlace(fitting.role, stay_station(frame, fitting), diameter, fitting.radius)
            if bridge_room(frame, place) <= 0.0:
                raise SolveError(_bridge_fault(spec, f"fittings.{k}.at", frame, place))
            _check_curve(spec, f"fittings.{k}.radius", frame, place)
            yield place


def _check_curve(spec: FrameSpec, key: str, frame: SpaceFrame, place: BridgePlace) -> None:
    """Raise SolveError where a curved bridge does not fit between its stays."""
    try:
        bridge_path(place, *frame.pair(place.stay), frame.rear_axle)
    except MisfitError as e:
        raise SolveError(Fault(f"is {place.radius:g} mm: {e}", "range", key).located(*spec.place(key))) from e


def _bridge_fault(spec: FrameSpec, key: str, frame: SpaceFrame, place: BridgePlace) -> Fault:
    apart = 2.0 * max(float(frame.drawn(place.stay).path.at(place.at).at[2]), 0.0)
    message = NO_ROOM_FOR_BRIDGE.format(stays=place.stay.plural, apart=apart)
    return Fault(message, "range", key).located(*spec.place(key))


def _bend_fault(spec: FrameSpec, misfit: MisfitError) -> Fault:
    """A fault at the bends of the stay that they do not fit."""
    key = f"tubes.{misfit.tube}.bends"
    return Fault(MOVE_BEND.format(misfit=misfit), "range", key).located(*spec.place(key))
