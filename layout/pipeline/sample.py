"""The small picture of a frame, for a page that shows what a drawing looks like."""

from __future__ import annotations

from pathlib import Path

from layout.drafting.entities import Drawing
from layout.frame.solve import Frame
from layout.sheets.sheet import Placement, Sheet
from layout.views.side.picture import picture
from layout.writers import svg
from layout.writers.document import DocumentInfo


def write_picture(frame: Frame, path: Path) -> None:
    """Write the reduced side view as SVG. Raises WriteError where the file cannot be written."""
    drawing, room = picture(frame)
    placement = Placement(drawing, round(-room.left, 6), round(-room.bottom, 6))
    size = (round(room.width, 3), round(room.height, 3))
    sheet = Sheet(
        "picture",
        f"{size[0]}x{size[1]}",
        "picture",
        width=size[0],
        height=size[1],
        placements=(placement,),
        furniture=Drawing("picture"),
    )
    svg.write(sheet, path, DocumentInfo(frame.job.title, frame.job.drawn_by, frame.job.date))
