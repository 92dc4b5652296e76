"""A redraw of the page beside the least that a new process costs, and two hundred saves in a row.

    redraw    from the save to the side view on the page, over a process that imports ezdxf, svgwrite, numpy
              and typer and writes an empty DXF: goal 0.6
    saves     200 at ten a second: the page ends at the last; memory grows by less than 20 MB; nothing is left

Run by hand on a quiet machine: .venv/bin/python tests/bench/bench_watch.py
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parent))

from bench_draw import EMPTY_DXF, ROOT, ROUNDS, SPEC, compiling_into, seconds

SAVES = 200
EVERY = 0.1
TEXT = SPEC.read_text("utf-8")

NOTE_TIMES = """() => {
  window.shownAt = {};
  const drawing = document.getElementById("drawing");
  new MutationObserver(() => {
    const save = drawing.dataset.save;
    requestAnimationFrame(() => setTimeout(() => { window.shownAt[save] ??= Date.now() / 1000; }));
  }).observe(drawing, { attributes: true, attributeFilter: ["data-save"] });
}"""
"""When each save was on the page: after the frame in which it was painted."""


def with_head_angle(degrees: float) -> str:
    return re.sub(r"head_angle: [0-9.]+", f"head_angle: {degrees:.2f}", TEXT)


def redraw(page: Page, spec: Path, degrees: float) -> float:
    """Seconds from a save to the page that shows it."""
    save = int(page.get_attribute("#drawing", "data-save") or 0) + 1
    begin = time.time()
    spec.write_text(with_head_angle(degrees), "utf-8")
    page.wait_for_selector(f'#drawing[data-save="{save}"]')
    for _ in range(200):
        shown = page.evaluate("save => window.shownAt[save]", str(save))
        if shown:
            return float(shown) - begin
        time.sleep(0.01)
    raise AssertionError("the page painted no frame")


def resident(pid: int) -> float:
    """Memory of a process, MB."""
    status = Path(f"/proc/{pid}/status").read_text()
    return int(re.search(r"VmRSS:\s+(\d+)", status).group(1)) / 1024


def bench_redraw(page: Page, spec: Path, folder: str) -> None:
    environment = compiling_into(f"{folder}/compiled")
    empty = [sys.executable, "-c", EMPTY_DXF.format(path=f"{folder}/empty.dxf")]
    seconds(empty, environment)
    for round_ in range(3):
        redraw(page, spec, 70.0 + round_)
    pairs = []
    for round_ in range(ROUNDS):
        pairs.append((redraw(page, spec, 71.0 + round_ / 10), seconds(empty, environment)))
    shown, least = (statistics.median(p[i] for p in pairs) for i in (0, 1))
    print(f"redraw {shown:6.3f} s   empty DXF {least:6.3f} s")
    print(f"redraw / empty DXF    {shown / least:5.2f}   goal 0.6")


def bench_saves(page: Page, spec: Path, pid: int) -> None:
    before, threads = resident(pid), len(os.listdir(f"/proc/{pid}/task"))
    for number in range(SAVES):
        spec.write_text(with_head_angle(70.0 + number / 100), "utf-8")
        time.sleep(EVERY)
    last = 70.0 + (SAVES - 1) / 100
    page.wait_for_selector(f'tr[data-dimension="head_angle"][data-value="{last:g}"]', timeout=60_000)
    time.sleep(1)
    grown = resident(pid) - before
    print(f"{SAVES} saves end at the last; memory grew by {grown:5.1f} MB   goal 20")
    print(f"threads {threads} before, {len(os.listdir(f'/proc/{pid}/task'))} after")


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        spec = Path(folder) / "frame.yaml"
        spec.write_text(TEXT, "utf-8")
        command = [sys.executable, "-c", "from layout.cli import main; main()", "watch", str(spec)]
        watch = subprocess.Popen(
            [*command, "--no-open", "--port", "0"], text=True,
            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
            cwd=ROOT, env={**compiling_into(f"{folder}/compiled")},
        )  # fmt: skip
        try:
            browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            page.goto(watch.stdout.readline().strip())
            page.wait_for_selector("#drawing svg")
            page.evaluate(NOTE_TIMES)
            bench_redraw(page, spec, folder)
            bench_saves(page, spec, watch.pid)
            browser.close()
        finally:
            watch.send_signal(signal.SIGINT)
            print(f"ended with status {watch.wait(20)}")


if __name__ == "__main__":
    main()
