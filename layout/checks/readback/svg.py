"""SVG through the standard XML parser: named circles, straight strokes in the group `point`, clips."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from layout.checks.readback.seen import Point, SeenInFile, Segment, UnreadableError, Window

_SVG = "{http://www.w3.org/2000/svg}"
_PREFIX = "point-"
_STRAIGHT = re.compile(r"\s*M\s*(\S+?)[\s,]+(\S+?)\s*L\s*(\S+?)[\s,]+(\S+?)\s*")


def read_svg(data: bytes) -> list[SeenInFile]:
    """Control points and crosses of an SVG, mm from the lower left corner.

    Raises UnreadableError where the file is no SVG, its size is not its viewBox in mm, or a
    transform stands above a control point.
    """
    try:
        root = ElementTree.fromstring(data)
        return [_page(root)]
    except (ElementTree.ParseError, ValueError, KeyError) as e:
        raise UnreadableError(f"it is not a drawing of ours: {e}") from e


def _page(root: ElementTree.Element) -> SeenInFile:
    width, height = (_millimetres(root.attrib[k]) for k in ("width", "height"))
    box = [float(v) for v in root.attrib["viewBox"].split()]
    if box != [0.0, 0.0, width, height] or "transform" in root.attrib:
        raise UnreadableError(f"its viewBox {root.attrib['viewBox']} does not make a unit a millimetre")
    seen = SeenInFile(width, height)
    clips = {c.attrib["id"]: _window(c, height) for c in root.iter(f"{_SVG}clipPath")}
    for layer in root.findall(f"{_SVG}g"):
        if layer.get("id") == "point":
            _collect(layer, (), clips, seen, height=height)
    named = sum(1 for c in root.iter(f"{_SVG}circle") if c.get("id", "").startswith(_PREFIX))
    if named != len(seen.points):
        raise UnreadableError("a control point is outside the group point")
    return seen


def _millimetres(size: str) -> float:
    if not size.endswith("mm"):
        raise UnreadableError(f"its size {size} is not in mm")
    return float(size[:-2])


def _window(clip: ElementTree.Element, height: float) -> Window:
    rect = clip.find(f"{_SVG}rect")
    if rect is None:
        raise UnreadableError("a clip is not a rectangle")
    x, y, w, h = (float(rect.attrib[k]) for k in ("x", "y", "width", "height"))
    return x, height - y - h, x + w, height - y


def _collect(
    group: ElementTree.Element,
    windows: tuple[Window, ...],
    clips: dict[str, Window],
    seen: SeenInFile,
    height: float,
) -> None:
    """Walk a group: named circles, straight paths, and the groups inside it."""
    if "transform" in group.attrib:
        raise UnreadableError("a transform stands above a control point")
    if "clip-path" in group.attrib:
        windows = (*windows, clips[group.attrib["clip-path"].removeprefix("url(#").removesuffix(")")])
    for child in group:
        if child.tag == f"{_SVG}g":
            _collect(child, windows, clips, seen, height=height)
        elif child.tag == f"{_SVG}path" and (match := _STRAIGHT.fullmatch(child.attrib["d"])):
            x0, y0, x1, y1 = (float(v) for v in match.groups())
            seen.segments.append(Segment((x0, height - y0), (x1, height - y1), windows))
        elif child.tag == f"{_SVG}circle" and child.get("id", "").startswith(_PREFIX):
            at: Point = (float(child.attrib["cx"]), height - float(child.attrib["cy"]))
            if "transform" in child.attrib:
                raise UnreadableError("a transform moves a control point")
            seen.points.append((child.attrib["id"].removeprefix(_PREFIX), at))
