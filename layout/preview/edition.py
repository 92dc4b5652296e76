"""One good save: its frame, and the sheets that a page can turn to, each made when first asked for.

    side, side-PAPER             the side view on its papers; on tiles first the whole with the tiles' edges
    rear, rear-PAPER             the rear views, likewise
    setup, templates, cutting    pages of the bench

A page names a sheet by these words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import NamedTuple

from layout.drafting.bounds import bounds
from layout.drafting.entities import Drawing, Polyline, Text
from layout.drafting.rect import Rect
from layout.drafting.style import TEXT_CALLOUT, Layer
from layout.frame.solve import Frame, solve
from layout.pipeline.documents import Document
from layout.pipeline.draft import Draft, draft
from layout.pipeline.lay import Laying
from layout.pipeline.mitres import MitrePapers
from layout.pipeline.order import Order
from layout.pipeline.setup import bench_work, setup_sheet
from layout.sheets.media import Medium, Printer
from layout.sheets.sheet import Placement, Sheet
from layout.sheets.tiles.grid import OVERLAP
from layout.sheets.tiles.order import is_tile
from layout.spec.load import FrameSpec
from layout.views.setup.panels import Work
from layout.writers.document import DocumentInfo

Make = Callable[[], Document]

SIDE, REAR = "side", "rear"
EDGES = "all pages"
"""The page before the tiles: the whole drawing with the tiles' edges."""
EDGE_MARGIN = 10.0
"""Round the outermost edges, mm."""


class ScreenPage(NamedTuple):
    """One page of a sheet. On a `true` one the drawing lies as it was drafted, not reduced on a map."""

    name: str
    sheet: Sheet
    info: DocumentInfo
    true: bool = True


class SheetChoice(NamedTuple):
    """A sheet to turn to: the word it is known by to programs, and its name for people."""

    key: str
    title: str
    make: Make


@dataclass(frozen=True)
class Edition:
    """A solved frame, called after its file `source`, and everything a page shows of it."""

    frame: Frame
    source: str
    order: Order

    @cached_property
    def draft(self) -> Draft:
        """The side view, drafted."""
        return draft(self.frame, self.source)

    @cached_property
    def work(self) -> Work:
        """Settings, cuts and clearances."""
        return bench_work(self.draft.frame)

    @cached_property
    def turns(self) -> tuple[SheetChoice, ...]:
        """The sheets, in the order of the buttons; the first is shown at first."""
        return tuple(self._turns())

    @cached_property
    def _made(self) -> dict[str, tuple[ScreenPage, ...]]:
        return {}

    def pages(self, key: str) -> tuple[ScreenPage, ...]:
        """The pages of a sheet; of the first one where there is none of that name.

        Raises as `lay` does where the medium cannot hold the drawing.
        """
        turn = self.turn(key)
        if turn.key not in self._made:
            self._made[turn.key] = tuple(pages_of(turn.make()))
        return self._made[turn.key]

    def turn(self, key: str) -> SheetChoice:
        """The sheet of this name, else the first."""
        return next((turn for turn in self.turns if turn.key == key), self.turns[0])

    @cached_property
    def _laying(self) -> Laying:
        return Laying(self.draft, self.order)

    @cached_property
    def _mitres(self) -> MitrePapers:
        return MitrePapers(self.draft.frame, self.draft.stem, self.order)

    def _turns(self) -> Iterator[SheetChoice]:
        papers, asked, mitres = self._laying.media, self.order.papers, self._mitres
        side = [(paper.name, partial(self._laying.document, paper)) for paper in papers]
        # Which roll holds the rear views is known only when they are drafted: that can wait.
        rear = [(paper.name, partial(self._rear, paper)) for paper in asked or papers[1:]]
        pages = mitres.page_media
        yield from _on_papers(SIDE, "Side view", side)
        yield from _on_papers(REAR, "Rear views", rear if asked else [("", self._rear), *rear])
        yield SheetChoice("setup", "Setup", lambda: setup_sheet(self.work, self.draft.stem))
        yield from _on_papers(
            "templates", "Templates", [(p.name, partial(mitres.templates, p)) for p in pages]
        )
        yield from _on_papers(
            "cutting", "Cutting table", [(p.name, partial(mitres.cutting, p)) for p in pages]
        )

    def _rear(self, paper: Medium | None = None) -> Document:
        return self._mitres.rear_sheets(paper or self._mitres.rear_media[0])


def edition(spec: FrameSpec, media: tuple[str, ...] = ()) -> Edition:
    """Solve a spec and draft its side view. Raises SolveError where the spec is at fault."""
    printer = Printer(spec.spec.printer.x, spec.spec.printer.y, spec.spec.printer.margins)
    found = Edition(solve(spec), spec.file, Order(media, printer=printer))
    found.pages(SIDE)
    return found


def _on_papers(key: str, title: str, papers: Sequence[tuple[str, Make]]) -> Iterator[SheetChoice]:
    """A view on each of its papers; the first needs no paper in its name."""
    for number, (paper, make) in enumerate(papers):
        yield (
            SheetChoice(f"{key}-{paper}", f"{title}, {paper}", make)
            if number
            else SheetChoice(key, title, make)
        )


def pages_of(document: Document) -> Iterator[ScreenPage]:
    """A document page by page; tiles after the whole drawing with their edges."""
    tiles = tuple(s for s in document.sheets if is_tile(s.name)) if document.tiled else ()
    if tiles:
        yield ScreenPage(EDGES, with_edges(tiles), document.info)
    for number, sheet in enumerate(document.sheets, 1):
        reduced = document.tiled and not is_tile(sheet.name)
        yield ScreenPage(
            sheet.name if document.tiled else str(number), sheet, document.info, true=not reduced
        )


def with_edges(tiles: tuple[Sheet, ...]) -> Sheet:
    """The drawing that tiles are cut from, not cut, with the edge of each tile and its name."""
    drawing = tiles[0].placements[0].drawing
    cells = [(tile.name, _cell(tile.placements[0])) for tile in tiles]
    found = bounds(drawing)
    rects = [cell for _, cell in cells] + ([found] if found else [])
    whole = Rect(
        min(r.left for r in rects), min(r.bottom for r in rects),
        max(r.right for r in rects), max(r.top for r in rects),
    ).grown(EDGE_MARGIN)  # fmt: skip
    dx, dy = round(-whole.left, 6), round(-whole.bottom, 6)
    edges: list[Polyline | Text] = []
    for name, cell in cells:
        corners = tuple((x + dx, y + dy) for x, y in cell.corners)
        edges.append(Polyline(corners, Layer.SHEET, closed=True))
        at = (cell.left + dx + TEXT_CALLOUT, cell.top + dy - 2 * TEXT_CALLOUT)
        edges.append(Text(at, name, TEXT_CALLOUT, Layer.SHEET))
    return replace(
        tiles[0],
        name=EDGES,
        width=round(whole.width, 3),
        height=round(whole.height, 3),
        placements=(Placement(drawing, dx, dy),),
        furniture=Drawing(EDGES, tuple(edges)),
        stretch=(1.0, 1.0),
    )


def _cell(placement: Placement) -> Rect:
    """What a tile shows, between its trim lines, in the drawing's own coordinates."""
    if placement.clip is None:
        raise ValueError("a tile without a clip has no edges")
    clip = placement.clip.grown(-OVERLAP / 2)
    return Rect(
        clip.left - placement.dx, clip.bottom - placement.dy,
        clip.right - placement.dx, clip.top - placement.dy,
    )  # fmt: skip
