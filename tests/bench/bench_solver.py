"""The solver against python-solvespace, a general geometric constraint solver, side by side in one run.

    one     a single frame of 1, 3 and 5 coupled or chained unknowns, solver alone, against build and
            solve: goal, no slower than 3 times

    start   `layout solve` of a demo frame from the shell against an empty command (`layout media`) that
            imports numpy, processor time of both: goal, at most 1.4 times

    wrong   30 numbers of which one or two are wrong: goal, told in less than a second

python-solvespace is given its quickest formulation: axes as points with parallels and mirror
images, known angles as fixed lines, only the points that the set needs, and a start a few
millimetres off. Ours also places the tubes, computes every dimension and checks
that each frame can be built.

Run by hand: .venv/bin/python tests/bench/bench_solver.py
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from solver_sketch import Sketch

from layout.errors import SolveError
from layout.geometry.dimensions import REGISTRY
from layout.geometry.solver import solve_frame
from layout.geometry.structure import structure

ROUNDS = 15
ONE_GOAL = 3.0
START_GOAL = 1.4
WRONG_GOAL = 1.0

FRAME = {
    "bb_drop": 70.0,
    "rear_centre": 430.0,
    "rear_centre_horizontal": 424.2640687,
    "front_centre": 604.0,
    "front_centre_horizontal": 599.9299957,
    "wheelbase": 1024.1940644,
    "head_angle": 71.5,
    "seat_angle": 73.5,
    "fork_offset": 45.0,
    "axle_to_crown": 395.0,
    "fork_length_on_axis": 392.4283374,
    "lower_stack": 12.0,
    "head_tube_length": 140.0,
    "rear_radius": 348.0,
    "front_radius": 348.0,
    "trail": 68.9870173,
    "top_tube_effective": 553.944516,
}
TUBES = {
    "seat_tube_length": 540.0,
    "top_tube_at_head": 36.0,
    "top_tube_at_seat": 45.0,
    "down_tube_at_head": 40.0,
}
COMMON = "bb_drop seat_angle lower_stack head_tube_length rear_radius front_radius"
SETS = {
    1: f"{COMMON} rear_centre_horizontal front_centre head_angle fork_offset fork_length_on_axis",
    3: f"{COMMON} rear_centre_horizontal front_centre_horizontal trail top_tube_effective axle_to_crown",
    5: f"{COMMON} rear_centre wheelbase trail top_tube_effective axle_to_crown",
}
"""Known sets by the number of base parameters that have to be found."""

NEAR = {
    "rear_axle": (-424.0, 70.0),
    "front_axle": (600.0, 70.0),
    "fork_foot": (557.0, 56.0),
    "mirror": (515.0, 41.0),
    "crown_race": (433.0, 428.0),
    "head_tube_bottom": (429.0, 439.0),
    "head_tube_top": (385.0, 572.0),
    "front_contact": (600.0, -278.0),
    "axis_at_ground": (669.0, -278.0),
    "seat_at_stack": (-169.0, 572.0),
}


def sketch(names: list[str], g: dict[str, float]) -> None:
    """Build one frame from the points it needs, and solve it."""
    points = [n for n in NEAR if n not in ("front_contact", "axis_at_ground", "seat_at_stack")]
    if "trail" in g:
        points += ["front_contact", "axis_at_ground", "seat_at_stack"]
    s = Sketch(NEAR, tuple(points))
    s.fork("crown_race")
    s.apart("crown_race", "head_tube_bottom", g["lower_stack"])
    s.apart("head_tube_bottom", "head_tube_top", g["head_tube_length"])
    s.from_line("rear_axle", s.level, -g["bb_drop"])
    s.from_line("front_axle", s.level, -(g["bb_drop"] + g["front_radius"] - g["rear_radius"]))
    if "rear_centre" in g:
        s.apart("bb", "rear_axle", g["rear_centre"])
    else:
        s.from_line("rear_axle", s.plumb, -g["rear_centre_horizontal"])
    if "front_centre" in g:
        s.apart("bb", "front_axle", g["front_centre"])
    elif "wheelbase" in g:
        dy = g["front_radius"] - g["rear_radius"]
        s.apart("rear_axle", "front_axle", float(np.hypot(g["wheelbase"], dy)))
    else:
        s.from_line("front_axle", s.plumb, g["front_centre_horizontal"])
    if "head_angle" in g:
        s.head_angle(g["head_angle"])
        s.apart("fork_foot", "front_axle", g["fork_offset"])
        s.apart("fork_foot", "crown_race", g["fork_length_on_axis"])
    if "trail" in g:
        s.sys.vertical(s.line("front_axle", "front_contact"), s.wp)
        s.apart("front_axle", "front_contact", g["front_radius"])
        s.trail(g["trail"])
        s.apart("crown_race", "front_axle", g["axle_to_crown"])
        s.top_tube_effective(g["top_tube_effective"], s.leaning(g["seat_angle"]))
    s.solve()


def seconds(work: Callable[[], object]) -> float:
    begin = time.perf_counter()
    work()
    return time.perf_counter() - begin


def interleaved(works: dict[str, Callable[[], object]]) -> dict[str, float]:
    """Medians of rounds in turn, so that whatever else the machine does hits all alike."""
    times: dict[str, list[float]] = {name: [] for name in works}
    for work in works.values():
        work()
    for _ in range(ROUNDS):
        for name, work in works.items():
            times[name].append(seconds(work))
    return {name: statistics.median(found) for name, found in times.items()}


def one(unknowns: int, tubes: bool, repeat: int = 50) -> float:
    """Time of one frame solved by us over build and solve by python-solvespace."""
    names = SETS[unknowns].split()
    base = {n: FRAME[n] for n in names}
    given = {**base, **TUBES} if tubes else base
    found = interleaved(
        {
            "ours": lambda: [solve_frame(given) for _ in range(repeat)],
            "theirs": lambda: [sketch(names, base) for _ in range(repeat)],
        }
    )
    structure.cache_clear()
    first = seconds(lambda: solve_frame(given)) * 1e3
    ours, theirs = found["ours"] / repeat * 1e3, found["theirs"] / repeat * 1e3
    what = "tubes given" if tubes else "tubes placed by defaults"
    print(
        f"one frame, {unknowns} unknown, {what}: {ours:5.2f} ms (the first of its set {first:5.2f}),"
        f" python-solvespace {theirs:5.2f} ms: {ours / theirs:5.2f} times (goal {ONE_GOAL:g} or less)"
    )
    return ours / theirs


def child_seconds(command: list[str]) -> float:
    """Processor time of another process, its own and the system's."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime + after.ru_stime) - (before.ru_utime + before.ru_stime)


def start() -> float:
    """Processor time of `layout solve` over that of an empty command that imports numpy."""
    spec = Path(__file__).parents[2] / "specs" / "all-road.yaml"
    solve = [sys.executable, "-m", "layout", "solve", str(spec)]
    empty = [sys.executable, "-c", "import numpy; from layout.cli.commands import run; run(['media'])"]
    ours, theirs = ([child_seconds(command) for _ in range(ROUNDS)] for command in (solve, empty))
    ratio = statistics.median(ours) / statistics.median(theirs)
    print(
        f"layout solve {statistics.median(ours) * 1e3:.0f} ms, an empty command"
        f" {statistics.median(theirs) * 1e3:.0f} ms: {ratio:.2f} times (goal {START_GOAL:g} or less)"
    )
    return ratio


def wrong(count: int) -> float:
    """Processor seconds to tell which `count` of 30 numbers are wrong, the worst of all."""
    truth = solve_frame({**FRAME, **TUBES}).dimensions
    names = [n for n, v in truth.items() if v is not None and not REGISTRY[n].asked_only][:30]
    worst = 0.0
    for at, _ in enumerate(names):
        numbers = {n: truth[n] or 0.0 for n in names}
        for step in range(count):
            numbers[names[(at + 7 * step) % len(names)]] *= 1.15
        begin = time.process_time()
        try:
            solve_frame(numbers)
        except SolveError:
            worst = max(worst, time.process_time() - begin)
    print(f"30 numbers, {count} wrong: {worst:.2f} s of one core at worst (goal {WRONG_GOAL:g})")
    return worst


def main() -> None:
    """Print all ratios."""
    start()
    wrong(1)
    wrong(2)
    for unknowns in SETS:
        for tubes in (True, False):
            one(unknowns, tubes)


if __name__ == "__main__":
    main()
