"""What a CAD model may show through the viewports of several sheets."""

from __future__ import annotations

from layout.drafting.entities import ControlPoint, Drawing, Entity, Line, Text
from layout.drafting.rect import Rect
from layout.drafting.style import Layer
from layout.sheets.models import shared_view
from layout.sheets.sheet import Placement, Sheet

TUBE = Line((0.0, 0.0), (50.0, 0.0), Layer.OUTLINE)
LEVEL = Line((-90.0, 0.0), (90.0, 0.0), Layer.DATUM)
BB = ControlPoint("bb", (0.0, 0.0))
CONTACT = ControlPoint("rear_contact", (0.0, -70.0))
CALLOUT = Text((0.0, 30.0), "stack 560.0", 7.0)
TABLE = Text((70.0, 0.0), "title", 5.0)
WHOLE = Drawing("whole", (TUBE, BB, CONTACT, CALLOUT))
LOW, HIGH = Rect(-60.0, -80.0, 60.0, 60.0), Rect(-60.0, -60.0, 60.0, 60.0)


def sheet(window: Rect, *entities: Entity) -> Sheet:
    placement = Placement(Drawing("sheet", entities), 100.0, 100.0, window=window)
    return Sheet("s", "a2", "drawing", 300.0, 200.0, (placement,), Drawing("furniture"))


def test_the_model_of_one_sheet_is_what_its_window_shows():
    view = shared_view([sheet(HIGH, TUBE, LEVEL, BB, CALLOUT, TABLE)], WHOLE)
    assert view.entities == (TUBE, CALLOUT, BB, CONTACT)


def test_what_one_sheet_leaves_out_is_in_no_sheets_window():
    """A callout that stood on the wide roll showed through the narrow roll's viewport."""
    view = shared_view([sheet(LOW, TUBE, BB, CONTACT, CALLOUT), sheet(HIGH, TUBE, BB)], WHOLE)
    assert view.entities == (TUBE, BB, CONTACT)
