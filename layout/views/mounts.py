"""What brake, rack and mudguard makers' drawings are compared with, as a table of the cutting sheet."""

from __future__ import annotations

from collections.abc import Iterator

from layout.bench.marks import what_words
from layout.bench.mounts import Mount, mounts
from layout.drafting.numbers import format_number
from layout.drafting.panel import Panel
from layout.drafting.tables import Cells, Column
from layout.frame.solve import Frame
from layout.frame.words import words
from layout.views.long_tables import long_table

TITLE = "Mounts: compare with the maker's drawing"


def mount_tables(frame: Frame, width: float) -> Iterator[Panel]:
    """The table of mounts, `width` mm wide; none where the frame has none."""
    body = [
        (
            what_words(m.fitting), _on(m), _mm(m.radius), _mm(m.apart), _mm(m.over), _mm(m.rim), _mm(m.rotor),
        )
        for m in mounts(frame)
    ]  # fmt: skip
    if body:
        columns = (
            Column("mount", share=1.0), Column("on", share=1.0), Column("straight to axle", Cells.NUMBER),
            Column("between axes", Cells.NUMBER), Column("over both stays", Cells.NUMBER),
            Column("inside bead seat", Cells.NUMBER), Column("rotor to axis", Cells.NUMBER),
        )  # fmt: skip
        yield from long_table("mounts", TITLE, columns, body, width=width)


def _on(mount: Mount) -> str:
    one = mount.tubes[-1]
    return one.role.plural if len(mount.tubes) > 1 else words(one.name)


def _mm(value: float | None) -> str:
    return "" if value is None else format_number(value, 1)
