"""Whole processes side by side: each command against the least that its libraries cost.

    draw, mitres, setup, plates    over a process that imports ezdxf, svgwrite, numpy and typer and writes an
                                   empty DXF: goals 2.2, 3.5, 1.8 and 5
    draw, one core                 the same on one core alone: goal 3.2
    a further spec                 what each spec more costs a batch, on one core: goal 1.2
    solve                          over an empty typer command that imports numpy: goal 1.4

Ratios are of medians, and of the least times, which a busy machine spoils less.

Run by hand on a quiet machine: .venv/bin/python tests/bench/bench_draw.py
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
SPEC = ROOT / "specs" / "all-road.yaml"
ROUNDS = 7
MORE = 3
"""Specs in a batch beyond the first."""

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


def seconds(command: list[str], environment: dict[str, str], one_core: bool = False) -> float:
    """How long a command takes; on one core alone where asked for and the system lets it."""
    keep = (lambda: os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})) if one_core else None
    begin = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True, env=environment, preexec_fn=keep)
    return time.perf_counter() - begin


@dataclass(frozen=True)
class Timed:
    """A command to be timed."""

    words: list[str]
    one_core: bool = False


def rounds(commands: dict[str, Timed], environment: dict[str, str]) -> dict[str, list[float]]:
    """Times of interleaved rounds, so that whatever else the machine does hits all alike.

    A round before them, which does not count, compiles what is not compiled yet.
    """
    times: dict[str, list[float]] = {name: [] for name in commands}
    for command in commands.values():
        seconds(command.words, environment)
    for _ in range(ROUNDS):
        for name, command in commands.items():
            times[name].append(seconds(command.words, environment, command.one_core))
    return times


def commands(folder: str) -> dict[str, Timed]:
    """Every command that is timed, by name."""
    layout = [sys.executable, "-c", "from layout.cli import main; main()"]
    to = ["--out", folder]
    others = [str(p) for p in sorted(SPEC.parent.glob("*.yaml")) if p != SPEC][:MORE]
    empty = [sys.executable, "-c", EMPTY_DXF.format(path=f"{folder}/empty.dxf")]
    return {
        "empty DXF": Timed(empty),
        "empty DXF, one core": Timed(empty, one_core=True),
        "empty command": Timed([sys.executable, "-c", EMPTY_COMMAND]),
        "solve": Timed([*layout, "solve", str(SPEC)]),
        **{name: Timed([*layout, name, str(SPEC), *to]) for name in ("draw", "mitres", "setup", "plates")},
        "draw, one core": Timed([*layout, "draw", str(SPEC), *to], one_core=True),
        "batch, one core": Timed([*layout, "draw", str(SPEC), *others, *to], one_core=True),
    }


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        times = rounds(commands(folder), compiling_into(f"{folder}/compiled"))
        most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    middle, best = ({name: of(found) for name, found in times.items()} for of in (statistics.median, min))
    for name, median in middle.items():
        print(f"{name:<20} {median:6.3f} s   least {best[name]:6.3f} s")
    alone = "empty DXF, one core"
    for found in (middle, best):
        found["a further spec"] = (found["batch, one core"] - found["draw, one core"]) / MORE
    for name, least, goal in (
        ("draw", "empty DXF", 2.2), ("mitres", "empty DXF", 3.5), ("setup", "empty DXF", 1.8),
        ("plates", "empty DXF", 5.0), ("draw, one core", alone, 3.2), ("a further spec", alone, 1.2),
        ("solve", "empty command", 1.4),
    ):  # fmt: skip
        ratio, of_best = (found[name] / found[least] for found in (middle, best))
        print(f"{name:<15} / {least:<20} {ratio:5.2f}   of the least times {of_best:5.2f}   goal {goal:g}")
    print(f"memory of the largest process {most:5.0f} MB   goal 150")


if __name__ == "__main__":
    main()
