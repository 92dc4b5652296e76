"""setup as a job: its files, read by other readers, the JSON of the surface, and the form."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from pages import paragraphs

from layout.bench.cut_list import cut_list, size_words, stock
from layout.bench.settings import BASE, BB, JIG, REAR_AXLE
from layout.errors import WriteError
from layout.frame.solve import solve
from layout.geometry.space.roles import CHAIN_STAY, TOP_TUBE
from layout.pipeline.documents import data_text
from layout.pipeline.frame_form import frame_form
from layout.pipeline.setup import SetupResult, setup
from layout.report.mitres import CHANGE
from layout.report.written import make_folder
from layout.spec.load import load
from layout.spec.readings import ReadingKind, load_readings, loads_readings

SPECS = Path(__file__).parents[2] / "specs"
SPEC = SPECS / "all-road.yaml"
JIG_BLOCK = """
jig:
  bb_above_base: 320
  settings: {bb_drop: {pitch: 5, shims: [0.5, 1, 2]}, front_centre: {range: [613, 700]}}
"""


@pytest.fixture(scope="module")
def spec(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("spec") / "frame.yaml"
    path.write_text(SPEC.read_text(encoding="utf-8") + JIG_BLOCK, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def result(spec: Path, tmp_path_factory: pytest.TempPathFactory) -> SetupResult:
    return setup(spec, tmp_path_factory.mktemp("out"))


def test_the_files_are_named_and_reported(result: SetupResult) -> None:
    assert [(Path(f.path).name, f.format, f.sheet, f.kind) for f in result.files] == [
        ("frame-setup.pdf", "pdf", None, "setup"),
        ("frame-setup-1.svg", "svg", "setup-1", "setup"),
        ("frame-setup-2.svg", "svg", "setup-2", "setup"),
        ("frame-settings.csv", "csv", None, "setup"),
        ("frame-cuts.csv", "csv", None, "table"),
        ("frame-setup.json", "json", None, "setup"),
        ("frame-frame-readings.yaml", "yaml", None, "readings"),
    ]
    assert all(Path(f.path).is_file() for f in result.files)


def test_the_json_keeps_to_its_words(result: SetupResult) -> None:
    data = json.loads(json.dumps(result.data, allow_nan=False))
    for row in data["settings"]:
        assert set(row) - {"finished"} == {"name", "value", "unit", "from"}
        assert row["from"] in (BB, REAR_AXLE, BASE, JIG)
        assert row["unit"] in ("mm", "deg")
    assert {"name": "bb_drop", "value": 72.0, "unit": "mm", "from": "rear_axle"} in data["settings"]
    assert {"name": "bb_above_base", "value": 320.0, "unit": "mm", "from": "base"} in data["settings"]
    assert data["stacks"] == [{"name": "bb_drop", "step": 70.0, "hole": 14, "shims": [2.0], "error": 0.0}]


def test_what_cannot_be_set_is_warned_of(result: SetupResult) -> None:
    codes = [w.code for w in result.warnings]
    assert codes.count("jig_range") == 1
    assert "front_centre is 612.0 mm, but the jig goes from 613.0 mm to 700.0 mm." in next(
        w.message for w in result.warnings if w.code == "jig_range"
    )
    assert "clearance" not in codes


def test_a_gap_too_small_is_warned_of(tmp_path: Path) -> None:
    path = tmp_path / "frame.yaml"
    text = SPEC.read_text(encoding="utf-8")
    assert "chainring_teeth: 38" in text
    path.write_text(text.replace("chainring_teeth: 38", "chainring_teeth: 50"), encoding="utf-8")
    found = [w.message for w in setup(path, tmp_path).warnings if w.code == "clearance"]
    assert any("chainring" in message for message in found)


def test_the_numbers_are_in_the_pdf_as_words(result: SetupResult) -> None:
    """pypdf, a reader that shares nothing with the writer."""
    from pypdf import PdfReader

    pages = PdfReader(result.files[0].path).pages
    assert len(pages) == 2
    assert [round(float(v) / 72 * 25.4) for v in pages[0].mediabox[2:]] == [210, 297]
    first, second = (page.extract_text() for page in pages)
    for words in ("BB drop", "72.0", "404.7", "71.5°", "70.0 + 2", "cannot be set"):
        assert words in first
    for words in ("seat tube", "28.6 x 0.9/0.6/0.6", "195.2", "Cautions"):
        assert words in second


def test_the_spreadsheets_agree_with_the_json(result: SetupResult) -> None:
    by_name = {Path(f.path).name: Path(f.path) for f in result.files}
    with open(by_name["frame-settings.csv"], encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    told = [(r["name"], r["from"], round(r["value"], 3)) for r in result.data["settings"]]
    unset = [r for r in rows if not r["value"]]
    assert [(r["name"], r["from"], r["measured"]) for r in unset] == [
        ("front_centre", "jig", "cannot be set: the jig goes from 613 to 700")
    ]
    listed = [(r["name"], r["from"], float(r["value"])) for r in rows if r["value"]]
    assert listed == [t for t in told if t[:2] != ("front_centre", "jig")]
    whole = json.loads(by_name["frame-setup.json"].read_text(encoding="utf-8"))
    assert whole["settings"] == json.loads(data_text(result.data))["settings"]
    with open(by_name["frame-cuts.csv"], encoding="utf-8", newline="") as stream:
        cuts = list(csv.DictReader(stream))
    assert [c["tube"] for c in cuts] == [c["tube"] for c in whole["cuts"]]
    lengths = [[float(c[k]) for k in ("cut_length", "saw_before_mitring", "order_length")] for c in cuts]
    assert all(cut < sawn <= ordered for cut, sawn, ordered in lengths)


def test_the_cut_list_agrees_with_the_frame_by_hand(result: SetupResult) -> None:
    """A head tube of 155 with 1.5 to face at each end is sawn to 158 and ordered as 160."""
    cuts = {c.tube: c for c in result.cuts}
    head = cuts["head_tube"]
    assert (head.cut_length, head.sawn, head.order_length) == pytest.approx((155.0, 158.0, 160.0))
    assert cuts["chain_stay"].count == cuts["seat_stay"].count == 2
    assert [c.tube for c in result.cuts][:4] == ["head_tube", "seat_tube", "down_tube", "top_tube"]
    assert all(c.order_length % 10 == 0 for c in result.cuts)
    # Mitred to the shell, the seat tube loses no more than the shell's radius of its length to the top.
    assert 540.0 - 20.0 <= cuts["seat_tube"].cut_length <= 540.0


def test_stock_is_gathered_by_diameter_and_wall(tmp_path: Path) -> None:
    found = {s.size: s.lengths for s in stock(setup(SPECS / "tourer.yaml", tmp_path).cuts)}
    assert len(found["28.6 x 0.8"]) == 2
    assert len(found["16-12"]) == 2
    assert list(found["28.6 x 0.8"]) == sorted(found["28.6 x 0.8"], reverse=True)


def test_sizes_are_put_as_tubes_are_listed() -> None:
    read = load(SPEC)
    frame = solve(read)
    tubes = read.spec.tubes
    assert size_words(frame, TOP_TUBE, tubes.top_tube) == "28.6 x 0.8/0.5/0.8"
    assert size_words(frame, CHAIN_STAY, tubes.chain_stay) == "oval 16x30 x 0.8"
    assert [c.tube for c in cut_list(frame)][:2] == ["head_tube", "seat_tube"]


def test_readings_filled_in_before_are_kept(spec: Path, tmp_path: Path) -> None:
    setup(spec, tmp_path)
    form = tmp_path / "frame-frame-readings.yaml"
    text = form.read_text(encoding="utf-8")
    filled = text.replace("to: bb,                measured: ", "to: bb, measured: 431.0")
    assert filled != text
    form.write_text(filled, encoding="utf-8")
    again = setup(spec, tmp_path)
    assert [w.code for w in again.warnings].count("readings_kept") == 1
    kept = next(p for p in tmp_path.glob("frame-frame-readings-*.yaml"))
    assert 431.0 in [r.measured for r in load_readings(kept).rows]
    assert all(r.measured is None for r in load_readings(form).rows)


@pytest.mark.parametrize("path", sorted(SPECS.glob("*.yaml")), ids=lambda p: p.stem)
def test_no_pair_stands_twice_on_the_form(path: Path) -> None:
    rows = loads_readings(frame_form(solve(load(path)), ("frame.yaml", "form.yaml"))).rows
    pairs = [frozenset(r.names) for r in rows if r.kind is ReadingKind.DISTANCE]
    assert len(pairs) == len(set(pairs)) >= 12
    assert frozenset(("bb", "top_tube_at_seat")) in pairs


@pytest.mark.parametrize("below", ["", "more/still"])
def test_a_file_where_the_folder_should_be_is_called_a_file(below: str, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("kept", encoding="utf-8")
    with pytest.raises(WriteError) as caught:
        make_folder(tmp_path / "taken" / below)
    (fault,) = caught.value.faults
    assert str(fault) == f"{tmp_path / 'taken'}: is a file, not a folder. Name another with --out."
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "kept"


def test_what_is_neither_file_nor_folder_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    with pytest.raises(WriteError, match="link: the folder cannot be made"):
        make_folder(tmp_path / "link")


def test_the_same_spec_gives_the_same_bytes(spec: Path, tmp_path: Path) -> None:
    first, second = setup(spec, tmp_path / "a"), setup(spec, tmp_path / "b")
    for a, b in zip(first.files, second.files, strict=True):
        assert Path(a.path).read_bytes() == Path(b.path).read_bytes()


def test_the_terminal_tells_the_settings_in_order(result: SetupResult) -> None:
    lines = result.words.splitlines()
    assert lines[0].split() == ["1", "BB", "drop", "72.0", "mm", "jig", "70.0", "+", "2,", "hole", "14"]
    assert len(lines) == len(result.settings)


def test_the_terminal_gives_no_number_that_the_jig_cannot_be_set_to(result: SetupResult) -> None:
    line = next(n for n in result.words.splitlines() if "front centre" in n)
    assert line.split("mm")[1].strip() == "jig cannot be set, the jig goes from 613 to 700"


@pytest.mark.parametrize("more", ["", JIG_BLOCK], ids=["plate", "jig"])
def test_terminal_and_spreadsheet_number_as_the_paper_does(more: str, tmp_path: Path) -> None:
    """Without a jig the paper had seven settings, and the others nine under other numbers.

    That the paper has these numbers, the tests of its pages say.
    """
    path = tmp_path / "frame.yaml"
    path.write_text(SPEC.read_text(encoding="utf-8") + more, encoding="utf-8")
    found = setup(path, tmp_path)
    numbers = [(s.number, s.title) for s in found.settings if s.number is not None]
    assert [n for n, _ in numbers] == list(range(1, (10 if more else 8)))
    told = [line.split(None, 1) for line in found.words.splitlines() if line.split()[0].isdigit()]
    assert [(int(n), words.split("  ")[0]) for n, words in told] == numbers
    with open(tmp_path / "frame-settings.csv", encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    order = dict.fromkeys((int(r["order"]), r["setting"]) for r in rows if r["order"])
    assert list(order) == [(s.number, s.name) for s in found.settings if s.number is not None]


def test_an_oval_stay_is_ordered_by_the_round_tube_it_is_made_from(tmp_path: Path) -> None:
    """The diameter beside a section was read and used for nothing."""
    found = {s.size for s in stock(setup(SPEC, tmp_path).cuts)}
    assert "oval 16x30 x 0.8, of Ø22.2" in found


def test_an_open_dropouts_slot_is_said_and_held_against_the_axle(tmp_path: Path) -> None:
    """The slot was read and used for nothing."""
    text = (SPECS / "tourer.yaml").read_text(encoding="utf-8")
    assert "axle: 10\n" in text and "slot: 10" in text
    path = tmp_path / "frame.yaml"
    for axle, codes in ((10, []), (12, ["axle_slot"])):
        path.write_text(text.replace("axle: 10\n", f"axle: {axle}\n"), encoding="utf-8")
        found = setup(path, tmp_path)
        assert [w.code for w in found.warnings if w.code == "axle_slot"] == codes
        page = next(f.path for f in found.files if f.sheet == "setup-2")
        assert any("dummy axle for slots of 10.0." in said for said in paragraphs(Path(page)))


def test_every_gap_that_is_short_says_where_its_least_is_from(tmp_path: Path) -> None:
    """What a pedal wants to the tyre, 89, had no source."""
    text = SPEC.read_text(encoding="utf-8")
    changed = {"chainring_teeth: 38": "chainring_teeth: 54", "front_centre: 612": "front_centre: 565",
               "pedal_outer: 190": "pedal_outer: 230", "pedal_below: 15": "pedal_below: 60"}  # fmt: skip
    for old, new in changed.items():
        assert text.count(old) == 1
        text = text.replace(old, new)
    (tmp_path / "tight.yaml").write_text(text, encoding="utf-8")
    found = {n.message for n in setup(tmp_path / "tight.yaml", tmp_path).warnings if n.code == "clearance"}
    by_name = {m.split(":")[0]: m for m in found}
    iso = "ISO 4210-2, from memory: check the standard"
    assert by_name["pedal to tyre"].endswith(f"; at least 89.0 mm needed ({iso}). {CHANGE}")
    assert by_name["pedal lean angle"].endswith(f"; at least 25.0° needed ({iso}). {CHANGE}")
    gap = by_name["chain stay to chainring"]
    assert gap.endswith(f"; at least 3.0 mm needed (common practice). {CHANGE}")
    assert "they run into each other by " in gap
