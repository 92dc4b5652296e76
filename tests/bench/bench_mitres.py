"""All mitres of a frame against a solid modelling kernel (OpenCASCADE) on the same joints, in one run.

Seven tubes, every end that meets another, 360 samples each. The kernel's share is counted two ways:

    cut       solids of tube and hosts, cut by a boolean operation, 360 points of the cut edges
    lines     no cutting at all: solids of the hosts, and each of the 360 generators crossed with their faces

Goal: at least 100 times faster than the cut, which is how a kernel makes a mitre. Run by hand:
.venv/bin/python tests/bench/bench_mitres.py
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from kernel_frames import placed
from kernel_solids import edge_samples, host_solids, mitred_end
from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector

from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.mitre import Cut

ROUNDS = 7
SAMPLES = 360
BEFORE, BEHIND = 35.0, 140.0
SEVEN = (
    "seat_tube", "top_tube", "down_tube",
    "chain_stay_left", "chain_stay_right", "seat_stay_left", "seat_stay_right",
)  # fmt: skip


def ours(frame: SpaceFrame) -> list[Cut]:
    """Every mitre of the seven tubes, anew."""
    return [c for j in frame.joints if j.tube in SEVEN and (c := frame.cut(j)) is not None]


def kernel_cut(cuts: list[Cut]) -> None:
    """Every end as a solid, cut by the kernel, and points on its edges, as many as we take."""
    for cut in cuts:
        edge_samples(mitred_end(cut), SAMPLES)


def kernel_lines(cuts: list[Cut]) -> list[np.ndarray]:
    """Every end's samples from crossed lines: the innermost crossing of each generator; NaN where none."""
    return [_sampled(cut) for cut in cuts]


def _sampled(cut: Cut) -> np.ndarray:
    judges = []
    for solid in host_solids(cut):
        judge = IntCurvesFace_ShapeIntersector()
        judge.Load(solid, 1e-7)
        judges.append(judge)
    near, far = np.full(360, -BEFORE), np.full(360, BEHIND)
    starts, ends = cut.points(cut.phi, near), cut.points(cut.phi, far)
    found = np.full(360, np.nan)
    for k in range(360):
        run = ends[k] - starts[k]
        reach = float(np.linalg.norm(run))
        line = gp_Lin(gp_Pnt(*map(float, starts[k])), gp_Dir(*map(float, run / reach)))
        for judge in judges:
            judge.Perform(line, 0.0, reach)
            for i in range(1, judge.NbPnt() + 1):
                s = -BEFORE + judge.WParameter(i) / reach * (BEFORE + BEHIND)
                found[k] = np.fmax(found[k], s)
    return found


def seconds(job: Callable[[], object]) -> float:
    begin = time.perf_counter()
    job()
    return time.perf_counter() - begin


def main() -> None:
    frame = placed("plain").space
    cuts = ours(frame)
    worst = max(
        float(np.nanmax(np.abs(c.s - s)[~(np.isnan(c.s) | np.isnan(s))]))
        for c, s in zip(cuts, kernel_lines(cuts), strict=True)
    )
    jobs = {
        "ours": lambda: ours(frame),
        "cut": lambda: kernel_cut(cuts),
        "lines": lambda: kernel_lines(cuts),
    }
    times: dict[str, list[float]] = {name: [] for name in jobs}
    for _ in range(ROUNDS):
        for name, job in jobs.items():
            times[name].append(seconds(job))
    found = {name: statistics.median(t) for name, t in times.items()}
    print(f"{len(cuts)} mitred ends of {len(SEVEN)} tubes, 360 samples each; worst difference {worst:.2e} mm")
    print(f"kernel's cut over ours: {found['cut'] / found['ours']:.0f} (goal 100)")
    print(f"kernel's lines over ours: {found['lines'] / found['ours']:.0f}")


if __name__ == "__main__":
    main()
