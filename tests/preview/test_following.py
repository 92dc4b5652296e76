"""The file is followed: saved, replaced, half written, deleted and back."""

from __future__ import annotations

import asyncio
import os
import threading
import time
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from preview_specs import FAULTY, TEXT, with_head_angle

from layout.preview.changes import PATIENCE
from layout.preview.preview import Preview
from layout.preview.serve import follow
from layout.preview.server import Service

Steps = Callable[[Preview], Awaitable[None]]


def followed(spec: Path, steps: Steps) -> list[str]:
    """Run `steps` while the spec is followed; what was said, a line for each save and fault."""
    said: list[str] = []

    async def run() -> None:
        preview = Preview(str(spec))
        stop = asyncio.Event()
        with ThreadPoolExecutor(1) as drawing:
            task = asyncio.create_task(follow(Service(preview, drawing, stop), said.append))
            await until(lambda: preview.version == 1)
            await steps(preview)
            stop.set()
            await asyncio.wait_for(task, 20)

    asyncio.run(run())
    return said


async def until(holds: Callable[[], bool]) -> None:
    for _ in range(3000):
        if holds():
            return
        await asyncio.sleep(0.01)
    raise AssertionError("it did not come about in half a minute")


def head_angle(preview: Preview) -> float | None:
    return preview.shown.edition.frame.plane.dimensions["head_angle"] if preview.shown else None


def test_a_save_is_drawn_however_the_editor_writes_it(spec: Path) -> None:
    async def steps(preview: Preview) -> None:
        spec.write_text(with_head_angle(72.0), "utf-8")
        await until(lambda: head_angle(preview) == 72.0)
        other = spec.with_suffix(".new")
        other.write_text(with_head_angle(73.0), "utf-8")
        other.replace(spec)
        await until(lambda: head_angle(preview) == 73.0)
        spec.rename(spec.with_suffix(".old"))
        spec.write_text(with_head_angle(74.0), "utf-8")
        await until(lambda: head_angle(preview) == 74.0)
        assert preview.faults == ()

    said = followed(spec, steps)
    assert said[-1] == f"{spec}: save 4 is drawn"
    assert all("drawn" in line for line in said)


def test_a_save_through_a_link_is_drawn(tmp_path: Path) -> None:
    folder = tmp_path / "elsewhere"
    folder.mkdir()
    real, link = folder / "real.yaml", tmp_path / "frame.yaml"
    real.write_text(TEXT, "utf-8")
    link.symlink_to(real)

    async def steps(preview: Preview) -> None:
        real.write_text(with_head_angle(72.0), "utf-8")
        await until(lambda: head_angle(preview) == 72.0)

    assert followed(link, steps)[-1] == f"{link}: save 2 is drawn"


def test_a_half_written_file_is_waited_for(spec: Path) -> None:
    async def steps(preview: Preview) -> None:
        new = with_head_angle(72.0)
        for end in range(40, len(new), len(new) // 5):
            spec.write_text(new[:end], "utf-8")
            await asyncio.sleep(PATIENCE / 5)
        spec.write_text(new, "utf-8")
        await until(lambda: head_angle(preview) == 72.0)

    said = followed(spec, steps)
    assert [line for line in said if not line.endswith("is drawn")] == []


def test_a_fault_is_said_at_its_line_and_goes_with_the_next_good_save(spec: Path) -> None:
    async def steps(preview: Preview) -> None:
        spec.write_text(FAULTY, "utf-8")
        await until(lambda: len(preview.faults) == 1)
        assert head_angle(preview) == 71.5
        spec.write_text(TEXT, "utf-8")
        await until(lambda: preview.faults == ())

    line = FAULTY[: FAULTY.index("head_angel")].count("\n") + 1
    said = followed(spec, steps)
    assert any(text.startswith(f"{spec}:{line}: geometry.head_angel: ") for text in said)


def test_a_deleted_file_is_said_and_its_return_is_seen(spec: Path) -> None:
    async def steps(preview: Preview) -> None:
        spec.unlink()
        await until(lambda: len(preview.faults) == 1)
        assert "gone" in preview.faults[0].message
        assert head_angle(preview) == 71.5
        spec.write_text(with_head_angle(72.0), "utf-8")
        await until(lambda: head_angle(preview) == 72.0 and preview.faults == ())

    followed(spec, steps)


def test_a_folder_that_was_replaced_is_watched_again(tmp_path: Path) -> None:
    folder = tmp_path / "job"
    folder.mkdir()
    spec = folder / "frame.yaml"
    spec.write_text(TEXT, "utf-8")

    async def steps(preview: Preview) -> None:
        folder.rename(tmp_path / "job-old")
        await until(lambda: len(preview.faults) == 1)
        folder.mkdir()
        spec.write_text(with_head_angle(72.0), "utf-8")
        await until(lambda: head_angle(preview) == 72.0)
        spec.write_text(with_head_angle(73.0), "utf-8")
        await until(lambda: head_angle(preview) == 73.0)

    followed(spec, steps)


def test_a_pipe_in_the_place_of_the_file_does_not_hold_up_the_watch(spec: Path) -> None:
    async def steps(preview: Preview) -> None:
        spec.unlink()
        os.mkfifo(spec)
        await until(lambda: len(preview.faults) == 1 and "not a file on a disk" in preview.faults[0].message)
        spec.unlink()
        spec.write_text(with_head_angle(72.0), "utf-8")
        await until(lambda: head_angle(preview) == 72.0 and preview.faults == ())

    followed(spec, steps)


def test_many_saves_in_a_row_end_at_the_last(spec: Path) -> None:
    """Thirty saves at ten a second; tests/bench/bench_watch.py makes two hundred in a browser, by hand."""
    before = threads()

    async def steps(preview: Preview) -> None:
        angles = [round(70.0 + n * 0.02, 2) for n in range(30)]
        for angle in angles:
            spec.write_text(with_head_angle(angle), "utf-8")
            await asyncio.sleep(0.1)
        await until(lambda: head_angle(preview) == angles[-1])
        assert preview.faults == ()

    followed(spec, steps)
    for _ in range(100):
        if threads() <= before:
            break
        time.sleep(0.1)
    assert threads() <= before, [t.name for t in threading.enumerate()]


def threads() -> int:
    return len(os.listdir("/proc/self/task")) if os.path.isdir("/proc/self/task") else 1
