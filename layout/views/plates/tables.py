"""The blocks of words on the assembly drawing and the nest: parts, hardware, numbers, notes, title."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache

from layout.bench.plates.fixture import Fixture
from layout.bench.plates.order import OrderRow, total_weight
from layout.drafting.cautions import CAUTIONS
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel, stack_panels
from layout.drafting.style import TEXT_TABLE
from layout.drafting.tables import Cells, Column, table, text_block
from layout.drafting.wrapping import shorten
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.views.title import title_rows, with_continuation

LONGEST_TITLE = 120
"""Characters of a job's title on a sheet of plates, whose tables leave little room."""

LONGEST_MATERIAL = 24.0
"""As much of a material's name as a table has room for, over text height; the order list has it whole."""
ASSEMBLY, NEST = "fixture plates, assembly", "fixture plates, nest for a quotation"
TOO_MANY_PARTS = "the list of so many parts does not fit the page. Choose fewer plates.parts."
FOUND = "height"


def parts_panel(rows: Sequence[OrderRow], text_height: float, width: float | None = None) -> Panel:
    """Every part by its number on the drawing."""
    columns = (
        Column("no.", Cells.NUMBER, share=0.0),
        Column("part"),
        Column("qty", Cells.NUMBER, share=0.0),
        Column("material"),
        Column("thick", Cells.NUMBER, share=0.0),
        Column("kg each", Cells.NUMBER, share=0.0),
    )
    cells = [
        (
            str(number),
            words(r.name),
            str(r.quantity),
            shown_material(r.material, text_height),
            f"{r.thickness:g}",
            format_number(r.weight, 2),
        )
        for number, r in enumerate(rows, 1)
    ]
    pieces = str(sum(r.quantity for r in rows))
    cells.append(("", "all parts", pieces, "", "", format_number(total_weight(rows), 2)))
    return table("parts", "Parts", columns, cells, text_height=text_height, width=width)


@cache
def shown_material(material: str, text_height: float) -> str:
    """A material's name as tables and notes show it: cut short where it is a sentence."""
    return shorten(material, LONGEST_MATERIAL * text_height, text_height)


def hardware_panel(fixture: Fixture, text_height: float, width: float) -> Panel | None:
    """What has to be bought; None where nothing has."""
    if not fixture.needs:
        return None
    columns = (Column("qty", Cells.NUMBER, share=0.0), Column("to buy"), Column("for", share=1.5))
    cells = [(str(n.quantity), n.what, n.use) for n in fixture.needs]
    return table("hardware", "Hardware", columns, cells, text_height=text_height, width=width)


def numbers_panel(fixture: Fixture, text_height: float, width: float | None = None) -> Panel:
    """Every number the parts are made to; those that the spec does not give are marked."""
    height = fixture.settings.process.height
    cells = [("default" if height is None else "given", FOUND, f"{fixture.height:g}", "mm")]
    for n in fixture.settings.numbers:
        value = shown_material(n.value, text_height) if n.key == "material" else n.value
        name = n.key.split(".")[-1].replace("_", " ")
        cells.append(("given" if n.given else "default", name, value, n.unit))
    columns = (
        Column("from", share=0.0),
        Column("made to"),
        Column("value"),
        Column("unit", share=0.0),
    )
    return table(
        "numbers", "Numbers", columns, cells, text_height=text_height, width=width
    )


def notes(fixture: Fixture) -> tuple[str, ...]:
    """How it goes together."""
    p = fixture.settings.process
    return (
        f"All parts are drawn at nominal size. The supplier compensates for the kerf (about {p.kerf:g} mm).",
        "Turn each part's engraved face towards its name on the base. Bolt it from below into its caught "
        "nut. Put the base on spacers, so that the bolt heads are free.",
        "Pull the bottom-bracket shell down on its posts with a rod through clamp, shell and base. Stand "
        "the dummy axle in base and table. Set the lower dropout to its height with nuts.",
        f"Every tube's centreline is {fixture.height:g} mm above the base's upper face. Strap the tubes "
        "down to their cradles. Lines across the tubes' ends on the base show how far they reach.",
        "Before tacking, measure drop, centres and angles with tape, bars and gauges. Cut plates are a few "
        "tenths of a millimetre off.",
    )


def notes_panel(fixture: Fixture, text_height: float, width: float, *, cautioned: bool = True) -> Panel:
    """How it goes together, and the cautions that every sheet carries, unless they stand elsewhere on it."""
    said = (*notes(fixture), *([" ".join(CAUTIONS)] if cautioned else ()))
    return text_block("notes", "Assembly", said, width, text_height=text_height)


def title_panel(frame: Frame, document: str, scale: str, width: float) -> Panel:
    """The title block of a sheet of plates, what is too long for it above; the title takes one line."""
    title = shorten(frame.job.title[:LONGEST_TITLE], width, TEXT_TABLE)
    short = replace(frame, job=frame.job._replace(title=title))
    panels = with_continuation(title_rows(short, document, scale), width, width)
    return stack_panels("title", list(reversed(panels.values())))


def numbers_of(rows: Sequence[OrderRow]) -> Mapping[str, int]:
    """Each part's number on the drawings."""
    return {r.name: k for k, r in enumerate(rows, 1)}
