"""A pair of plain plate dropouts to try a fit with: templates, not parts to ride.

One plate, two of it: the other side's is turned over. Made only where it is asked for by name.
"""

from __future__ import annotations

from collections.abc import Iterator

from layout.bench.plates.engrave import Engraver
from layout.bench.plates.settings import Settings
from layout.errors import Notice
from layout.frame.solve import Frame
from layout.geometry.plates.plate import Plate, circle
from layout.geometry.space.dropout import EYE, outline_of
from layout.geometry.space.misfit import MisfitError

NAME = "dropout_template"
WORDS = ["template", "not to ride"]
"""What is engraved."""
SMALL = (3.5, 2.5, 2.0)


def dropout_templates(
    frame: Frame, settings: Settings, notices: list[Notice], missed: list[str]
) -> Iterator[Plate]:
    """The pair, of the plates' thickness; none, with a notice, where one plate cannot hold both stays."""
    block, process = frame.model.rear_end, settings.process
    try:
        made = outline_of(frame.space, block.dropout.slot, block.axle or settings.axle, process.inner_radius)
    except MisfitError as e:
        said = f"No dropout template is made: {e}. Write a larger from_axle."
        notices.append(Notice("dropout_unmade", said))
        return
    holes = () if made.hole is None else (circle("axle", (0.0, 0.0), made.hole),)
    plate = Plate(NAME, process.thickness, made.ring, holes, quantity=2)
    engraver = Engraver(plate, missed)
    spots = [((x * EYE, y * EYE), turn) for turn in (0.0, 60.0, -10.0) for x, y in _spots()]
    engraver.words(WORDS, spots, SMALL)
    yield engraver.done()


def _spots() -> Iterator[tuple[float, float]]:
    """Where the words may stand, in eyes' radii from the axle: between the stays first."""
    for far in (1.0, 1.3, 0.8, 1.6, 1.9):
        for up in (0.55, 0.35, 0.8, 0.1, -0.2, 1.1):
            yield far, up
