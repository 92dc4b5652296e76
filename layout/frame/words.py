"""How names read on paper: plain words, BB in capitals."""

from __future__ import annotations

BEYOND_TUBE = "is {at:g} mm from {origin}, but the {tube} is {length:.1f} mm long. Check `at` and `from`."
NO_ROOM_FOR_BRIDGE = (
    "the axes of the {stays} are {apart:.1f} mm apart there, less than they are thick. A bridge has no room: "
    "move it towards the axle."
)
ASSUMED = "{count} sizes are not in the spec and take defaults. Write yours in place of: {sizes}."
ONE_ASSUMED = "a size is not in the spec and takes its default. Write yours in place of: {sizes}."
MOVE_BEND = "{misfit} Move the bend, make it smaller, or give it a smaller radius."


def words(name: str) -> str:
    """A dimension's or point's name as lettered.

    >>> words("bb_drop"), words("head_tube_top")
    ('BB drop', 'head tube top')
    """
    return " ".join("BB" if w == "bb" else w for w in name.split("_"))
