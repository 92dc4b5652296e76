"""Raw DXF group codes: a code on one line, its value on the next; nothing else is known of the format."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from layout.checks.readback_seen import Point, Seen, Segment, UnreadableError

_MILLIMETRES = "4"
_APPLICATION = "LAYOUT"
_LAYER = "POINT"

Tag = tuple[int, str]


def read_dxf(data: bytes) -> list[Seen]:
    """Control points and lines on layer POINT of a DXF's model space, mm.

    Raises UnreadableError where the file is no DXF or its unit is not the millimetre.
    """
    try:
        lines = data.decode("utf-8").splitlines()
        codes = [int(code) for code in lines[0::2]]
    except ValueError as e:
        raise UnreadableError("it is no text of group codes") from e
    values = [value.strip() for value in lines[1::2]]
    if len(codes) != len(values):
        raise UnreadableError("a group code has no value")
    tags = list(zip(codes, values, strict=True))
    units = _header_value(tags, "$INSUNITS")
    if units != _MILLIMETRES:
        raise UnreadableError(f"its unit ($INSUNITS) is {units}, not 4 (millimetres)")
    seen = Seen()
    for entity in _entities(tags):
        kind = entity[0][1]
        if kind == "POINT":
            seen.points.append((_name(entity), _at(entity, 10, 20)))
        elif kind == "LINE" and (8, _LAYER) in entity:
            seen.segments.append(Segment(_at(entity, 10, 20), _at(entity, 11, 21)))
    return [seen]


def _header_value(tags: list[Tag], name: str) -> str | None:
    try:
        return tags[tags.index((9, name)) + 1][1]
    except (ValueError, IndexError):
        return None


def _entities(tags: list[Tag]) -> Iterator[list[Tag]]:
    """Each entity's tags, from its type to before the next one's."""
    try:
        begin = tags.index((2, "ENTITIES")) + 1
        end = tags.index((0, "ENDSEC"), begin)
    except ValueError as e:
        raise UnreadableError("it has no ENTITIES section") from e
    entity: list[Tag] = []
    for tag in tags[begin:end]:
        if tag[0] == 0 and entity:
            yield entity
            entity = []
        entity.append(tag)
    if entity:
        yield entity


def _name(entity: list[Tag]) -> str:
    """The string that follows the application's name in the extended data."""
    for before, tag in pairwise(entity):
        if before == (1001, _APPLICATION) and tag[0] == 1000:
            return tag[1]
    raise UnreadableError("a POINT has no name")


def _at(entity: list[Tag], x: int, y: int) -> Point:
    found = dict(reversed(entity))
    try:
        return float(found[x]), float(found[y])
    except (KeyError, ValueError) as e:
        raise UnreadableError(f"a {entity[0][1]} has no coordinates") from e
