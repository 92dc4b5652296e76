"""solve: a FrameSpec becomes a Frame, in its plane and, when first asked for, in space.

What belongs to space is imported only then: `layout solve` needs none of it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from layout.frame.job import Fitting, Job, fittings_of, refuse_beyond_tubes
from layout.frame.mark import mark_of
from layout.frame.plane import PlaneFrame, solve_plane
from layout.spec.load import FrameSpec
from layout.spec.model import Spec

if TYPE_CHECKING:
    from layout.frame.space import Placed
    from layout.geometry.space.clearance import Clearances, Surroundings
    from layout.geometry.space.frame import SpaceFrame
    from layout.geometry.space.lengths import LengthsOfAll


@dataclass(frozen=True)
class Frame:
    """A solved frame: `plane` is solved at once, `space` and all that hangs on it when first asked for.

    What is asked of space raises SolveError where a stay's bends do not fit between its ends, or a
    bridge between its stays.
    """

    spec: FrameSpec
    plane: PlaneFrame
    job: Job
    fittings: tuple[Fitting, ...] = ()
    heading: str = "right"
    wheels_shown: str | None = None
    tubes_shown: str = "outline"

    @property
    def model(self) -> Spec:
        """The spec as typed data."""
        return self.spec.spec

    @property
    def forward(self) -> float:
        """+1 where the bicycle heads right on paper, -1 where it heads left."""
        return -1.0 if self.heading == "left" else 1.0

    @cached_property
    def mark(self) -> str:
        """Eight characters by which sheets and files tell which frame they show."""
        return mark_of(self.model)

    @cached_property
    def placed(self) -> Placed:
        """The tubes in space with their surroundings, and the sizes assumed for both."""
        from layout.frame.space import place_frame

        return place_frame(self.spec, self.plane, self.fittings)

    @property
    def space(self) -> SpaceFrame:
        """Every tube in space, and how each end is cut."""
        return self.placed.frame

    @property
    def around(self) -> Surroundings:
        """Tyre, chainring and crank, as the rear end meets them."""
        return self.placed.around

    @cached_property
    def clearances(self) -> Clearances:
        """The rear end's gaps and the widest tyres."""
        from layout.geometry.space.clearance import Clearances

        return Clearances(self.space, self.around)

    @cached_property
    def lengths(self) -> LengthsOfAll:
        """What each tube is cut to."""
        from layout.geometry.space.lengths import LengthsOfAll

        return LengthsOfAll(self.space)

    def titled(self, title: str) -> Frame:
        """The same frame, called `title` where the job has no title of its own."""
        return replace(self, job=self.job._replace(title=self.job.title or title))


def solve(spec: FrameSpec) -> Frame:
    """The frame that the spec describes.

    Raises SolveError where the numbers fix no frame, more than one, or contradict each
    other, and where a fitting lies beyond its tube; each fault has file, line and dotted key.
    """
    model = spec.spec
    plane = solve_plane(spec)
    fittings = tuple(fittings_of(spec))
    refuse_beyond_tubes(spec, fittings, plane.points)
    return Frame(
        spec=spec,
        plane=plane,
        job=Job(**model.job.model_dump()),
        fittings=fittings,
        heading=model.drawing.heading,
        wheels_shown=model.drawing.wheels,
        tubes_shown=model.drawing.tubes,
    )
