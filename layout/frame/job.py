"""What a spec says of the job and its fittings, as written, with the sides and ends it leaves out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from layout.errors import Fault, SolveError
from layout.frame.words import BEYOND_TUBE
from layout.geometry.space.roles import ROLES, Role
from layout.spec.load import FrameSpec

Point = tuple[float, float]


class Job(NamedTuple):
    """The words of the title block, as written; empty where not given."""

    number: str = ""
    title: str = ""
    owner: str = ""
    rider: str = ""
    drawn_by: str = ""
    approved_by: str = ""
    date: str = ""
    revision: str = ""
    notes: str = ""


@dataclass(frozen=True)
class Fitting:
    """A fitting on a tube: `at` mm along it from `origin` (an end of the tube), on `side`.

    `diameter`, `size` (along the tube, round it) and a curved bridge's `radius` are as written, mm; `key` is
    where the spec has it.
    """

    kind: str
    tube: str
    at: float
    origin: str
    side: str
    diameter: float | None = None
    size: tuple[float, float] | None = None
    radius: float | None = None
    key: str = field(default="", compare=False)

    @property
    def role(self) -> Role:
        """What the tube is that it sits on."""
        return ROLES[self.tube]


def fittings_of(spec: FrameSpec) -> Iterator[Fitting]:
    """The fittings, each from the end and on the side that are written or usual."""
    for k, row in enumerate(spec.spec.fittings):
        role = ROLES[row.tube]
        yield Fitting(
            row.kind,
            row.tube,
            row.at,
            row.origin or role.ends[0].word,
            side=row.side or role.inner,
            diameter=row.diameter,
            size=row.size,
            radius=row.radius,
            key=f"fittings.{k}",
        )


def refuse_beyond_tubes(spec: FrameSpec, fittings: Sequence[Fitting], points: Mapping[str, Point]) -> None:
    """Raise SolveError for each fitting that would sit beyond the end of its tube."""
    faults = []
    for i, fitting in enumerate(fittings):
        length = math.dist(*(points[name] for name in fitting.role.points))
        if fitting.at > length:
            tube, key = fitting.role.words, f"fittings.{i}.at"
            text = BEYOND_TUBE.format(at=fitting.at, origin=fitting.origin, tube=tube, length=length)
            faults.append(Fault(text, "range", key).located(*spec.place(key)))
    if faults:
        raise SolveError(*faults)
