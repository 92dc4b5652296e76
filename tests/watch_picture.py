"""Make the picture of the page for the README.

    .venv/bin/python tests/watch_picture.py output/all-road-watch.png

The demo frame after one save, a dimension pointed at. The frame's mark goes into the file, as text that
image programs keep, so that a test can tell whether the picture is of today's frame.
"""

from __future__ import annotations

import re
import shutil
import struct
import sys
import tempfile
import zlib
from pathlib import Path

from watch_process import watching

SPEC = Path(__file__).parent.parent / "specs" / "all-road.yaml"
KEY = b"frame mark"
SIGNATURE = b"\x89PNG\r\n\x1a\n"
SIZE = {"width": 1280, "height": 800}
BEFORE = "head_angle: 71.0"


def main(file: Path) -> None:
    """Take the picture and write it to `file`."""
    from playwright.sync_api import sync_playwright

    text = SPEC.read_text("utf-8")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        spec = Path(folder) / SPEC.name
        spec.write_text(re.sub(r"head_angle: [0-9.]+", BEFORE, text), "utf-8")
        with watching(spec, "--port", "0") as watch:
            browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
            page = browser.new_page(viewport=SIZE)
            page.goto(watch.url)
            page.wait_for_selector('#drawing[data-save="1"]')
            spec.write_text(text, "utf-8")
            page.wait_for_selector('#drawing[data-save="2"]')
            page.hover('tr[data-dimension="head_angle"]')
            page.wait_for_selector("#clearances tbody tr", state="attached")
            mark = page.get_attribute("#drawing", "data-mark") or ""
            file.write_bytes(with_mark(page.screenshot(), mark))
            browser.close()


def with_mark(png: bytes, mark: str) -> bytes:
    """The image with a text chunk after its header (PNG specification, 11.3.4.3 tEXt)."""
    chunk = b"tEXt" + KEY + b"\0" + mark.encode("latin-1")
    framed = struct.pack(">I", len(chunk) - 4) + chunk + struct.pack(">I", zlib.crc32(chunk))
    header = len(SIGNATURE) + 25
    return png[:header] + framed + png[header:]


def mark_in(file: Path) -> str:
    """The mark of the frame that a picture shows. Its chunk tells its length: a checksum may be letters."""
    png = file.read_bytes()
    found = re.search(rb"(.{4})tEXt" + KEY + rb"\0", png, re.DOTALL)
    assert found, f"{file.name} carries no mark"
    (length,) = struct.unpack(">I", found.group(1))
    return png[found.end() : found.start() + 8 + length].decode("latin-1")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
