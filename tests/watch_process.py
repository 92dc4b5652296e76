"""`layout watch` as a process of its own."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path


@dataclass
class Watch:
    """A running watch: its process, the file it follows, the address it printed."""

    process: subprocess.Popen[str]
    spec: Path
    url: str

    def end(self) -> tuple[int, str]:
        """Ctrl-C: the exit status, and everything said on stderr."""
        self.process.send_signal(signal.SIGINT)
        _, said = self.process.communicate(timeout=60)
        return self.process.returncode, said


@contextmanager
def watching(spec: Path, *options: str) -> Iterator[Watch]:
    command = [sys.executable, "-m", "layout", "watch", str(spec), "--no-open", *options]
    pipe = subprocess.PIPE
    process = subprocess.Popen(command, stdout=pipe, stderr=pipe, text=True, env={**os.environ})
    try:
        assert process.stdout is not None
        yield Watch(process, spec, process.stdout.readline().strip())
    finally:
        if process.poll() is None:
            process.kill()
        process.communicate()
