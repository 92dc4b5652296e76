"""A frame's sheets on one medium, and what could be misread on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from crowding import lettering
from reading import Misreadings, misreadings
from shapely.geometry import Polygon, box

from layout.drafting.entities import Drawing
from layout.drafting.rect import Rect
from layout.errors import SheetError
from layout.pipeline.draft import Draft
from layout.sheets.lay import default_roll, lay
from layout.sheets.media import medium
from layout.sheets.page import Page
from layout.sheets.sheet import TILES, Placement, Sheet
from layout.sheets.tiles.lay import Tiling, tile_arrangement
from layout.views.checks import check_rows

DEFAULT = "default"
"""The roll that is taken where none is asked for."""


@dataclass(frozen=True)
class PaperReading:
    """What could be misread; `lost` are the callouts that are not drawn, `tiling` where pages join.

    `words_apart` is what stands on pages that are not joined: all tables, where there are such pages.
    """

    found: Misreadings
    off_page: tuple[str, ...]
    lost: tuple[str, ...]
    tiling: Tiling | None
    words_apart: tuple[str, ...] = ()


def read_paper(drafted: Draft, name: str) -> PaperReading:
    """The drawing on a medium, `default` for the narrowest roll that holds it."""
    arrangement = drafted.arrangement
    paper = default_roll(arrangement) if name == DEFAULT else medium(name)
    try:
        sheets = lay(arrangement, paper, checks=check_rows(drafted.view.checks))
    except SheetError:
        arrangement = arrangement.yielding()
        sheets = lay(arrangement, paper, checks=check_rows(drafted.view.checks))
    off = tuple(off_page(sheets))
    if sheets[0].kind == TILES:
        tiling = tile_arrangement(arrangement, paper)
        drawn = tiling.composition
        found = misreadings(drawn.drawing, tiling.grid.seams())
        apart = [p.drawing for s in sheets for p in s.placements if p.clip is None]
        said = tuple(words for drawing in apart for words, _ in lettering(drawing))
        return PaperReading(found, off, drawn.lost, tiling, said)
    (placement,) = sheets[0].placements
    return PaperReading(misreadings(view_alone(placement)), off, (), None)


def view_alone(placement: Placement) -> Drawing:
    """What a placement has in its window: panels have their own measure."""
    assert placement.window is not None
    room = box(*_edges(placement.window.grown(0.5)))
    kept = [e for e in placement.drawing if all(room.contains(b) for _, b in lettering(Drawing("", (e,))))]
    return Drawing(placement.drawing.title, tuple(kept))


def off_page(sheets: Sequence[Sheet]) -> Iterator[str]:
    """Words that no page shows whole, or that lie where a printer does not print."""
    whole: set[tuple[int, str, float, float]] = set()
    asked: dict[tuple[int, str, float, float], str] = {}
    for sheet in sheets:
        printed = box(*_edges(Page(medium(sheet.medium), sheet.width, sheet.height).printable))
        for words, shape in lettering(sheet.furniture):
            if not printed.covers(shape):
                yield f"{sheet.name}: {words}"
        for p in sheet.placements:
            room = printed if p.clip is None else printed.intersection(box(*_edges(p.clip)))
            for words, shape in lettering(p.drawing):
                key = (id(p.drawing), words, *(round(c, 3) for c in shape.centroid.coords[0]))
                asked[key] = f"{sheet.name}: {words}"
                if room.covers(Polygon([p.to_sheet(c) for c in shape.exterior.coords])):
                    whole.add(key)
    yield from (said for key, said in asked.items() if key not in whole)


def _edges(rect: Rect) -> tuple[float, float, float, float]:
    return rect.left, rect.bottom, rect.right, rect.top
