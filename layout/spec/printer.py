"""A printer's profile: what the calibration page told of it, in a file that outlives one frame.

    printer: {x: 1.0021, y: 0.9986}     # measured over true, along and across the paper
    media: [a4, a3]                     # the papers it prints; left out: whatever is drawn

A frame's spec may hold the same block `printer`, so a spec serves as a profile too.
"""

from pathlib import Path as FilePath
from typing import Annotated, NamedTuple

from pydantic import BeforeValidator, Field, ValidationError

from layout.errors import SpecError
from layout.spec.block import SpecBlock, rows
from layout.spec.model import PrinterBlock, Spec
from layout.spec.text import read_text
from layout.spec.tree import Holds, parse
from layout.spec.values import Words

_SOURCE = "`layout calibrate` prints a page that says what to write in one."
_HOLDS = Holds("printer profile", "printer", "x: 1.0021", _SOURCE)
_SPEC_KEYS = frozenset(Spec.model_fields)


class ProfileFile(SpecBlock):
    """The file."""

    printer: PrinterBlock = Field(
        description="measured over true, along and across the paper"
    )
    media: Annotated[
        tuple[Annotated[str, Words("a paper, as `layout media` lists it")], ...], BeforeValidator(rows)
    ] = Field((), description="the papers that the printer's numbers hold for, a list of names")


class PrinterProfile(NamedTuple):
    """Measured over true along (x) and across (y) the paper, the media (empty: all), the margins, mm."""

    x: float
    y: float
    media: tuple[str, ...] = ()
    margins: float = 5.0


def load_profile(path: str | FilePath) -> PrinterProfile:
    """Read a printer's profile. Raises SpecError with every fault found, each with its file and line."""
    return loads_profile(read_text(path, _SOURCE), str(path))


def loads_profile(text: str, file: str = "<text>") -> PrinterProfile:
    """The same from text; `file` is the name that messages use.

    >>> loads_profile("printer: {x: 1.002, y: 0.999}")
    PrinterProfile(x=1.002, y=0.999, media=(), margins=5.0)
    """
    tree = parse(text, file, _HOLDS)
    faults = list(tree.faults)
    known = ProfileFile.model_fields.keys()
    a_spec = "geometry" in tree.root
    root = {k: v for k, v in tree.root.items() if k in known or not (a_spec and k in _SPEC_KEYS)}
    try:
        read = ProfileFile.model_validate(root)
    except ValidationError as e:
        from layout.spec.faults import fault

        faults += [fault(error, tree, file, ProfileFile) for error in e.errors(include_url=False)]
    if faults:
        raise SpecError(*sorted(dict.fromkeys(faults), key=lambda f: f.line or 0))
    return PrinterProfile(read.printer.x, read.printer.y, read.media, read.printer.margins)
