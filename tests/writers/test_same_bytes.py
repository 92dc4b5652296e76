"""The same drawing gives the same bytes: twice, under another hash seed, in any home and folder."""

from __future__ import annotations

import os
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest

from layout.writers import svg
from layout.writers.dxf import writer as dxf
from layout.writers.pdf import writer as pdf

PROGRAM = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from sheet_samples import every_kind_of_entity, roll_sheet, tile_sheets
from layout.writers.dxf import writer as dxf
from layout.writers.pdf import writer as pdf
from layout.writers import svg
from layout.writers.document import DocumentInfo
sample, out = every_kind_of_entity(), Path(sys.argv[2])
info = DocumentInfo("Sample \\u2013 fa\\u00e7ade", "A. Builder", "2025-03-01", "side view")
roll = roll_sheet(sample)
dxf.write(sample, out / "s.dxf", info, [roll])
svg.write(roll, out / "s.svg", info)
pdf.write([roll], out / "s.pdf", info)
pdf.write(tile_sheets(sample), out / "t.pdf", info)
"""


def run_apart(out: Path, home: str, seed: str) -> subprocess.CompletedProcess[str]:
    out.mkdir()
    environment = {**os.environ, "HOME": home, "PYTHONHASHSEED": seed, "PYTHONDONTWRITEBYTECODE": "1"}
    environment.pop("XDG_CACHE_HOME", None)
    environment.pop("XDG_CONFIG_HOME", None)
    command = [sys.executable, "-c", PROGRAM, str(Path(__file__).parent), str(out)]
    return subprocess.run(command, cwd=out, env=environment, capture_output=True, text=True, check=False)


def digests(folder: Path) -> dict[str, str]:
    return {p.name: sha256(p.read_bytes()).hexdigest() for p in folder.iterdir() if p.suffix != ".ini"}


@pytest.fixture(scope="module")
def here(tmp_path_factory, sample, roll, tiles, info) -> dict[str, str]:
    out = tmp_path_factory.mktemp("here")
    for _ in range(2):
        before = digests(out)
        dxf.write(sample, out / "s.dxf", info, [roll])
        svg.write(roll, out / "s.svg", info)
        pdf.write([roll], out / "s.pdf", info)
        pdf.write(tiles, out / "t.pdf", info)
    assert before == digests(out)
    return before


def test_another_process_with_another_hash_seed_writes_the_same(tmp_path: Path, here: dict[str, str]) -> None:
    out = tmp_path / "out"
    run = run_apart(out, str(tmp_path), "12345")
    assert (run.returncode, run.stderr) == (0, "")
    assert digests(out) == here


def test_a_home_that_cannot_be_written_and_a_broken_settings_file_change_nothing(
    tmp_path: Path, here: dict[str, str]
) -> None:
    blocked = tmp_path / "home"
    blocked.write_text("a file where the home folder should be")
    out = tmp_path / "out"
    program = PROGRAM.replace("import sys", "open('ezdxf.ini', 'w').write('[core');import sys", 1)
    out.mkdir()
    environment = {**os.environ, "HOME": str(blocked), "PYTHONHASHSEED": "0"}
    command = [sys.executable, "-c", program, str(Path(__file__).parent), str(out)]
    run = subprocess.run(command, cwd=out, env=environment, capture_output=True, text=True, check=False)
    assert (run.returncode, run.stderr) == (0, "")
    assert digests(out) == here


def test_writing_leaves_nothing_in_the_home_folder(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir()
    run = run_apart(tmp_path / "out", str(home), "0")
    assert (run.returncode, run.stderr) == (0, "")
    assert list(home.rglob("*")) == []
