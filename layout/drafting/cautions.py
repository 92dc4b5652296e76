"""What every document says of the danger: a line for the foot of each page, and the whole block once.

The line stands outside the border of all pages that someone may cut, set or judge from; the block stands
among the tables and notes of each document. Both are words only, true of any page.
"""

from __future__ import annotations

from layout.drafting.panel import Panel
from layout.drafting.style import TEXT_NOTE
from layout.drafting.tables import text_block

CAUTION = (
    "Check the scale before cutting.",
    "Written dimensions govern.",
    "Geometry only: a frame that fails injures its rider.",
)
"""What every page says at its foot."""
CAUTIONS = (
    "Check the scale of each full-size sheet before cutting: measure its ruled lengths and tape checks, "
    "along, across and diagonal.",
    "The written dimensions govern, not the print.",
    "Geometry only. You, the builder, are responsible for strength, tube choice, welding and testing "
    "(ISO 4210). Local law and qualified practice come first.",
    "A frame that fails injures its rider.",
    "Hot work and brazing: wear eye protection, keep fumes out of your lungs, move away anything that "
    "can burn.",
)
"""What every document says once."""
CAUTION_WIDTH = 150.0


def cautions_panel(width: float = CAUTION_WIDTH, text_height: float = TEXT_NOTE) -> Panel:
    """The block, a paragraph a caution, under its title."""
    return text_block("cautions", "Cautions", CAUTIONS, width, text_height=text_height)


def cautions_across(width: float, text_height: float = TEXT_NOTE) -> Panel:
    """The block in one paragraph without a line for a title, for the foot of a page."""
    first, *rest = CAUTIONS
    said = " ".join((f"Cautions: {first[:1].lower()}{first[1:]}", *rest))
    return text_block("cautions", "", [said], width, text_height=text_height)
