"""Raw DXF group codes: a code on one line, its value on the next; shared by all that reads DXF back.

    tag      a code with its value
    record   the tags from one code 0, which names its kind, to before the next

Nothing more is known of the format here, and nothing is shared with the writers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from layout.checks.readback.seen import Point, UnreadableError

Tag = tuple[int, str]
Record = Sequence[Tag]


class Tags(NamedTuple):
    """A file's group codes and their values as they stand, and the places where records start.

    Only records that are asked for are taken apart: most of a file is of no interest here.
    """

    codes: list[int]
    values: list[str]
    starts: list[int]

    def at(self, start: int, end: int) -> list[Tag]:
        """The tags from a place to before another, values stripped."""
        return list(zip(self.codes[start:end], map(str.strip, self.values[start:end]), strict=True))


def read_tags(data: bytes) -> Tags:
    """All tags of a file. Raises UnreadableError where it is not a text of group codes."""
    try:
        lines = data.decode("utf-8").splitlines()
        known = {code: int(code) for code in set(lines[0::2])}
    except ValueError as e:
        raise UnreadableError("it is not a text of group codes") from e
    codes, values = list(map(known.__getitem__, lines[0::2])), lines[1::2]
    if len(codes) != len(values):
        raise UnreadableError("a group code has no value")
    return Tags(codes, values, [k for k, code in enumerate(codes) if code == 0])


def header_value(tags: Tags, name: str) -> str | None:
    """The value of a header variable, None where the file does not set it."""
    named = (k + 1 for k, code in enumerate(tags.codes) if code == 9 and tags.values[k].strip() == name)
    place = next(named, len(tags.values))
    return tags.values[place].strip() if place < len(tags.values) else None


def records(tags: Tags, *kinds: str) -> Iterator[Record]:
    """The records of those kinds in order."""
    for start, end in pairwise([*tags.starts, len(tags.codes)]):
        if tags.values[start].strip() in kinds:
            yield tags.at(start, end)


def entities(tags: Tags, *kinds: str) -> Iterator[Record]:
    """The records of the ENTITIES section that are of those kinds, of all where none is named.

    Raises UnreadableError where there is no such section.
    """
    places = pairwise([*tags.starts, len(tags.codes)])
    for start, _ in places:
        if tags.at(start, start + 2) == [(0, "SECTION"), (2, "ENTITIES")]:
            break
    else:
        raise UnreadableError("it has no ENTITIES section")
    for start, end in places:
        kind = tags.values[start].strip()
        if kind == "ENDSEC":
            return
        if not kinds or kind in kinds:
            yield tags.at(start, end)
    raise UnreadableError("its ENTITIES section does not end")


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
