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
from layout.writers.whole import write_whole

_VERSION = "R2010"


def write_document(path: Path, fill: Callable[[Any], None], comment: str = "") -> None:
    """Write the document that `fill` has entered everything in, without clock or random number in it.

    `comment` is the file's first line, which no program draws (group code 999).

    Raises what `fill` raises, WriteError where the file cannot be written.
    """
    cad = library()
    fixed = cad.options.write_fixed_meta_data_for_testing
    cad.options.write_fixed_meta_data_for_testing = True
    try:
        doc = cad.new(_VERSION)
        fill(doc)
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


class CodeSpace:
    """A layout or block of a document, filled with entities as group codes: what `codes.py` says of them."""

    def __init__(self, doc: Any, space: Any) -> None:
        self._doc, self._space = doc, space
        on_paper = " 67\n1\n" if space.is_any_paperspace else ""
        self._owner = f"330\n{space.block_record_handle}\n100\nAcDbEntity\n{on_paper}"
        self._codes: list[str] = []

    def add(self, kind: str, layer: str, own: str, pen: str = "") -> None:
        """Add an entity by what its kind has of its own; `pen` are the codes of its own pen, if any."""
        handle = self._doc.entitydb.next_handle()
        self._codes.append(f"  0\n{kind}\n  5\n{handle}\n{self._owner}  8\n{layer}\n{pen}{own}")

    def place(self) -> None:
        """Put all that was added where it belongs, to be written as it is."""
        self._space.entity_space.add(_finished()("".join(self._codes)))


@lru_cache(maxsize=1)
def _finished() -> Any:
    """The library's class for entities that are group codes already.

    Its own ones check, keep and write one attribute at a time: a drawing takes four times as long to write.
    """
    from ezdxf.entities.dxfentity import DXFEntity  # noqa: TID251

    class Finished(DXFEntity):
        def __init__(self, codes: str) -> None:
            super().__init__()
            self.codes = codes

        def export_dxf(self, tagwriter: Any) -> None:
            tagwriter.write_str(self.codes)

    return Finished


def _order_classes(doc: Any) -> None:
    """Enter the CLASS records in a fixed order, before ezdxf enters them in that of a set."""
    for kind in sorted(doc.entitydb.dxf_types_in_use()):
        doc.classes.add_class(kind)
