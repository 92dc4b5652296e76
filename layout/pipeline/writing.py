"""The files of a job on their way: some written here, some by a second process, all into one stage.

    with writing(out, DXF) as files:
        files.beside(*outputs)      a second process writes them while this one goes on
        files.here(*outputs)        this one does

Where the block ends well and every file read back true, all come into place together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from layout.pipeline.files import DXF, Output, Say, write
from layout.pipeline.second_process import SecondProcess, second_process
from layout.pipeline.staged import stage_folder


class Writing:
    """Where the outputs of one job go: see the module. `stage` is the folder that they are written into."""

    def __init__(self, stage: Path, other: SecondProcess, say: Say) -> None:
        self.stage = stage
        self._other, self._say = other, say

    def beside(self, *outputs: Output) -> None:
        """Have a second process write outputs; this does not wait for it."""
        for output in outputs:
            self._say(f"writing {output.name} beside")
        self._other.begin(partial(_write_each, outputs, self.stage))

    def here(self, *outputs: Output) -> None:
        """Write outputs."""
        for output in outputs:
            self._say(f"writing {output.name}")
            write(output, self.stage)


@contextmanager
def writing(out: Path, *formats: str, say: Say = lambda _: None) -> Iterator[Writing]:
    """Write into the folder `out`. Raises WriteError where a file cannot be written or is not read back true.

    `formats` are those that the second process will write: it imports what they need meanwhile.
    """
    with stage_folder(out) as stage, second_process(partial(_prepare, formats)) as other:
        yield Writing(stage, other, say)
        other.finish()


def _prepare(formats: Sequence[str]) -> None:
    """Import what writing will need."""
    from layout.writers import svg
    from layout.writers.pdf import writer as pdf

    if DXF in formats:
        from layout.writers.dxf import writer as dxf

        dxf.prepare()
    svg.prepare()
    pdf.prepare()


def _write_each(outputs: Sequence[Output], stage: Path) -> None:
    for output in outputs:
        write(output, stage)
