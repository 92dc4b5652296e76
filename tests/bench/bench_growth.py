"""How the work of a command grows with what a spec lists: fittings, letters of a title, shims.

    draw     none to 100 fittings on the main tubes
    mitres   a title of 10 to 1,990 letters
    setup    1 to 40 shims

Work is counted in seconds of a processor, all processes together. Where it grows, the last column is what
one thing more costs, over what it costs in the first step: 1 is growth in a straight line.

Run by hand: .venv/bin/python tests/bench/bench_growth.py
"""

from __future__ import annotations

import re
import resource
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from bench_draw import compiling_into

SPECS = Path(__file__).parent.parent.parent / "specs"
SPEC = (SPECS / "track.yaml").read_text(encoding="utf-8")
ROUNDS = 3
GROWS = 1.2
"""Of the first step: less is the scatter of a busy machine."""
TUBES = (
    ("down_tube", "bb", 80, 500, "up"),
    ("seat_tube", "bb", 60, 420, "front"),
    ("top_tube", "head", 60, 460, "down"),
)
"""Where bosses are put: from which end, between which distances, on which side."""


def with_fittings(count: int) -> str:
    """The spec with so many bosses, spread evenly over the main tubes."""
    rows = []
    for k in range(count):
        tube, end, low, high, side = TUBES[k % len(TUBES)]
        at = low + (high - low) * k / count
        rows.append(f"  - {{kind: boss, tube: {tube}, at: {at:.1f}, from: {end}, side: {side}}}")
    return "\n".join((re.sub(r"(?ms)^fittings:.*?(?=^\w|\Z)", "", SPEC), "fittings:", *rows, ""))


def with_title(letters: int) -> str:
    """The spec with a title of words of seven letters, or as near as that comes."""
    title = ("a title " * letters)[:letters].strip()
    return re.sub(r"(?m)^(\s+)title:.*$", rf'\1title: "{title}"', SPEC, count=1)


def with_shims(count: int) -> str:
    """The spec with a stepped jig and so many shims of odd sizes."""
    shims = ", ".join(f"{0.1 + 0.137 * k:.3f}" for k in range(count))
    return f"{SPEC}\njig: {{settings: {{bb_drop: {{pitch: 5, shims: [{shims}]}}}}}}\n"


CASES: tuple[tuple[str, Callable[[int], str], str, tuple[int, ...]], ...] = (
    ("draw", with_fittings, "fittings", (0, 25, 50, 100)),
    ("mitres", with_title, "letters", (10, 100, 500, 1990)),
    ("setup", with_shims, "shims", (1, 10, 20, 40)),
)


def work(command: str, text: str, folder: Path) -> float:
    """Seconds of a processor that a command takes for a spec."""
    spec = folder / "frame.yaml"
    spec.write_text(text, encoding="utf-8")
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    line = [sys.executable, "-m", "layout", command, str(spec), "--out", str(folder / "out")]
    environment = {**compiling_into(str(folder / "compiled")), "PYTHONPATH": str(SPECS.parent)}
    subprocess.run(line, check=True, capture_output=True, env=environment)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for command, spec_of, what, counts in CASES:
            work(command, spec_of(counts[0]), folder)
            rounds = [[work(command, spec_of(n), folder) for n in counts] for _ in range(ROUNDS)]
            found = [statistics.median(column) for column in zip(*rounds, strict=True)]
            first = (found[1] - found[0]) / (counts[1] - counts[0])
            for k, (count, seconds) in enumerate(zip(counts, found, strict=True)):
                said = f"{command:<7} {count:>5} {what:<9} {seconds:6.2f} s"
                said += f" {seconds / found[0]:6.2f} of the first"
                if k and found[1] > GROWS * found[0]:
                    each = (seconds - found[k - 1]) / (count - counts[k - 1]) / first
                    said += f"  each more {each:5.2f}"
                print(said)


if __name__ == "__main__":
    main()
