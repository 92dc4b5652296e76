"""PDF read from its bytes: cross-reference table, objects, inflated streams, path operators.

Named destinations say where the control points are meant to be. The strokes of layer
POINT are followed through every matrix (cm, a form's Matrix) and clip to the page, so a
page that scales, shifts or clips wrongly is found although its destinations are right.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from layout.checks.readback.pdf_objects import File, Name, Object
from layout.checks.readback.seen import Point, SeenInFile, Segment, UnreadableError, Window

MM = 25.4 / 72
"""Millimetres in a point."""

_PREFIX = b"point-"
_BEGIN = re.compile(rb"/OC\s+/(\S+)\s+BDC\b")
_LINE = re.compile(rb"(?<!\S)([-+.\d]+)\s+([-+.\d]+)\s+m\s+([-+.\d]+)\s+([-+.\d]+)\s+l\s")
_MOVING = [re.compile(operator) for operator in (rb"cm\s", rb"Do\s", rb"W\*?\s")]
"""Each for itself: all three are looked for in a third of the time that one pattern of them takes."""

Matrix = tuple[float, float, float, float, float, float]
_UNIT: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def read_pdf(data: bytes) -> list[SeenInFile]:
    """Pages of a PDF: size, named destinations and strokes on layer POINT, mm from the lower left corner.

    Raises UnreadableError where the file is broken, a page has a UserUnit or Rotate, its boxes
    differ, or viewers are not asked to leave the scale alone.
    """
    try:
        return _read(File(data))
    except (KeyError, IndexError, TypeError, ValueError) as e:
        raise UnreadableError(f"its objects do not fit together ({e!r})") from e


def _read(file: File) -> list[SeenInFile]:
    root = file.dictionary(file.trailer["Root"])
    if file.dictionary(root["ViewerPreferences"]).get("PrintScaling") != Name("None"):
        raise UnreadableError("viewers are not asked to print without scaling")
    refs = list(_pages(file, root["Pages"]))
    operators = _Operators(file)
    pages = [_page(file, ref, operators) for ref in refs]
    for name, destination in _names(file, root):
        if name.startswith(_PREFIX):
            ref, how, x, y, *_ = file.array(destination)
            if how != Name("XYZ"):
                raise UnreadableError(f"the destination {name.decode('latin-1')} names no place")
            at = (_number(x) * MM, _number(y) * MM)
            pages[refs.index(ref)].points.append((name.removeprefix(_PREFIX).decode("ascii"), at))
    return pages


def _pages(file: File, node: Object) -> Iterator[Object]:
    """References of all pages, in order."""
    for kid in file.array(file.dictionary(node)["Kids"]):
        if file.dictionary(kid)["Type"] == Name("Pages"):
            yield from _pages(file, kid)
        else:
            yield kid


def _names(file: File, root: dict[str, Object]) -> Iterator[tuple[bytes, Object]]:
    """Entries of the tree of named destinations."""
    if "Names" not in root or "Dests" not in file.dictionary(root["Names"]):
        return
    nodes = [file.dictionary(root["Names"])["Dests"]]
    while nodes:
        node = file.dictionary(nodes.pop())
        nodes += file.array(node["Kids"]) if "Kids" in node else []
        leaves = file.array(node["Names"]) if "Names" in node else []
        for name, value in zip(leaves[::2], leaves[1::2], strict=True):
            yield file.string(name), value


def _page(file: File, ref: Object, operators: _Operators) -> SeenInFile:
    page = file.dictionary(ref)
    if "UserUnit" in page or _number(file.resolve(page.get("Rotate", 0.0))) != 0:
        raise UnreadableError("a page has a UserUnit or is turned")
    box = [_number(v) for v in file.array(page["MediaBox"])]
    for other in ("CropBox", "TrimBox"):
        if [_number(v) for v in file.array(page[other])] != box:
            raise UnreadableError(f"a page's {other} is not its MediaBox")
    if box[:2] != [0.0, 0.0]:
        raise UnreadableError("a page does not begin at its corner")
    contents = file.resolve(page["Contents"])
    parts = contents if isinstance(contents, list) else [page["Contents"]]
    strokes = operators.strokes(b"\n".join(file.stream(p) for p in parts), page["Resources"])
    return SeenInFile(box[2] * MM, box[3] * MM, segments=[_segment_on_page(s, _IN_MM) for s in strokes])


class _State(NamedTuple):
    """What q saves: the matrix to the content's outermost space, and the clips in that space."""

    matrix: Matrix = _UNIT
    windows: tuple[Window, ...] = ()


class _Operators:
    """Follows content streams far enough to know where layer POINT's strokes come out.

    A form that many pages draw is followed once, in its own space.
    """

    def __init__(self, file: File) -> None:
        self.file = file
        self._forms: dict[Object, list[Segment]] = {}

    def strokes(self, content: bytes, resources: Object) -> list[Segment]:
        """Strokes of one content stream, in points of the space it is drawn in."""
        names = self.file.dictionary(resources)
        layer = self._point_layer(names)
        found: list[Segment] = []
        state, stack = _State(), list[_State]()
        operands: list[bytes] = []
        window: Window = (0.0, 0.0, 0.0, 0.0)
        for token, section in _tokens(content):
            if section is not None:
                if any(operator.search(section) for operator in _MOVING):
                    raise UnreadableError("something inside a layer moves, scales or clips what follows")
                found += _section(section, state) if token == layer else []
            elif token == b"q":
                stack.append(state)
            elif token == b"Q":
                state = stack.pop()
            elif token == b"cm":
                state = _State(_times(_six([float(v) for v in operands[-6:]]), state.matrix), state.windows)
            elif token == b"re":
                x, y, w, h = (float(v) for v in operands[-4:])
                window = _window((x, y, x + w, y + h), state.matrix)
            elif token == b"W":
                state = _State(state.matrix, (*state.windows, window))
            elif token == b"Do":
                form = self.file.dictionary(names["XObject"])[operands[-1].decode("ascii").removeprefix("/")]
                found += [_segment_on_page(s, state) for s in self._form(form)]
            else:
                operands.append(token)
                continue
            operands.clear()
        return found

    def _form(self, form: Object) -> list[Segment]:
        """Strokes of a form, in the space it is drawn into, clipped by its box."""
        if form not in self._forms:
            self._forms[form] = []
            own = self.file.dictionary(form)
            given = self.file.array(own["Matrix"]) if "Matrix" in own else list[Object](_UNIT)
            left, bottom, right, top = (_number(v) for v in self.file.array(own["BBox"]))
            state = _State(_six([_number(v) for v in given]))
            inside = _State(state.matrix, (_window((left, bottom, right, top), state.matrix),))
            inner = self.strokes(self.file.stream(form), own["Resources"])
            self._forms[form] = [_segment_on_page(s, inside) for s in inner]
        return self._forms[form]

    def _point_layer(self, names: dict[str, Object]) -> bytes | None:
        """The resource name under which the optional content group POINT goes."""
        if "Properties" not in names:
            return None
        for name, group in self.file.dictionary(names["Properties"]).items():
            if self.file.string(self.file.dictionary(group)["Name"]) == b"POINT":
                return name.encode("ascii")
        return None


def _tokens(content: bytes) -> Iterator[tuple[bytes, bytes | None]]:
    """Tokens between layers one by one; each layer's section as a whole, by its name."""
    done = 0
    while (match := _BEGIN.search(content, done)) is not None:
        yield from ((t, None) for t in content[done : match.start()].split())
        end = content.find(b"EMC", match.end())
        if end < 0:
            raise UnreadableError("a layer does not end")
        yield match[1], content[match.end() : end]
        done = end + 3
    yield from ((t, None) for t in content[done:].split())


def _section(section: bytes, state: _State) -> list[Segment]:
    lines = ([float(v) for v in match.groups()] for match in _LINE.finditer(section))
    return [_segment_on_page(Segment((x0, y0), (x1, y1)), state) for x0, y0, x1, y1 in lines]


def _segment_on_page(segment: Segment, state: _State) -> Segment:
    """A segment through a matrix, its own windows with it, and the windows it is drawn into."""
    windows = (*(_window(w, state.matrix) for w in segment.windows), *state.windows)
    start, end = _through(state.matrix, segment.start), _through(state.matrix, segment.end)
    return Segment(start, end, windows)


_IN_MM = _State((MM, 0.0, 0.0, MM, 0.0, 0.0))


def _number(value: Object) -> float:
    if not isinstance(value, float):
        raise TypeError(f"{value!r} is not a number")
    return value


def _six(v: list[float]) -> Matrix:
    a, b, c, d, e, f = v
    return a, b, c, d, e, f


def _times(first: Matrix, then: Matrix) -> Matrix:
    """The matrix that applies `first`, then `then`."""
    a, b, c, d, e, f = first
    g, h, i, j, k, m = then
    return a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m


def _through(m: Matrix, p: Point) -> Point:
    return m[0] * p[0] + m[2] * p[1] + m[4], m[1] * p[0] + m[3] * p[1] + m[5]


def _window(box: Window, m: Matrix) -> Window:
    (x0, y0), (x1, y1) = _through(m, box[:2]), _through(m, box[2:])
    return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)
