"""The notation glyphs are written in, read into strokes; and what strokes measure.

A path, on a grid of 20 to the capital height, x from the glyph's left side, y from the baseline:

    x,y                    start of a stroke, then straight lines
    hx,y                   quarter ellipse that leaves level and arrives upright
    vx,y                   quarter ellipse that leaves upright and arrives level
    cx,y:x,y:x,y           cubic Bezier
    acx,cy,rx,ry,from,to   elliptical arc by centre, radii, angles (degrees; clockwise where to < from)
    ox,y                   a dot: a small ring with a bar across, solid at every height in use
    ;                      lifts the pen
"""

from __future__ import annotations

import math

DOT_RADIUS = 0.65

_KAPPA = 4.0 / 3.0 * (math.sqrt(2.0) - 1.0)
"""Handle of a quarter circle's Bezier: within 0.03 % of the radius."""

Xy = tuple[float, float]
Cubic = tuple[Xy, Xy, Xy]
Piece = Xy | Cubic
"""What follows a stroke's start: the end of a line, or handles and end of a cubic."""
Path = tuple[Xy, tuple[Piece, ...]]


def read(text: str) -> tuple[Path, ...]:
    """The strokes of a path written in the notation of this module."""
    paths: list[Path] = []
    for stroke in text.split(";"):
        start: Xy | None = None
        pieces: list[Piece] = []
        for token in stroke.split():
            if token[0] == "o":
                paths.extend(_dot(_xy(token[1:])))
            elif start is None:
                start, pieces = _begin(token)
            else:
                pieces.extend(_next(token, _end(start, pieces)))
        if start is not None:
            paths.append((start, tuple(pieces)))
    return tuple(paths)


def _begin(token: str) -> tuple[Xy, list[Piece]]:
    if token[0] != "a":
        return _xy(token), []
    start, pieces = _arc(*_numbers(token[1:]))
    return start, list(pieces)


def _next(token: str, here: Xy) -> list[Piece]:
    kind, rest = token[0], token[1:]
    if kind == "h" or kind == "v":
        return [_quarter(here, _xy(rest), level=kind == "h")]
    if kind == "c":
        one, two, end = (_xy(part) for part in rest.split(":"))
        return [(one, two, end)]
    if kind == "a":
        start, pieces = _arc(*_numbers(rest))
        joined: list[Piece] = [] if math.dist(start, here) < 1e-9 else [start]
        return joined + list(pieces)
    return [_xy(token)]


def _quarter(a: Xy, b: Xy, level: bool) -> Cubic:
    dx, dy = (b[0] - a[0]), (b[1] - a[1])
    if level:
        return (a[0] + _KAPPA * dx, a[1]), (b[0], b[1] - _KAPPA * dy), b
    return (a[0], a[1] + _KAPPA * dy), (b[0] - _KAPPA * dx, b[1]), b


def _arc(
    cx: float, cy: float, rx: float, ry: float, begin: float, end: float
) -> tuple[Xy, tuple[Cubic, ...]]:
    count = math.ceil(abs(end - begin) / 90.0 - 1e-9)
    step = math.radians(end - begin) / count
    handle = 4.0 / 3.0 * math.tan(step / 4.0)
    pieces: list[Cubic] = []
    for i in range(count):
        t0 = math.radians(begin) + i * step
        t1 = t0 + step
        c0, s0, c1, s1 = math.cos(t0), math.sin(t0), math.cos(t1), math.sin(t1)
        one = (cx + rx * (c0 - handle * s0), cy + ry * (s0 + handle * c0))
        two = (cx + rx * (c1 + handle * s1), cy + ry * (s1 - handle * c1))
        pieces.append((one, two, (cx + rx * c1, cy + ry * s1)))
    t = math.radians(begin)
    return (cx + rx * math.cos(t), cy + ry * math.sin(t)), tuple(pieces)


def _dot(at: Xy) -> tuple[Path, ...]:
    start, pieces = _arc(at[0], at[1], DOT_RADIUS, DOT_RADIUS, begin=0.0, end=360.0)
    return ((start, (*pieces, (at[0] - DOT_RADIUS, at[1]))),)


def _numbers(text: str) -> list[float]:
    return [float(n) for n in text.split(",")]


def _xy(text: str) -> Xy:
    x, y = _numbers(text)
    return x, y


def _end(start: Xy, pieces: list[Piece]) -> Xy:
    if not pieces:
        return start
    last = pieces[-1]
    return last[2] if len(last) == 3 else last


def extent(paths: tuple[Path, ...]) -> tuple[float, float, float, float]:
    """Least and greatest x and y of the middle lines: (left, bottom, right, top)."""
    xs: list[float] = []
    ys: list[float] = []
    for start, pieces in paths:
        here = start
        xs.append(start[0])
        ys.append(start[1])
        for piece in pieces:
            end = piece[2] if len(piece) == 3 else piece
            if len(piece) == 3:
                xs.extend(_turns(here[0], piece[0][0], piece[1][0], end[0]))
                ys.extend(_turns(here[1], piece[0][1], piece[1][1], end[1]))
            xs.append(end[0])
            ys.append(end[1])
            here = end
    return min(xs), min(ys), max(xs), max(ys)


def _turns(a: float, b: float, c: float, d: float) -> list[float]:
    """Values of a cubic Bezier of one coordinate where it turns back."""
    qa, qb, qc = -a + 3 * b - 3 * c + d, 2 * (a - 2 * b + c), b - a
    if abs(qa) < 1e-12:
        roots = [] if abs(qb) < 1e-12 else [-qc / qb]
    else:
        disc = qb * qb - 4 * qa * qc
        roots = [] if disc < 0 else [(-qb + s * math.sqrt(disc)) / (2 * qa) for s in (1, -1)]
    inside = [t for t in roots if 0 < t < 1]
    return [a * (1 - t) ** 3 + 3 * b * t * (1 - t) ** 2 + 3 * c * t * t * (1 - t) + d * t**3 for t in inside]


def move_strokes(paths: tuple[Path, ...], dx: float, dy: float, scale: float = 1.0) -> tuple[Path, ...]:
    """The strokes scaled about the origin, then moved."""
    def at(p: Xy) -> Xy:
        return p[0] * scale + dx, p[1] * scale + dy

    def piece(q: Piece) -> Piece:
        return (at(q[0]), at(q[1]), at(q[2])) if len(q) == 3 else at(q)

    return tuple((at(start), tuple(piece(q) for q in pieces)) for start, pieces in paths)
