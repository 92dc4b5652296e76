"""What a page is told, without a server and without a browser."""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from preview_specs import FAULTY, TEXT, with_head_angle

from layout.geometry.dimensions import REGISTRY
from layout.pipeline.draw import draw
from layout.pipeline.mitres import mitres
from layout.pipeline.order import Order
from layout.pipeline.setup import setup
from layout.preview.preview import Asked, Preview
from layout.spec.load import loads

SVG = "{http://www.w3.org/2000/svg}"
DEMOS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))


def nameless(svg: str) -> str:
    """The SVG without the names of dimensions, which are all that the screen has more than the file."""
    return re.sub(' data-of="[^"]*"', "", svg)


def preview_of(text: str = TEXT, media: tuple[str, ...] = ()) -> Preview:
    preview = Preview("frame.yaml", media)
    assert preview.take(text) == ()
    return preview


def row(said: dict, name: str) -> dict:
    return next(r for r in said["rows"] if r["name"] == name)


def test_the_sheet_shown_is_the_file_that_draw_writes(tmp_path: Path) -> None:
    preview = preview_of()
    said = preview.answer(Asked("side"))
    written = draw(preview.shown.edition.frame, "frame.yaml", tmp_path, Order(formats=("svg",)))
    roll, *pages = [Path(f.path) for f in written.files if f.format == "svg"]
    assert nameless(said["svg"]) == roll.read_text("utf-8")
    count = len(preview.answer(Asked("side-a4"))["pages"])
    tiles = {preview.answer(Asked("side-a4", n))["pages"][n]: n for n in (1, 2, count - 1)}
    for name, number in tiles.items():
        file = next(p for p in pages if p.stem == f"frame-a4-{name.lower()}")
        assert nameless(preview.answer(Asked("side-a4", number))["svg"]) == file.read_text("utf-8")


def test_rear_views_and_pages_of_the_bench_are_the_files_of_their_commands(tmp_path: Path) -> None:
    spec_path = tmp_path / "frame.yaml"
    spec_path.write_text(TEXT, "utf-8")
    preview = Preview(str(spec_path))
    preview.take(TEXT)
    files = [
        *mitres(loads(TEXT, str(spec_path)), tmp_path, formats=("svg",)).files,
        *setup(spec_path, tmp_path).files,
    ]
    svgs = [Path(f.path) for f in files if f.format == "svg"]
    for key, part in (
        ("rear", "rear-roll"),
        ("templates", "templates"),
        ("cutting", "cutting"),
        ("setup", "setup"),
    ):
        wanted = sorted(p for p in svgs if part in p.name)
        pages = preview.answer(Asked(key))["pages"]
        assert len(pages) == len(wanted) > 0
        for number, file in enumerate(wanted):
            assert nameless(preview.answer(Asked(key, number))["svg"]) == file.read_text("utf-8"), file.name


def test_a_save_tells_what_it_changed() -> None:
    preview = preview_of()
    assert not any(r["changed"] for r in preview.answer(Asked())["rows"])
    assert preview.take(with_head_angle(72.0)) == ()
    said = preview.answer(Asked())
    angle = row(said, "head_angle")
    assert (angle["was"], angle["shown"], angle["change"]) == ("71.50", "72.00", "+0.50")
    assert (angle["value"], angle["origin"]) == (72.0, "given")
    assert row(said, "trail")["changed"]
    assert not row(said, "bb_drop")["changed"]
    assert said["save"] == 2


def test_every_dimension_has_a_row_and_those_without_a_value_come_last() -> None:
    rows = preview_of().answer(Asked())["rows"]
    assert {r["name"] for r in rows} == set(REGISTRY)
    known = [r["value"] is not None for r in rows]
    assert known == sorted(known, reverse=True)
    assert not all(known)


def test_a_faulty_save_leaves_what_was_shown() -> None:
    preview = preview_of()
    before = preview.answer(Asked())
    faults = preview.take(FAULTY)
    assert [f.code for f in faults] == ["unknown_key"]
    assert preview.answer(Asked())["faults"] == []
    preview.refuse(faults)
    said = preview.answer(Asked())
    assert said["faults"] == [str(faults[0])]
    assert said["faults"][0].startswith("frame.yaml:")
    assert (said["svg"], said["rows"], said["save"]) == (before["svg"], before["rows"], 1)
    assert preview.take(TEXT) == ()
    assert preview.answer(Asked())["faults"] == []


def test_before_the_first_good_save_there_are_faults_and_no_drawing() -> None:
    preview = Preview("frame.yaml")
    preview.refuse(preview.take(FAULTY))
    said = preview.answer(Asked())
    assert said["save"] == 0
    assert len(said["faults"]) == 1
    assert "svg" not in said


def test_a_comment_changes_the_file_and_makes_nothing_again() -> None:
    preview = preview_of()
    edition = preview.shown.edition
    said = preview.answer(Asked())
    assert preview.take(TEXT + "\n# a word\n") == ()
    assert preview.shown.edition is edition
    again = preview.answer(Asked(has=said["digest"]))
    assert (again["save"], again["svg"]) == (2, None)


def test_a_sheet_is_made_when_it_is_turned_to_and_not_before() -> None:
    preview = preview_of()
    assert set(preview.shown.edition._made) == {"side"}
    preview.answer(Asked("setup"))
    assert set(preview.shown.edition._made) == {"side", "setup"}


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_every_demo_has_its_first_sheet_and_numbers(path: Path) -> None:
    preview = Preview(str(path))
    assert preview.take(path.read_text("utf-8")) == ()
    said = preview.answer(Asked(start=True))
    assert len(said["spans"]) > 25
    assert said["start"].startswith("<?xml")
    assert preview.clearances()["clearances"]


def test_each_paper_asked_for_is_a_sheet_to_turn_to() -> None:
    preview = preview_of(media=("a0", "a4"))
    keys = [s["key"] for s in preview.answer(Asked())["sheets"]]
    assert keys == [
        "side", "side-a4", "rear", "rear-a4", "setup", "templates", "templates-a4", "cutting", "cutting-a4",
    ]  # fmt: skip
    assert preview.answer(Asked("templates-a4"))["size"] in ([210, 297], [297, 210])


@pytest.mark.parametrize(
    "asked", [Asked("../../etc/passwd"), Asked(""), Asked("side", 999), Asked("side", -3)]
)
def test_a_sheet_that_is_not_there_is_the_first(asked: Asked) -> None:
    said = preview_of().answer(asked)
    assert (said["sheet"], said["page"]) == ("side", 0)


def test_words_of_the_spec_stay_words() -> None:
    title = "<script>alert(1)</script><img src=x onerror=alert(2)>"
    preview = preview_of(re.sub(r"title: .*", f'title: "{title}"', TEXT))
    said = preview.answer(Asked())
    root = ElementTree.fromstring(said["svg"])
    assert {e.tag for e in root.iter()} <= {
        f"{SVG}{name}" for name in
        ("svg", "g", "path", "circle", "ellipse", "text", "title", "desc", "defs", "clipPath", "rect")
    }  # fmt: skip
    assert root.find(f"{SVG}title").text == title
    assert not [name for e in root.iter() for name in e.attrib if name.startswith("on") or name == "style"]


def test_where_each_dimension_is_measured_is_on_the_sheet_where_its_points_are() -> None:
    said = preview_of().answer(Asked())
    root = ElementTree.fromstring(said["svg"])
    points = {
        c.get("id"): (float(c.get("cx")), float(c.get("cy")))
        for c in root.iter(f"{SVG}circle")
        if c.get("id")
    }
    x, y, x2, y2 = (float(v) for v in re.findall(r"[-\d.]+", said["spans"]["rear_centre"]))
    ends = {(round(x, 3), round(y, 3)), (round(x2, 3), round(y2, 3))}
    assert ends == {tuple(round(v, 3) for v in points[f"point-{n}"]) for n in ("bb", "rear_axle")}
    assert set(said["spans"]) == {n for n, d in REGISTRY.items() if d.span is not None} & set(said["spans"])
    assert len(said["spans"]) > 30


def test_the_frame_at_the_start_lies_under_the_new_one_in_double_dotted_line() -> None:
    preview = preview_of()
    assert preview.answer(Asked())["start"] is None
    preview.take(with_head_angle(74.0))
    said = preview.answer(Asked(start=True))
    old, new = ElementTree.fromstring(said["start"]), ElementTree.fromstring(said["svg"])
    assert old.get("viewBox") == new.get("viewBox")
    (wheels,) = [g for g in old if g.get("id") == "wheel"]
    assert wheels.get("stroke-dasharray").split()[:1] == ["6"]
    assert len(wheels.get("stroke-dasharray").split()) == 6  # long dash, dot, dot: ISO 128-2
    drawn = [e for e in old.iter() if e.tag in (f"{SVG}path", f"{SVG}circle")]
    assert drawn and all(e.get("stroke-dasharray") is None for e in drawn)
    assert preview.answer(Asked("setup", start=True))["start"] is None


def test_edges_of_tiles_lie_side_by_side_over_the_whole_drawing() -> None:
    said = preview_of().answer(Asked("side-a4"))
    assert said["pages"][:2] == ["all pages", "map"]
    root = ElementTree.fromstring(said["svg"])
    (edges,) = [g for g in root if g.get("id") == "sheet"]
    cells = [p.get("d") for p in edges if p.tag == f"{SVG}path" and p.get("d").endswith("Z")]
    words = {t.text for t in root.iter(f"{SVG}text")}
    tiles = [name for name in said["pages"][2:] if not name.startswith("tables")]
    assert len(tiles) > 5
    assert set(tiles) <= words
    assert len(cells) >= len(tiles)
    width, height = said["size"]
    assert width > 1000
    for cell in cells:
        numbers = [float(v) for v in re.findall(r"[-\d.]+", cell)]
        assert all(0 <= v <= max(width, height) for v in numbers)


def test_a_sheet_that_cannot_be_made_says_why_and_the_side_view_stays() -> None:
    preview = preview_of(media=("a4", "roll-610"))
    said = preview.answer(Asked("side-roll-610"))
    assert said["sheet"] == "side"
    assert len(said["sheet_faults"]) == 1
    assert "too narrow" in said["sheet_faults"][0]


def test_everything_a_page_is_told_is_json() -> None:
    preview = preview_of()
    assert json.loads(json.dumps(preview.answer(Asked()), allow_nan=False))["sheet"] == "side"
    gaps = preview.clearances()["clearances"]
    assert {g["words"] for g in gaps} >= {"pedal to tyre", "chain stay to tyre"}
    assert all(isinstance(g["short"], bool) for g in gaps)


def test_a_warning_tells_the_line_of_the_number_it_names() -> None:
    text = re.sub(r"head_angle: [0-9.]+", "head_angle: 60", TEXT)
    line = text[: text.index("head_angle")].count("\n") + 1
    said = preview_of(text).answer(Asked())["warnings"]
    assert [w for w in said if w.startswith(f"line {line}: ") and "head_angle" in w]
