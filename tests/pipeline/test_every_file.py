"""Every file of every demo is read: each carries the frame's mark, and every page the caution as well.

What is said on pages and in warnings keeps the rules of `tests/words/rules.py`.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

import pages
import pypdfium2
import pytest
import rules

from layout.errors import Notice
from layout.frame.solve import solve
from layout.pipeline.calibrate import calibrate
from layout.pipeline.compare import compare
from layout.pipeline.inspect import inspect_frame
from layout.pipeline.mitres import mitres
from layout.pipeline.plates import plates
from layout.pipeline.setup import setup
from layout.report.tables import drawn_report, frame_json
from layout.report.written import FileWritten
from layout.spec.load import load
from tests import conftest
from tests.conftest import DEMOS

CAUTION = (
    "Check the scale before cutting.",
    "Written dimensions govern.",
    "Geometry only: a frame that fails injures its rider.",
)
"""The wording agreed for the foot of every page."""
BLOCK = (
    "Check the scale of each full-size sheet before cutting",
    "The written dimensions govern, not the print.",
    "strength, tube choice, welding and testing (ISO 4210)",
    "Local law and qualified practice come first.",
    "A frame that fails injures its rider.",
    "eye protection, keep fumes out of your lungs",
)
"""What the block says that stands once in every document: scale, numbers, strength and law, hot work."""


def _pages(path: Path) -> list[str]:
    """The words of each page of a PDF or an SVG, spaces and line ends alike."""
    if path.suffix == ".svg":
        root = ElementTree.parse(path).getroot()
        texts = [" ".join(e.itertext()) for e in root.iter() if e.tag.endswith("}text")]
        return [re.sub(r"\s+", " ", " | ".join(texts))]
    document = pypdfium2.PdfDocument(path)
    return [re.sub(r"\s+", " ", page.get_textpage().get_text_range()) for page in document]


def _dxf_words(path: Path) -> str:
    """All lettering of a DXF's model space, by raw group codes: what follows code 1 of a TEXT."""
    lines = path.read_text(encoding="utf-8").splitlines()
    said, kind = [], ""
    for code, value in zip(lines[::2], lines[1::2], strict=False):
        kind = value if code.strip() == "0" else kind
        if code.strip() == "1" and kind == "TEXT":
            said.append(value)
    return " ".join(said)


def _check_block(paths: Sequence[Path]) -> None:
    """Each document says the whole block: all pages of a PDF or of a set of SVG, the model of a DXF."""
    documents: dict[str, list[str]] = {}
    for path in paths:
        if path.suffix in (".pdf", ".svg"):
            name = re.sub(r"-\d+(?=\.svg$)", "", path.name) if "setup" in path.name else path.name
            documents.setdefault(name, []).extend(_pages(path))
        elif path.suffix == ".dxf" and "-plate-" not in path.name:
            documents[path.name] = [_dxf_words(path)]
    assert documents
    for name, said_there in documents.items():
        words = re.sub(r"[\s|]+", "", " ".join(said_there))
        for said in BLOCK:
            assert re.sub(r"\s+", "", said).lower() in words.lower(), (name, said)


def _check(path: Path, mark: str) -> None:
    """One file carries the mark; its pages, tables and layouts carry the caution."""
    raw = path.read_bytes().decode("latin-1")
    assert path.suffix == ".plt" or f"frame mark {mark}" in raw or f'"mark": "{mark}"' in raw, path.name
    if path.suffix in (".pdf", ".svg"):
        for number, words in enumerate(_pages(path), 1):
            for said in (*CAUTION, f"frame mark {mark}"):
                assert said in words, (path.name, number, said)
    elif path.suffix == ".csv":
        with path.open(encoding="utf-8", newline="") as stream:
            rows = list(csv.reader(stream))
        assert rows[0][-1] == "note" and len({len(row) for row in rows}) == 1, path.name
        noted = " ".join(row[-1] for row in rows[1:])
        assert all(said in noted for said in CAUTION), path.name
    elif path.suffix == ".dxf" and "-plate-" in path.name:
        assert raw.startswith(f"999\nframe mark {mark}\n"), path.name


@dataclass(frozen=True)
class Drawn:
    """All that the commands make of one demo."""

    mark: str
    files: tuple[FileWritten, ...]
    notices: tuple[Notice, ...]
    words: str

    @property
    def paths(self) -> list[Path]:
        return [Path(file.path) for file in self.files]


@pytest.fixture(scope="module", params=DEMOS, ids=[p.stem for p in DEMOS])
def demo(
    request: pytest.FixtureRequest,
    drawn: Callable[[str], conftest.Drawn],
    tmp_path_factory: pytest.TempPathFactory,
) -> Drawn:
    spec: Path = request.param
    out, read = tmp_path_factory.mktemp(spec.stem), load(spec)
    frame = solve(read)
    jobs = (
        drawn(spec.stem).written,
        mitres(read, out),
        setup(spec, out),
        plates(read, spec.stem, out),
    )
    files = tuple(file for job in jobs for file in job.files)
    notices = tuple(notice for job in jobs for notice in job.warnings)
    notices += tuple(frame.placed.notices("tubes", "rear_end"))
    return Drawn(frame.mark, files, notices, "\n".join(job.words for job in jobs))


def test_all_files_of_a_demo_carry_mark_and_caution(demo: Drawn) -> None:
    assert len(demo.files) > 20
    for path in demo.paths:
        _check(path, demo.mark)
    _check_block(demo.paths)
    said = drawn_report(demo.files, ())
    assert said.count(" ".join(CAUTION)) == 1


def test_all_that_is_said_of_a_demo_keeps_the_rules(demo: Drawn) -> None:
    said = _words_kept(demo.paths)
    assert len(said) > 500
    for words in ("Print this page first", "Write each reading after its `measured:`"):
        assert any(words in text for text in said)
    assert [line for notice in demo.notices for line in rules.broken_notice(notice)] == []
    prose = [line for line in demo.words.splitlines() if line.endswith(".")]
    assert [line for text in prose for line in rules.broken(text)] == []


def _words_kept(paths: Iterable[Path]) -> set[str]:
    """What the pages say; not one block breaks a rule."""
    said: set[str] = set()
    for path in paths:
        if path.suffix in (".pdf", ".svg"):
            said.update(pages.paragraphs(path))
        elif path.suffix == ".yaml":
            said.update(re.findall(r"^# (.*)$", path.read_text(encoding="utf-8"), re.MULTILINE))
    assert [f"{text} -> {what}" for text in said for what in rules.broken_page(text)] == []
    return said


def test_a_comparison_carries_both_marks(tmp_path: Path) -> None:
    first, second = DEMOS[:2]
    both = [solve(load(path)).mark for path in (first, second)]
    result = compare(first, second, tmp_path)
    for file in result.files:
        raw = Path(file.path).read_bytes().decode("latin-1")
        assert " and ".join(both) in raw, file.path
        if file.format in ("pdf", "svg"):
            assert all(said in page for page in _pages(Path(file.path)) for said in CAUTION)
    _check_block([Path(file.path) for file in result.files])
    assert len(_words_kept(Path(file.path) for file in result.files)) > 50


def test_the_inspection_record_carries_both(tmp_path: Path) -> None:
    form = tmp_path / "r.yaml"
    form.write_text("readings:\n  - {dimension: head_angle, measured: 71.5}\n", encoding="utf-8")
    spec = DEMOS[0]
    mark = solve(load(spec)).mark
    files = inspect_frame(spec, form, tmp_path / "out").files
    for file in files:
        _check(Path(file.path), mark)
    _check_block([Path(file.path) for file in files])
    assert len(_words_kept(Path(file.path) for file in files)) > 40


def test_the_calibration_page_shows_no_frame_but_carries_the_caution(tmp_path: Path) -> None:
    files = calibrate(("a4", "roll-200", "roll-914"), tmp_path).files
    _check_block([Path(file.path) for file in files])
    for file in (f for f in files if f.format != "plt"):
        (words,) = _pages(Path(file.path))
        assert all(said in words for said in CAUTION)
        assert "frame mark" not in words
    assert any("print dialogue" in text for text in _words_kept(Path(file.path) for file in files))


def test_solve_says_the_mark() -> None:
    frame = solve(load(DEMOS[0]))
    assert json.loads(json.dumps(frame_json(frame)))["mark"] == frame.mark
