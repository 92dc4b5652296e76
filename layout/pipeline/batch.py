"""Many specs at once: on every core, in any order, told of as they end, reported in the order given.

One faulty spec does not stop the rest: what goes wrong with it comes back as faults beside the
others' results, and the exit status is the worst of all. A worker that dies (out of memory,
killed) takes only its own spec with it: what else it held is done again. A batch that is interrupted
ends at once: what was done stays, nothing more is begun, and a line says which specs were not drawn.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from layout.errors import Exit, Fault
from layout.pipeline.failure import failure_of
from layout.pipeline.interrupts import Interrupted, Worker, follow
from layout.pipeline.second_process import cores
from layout.spec.text import is_input

if TYPE_CHECKING:
    from concurrent.futures import Future, ProcessPoolExecutor

MOST_WORKERS = 61
"""Workers that can be waited for at once on every operating system."""
PATIENCE = 2.0
"""How long a worker that was told to stop may take to clear up after itself, s."""

Result = TypeVar("Result")
Work = Callable[[Path], Result]
Say = Callable[[str], None]


@dataclass(frozen=True)
class Done(Generic[Result]):
    """What came of one spec: a result, or faults and their exit status."""

    spec: Path
    result: Result | None = None
    faults: tuple[Fault, ...] = ()
    status: int = 0


@dataclass(frozen=True)
class Batch(Generic[Result]):
    """What came of every spec, in the order they were given."""

    done: tuple[Done[Result], ...]

    @property
    def status(self) -> int:
        """The worst exit status of all."""
        return max((d.status for d in self.done), default=0)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Every fault of every spec."""
        return tuple(f for d in self.done for f in d.faults)

    @property
    def results(self) -> tuple[Result, ...]:
        """The results of the specs that went well."""
        return tuple(d.result for d in self.done if d.result is not None)


def run(
    specs: Sequence[Path], work: Work[Result], jobs: int = 0, say: Say = lambda _: None
) -> Batch[Result]:
    """Do `work` for every spec, at most `jobs` at once (0: one a core).

    `work` is a function of a module, or a functools.partial of one, so that it reaches other
    processes; it returns a result or raises LayoutError. A spec given twice is done once; one
    whose files would overwrite another's is a fault. `say` hears a line as each spec ends.
    """
    by_file: dict[Path, Path] = {}
    for spec in specs:
        by_file.setdefault(Path(os.path.realpath(spec)), spec)
    wanted = list(by_file.values())
    found: dict[Path, Done[Result]] = {d.spec: d for d in _clashing(wanted)}
    todo = [s for s in wanted if s not in found]
    workers = 1 if any(map(is_input, todo)) else _workers(jobs, len(todo))
    ended = _results(todo, partial(_one, work), workers)
    try:
        for count, done in enumerate(ended, 1):
            found[done.spec] = done
            if len(todo) > 1:
                say(f"{count} of {len(todo)}: {done.spec}: {'done' if not done.faults else 'at fault'}")
    except Interrupted as e:
        e.add_note(_unfinished(todo, found))
        raise
    return Batch(tuple(found[s] for s in wanted))


def _unfinished(todo: Sequence[Path], found: Mapping[Path, Done[Result]]) -> str:
    """What an interrupted batch leaves: how many specs are done, and which are not."""
    done = [s for s in todo if s in found]
    left = ", ".join(str(s) for s in todo if s not in found)
    return f"stopped: {len(done)} of {len(todo)} specs are finished; not finished: {left}"


def _workers(jobs: int, specs: int) -> int:
    return max(1, min(jobs or cores(), specs, MOST_WORKERS))


def _results(
    specs: Sequence[Path], one: Callable[[Path], Done[Result]], workers: int
) -> Iterator[Done[Result]]:
    """Each spec's result as it ends; without other processes where one worker is enough."""
    if workers == 1:
        yield from map(one, specs)
        return
    from concurrent.futures import as_completed
    from concurrent.futures.process import BrokenProcessPool

    left = list(specs)
    with _pool(workers) as pool:
        waiting: dict[Future[Done[Result]], Path] = {pool.submit(one, s): s for s in specs}
        for future in as_completed(waiting):
            try:
                done = future.result()
            except BrokenProcessPool:
                break
            left.remove(done.spec)
            yield done
    for spec in left:
        yield _alone(spec, one)


@contextmanager
def _pool(workers: int) -> Iterator[ProcessPoolExecutor]:
    """Worker processes that stop at once where the block is left by an exception."""
    from concurrent.futures import ProcessPoolExecutor

    pool = ProcessPoolExecutor(workers, initializer=follow, initargs=(os.getpid(),))
    try:
        yield pool
    except BaseException:
        processes = list((getattr(pool, "_processes", None) or {}).values())
        pool.shutdown(wait=False, cancel_futures=True)
        for process in processes:
            process.terminate()
        for process in processes:
            process.join(PATIENCE)
            process.kill()
        raise
    pool.shutdown()


def _alone(spec: Path, one: Callable[[Path], Done[Result]]) -> Done[Result]:
    """One spec in a process of its own, after a worker has died: it may be the one that kills."""
    from concurrent.futures.process import BrokenProcessPool

    with _pool(1) as pool:
        try:
            return pool.submit(one, spec).result()
        except BrokenProcessPool:
            message = "the work on it was ended from outside, or ran out of memory. Try it with --jobs 1."
            return Done(spec, faults=(Fault(message, "output", file=str(spec)),), status=Exit.NOT_WRITTEN)


def _one(work: Work[Result], spec: Path) -> Done[Result]:
    """Run `work`; faults are returned, not raised, so that they cross processes whole."""
    if Worker.stopped:
        raise Interrupted
    Worker.at_work = True
    try:
        return Done(spec, work(spec))
    except Exception as e:
        faults, status = failure_of(e, str(spec))
        return Done(spec, faults=faults, status=status)
    finally:
        Worker.at_work = False


def _clashing(specs: Sequence[Path]) -> Iterator[Done[Any]]:
    """Specs whose files would overwrite those of one before them."""
    first: dict[str, Path] = {}
    for spec in specs:
        other = first.setdefault(spec.stem, spec)
        if other != spec:
            message = f"its files would overwrite those of {other}. Rename it, or give it another --out."
            yield Done(spec, faults=(Fault(message, "syntax", file=str(spec)),), status=Exit.INPUT_AT_FAULT)
