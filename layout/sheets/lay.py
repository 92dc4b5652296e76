"""lay: an arrangement on a medium becomes sheets. One roll page, one cut sheet, or tiles."""

from __future__ import annotations

from collections.abc import Sequence

from layout.sheets.composition import Arrangement
from layout.sheets.cut import lay_cut
from layout.sheets.media import TRUE_PRINTER, Medium, MediumKind, Printer
from layout.sheets.roll import default_roll, lay_roll
from layout.sheets.sheet import Sheet
from layout.sheets.tiles.lay import lay_tiles
from layout.sheets.tiles.map_page import CheckRow

__all__ = ["default_roll", "lay", "lay_cut", "lay_roll", "lay_tiles", "points_left_out"]


def lay(
    arrangement: Arrangement,
    medium: Medium,
    printer: Printer = TRUE_PRINTER,
    checks: Sequence[CheckRow] = (),
) -> list[Sheet]:
    """The sheets of one medium: a roll's page, the cut sheet that holds the drawing, else tiles.

    Raises SheetError (code media) where a roll is too narrow, saying by how much and what would do.
    """
    if medium.kind is MediumKind.ROLL:
        return [lay_roll(arrangement, medium, printer)]
    whole = lay_cut(arrangement, medium, printer)
    return [whole] if whole is not None else lay_tiles(arrangement, medium, printer, checks)


def points_left_out(sheets: Sequence[Sheet]) -> tuple[str, ...]:
    """The control points of the drawing that none of `sheets` shows, in the drawing's order.

    On tiles these lie on pages that would carry nothing else that is needed.
    """
    shown: set[str] = set()
    known: dict[str, None] = {}
    for placement in (p for sheet in sheets for p in sheet.placements):
        for name, at in placement.drawing.points().items():
            known[name] = None
            if placement.clip is None or placement.clip.holds(placement.to_sheet(at)):
                shown.add(name)
    return tuple(name for name in known if name not in shown)
