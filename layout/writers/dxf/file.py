"""A DXF R2010 document made, filled and written so that the same content gives the same bytes.

The only module that imports ezdxf, apart from the machine's own settings. What is in a document is
the business of the writers that fill it: `dxf.py` a drawing, `plate_dxf.py` a part to be cut.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Any

from layout.writers.apart import apart
from layout.writers.decimals import filled, floats
from layout.writers.dxf.codes import Codes
from layout.writers.whole import write_whole

_VERSION = "R2010"


COORDINATES = 6
"""Decimals of coordinates and sizes: 1e-6 mm, so that files are the same on every machine."""


def write_document(path: Path, fill: Callable[[CodeDocument], None], comment: str = "") -> None:
    """Write the document that `fill` has entered everything in, without clock or random number in it.

    `comment` is the file's first line, which no program draws (group code 999).

    Raises what `fill` raises, WriteError where the file cannot be written.
    """
    cad = library()
    fixed = cad.options.write_fixed_meta_data_for_testing
    cad.options.write_fixed_meta_data_for_testing = True
    try:
        doc = cad.new(_VERSION)
        document = CodeDocument(doc)
        fill(document)
        document.spell()
        _order_classes(doc)
        text = io.StringIO()
        doc.write(text)
    finally:
        cad.options.write_fixed_meta_data_for_testing = fixed
    first = f"999\n{comment}\n" if comment else ""
    write_whole(path, (first + text.getvalue()).encode("utf-8"))


@lru_cache(maxsize=1)
def library() -> Any:
    """The ezdxf package, imported when it is first asked for: it takes longer than all else."""
    with apart():
        import ezdxf  # noqa: TID251
    return ezdxf


class CodeDocument:
    """A document of the library, `doc`, and the entities that are entered in it as group codes."""

    def __init__(self, doc: Any) -> None:
        self.doc = doc
        self._spaces: list[CodeSpace] = []

    def space(self, space: Any) -> CodeSpace:
        """A layout or block of it, to add entities to, behind all that was entered there before."""
        self._spaces.append(CodeSpace(self.doc, space))
        return self._spaces[-1]

    def spell(self) -> None:
        """Have all that was added written as it is, every number of the document spelled at once."""
        templates = ["".join(space.templates) for space in self._spaces]
        numbers = [number for space in self._spaces for number in space.numbers]
        for space, codes in zip(self._spaces, filled(templates, numbers, floats), strict=True):
            space.entered.codes = codes


class CodeSpace:
    """A layout or block of a document, filled with entities as group codes: what `codes.py` says of them."""

    def __init__(self, doc: Any, space: Any) -> None:
        self.entered = _finished()()
        self.templates: list[str] = []
        self.numbers: list[float] = []
        self._next_handle = doc.entitydb.next_handle
        on_paper = " 67\n1\n" if space.is_any_paperspace else ""
        self._owner = f"330\n{space.block_record_handle}\n100\nAcDbEntity\n{on_paper}"
        space.entity_space.add(self.entered)

    def add(self, kind: str, layer: str, own: Codes, pen: str = "") -> None:
        """Add an entity by what its kind has of its own; `pen` are the codes of its own pen, if any."""
        head = f"  0\n{kind}\n  5\n{self._next_handle()}\n{self._owner}  8\n{layer}\n{pen}"
        self.templates.append(head + own.template)
        self.numbers += own.numbers


@lru_cache(maxsize=1)
def _finished() -> Any:
    """The library's class for entities that are group codes already.

    Its own ones check, keep and write one attribute at a time: a drawing takes four times as long to write.
    """
    from ezdxf.entities.dxfentity import DXFEntity  # noqa: TID251

    class Finished(DXFEntity):
        def __init__(self) -> None:
            super().__init__()
            self.codes = ""

        def export_dxf(self, tagwriter: Any) -> None:
            tagwriter.write_str(self.codes)

    return Finished


def _order_classes(doc: Any) -> None:
    """Enter the CLASS records in a fixed order, before ezdxf enters them in that of a set."""
    for kind in sorted(doc.entitydb.dxf_types_in_use()):
        doc.classes.add_class(kind)
