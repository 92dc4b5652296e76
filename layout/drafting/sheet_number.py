"""Which sheet of how many a title block says it is on: known only when all pages of a drawing are laid."""

from __future__ import annotations

from dataclasses import replace

from layout.drafting.entities import Drawing, Entity, Text
from layout.drafting.tables import smaller

FIELD = "sheet"
"""The heading of the field in a title block."""
ONE_SHEET = "1 of 1"
"""What a drawing on one sheet says; a page among others has its own number in its place."""
MOST_IN_FULL = 99
"""Where there are more sheets than this the field's value is set smaller."""


def numbered_sheet(drawing: Drawing, number: int, total: int) -> Drawing:
    """The drawing with the true sheet of sheets in its title block, if it has one.

    >>> block = Drawing("title", (Text((0.0, 5.0), "sheet", 2.5), Text((0.0, 0.0), "1 of 1", 5.0)))
    >>> [e.text for e in numbered_sheet(block, 2, 17)]
    ['sheet', '2 of 17']
    """
    said = f"{number} of {total}"
    entities: list[Entity] = []
    heading: Entity | None = None
    for e in drawing:
        value = isinstance(heading, Text) and heading.text == FIELD
        if value and isinstance(e, Text) and e.text == ONE_SHEET:
            height = e.height if total <= MOST_IN_FULL else smaller(e.height)
            entities.append(replace(e, text=said, height=height))
        else:
            entities.append(e)
        heading = e
    return Drawing(drawing.title, tuple(entities))
