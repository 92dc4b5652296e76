"""Make output/, the sample of one job whole, and its small pictures for the README.

    .venv/bin/python tests/sample.py

draws every file anew, takes the picture of the page in the browser where Chromium is installed, and makes
the small pictures. No two renderers paint the same bytes, so each picture carries the digest of the PDF it
shows, as text that image programs keep: a test can tell whether it is of today's file.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import struct
import sys
import tempfile
import zlib
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from watch_picture import SIGNATURE, mark_in, with_mark
from watch_picture import main as take_screen

from layout.drafting.entities import Drawing
from layout.frame.solve import Frame, solve
from layout.pipeline.draw import draw_spec
from layout.pipeline.mitres import mitres
from layout.pipeline.order import Order
from layout.pipeline.plates import plates
from layout.pipeline.setup import setup
from layout.sheets.sheet import Placement, Sheet
from layout.spec.load import load
from layout.views.side.picture import picture
from layout.writers import svg
from layout.writers.document import DocumentInfo

ROOT = Path(__file__).parent.parent
OUTPUT = ROOT / "output"
NAME = "all-road"
SPEC = ROOT / "specs" / f"{NAME}.yaml"
SCREEN = f"{NAME}-watch.png"
"""The page of `watch`, as `tests/watch_picture.py` makes it."""

OF_THE_BENCH = (
    "templates-a4.pdf", "cutting-a4.pdf", "rear-roll-610.pdf", "setup.pdf", "plates-assembly-a3.pdf",
)  # fmt: skip
"""What the sample keeps of mitres, setup and plates: the pages that a builder holds in the hand."""

SMALL = {
    "roll-914": 0,
    "a4-tiles": 7,
    "templates-a4": 0,
    "rear-roll-610": 0,
    "setup": 0,
    "plates-assembly-a3": 0,
}
"""The small pictures: of which PDF, and which of its pages."""
WIDTH = 420
"""Of a small picture, pixels."""
GREYS = 4
"""Bits of grey of a small picture."""


def draw_files(folder: Path) -> set[str]:
    """Draw the sample into a folder, the pictures made of it apart; the names of its files."""
    spec = load(SPEC)
    draw_spec(spec, folder, Order())
    write_picture(solve(spec), folder / f"{NAME}-picture.svg")
    with tempfile.TemporaryDirectory() as whole:
        mitres(spec, Path(whole), (), ("pdf",))
        setup(SPEC, Path(whole))
        plates(spec, NAME, Path(whole))
        for end in OF_THE_BENCH:
            shutil.copy(Path(whole) / f"{NAME}-{end}", folder)
    return {p.name for p in folder.iterdir()}


def write_picture(frame: Frame, path: Path) -> None:
    """Write the reduced side view, for the README, as SVG."""
    drawing, room = picture(frame)
    placement = Placement(drawing, round(-room.left, 6), round(-room.bottom, 6))
    size = (round(room.width, 3), round(room.height, 3))
    sheet = Sheet(
        "picture",
        f"{size[0]}x{size[1]}",
        "picture",
        width=size[0],
        height=size[1],
        placements=(placement,),
        furniture=Drawing("picture"),
    )
    svg.write(sheet, path, DocumentInfo(frame.job.title, frame.job.drawn_by, frame.job.date))


def small_name(of: str) -> str:
    """The file of a small picture."""
    return f"{NAME}-{of}-small.png"


def write_small_pictures(folder: Path) -> None:
    """A small picture of a page of each PDF of SMALL, beside it."""
    for of, page in SMALL.items():
        source = folder / f"{NAME}-{of}.pdf"
        (folder / small_name(of)).write_bytes(with_mark(small_png(source, page), digest(source)))


def digest(file: Path) -> str:
    """What a picture carries of the file it shows."""
    return hashlib.sha256(file.read_bytes()).hexdigest()[:32].upper()


def small_png(file: Path, page: int) -> bytes:
    """A page of a PDF as a small grey PNG."""
    import pypdfium2

    sheet = pypdfium2.PdfDocument(file)[page]
    image = sheet.render(scale=WIDTH / sheet.get_width(), grayscale=True)
    grey = image.to_numpy().reshape(image.height, image.width, -1)[:, :, 0] >> (8 - GREYS)
    if image.width % 2:
        grey = grey[:, :-1]
    packed = (grey[:, ::2] << GREYS) | grey[:, 1::2]
    rows = b"".join(b"\0" + row.tobytes() for row in packed)
    header = struct.pack(">IIBBBBB", grey.shape[1], image.height, GREYS, 0, 0, 0, 0)
    parts = (b"IHDR", header), (b"IDAT", zlib.compress(rows, 9)), (b"IEND", b"")
    return SIGNATURE + b"".join(_chunk(*part) for part in parts)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def shows(picture_file: Path, source: Path) -> bool:
    """Whether a picture is of this file as it is."""
    return mark_in(picture_file) == digest(source)


def remake(output: Path = OUTPUT) -> None:
    """Draw the sample anew in place of what is there; the picture of the screen stays where none is taken."""
    assert not os.environ.get("CI"), "the sample is not made where it is checked"
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        draw_files(folder)
        write_small_pictures(folder)
        if shutil.which("chromium"):
            take_screen(folder / SCREEN)
        elif (output / SCREEN).exists():
            shutil.copy(output / SCREEN, folder)
        shutil.rmtree(output, ignore_errors=True)
        shutil.copytree(folder, output)
        output.chmod(0o755)


if __name__ == "__main__":
    remake()
