"""Whole processes side by side: `draw` and `solve` against the least that their libraries cost.

    draw    over a process that imports ezdxf, svgwrite, numpy and typer and writes an empty DXF: goal 2.5
    solve   over an empty typer command that imports numpy: goal 2

Run by hand: .venv/bin/python tests/bench/bench_draw.py
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
SPEC = ROOT / "specs" / "all-road.yaml"
ROUNDS = 9

EMPTY_DXF = """
import ezdxf, svgwrite, numpy, typer
ezdxf.new("R2010").saveas({path!r})
"""
EMPTY_COMMAND = """
import numpy, typer
app = typer.Typer()
@app.command()
def main(): pass
app(standalone_mode=False)
"""


def compiling_into(folder: str) -> dict[str, str]:
    """The environment with modules compiled once into `folder`, as in any installation that may write."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPYCACHEPREFIX": folder}


def seconds(command: list[str], environment: dict[str, str]) -> float:
    begin = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True, env=environment)
    return time.perf_counter() - begin


def medians(commands: dict[str, list[str]], environment: dict[str, str]) -> dict[str, float]:
    """Medians of interleaved rounds, so that whatever else the machine does hits all alike.

    A round before them, which does not count, compiles what is not compiled yet.
    """
    times: dict[str, list[float]] = {name: [] for name in commands}
    for command in commands.values():
        seconds(command, environment)
    for _ in range(ROUNDS):
        for name, command in commands.items():
            times[name].append(seconds(command, environment))
    return {name: statistics.median(found) for name, found in times.items()}


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        layout = [sys.executable, "-c", "from layout.cli import main; main()"]
        found = medians(
            {
                "empty DXF": [sys.executable, "-c", EMPTY_DXF.format(path=f"{folder}/empty.dxf")],
                "draw": [*layout, "draw", str(SPEC), "--out", folder],
                "empty command": [sys.executable, "-c", EMPTY_COMMAND],
                "solve": [*layout, "solve", str(SPEC)],
            },
            compiling_into(f"{folder}/compiled"),
        )
        before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    for name, median in found.items():
        print(f"{name:<14} {median:6.3f} s")
    print(f"draw  / empty DXF     {found['draw'] / found['empty DXF']:5.2f}   goal 2.5")
    print(f"solve / empty command {found['solve'] / found['empty command']:5.2f}   goal 2.0")
    print(f"memory of the largest process {before:5.0f} MB   goal 150")


if __name__ == "__main__":
    main()
