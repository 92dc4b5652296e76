"""READINGS: what was measured on a sheet or a frame, as a form to fill in and as data.

    sheet: {media: roll-914, turned: false, printer: {x: 1.0, y: 1.0}}
    readings:
      - {from: bb, to: front_axle, measured: 612.5}
      - {dimension: head_angle, measured: 71.4, uncertainty: 0.1}
      - {height: head_tube_top, measured: 0.4}
      - {alignment: head_twist, measured: 0.5}

A row whose `measured` is empty was not measured. Uncertainties are one standard deviation.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path as FilePath
from typing import Annotated, Any, NamedTuple, Self
from zlib import crc32

from pydantic import BeforeValidator, Field, ValidationError, model_validator

from layout.errors import Fault, SpecError
from layout.geometry.dimensions import REGISTRY
from layout.spec import words
from layout.spec.block import SpecBlock, block, rows
from layout.spec.model import PrinterBlock
from layout.spec.registered import quantity
from layout.spec.text import NOT_TEXT, read_text
from layout.spec.tree import Holds, Scalar, dotted, parse
from layout.spec.values import Boolean, OneOf, Quantity, Words, refused

OUT_OF_LINE = Quantity("distance off the middle plane", -100.0, 100.0)
"""Farther off than this no frame is tacked; common practice."""
ALIGNMENT_RANGES = {
    "head_twist": Quantity("turn of the head tube against the seat tube", -20.0, 20.0, "degrees"),
    "dropout_height": Quantity("height of the drive-side dropout above the other", -100.0, 100.0),
    "wheel_centring": Quantity("distance of the rim off the middle plane", -100.0, 100.0),
    "dropout_spacing": Quantity("distance between the dropouts' inner faces", 80.0, 220.0),
}
"""What is measured of a frame's alignment on a flat plate, and what can be read of it: more is a slip."""
ALIGNMENTS = tuple(ALIGNMENT_RANGES)

_SOURCE = "`layout draw` and `layout setup` write a form to fill in."
_ROWS = "readings"
"""The key that the rows stand under."""

_NAMES = ("from", "to", "dimension", "height", "alignment")
"""Keys of a row that say what it measures."""
_HOLDS = Holds("readings", _ROWS, "- {from: bb, to: front_axle, measured: 612.5}", _SOURCE)


class ReadingKind(StrEnum):
    """What a row measures."""

    DISTANCE = "distance"
    DIMENSION = "dimension"
    HEIGHT = "height"
    ALIGNMENT = "alignment"


def range_of(kind: ReadingKind, name: str) -> Quantity | None:
    """What can be read of a dimension, a height or an alignment; None of what is neither."""
    if kind is ReadingKind.DIMENSION:
        return quantity(name) if name in REGISTRY else None
    return {ReadingKind.ALIGNMENT: ALIGNMENT_RANGES.get(name), ReadingKind.HEIGHT: OUT_OF_LINE}.get(kind)


@dataclass(frozen=True)
class Measured(Quantity):
    """A number, or nothing where the row was left empty."""

    def read(self, value: Any) -> Any:
        """The number, or None."""
        if isinstance(value, Scalar) and value.empty:
            return None
        return super().read(value)


class Row(SpecBlock):
    """One reading."""

    start: Annotated[str | None, Words("the point measured from")] = Field(None, alias="from")
    end: Annotated[str | None, Words("the point measured to")] = Field(None, alias="to")
    dimension: Annotated[str | None, Words("the dimension measured, by its name")] = None
    height: Annotated[str | None, Words("the point whose height above the plate's centre plane it is")] = None
    alignment: Annotated[str | None, OneOf("what of the alignment was measured", ALIGNMENTS)] = None
    measured: Annotated[float | None, Measured("what was read", -5080.0, 5080.0, "mm or degrees")] = None
    uncertainty: Annotated[
        float | None, Quantity("one standard deviation of the reading", 0.001, 20.0, "mm or degrees")
    ] = None

    @model_validator(mode="after")
    def _of_one_kind(self) -> Self:
        points = (self.start, self.end)
        named = [n for n in (self.dimension, self.height, self.alignment) if n is not None]
        if points == (None, None) and len(named) == 1:
            return self
        if not named and None not in points:
            return self
        raise refused("type", words.NO_READING)


class SheetBlock(SpecBlock):
    """How the sheet was printed: written by draw, so that the check knows the paper's axes."""

    media: Annotated[str, Words("the paper, as `layout media` lists it")] = ""
    turned: Annotated[bool, Boolean("whether the drawing's x lies along printer.y")] = False
    printer: PrinterBlock = block()
    frame: Annotated[str, Words("which frame the sheet shows: written by draw")] = ""


class ReadingsFile(SpecBlock):
    """The file."""

    sheet: SheetBlock = block()
    readings: Annotated[tuple[Row, ...], BeforeValidator(rows)] = Field((), description="one row a reading")


class Reading(NamedTuple):
    """One row. `names` are the two points of a distance, else the one name; `measured` mm or degrees."""

    kind: ReadingKind
    names: tuple[str, ...]
    measured: float | None
    uncertainty: float | None
    key: str

    @property
    def unit(self) -> str:
        """The unit of what was read, as written behind a number.

        >>> Reading(ReadingKind.DIMENSION, ("head_angle",), 72.0, None, "").unit
        '°'
        """
        read = range_of(self.kind, self.names[0])
        return "°" if read is not None and read.unit == "degrees" else " mm"


class PrintedSheet(NamedTuple):
    """How a sheet was printed: its paper, whether the drawing's x lies along printer.y, the compensation.

    `frame` stands for the check distances it was drawn with; empty where it does not say.
    """

    media: str = ""
    turned: bool = False
    printer: tuple[float, float] = (1.0, 1.0)
    frame: str = ""


class Readings(NamedTuple):
    """All rows of a file, the empty ones included, and the sheet they were taken from."""

    file: str
    sheet: PrintedSheet
    rows: tuple[Reading, ...]
    lines: Mapping[str, int]

    def place(self, key: str) -> tuple[str, int]:
        """File and line of a dotted key such as `readings.3.from`, or of the nearest above it."""
        parts = key.split(".")
        while parts and ".".join(parts) not in self.lines:
            parts.pop()
        return self.file, self.lines.get(".".join(parts), 1)


Check = Callable[[Readings], Iterable[Fault]]
"""Finds, with their places, the faults that only a frame can tell: a point that it does not have."""


def _no_check(_: Readings) -> Iterable[Fault]:
    return ()


def load_readings(path: str | FilePath, check: Check = _no_check) -> Readings:
    """Read a READINGS file. Raises SpecError with every fault found, each with its file and line.

    Those of `check` are told in the same pass: a slip of the pen in one row hides none in another.
    """
    return loads_readings(read_text(path, _SOURCE), str(path), check)


def loads_readings(text: str, file: str = "<text>", check: Check = _no_check) -> Readings:
    r"""The same from text; `file` is the name that messages use.

    >>> loads_readings("readings:\n- {from: bb, to: front_axle, measured: 612.5}").rows[0].names
    ('bb', 'front_axle')
    """
    tree = parse(text, file, _HOLDS)
    lines = {dotted(path): line for path, line in tree.lines.items()}
    faults = list(tree.faults)
    try:
        read = ReadingsFile.model_validate(tree.root)
    except ValidationError as e:
        from layout.spec.faults import fault

        faults += [fault(error, tree, file, ReadingsFile) for error in e.errors(include_url=False)]
        found = Readings(file, PrintedSheet(), tuple(_named(tree.root.get("readings"))), lines)
    else:
        sheet = read.sheet
        printer = (sheet.printer.x, sheet.printer.y)
        found = Readings(
            file,
            PrintedSheet(sheet.media, sheet.turned, printer, sheet.frame),
            tuple(_reading(row, f"{_ROWS}.{n}") for n, row in enumerate(read.readings)),
            lines,
        )
    faults += check(found)
    if faults:
        raise SpecError(*sorted(dict.fromkeys(faults), key=lambda f: f.line or 0))
    return found


def _named(written: Any) -> Iterator[Reading]:
    """The rows that say what they measure, of a file with faults: whole where a row has none."""
    for n, row in enumerate(written if isinstance(written, list) else ()):
        if not isinstance(row, dict):
            continue
        for known in (row, {k: v for k, v in row.items() if k in _NAMES}):
            try:
                read = Row.model_validate(known)
            except ValidationError:
                continue
            yield _reading(read, f"{_ROWS}.{n}")
            break



def _reading(row: Row, key: str) -> Reading:
    if row.start is not None and row.end is not None:
        return Reading(ReadingKind.DISTANCE, (row.start, row.end), row.measured, row.uncertainty, key=key)
    kind, name = next(
        (kind, name)
        for kind, name in (
            (ReadingKind.DIMENSION, row.dimension),
            (ReadingKind.HEIGHT, row.height),
            (ReadingKind.ALIGNMENT, row.alignment),
        )
        if name is not None
    )
    return Reading(kind, (name,), row.measured, row.uncertainty, key=key)


class FormRow(NamedTuple):
    """A row to fill in: what to measure, and a note beside it such as its letter and true value."""

    kind: ReadingKind
    names: tuple[str, ...]
    note: str = ""


def form_text(heading: Iterable[str], form: Sequence[FormRow], sheet: PrintedSheet | None = None) -> str:
    """A READINGS file with every `measured` left empty; `heading` is said in comments above it.

    A character that no file can hold, which the name of one may bring in, becomes U+FFFD. The last line
    has a sum of all others: by it `is_blank_form` tells whether somebody wrote something into the form.
    """
    said = [NOT_TEXT.sub("\ufffd", line) for text in heading for line in text.splitlines() or [""]]
    lines = [f"# {line}".rstrip() for line in said]
    if sheet is not None:
        turned = "true" if sheet.turned else "false"
        x, y = (_number(v) for v in sheet.printer)
        drawn = f', frame: "{sheet.frame}"' if sheet.frame else ""
        lines.append(f"sheet: {{media: {sheet.media}, turned: {turned}, printer: {{x: {x}, y: {y}}}{drawn}}}")
    lines.append("readings:")
    noted = [(_keys(row), row.note) for row in form]
    width = max((len(keys) for keys, _ in noted), default=0)
    for keys, note in noted:
        row = f"  - {{{keys + ',':{width + 1}} measured: }}"
        lines.append(f"{row}   # {note}" if note else row)
    return "\n".join((*lines, f"{_BLANK}{_sum(lines)}")) + "\n"


def is_blank_form(text: str) -> bool:
    """Whether this is a form as `form_text` writes it, into which nobody has written anything.

    An editor may have ended its lines in its own way.
    """
    lines = text.splitlines()
    return bool(lines) and lines.pop() == f"{_BLANK}{_sum(lines)}"


_BLANK = "# Leave this line: it shows whether somebody wrote in the form. "


def _sum(lines: Sequence[str]) -> str:
    return f"{crc32(chr(10).join(lines).encode('utf-8', 'replace')):08x}"


def _keys(row: FormRow) -> str:
    if row.kind is ReadingKind.DISTANCE:
        start, end = row.names
        return f"from: {start + ',':{_NAME_ROOM}} to: {end}"
    return f"{row.kind.value}: {row.names[0]}"


_NAME_ROOM = len("head_tube_bottom,")
"""The names of the points that are measured from begin and end in line."""


def _number(value: float) -> str:
    """A printer value in full, as short as it reads back."""
    return repr(float(value))
