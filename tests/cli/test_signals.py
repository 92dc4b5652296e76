"""Signals to real processes: a batch that is interrupted ends at once, clean, and says what it did not do."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

SPEC = Path(__file__).parents[2] / "specs" / "track.yaml"
SPECS = 12
PATIENCE = 60.0
"""Longest wait for what should come at once, s: a loaded machine is no fault."""


@pytest.fixture
def specs(tmp_path: Path) -> list[str]:
    paths = [tmp_path / f"frame-{k:02}.yaml" for k in range(SPECS)]
    for path in paths:
        shutil.copy(SPEC, path)
    return [p.name for p in paths]


def begun(specs: list[str], where: Path) -> subprocess.Popen[str]:
    """A batch of which the first spec is drawn."""
    options = ["--jobs", "2", "--format", "svg", "--media", "roll-1067", "--out", "out"]
    command = [sys.executable, "-m", "layout", "draw", *specs, *options]
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    process = subprocess.Popen(
        command, cwd=where, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        start_new_session=True,
    )  # fmt: skip
    wait_for(lambda: drawn(where))
    return process


def drawn(where: Path) -> list[Path]:
    return sorted((where / "out").glob("*.svg"))


def wait_for(done) -> None:
    end = time.monotonic() + PATIENCE
    while not done():
        assert time.monotonic() < end
        time.sleep(0.02)


def members(group: int) -> list[int]:
    """Processes of a group that still live, from the system's own table."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                fields = (entry / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            if int(fields[2]) == group and fields[0] != "Z":
                found.append(int(entry.name))
    return found


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_a_signal_ends_a_batch_at_once(name: str, specs: list[str], tmp_path: Path):
    """10 of 12 queued specs were still written after Ctrl-C."""
    process = begun(specs, tmp_path)
    number = getattr(signal, name)
    os.killpg(process.pid, number) if name == "SIGINT" else process.send_signal(number)
    _, told = process.communicate(timeout=PATIENCE)
    assert process.returncode == 128 + number
    assert len(drawn(tmp_path)) < SPECS - 2
    assert "specs are finished; not finished: " in told and "Traceback" not in told
    assert list((tmp_path / "out").glob(".layout-*")) == []
    assert members(process.pid) == []


def test_workers_end_with_a_parent_that_was_killed(specs: list[str], tmp_path: Path):
    process = begun(specs, tmp_path)
    process.kill()
    process.communicate(timeout=PATIENCE)
    wait_for(lambda: not members(process.pid))
    assert len(drawn(tmp_path)) < SPECS


def test_a_worker_told_to_stop_between_two_specs_leaves_without_a_word(tmp_path: Path):
    """Now and then the signal met a worker that waited for work: it wrote a traceback."""
    code = (
        "import os, time; from layout.pipeline.interrupts import follow; follow(os.getppid());"
        "print('waits', flush=True); time.sleep(60)"
    )
    worker = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert worker.stdout is not None and worker.stdout.readline() == "waits\n"
    worker.terminate()
    assert worker.communicate(timeout=PATIENCE) == ("", "")
    assert worker.returncode == 128 + signal.SIGTERM
