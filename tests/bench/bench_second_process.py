"""What the second process of `draw` buys: work and waiting with it and without, side by side.

Work is that of all processes together, counted in seconds of a processor, and is the same on a busy machine.
The longest share is that of the process which was started: where two processors are free, it is waited for.

Run by hand: .venv/bin/python tests/bench/bench_second_process.py
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from bench_draw import compiling_into

SPEC = Path(__file__).parent.parent.parent / "specs" / "all-road.yaml"
ROUNDS = 5

ALONE = "import layout.pipeline.second_process as s; s._worth_it = lambda: False"
TIMED = """
import resource, sys
{before}
from layout.cli import main
try:
    main()
except SystemExit:
    pass
for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN):
    used = resource.getrusage(who)
    print(used.ru_utime + used.ru_stime, file=sys.stderr)
"""


def shares(before: str, folder: str) -> tuple[float, float]:
    """Seconds of the process started, and of its helper."""
    command = [sys.executable, "-c", TIMED.format(before=before), "draw", str(SPEC), "--out", folder]
    environment = compiling_into(f"{folder}/compiled")
    done = subprocess.run(command, check=True, capture_output=True, text=True, env=environment)
    own, helper = done.stderr.split()[-2:]
    return float(own), float(helper)


def main() -> None:
    found: dict[str, list[tuple[float, float]]] = {"with": [], "without": []}
    with tempfile.TemporaryDirectory() as folder:
        shares("", folder)
        for _ in range(ROUNDS):
            found["with"].append(shares("", folder))
            found["without"].append(shares(ALONE, folder))
    own = {name: statistics.median(o for o, _ in runs) for name, runs in found.items()}
    work = {name: statistics.median(o + h for o, h in runs) for name, runs in found.items()}
    for name in found:
        print(f"{name:<8} work {work[name]:5.2f} s, of it the process started {own[name]:5.2f} s")
    print(f"longest share, with / without   {own['with'] / own['without']:5.2f}")
    print(f"work, with / without            {work['with'] / work['without']:5.2f}")


if __name__ == "__main__":
    main()
