"""Many specs at once: order, faults, the worst status, workers that die."""

from __future__ import annotations

import os
import signal
import time
from functools import partial
from pathlib import Path

import pytest

from layout.errors import Fault, SpecError, WriteError
from layout.pipeline.batch import run
from layout.pipeline.setup import setup

SPECS = Path(__file__).parents[2] / "specs"


def stem_and_process(spec: Path) -> tuple[str, int]:
    time.sleep(0.15)
    return spec.stem, os.getpid()


def fails_on(spec: Path, name: str, error: str) -> str:
    if spec.stem != name:
        return spec.stem
    if error == "spec":
        raise SpecError(Fault("is wrong", "range", "geometry.head_angle", "f.yaml", 3))
    if error == "write":
        raise WriteError(Fault("disk full", "output"))
    if error == "os":
        raise PermissionError(13, "Permission denied", "x.pdf")
    if error == "die":
        os.kill(os.getpid(), signal.SIGKILL)
    raise ZeroDivisionError("division by zero")


def paths(*names: str) -> list[Path]:
    return [Path(f"{n}.yaml") for n in names]


def test_results_come_in_the_order_given_from_several_processes() -> None:
    batch = run(paths("a", "b", "c", "d"), stem_and_process, jobs=2)
    assert [r[0] for r in batch.results] == ["a", "b", "c", "d"]
    assert len({r[1] for r in batch.results}) == 2
    assert os.getpid() not in {r[1] for r in batch.results}
    assert (batch.status, batch.faults) == (0, ())


def test_one_spec_needs_no_other_process() -> None:
    batch = run(paths("a"), stem_and_process)
    assert batch.results == (("a", os.getpid()),)


@pytest.mark.parametrize("jobs", [1, 2])
@pytest.mark.parametrize(
    ("error", "status", "code", "words"),
    [
        ("spec", 2, "range", "is wrong"),
        ("write", 3, "output", "disk full"),
        ("os", 3, "output", "Permission denied"),
        ("bug", 3, "output", "ZeroDivisionError: division by zero (test_batch.py, line"),
    ],
)
def test_a_faulty_spec_does_not_stop_the_rest(
    jobs: int, error: str, status: int, code: str, words: str
) -> None:
    batch = run(paths("a", "bad", "c"), partial(fails_on, name="bad", error=error), jobs=jobs)
    assert batch.results == ("a", "c")
    assert batch.status == status
    (fault,) = batch.faults
    assert fault.code == code
    assert words in fault.message
    assert fault.file == {"spec": "f.yaml", "os": "x.pdf"}.get(error, "bad.yaml")


def test_a_worker_that_dies_takes_only_its_own_spec_with_it() -> None:
    batch = run(paths("a", "bad", "c", "d", "e"), partial(fails_on, name="bad", error="die"), jobs=2)
    assert batch.results == ("a", "c", "d", "e")
    assert [d.spec.stem for d in batch.done if d.faults] == ["bad"]
    assert batch.status == 3
    assert "out of memory" in batch.faults[0].message


def test_the_worst_status_counts() -> None:
    both = run(paths("a", "bad"), partial(fails_on, name="bad", error="spec"), jobs=2)
    assert both.status == 2
    assert run([], stem_and_process).status == 0


def test_two_specs_of_one_name_clash_and_the_same_one_twice_does_not() -> None:
    specs = [Path("one/frame.yaml"), Path("two/frame.yaml"), Path("one/../one/frame.yaml"), Path("x.yaml")]
    batch = run(specs, stem_and_process, jobs=1)
    assert [d.spec for d in batch.done] == [specs[0], specs[1], specs[3]]
    assert [r[0] for r in batch.results] == ["frame", "x"]
    (fault,) = batch.faults
    assert (fault.file, batch.status) == ("two/frame.yaml", 2)
    assert "one/frame.yaml" in fault.message


def test_progress_is_told_as_specs_end() -> None:
    said: list[str] = []
    run(paths("a", "bad", "c"), partial(fails_on, name="bad", error="spec"), jobs=2, say=said.append)
    assert sorted(line.split(": ")[0] for line in said) == ["1 of 3", "2 of 3", "3 of 3"]
    assert "bad.yaml: at fault" in " ".join(said)
    alone: list[str] = []
    run(paths("a"), stem_and_process, say=alone.append)
    assert alone == []


def test_a_run_of_sizes_is_set_up_at_once_and_a_faulty_one_is_told(tmp_path: Path) -> None:
    text = (SPECS / "track.yaml").read_text(encoding="utf-8")
    specs = []
    for size in (520, 554, 590):
        specs.append(tmp_path / f"size-{size}.yaml")
        specs[-1].write_text(text.replace("top_tube_effective: 554", f"top_tube_effective: {size}"))
    specs.insert(1, tmp_path / "wrong.yaml")
    specs[1].write_text("geometry: {head_angle: 720}\n")
    batch = run(specs, partial(setup, out=tmp_path / "out"), jobs=2)
    assert batch.status == 2
    assert [Path(r.files[0].path).name for r in batch.results] == [
        "size-520-setup.pdf", "size-554-setup.pdf", "size-590-setup.pdf",
    ]  # fmt: skip
    (fault,) = batch.faults
    assert (fault.file, fault.line, fault.code) == (str(specs[1]), 1, "range")
    centres = [next(s.main.value for s in r.settings if s.name == "front_centre") for r in batch.results]
    assert centres[0] == pytest.approx(centres[2], abs=1e-6)  # wheelbase and rear centre are given
