"""The objects of a PDF file, found through its cross-reference table and parsed from its bytes.

Only what our own files hold: a classic table, no object streams, no encryption, Flate
streams. Anything else is UnreadableError, which is as good as wrong.
"""

from __future__ import annotations

import re
import zlib
from typing import Union

from layout.checks.readback.seen import UnreadableError


class Name(str):
    """A PDF name, without its slash."""

    __slots__ = ()


class Ref(int):
    """A reference to an object, by its number."""

    __slots__ = ()


Object = Union[None, bool, float, bytes, Name, Ref, "list[Object]", "dict[str, Object]"]

_TOKEN = re.compile(
    rb"""\s*(?:
        (?P<ref>\d+\s+\d+\s+R\b)
      | (?P<number>[-+]?(?:\d+\.?\d*|\.\d+))
      | /(?P<name>[^\s/\[\]<>()%]*)
      | (?P<open><<|\[) | (?P<close>>>|\])
      | <(?P<hex>[0-9A-Fa-f\s]*)>
      | (?P<text>\()
      | (?P<word>true|false|null)
    )""",
    re.VERBOSE,
)
_ESCAPES = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}
_END: Object = Name(">> or ]")


class File:
    """A PDF's bytes and where its objects begin."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        self.offsets: dict[int, int] = {}
        self.trailer: dict[str, Object] = {}
        self._known: dict[int, tuple[Object, int]] = {}
        self._inflated: dict[int, bytes] = {}
        self._read_table()

    def resolve(self, value: Object) -> Object:
        """The object itself, where `value` refers to one."""
        return self._object(value)[0] if isinstance(value, Ref) else value

    def dictionary(self, value: Object) -> dict[str, Object]:
        """`value` as a dictionary (a stream's own, for a stream). Raises TypeError if it is none."""
        found = self.resolve(value)
        if not isinstance(found, dict):
            raise TypeError(f"{found!r} is not a dictionary")
        return found

    def array(self, value: Object) -> list[Object]:
        """`value` as an array. Raises TypeError if it is none."""
        found = self.resolve(value)
        if not isinstance(found, list):
            raise TypeError(f"{found!r} is not an array")
        return found

    def string(self, value: Object) -> bytes:
        """`value` as a string. Raises TypeError if it is none."""
        found = self.resolve(value)
        if not isinstance(found, bytes):
            raise TypeError(f"{found!r} is not a string")
        return found

    def stream(self, value: Object) -> bytes:
        """The inflated content of a stream. Raises UnreadableError where it is no Flate stream."""
        if not isinstance(value, Ref):
            raise UnreadableError("a stream is not an object of its own")
        if value not in self._inflated:
            self._inflated[value] = self._inflate(value)
        return self._inflated[value]

    def _inflate(self, ref: Ref) -> bytes:
        found, end = self._object(ref)
        head = re.compile(rb"\s*stream\r?\n").match(self.data, end)
        length = self.resolve(self.dictionary(found)["Length"])
        if head is None or not isinstance(length, float):
            raise UnreadableError(f"object {ref} is not a stream")
        raw = self.data[head.end() : head.end() + int(length)]
        filters = self.dictionary(found).get("Filter")
        if filters is None:
            return raw
        if filters not in (Name("FlateDecode"), [Name("FlateDecode")]):
            raise UnreadableError(f"object {ref} is packed by {filters!r}")
        try:
            return zlib.decompress(raw)
        except zlib.error as e:
            raise UnreadableError(f"object {ref} is damaged: {e}") from e

    def _read_table(self) -> None:
        at = re.search(rb"startxref\s+(\d+)\s+%%EOF\s*\Z", self.data)
        if not self.data.startswith(b"%PDF-") or at is None:
            raise UnreadableError("it is not a whole PDF")
        position = int(at[1])
        if not self.data.startswith(b"xref", position):
            raise UnreadableError("its cross-reference table is not where it should be")
        position += 4
        section = re.compile(rb"\s*(\d+) (\d+)\s*\n")
        while (match := section.match(self.data, position)) is not None:
            first, count = int(match[1]), int(match[2])
            position = match.end()
            for number in range(first, first + count):
                entry = self.data[position : position + 20]
                if entry[17:18] == b"n":
                    self.offsets[number] = int(entry[:10])
                position += 20
        trailer = re.compile(rb"\s*trailer").match(self.data, position)
        if trailer is None:
            raise UnreadableError("it has no trailer")
        found, _ = self._parse(trailer.end())
        self.trailer = self.dictionary(found)

    def _object(self, ref: Ref) -> tuple[Object, int]:
        """An object and where it ends."""
        number = int(ref)
        if number not in self._known:
            head = re.compile(rb"\s*(\d+) \d+ obj\b").match(self.data, self.offsets[number])
            if head is None or int(head[1]) != number:
                raise UnreadableError(f"object {number} is not where the table says")
            self._known[number] = self._parse(head.end())
        return self._known[number]

    def _parse(self, position: int) -> tuple[Object, int]:
        match = _TOKEN.match(self.data, position)
        if match is None:
            raise UnreadableError(f"there is no object at byte {position}")
        kind, text, end = match.lastgroup, match[match.lastgroup or 0], match.end()
        if kind == "ref":
            return Ref(text.split()[0]), end
        if kind == "number":
            return float(text), end
        if kind == "name":
            return Name(_unescaped_name(text)), end
        if kind == "hex":
            digits = b"".join(text.split())
            return bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii")), end
        if kind == "text":
            return self._string(end)
        if kind == "word":
            return {b"true": True, b"false": False, b"null": None}[text], end
        if kind == "close":
            return _END, end
        return self._members(text == b"<<", end)

    def _members(self, is_dictionary: bool, position: int) -> tuple[Object, int]:
        members: list[Object] = []
        while True:
            value, position = self._parse(position)
            if value is _END:
                break
            members.append(value)
        if not is_dictionary:
            return members, position
        pairs = zip(members[::2], members[1::2], strict=True)
        return {str(key): value for key, value in pairs}, position

    def _string(self, position: int) -> tuple[bytes, int]:
        """A string in parentheses, which may nest; backslashes escape."""
        out, depth = bytearray(), 1
        while depth:
            char = self.data[position : position + 1]
            position += 1
            if char == b"\\":
                octal = re.compile(rb"[0-7]{1,3}").match(self.data, position)
                if octal is not None:
                    out.append(int(octal[0], 8) & 255)
                    position = octal.end()
                    continue
                char = self.data[position : position + 1]
                position += 1
                out += _ESCAPES.get(char, char)
                continue
            depth += {b"(": 1, b")": -1}.get(char, 0)
            if not char:
                raise UnreadableError("a string does not end")
            if depth:
                out += char
        return bytes(out), position


def _unescaped_name(text: bytes) -> str:
    return re.sub(rb"#([0-9A-Fa-f]{2})", lambda m: bytes((int(m[1], 16),)), text).decode("latin-1")
