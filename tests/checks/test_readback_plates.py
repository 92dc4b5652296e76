"""The read-back of a plate finds what is wrong in a file, and nothing in a right one."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from layout.checks.readback.plates import read_plate, verify_plate
from layout.errors import WriteError
from layout.geometry.plates.corners import Corner, rectangle, slot
from layout.geometry.plates.plate import Cutout, Plate, circle
from layout.writers.dxf import plate as plate_dxf

PLATE = Plate(
    "table",
    6.0,
    rectangle(0.0, 0.0, 100.0, 60.0, Corner.ROUND, 5.0),
    (circle("hole", (30.0, 30.0), 6.6), Cutout("slot", slot((70.0, 30.0), 12.2, 6.2, 0.8))),
    (((10.0, 10.0), (20.0, 10.0)), ((10.0, 50.0), (15.0, 52.0), (20.0, 50.0))),
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    found = tmp_path / "table.dxf"
    plate_dxf.write(PLATE, found)
    return found


def test_a_right_file_is_right(path: Path) -> None:
    verify_plate(path, PLATE)
    seen = read_plate(path.read_bytes())
    assert (seen.contours, len(seen.strokes), seen.strangers) == (3, 2, [])


WRONG = [
    ("\n40\n3.3\n", "\n40\n3.4\n", "the circle at"),
    ("\n10\n5.0\n20\n0.0\n", "\n10\n5.02\n20\n0.0\n", "a vertex 0.0200 mm off"),
    ("\n42\n0.414213562\n", "\n42\n0.40\n", "a wrong arc"),
    ("\n90\n8\n70\n1\n", "\n90\n8\n70\n0\n", "an open polyline on layer CUT"),
    ("\nCIRCLE\n", "\nPOINT\n", "POINT on layer CUT"),
    ("\n10\n15.0\n20\n52.0\n", "\n10\n15.0\n20\n52.5\n", "the engraved stroke at"),
    ("\n90\n8\n70\n1\n", "\n90\n8\n20\n1.0\n70\n1\n", "a polyline begins without a vertex"),
    ("\n90\n8\n70\n1\n", "\n90\n8\n70\nyes\n", "'yes', which is not a number"),
    ("$INSUNITS\n70\n4\n", "$INSUNITS\n70\n1\n", "$INSUNITS is 1, not 4 (millimetres)"),
    ("$MEASUREMENT\n70\n1\n", "$MEASUREMENT\n70\n0\n", "$MEASUREMENT is 0"),
]


@pytest.mark.parametrize(("true", "false", "said"), WRONG, ids=lambda v: v[:24].strip())
def test_a_wrong_file_is_found(path: Path, true: str, false: str, said: str) -> None:
    text = "\n".join(line.strip() for line in path.read_text("utf-8").splitlines()) + "\n"
    assert true in text
    path.write_text(text.replace(true, false, 1), "utf-8")
    with pytest.raises(WriteError) as raised:
        verify_plate(path, PLATE)
    assert said in str(raised.value)
    assert {f.code for f in raised.value.faults} == {"read_back"}
    assert raised.value.exit_status == 3


def test_a_contour_or_a_stroke_too_few_is_found(path: Path) -> None:
    for less in (PLATE.cutouts[:1], PLATE.cutouts):
        wrong = Plate("table", 6.0, PLATE.outline, less, PLATE.engraving[:1])
        with pytest.raises(WriteError, match=r"rings and|engraved strokes"):
            verify_plate(path, wrong)


def test_a_file_that_is_none_is_found(tmp_path: Path) -> None:
    path = tmp_path / "x.dxf"
    with pytest.raises(WriteError, match="cannot be read back"):
        verify_plate(path, PLATE)
    path.write_bytes(b"hello\nworld\n")
    with pytest.raises(WriteError, match="not a text of group codes"):
        verify_plate(path, PLATE)


def test_a_part_outside_the_positive_quadrant_is_not_written(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="positive quadrant"):
        plate_dxf.write(PLATE.placed((-1.0, 0.0), (1.0, 0.0)), tmp_path / "x.dxf")


def test_the_same_part_gives_the_same_bytes(tmp_path: Path, path: Path) -> None:
    again = tmp_path / "again.dxf"
    plate_dxf.write(PLATE, again)
    assert again.read_bytes() == path.read_bytes()


APART = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from test_readback_plates import PLATE
from layout.writers.dxf import plate as plate_dxf
plate_dxf.write(PLATE, Path(sys.argv[2]))
"""


def classes(data: bytes) -> list[str]:
    """The names of the CLASS records in the order of the file."""
    lines = [line.strip() for line in data.decode("utf-8").splitlines()]
    return [lines[k + 2] for k, line in enumerate(lines) if (lines[k - 1], line) == ("0", "CLASS")]


def test_classes_stand_in_one_order_whatever_the_hash_seed(tmp_path: Path, path: Path) -> None:
    for seed in ("1", "31337"):
        other = tmp_path / f"{seed}.dxf"
        command = [sys.executable, "-c", APART, str(Path(__file__).parent), str(other)]
        subprocess.run(command, env={**os.environ, "PYTHONHASHSEED": seed}, check=True)
        assert other.read_bytes() == path.read_bytes()
    names = classes(path.read_bytes())
    assert len(names) > 3
    drawn = [name for name in names if name in ("DICTIONARYVAR", "LAYOUT", "MATERIAL", "VISUALSTYLE")]
    assert drawn == sorted(drawn)
