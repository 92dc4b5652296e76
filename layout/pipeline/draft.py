"""draft: a frame becomes its side view and the panels beside it, ready to be laid on paper."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path

from layout.drafting.entities import Drawing
from layout.frame.solve import Frame
from layout.pipeline.documents import job_info
from layout.sheets.compose import SheetArrangement
from layout.sheets.roll import holding_rolls
from layout.views.panels import panels
from layout.views.side.view import SideView
from layout.views.side.view import draft as draft_side_view
from layout.views.table_pages import side_table_pages
from layout.writers.document import DocumentInfo

DOCUMENT = "frame layout, side view"


@dataclass(frozen=True)
class Draft:
    """A frame's drawing before it has paper; `source` is the spec's path, after which files are named."""

    frame: Frame
    source: str
    view: SideView

    @property
    def stem(self) -> str:
        """What all names of files begin with."""
        return Path(self.source).stem

    @cached_property
    def wish(self) -> SheetArrangement:
        """View and panels arranged, the wheels as the spec wishes them."""
        return SheetArrangement(
            self.view.view,
            panels(self.frame, self.view.checks),
            self.frame.wheels_shown,
            mark=self.info.mark,
            tables=partial(side_table_pages, self.frame, self.view.checks),
        )

    @cached_property
    def arrangement(self) -> SheetArrangement:
        """The same; wheels wished whole give way where no roll of the table holds them."""
        return self.wish if holding_rolls(self.wish) else self.wish.yielding()

    @cached_property
    def whole(self) -> Drawing:
        """Everything at 1:1 on no paper, as a CAD program has it."""
        return self.arrangement.loose().composed(None, None).drawing

    @property
    def info(self) -> DocumentInfo:
        """What the files say about themselves."""
        return job_info(self.frame, self.stem, DOCUMENT)


def draft(frame: Frame, source: str, *, kept: bool = False) -> Draft:
    """Draft a solved frame; a job without a title is called after its file. `kept` as for the side view."""
    titled = frame.titled(Path(source).stem)
    return Draft(titled, source, draft_side_view(titled, kept=kept))
