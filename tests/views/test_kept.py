"""What a view keeps of placing its callouts, for pages that are laid after it."""

from __future__ import annotations

import gc
from collections.abc import Callable

from layout.drafting.placer import DrawnScene
from layout.drafting.rect import Rect
from layout.drafting.rooms import Rooms
from layout.frame.solve import Frame
from layout.views.side.view import draft


def scenes() -> int:
    """How many scenes are alive."""
    return sum(isinstance(each, DrawnScene) for each in gc.get_objects())


def test_what_placing_found_is_kept_only_where_it_is_asked_for(frame_named: Callable[[str], Frame]) -> None:
    """Every save of a watched spec kept 15 MB until garbage was looked for: 200 saves grew by 100 MB."""
    frame = frame_named("track")
    gc.collect()
    before = scenes()
    light = draft(frame)
    assert scenes() == before
    heavy = draft(frame, kept=True)
    assert scenes() == before + 1
    halves = Rect(-700.0, -200.0, 105.0, 900.0), Rect(95.0, -200.0, 900.0, 900.0)
    rooms = Rooms(halves, halves)
    assert light.view.paged(rooms).view.core == heavy.view.paged(rooms).view.core
