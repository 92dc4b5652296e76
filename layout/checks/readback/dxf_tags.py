"""Raw DXF group codes: a code on one line, its value on the next; shared by all that reads DXF back.

    tag      a code with its value
    record   the tags from one code 0, which names its kind, to before the next

Nothing more is known of the format here, and nothing is shared with the writers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from layout.checks.readback.seen import Point, UnreadableError

Tag = tuple[int, str]
Record = Sequence[Tag]


def read_tags(data: bytes) -> list[Tag]:
    """All tags of a file, values stripped. Raises UnreadableError where it is not a text of group codes."""
    try:
        lines = data.decode("utf-8").splitlines()
        codes = list(map(int, lines[0::2]))
    except ValueError as e:
        raise UnreadableError("it is not a text of group codes") from e
    values = list(map(str.strip, lines[1::2]))
    if len(codes) != len(values):
        raise UnreadableError("a group code has no value")
    return list(zip(codes, values, strict=True))


def header_value(tags: Sequence[Tag], name: str) -> str | None:
    """The value of a header variable, None where the file does not set it."""
    try:
        return tags[tags.index((9, name)) + 1][1]
    except (ValueError, IndexError):
        return None


def records(tags: Sequence[Tag]) -> Iterator[Record]:
    """Every record in order."""
    starts = [k for k, tag in enumerate(tags) if tag[0] == 0]
    for first, last in pairwise([*starts, len(tags)]):
        yield tags[first:last]


def entities(tags: Sequence[Tag]) -> Iterator[Record]:
    """The records of the ENTITIES section. Raises UnreadableError where there is none."""
    try:
        begin = tags.index((2, "ENTITIES")) + 1
        end = tags.index((0, "ENDSEC"), begin)
    except ValueError as e:
        raise UnreadableError("it has no ENTITIES section") from e
    yield from records(tags[begin:end])


def value(record: Record, code: int) -> str:
    """The first value of a group code. Raises UnreadableError where the record has none."""
    for found, text in record:
        if found == code:
            return text
    raise UnreadableError(f"a {record[0][1]} has no group code {code}")


def number(record: Record, code: int) -> float:
    """The same as a number. Raises UnreadableError where it is none."""
    return _number(record, value(record, code))


def whole(record: Record, code: int) -> int:
    """The same as a whole number. Raises UnreadableError where it is none."""
    text = value(record, code)
    try:
        return int(text)
    except ValueError as e:
        raise _no_number(record, text) from e


def numbers(record: Record, codes: Iterable[int]) -> Iterator[tuple[int, float]]:
    """Every tag of those codes in order, its value a number. Raises UnreadableError where one is none."""
    wanted = frozenset(codes)
    for code, text in record:
        if code in wanted:
            yield code, _number(record, text)


def point(record: Record, x: int, y: int) -> Point:
    """The point whose coordinates have those codes."""
    return number(record, x), number(record, y)


def from_marker(record: Record, marker: str) -> Record:
    """The part of a record from a subclass marker (code 100) on. Raises UnreadableError without it."""
    return record[_marked_names(record, marker) :]


def to_marker(record: Record, marker: str) -> Record:
    """The part of a record before a subclass marker. Raises UnreadableError without it."""
    return record[: _marked_names(record, marker)]


def _marked_names(record: Record, marker: str) -> int:
    try:
        return record.index((100, marker))
    except ValueError as e:
        raise UnreadableError(f"a {record[0][1]} has no {marker} in it") from e


def _number(record: Record, text: str) -> float:
    try:
        return float(text)
    except ValueError as e:
        raise _no_number(record, text) from e


def _no_number(record: Record, text: str) -> UnreadableError:
    return UnreadableError(f"a {record[0][1]} has the value {text!r}, which is not a number")
