"""Control points of a DXF's model space and the strokes through them, from raw group codes."""

from __future__ import annotations

from itertools import pairwise

from layout.checks.readback.dxf_tags import Record, Tags, entities, header_value, point, read_tags
from layout.checks.readback.seen import SeenInFile, Segment, UnreadableError

_MILLIMETRES = "4"
_APPLICATION = "LAYOUT"
_LAYER = "POINT"


def read_dxf(data: bytes) -> list[SeenInFile]:
    """Control points and lines on layer POINT of a DXF's model space, mm.

    Raises UnreadableError where the file is no DXF or its unit is not the millimetre.
    """
    return [model_space(read_tags(data))]


def model_space(tags: Tags) -> SeenInFile:
    """The same from the tags of a file that is read already."""
    units = header_value(tags, "$INSUNITS")
    if units != _MILLIMETRES:
        raise UnreadableError(f"its unit ($INSUNITS) is {units}, not 4 (millimetres)")
    seen = SeenInFile()
    for entity in entities(tags, "POINT", "LINE"):
        if entity[0][1] == "POINT":
            seen.points.append((_name(entity), point(entity, 10, 20)))
        elif (8, _LAYER) in entity:
            seen.segments.append(Segment(point(entity, 10, 20), point(entity, 11, 21)))
    return seen


def _name(entity: Record) -> str:
    """The string that follows the application's name in the extended data."""
    for before, tag in pairwise(entity):
        if before == (1001, _APPLICATION) and tag[0] == 1000:
            return tag[1]
    raise UnreadableError("a POINT has no name")
