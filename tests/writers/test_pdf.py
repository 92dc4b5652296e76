"""PDF files, read with a reader that did not write them."""

from __future__ import annotations

import math
import re
import unicodedata
from pathlib import Path

import pytest
from pypdf import PdfReader
from pypdf.generic import BooleanObject

from layout.drafting.entities import Align, Circle, Drawing, Text
from layout.drafting.glyphs.alphabet import glyph
from layout.drafting.lettering import text_width
from layout.drafting.style import Layer
from layout.errors import WriteError
from layout.sheets.sheet import Placement, Sheet
from layout.writers.document import DocumentInfo
from layout.writers.pdf import writer as pdf

POINT = 72 / 25.4
A4 = (210.0, 297.0)


def sheet_of(*entities, size: tuple[float, float] = A4, name: str = "s") -> Sheet:
    return Sheet(name, "a4", "drawing", *size, (Placement(Drawing("d", entities), 0.0, 0.0),), Drawing("f"))


def written(tmp_path: Path, *sheets: Sheet, info: DocumentInfo | None = None) -> PdfReader:
    pdf.write(sheets, tmp_path / "one.pdf", info or DocumentInfo("one"))
    return PdfReader(tmp_path / "one.pdf", strict=True)


@pytest.fixture(scope="module")
def roll_pdf(tmp_path_factory, roll: Sheet, info: DocumentInfo) -> PdfReader:
    path = tmp_path_factory.mktemp("pdf") / "roll.pdf"
    pdf.write([roll], path, info)
    return PdfReader(path, strict=True)


@pytest.fixture(scope="module")
def tiles_path(tmp_path_factory, tiles: tuple[Sheet, ...], info: DocumentInfo) -> Path:
    path = tmp_path_factory.mktemp("pdf") / "tiles.pdf"
    pdf.write(tiles, path, info)
    return path


def form_of(reader: PdfReader, page: int = 0) -> str:
    (form,) = reader.pages[page]["/Resources"]["/XObject"].values()
    return form.get_object().get_data().decode("ascii")


def test_the_paper_is_every_box_and_nothing_scales_or_turns_it(roll_pdf: PdfReader, roll: Sheet) -> None:
    (page,) = roll_pdf.pages
    for box in ("/MediaBox", "/CropBox", "/TrimBox"):
        assert [float(v) for v in page[box]] == pytest.approx([0, 0, 1900 * POINT, 1067 * POINT], abs=1e-6)
    assert "/UserUnit" not in page
    assert "/Rotate" not in page
    content = page.get_contents().get_data().decode("ascii")
    assert re.findall(r"(\S+) (\S+) (\S+) (\S+) \S+ \S+ cm", content) == [("1", "0", "0", "1")]


def test_viewers_are_asked_not_to_scale(roll_pdf: PdfReader) -> None:
    asked = roll_pdf.trailer["/Root"]["/ViewerPreferences"]
    assert asked["/PrintScaling"] == "/None"
    assert asked["/PickTrayByPDFSize"] == BooleanObject(True)
    assert list(asked["/Enforce"]) == ["/PrintScaling"]


def test_layers_can_be_switched_also_inside_the_shared_drawing(roll_pdf: PdfReader) -> None:
    groups = roll_pdf.trailer["/Root"]["/OCProperties"]["/OCGs"]
    assert [g.get_object()["/Name"] for g in groups] == [layer.value for layer in Layer]
    (form,) = roll_pdf.pages[0]["/Resources"]["/XObject"].values()
    for layer, group in form.get_object()["/Resources"]["/Properties"].items():
        assert f"/{group['/Name']}" == layer
    text = form_of(roll_pdf)
    assert re.findall(r"/OC /(\w+) BDC", text) == [layer.value for layer in Layer]


def test_named_destinations_are_the_points(roll_pdf: PdfReader, roll: Sheet) -> None:
    (placement,) = roll.placements
    found = roll_pdf.named_destinations
    assert set(found) == {f"point-{name}" for name in placement.drawing.points()}
    for name, at in placement.drawing.points().items():
        x, y = placement.to_sheet(at)
        place = found[f"point-{name}"]
        assert (float(place.left) / POINT, float(place.top) / POINT) == pytest.approx((x, y), abs=1e-6)
        assert place.typ == "/XYZ"


def test_circles_are_curves_of_thirty_degrees_at_most(tmp_path: Path) -> None:
    reader = written(tmp_path, sheet_of(Circle((100.0, 100.0), 80.0, Layer.OUTLINE)))
    numbers = r"([-\d.]+) ([-\d.]+)"
    curves = re.findall(rf"{numbers} {numbers} {numbers} c", form_of(reader))
    ends = [(float(c[4]) / POINT - 100, float(c[5]) / POINT - 100) for c in curves]
    assert len(ends) == 12
    assert all(math.hypot(*end) == pytest.approx(80.0, abs=1e-6) for end in ends)


def test_dashes_and_widths_are_true_millimetres(roll_pdf: PdfReader) -> None:
    text = form_of(roll_pdf)
    section = text[text.index("/OC /CENTRE BDC") :]
    width, dashes = re.search(r"(\S+) w \[(.*?)\] 0 d 0 J", section).groups()
    assert float(width) / POINT == pytest.approx(0.25, abs=1e-6)
    assert [float(d) / POINT for d in dashes.split()] == pytest.approx([6.0, 0.75, 0.125, 0.75], abs=1e-6)


def test_tiles_share_one_drawing_and_cost_little_more_than_one_page(
    tmp_path: Path, tiles_path: Path, tiles: tuple[Sheet, ...]
) -> None:
    reader = PdfReader(tiles_path, strict=True)
    assert len(reader.pages) == len(tiles)
    raw = tiles_path.read_bytes()
    assert len(re.findall(rb"/Subtype /Form", raw)) == 1
    pdf.write(tiles[:1], tmp_path / "single.pdf", DocumentInfo("single"))
    a_page = 1500
    assert len(raw) < (tmp_path / "single.pdf").stat().st_size + a_page * len(tiles)


def test_equal_drawings_are_shared_as_well_as_the_same_one(tmp_path: Path) -> None:
    twins = [sheet_of(Circle((100.0, 100.0), 80.0, Layer.OUTLINE), name=n) for n in "ab"]
    assert twins[0].placements[0].drawing is not twins[1].placements[0].drawing
    pdf.write(twins, tmp_path / "twins.pdf", DocumentInfo("twins"))
    assert len(re.findall(rb"/Subtype /Form", (tmp_path / "twins.pdf").read_bytes())) == 1


def test_pages_can_be_found_by_tile(tiles_path: Path, tiles: tuple[Sheet, ...]) -> None:
    reader = PdfReader(tiles_path)
    assert [item.title for item in reader.outline] == [s.name for s in tiles]
    assert [reader.get_destination_page_number(item) for item in reader.outline] == list(range(len(tiles)))


def test_one_page_needs_no_bookmarks(roll_pdf: PdfReader) -> None:
    assert roll_pdf.outline == []


def test_a_tile_is_clipped_to_its_room(tiles_path: Path) -> None:
    content = PdfReader(tiles_path).pages[0].get_contents().get_data().decode("ascii")
    (clip,) = re.findall(r"([-\d.]+) ([-\d.]+) ([-\d.]+) ([-\d.]+) re W n", content)
    assert [float(v) / POINT for v in clip] == pytest.approx([10, 10, 190, 277], abs=1e-6)


def test_every_character_of_the_alphabet_can_be_found_and_copied(tmp_path: Path) -> None:
    alphabet = [c for c in map(chr, range(0x2300)) if unicodedata.category(c)[0] in "LNPS" and glyph(c)]
    assert len(alphabet) > 300
    lines = ["".join(alphabet[i : i + 20]) for i in range(0, len(alphabet), 20)]
    texts = [Text((10.0, 280.0 - 8 * i), line, 3.5) for i, line in enumerate(lines)]
    read = written(tmp_path, sheet_of(*texts)).pages[0].extract_text()
    assert read.split("\n") == lines


def test_more_characters_than_one_font_holds_are_found_too(tmp_path: Path) -> None:
    lines = ["".join(chr(c) for c in range(k, k + 40)) for k in range(0x4E00, 0x4E00 + 400, 40)]
    texts = [Text((10.0, 280.0 - 8 * i), line, 3.5) for i, line in enumerate(lines)]
    read = written(tmp_path, sheet_of(*texts)).pages[0].extract_text()
    assert "".join(read.split()) == "".join(lines)


@pytest.mark.parametrize("align", list(Align))
def test_words_lie_where_their_strokes_are(tmp_path: Path, align: Align) -> None:
    text = Text((100.0, 50.0), "head tube 73.0", 7.0, Layer.NOTE, angle=90.0, align=align)
    reader = written(tmp_path, sheet_of(text))
    content = form_of(reader)
    ys = [float(y) / POINT for y in re.findall(r"^\S+ (\S+) [ml]$", content, re.MULTILINE)]
    matrix = re.search(r"Tr (\S+) (\S+) (\S+) (\S+) (\S+) (\S+) Tm", content)
    c, s, _, _, x, y = (float(v) for v in matrix.groups())
    assert (c, s) == pytest.approx((0.0, 1.0))
    assert x / POINT == pytest.approx(100.0, abs=1e-5)
    assert y / POINT == pytest.approx(min(ys), abs=0.8)
    font = reader.pages[0]["/Resources"]["/Font"]["/W0"]
    size = float(re.search(r"/W0 (\S+) Tf", content)[1])
    (codes,) = re.findall(r"<([0-9a-f]+)> Tj", content)
    advance = sum(font["/Widths"][code - 32] for code in bytes.fromhex(codes)) / 1000 * size
    bearings = advance / POINT - text_width(text.text, text.height)
    assert 0 <= bearings < 0.35 * text.height


def test_words_are_not_painted(roll_pdf: PdfReader) -> None:
    text = form_of(roll_pdf)
    assert text.count("BT ") == text.count("BT 3 Tr ") > 5


def test_the_file_says_only_what_it_was_told(tmp_path: Path, roll_pdf: PdfReader) -> None:
    told = roll_pdf.metadata
    assert (told.title, told.author, told.subject) == ("Sample – façade", "A. Builder", "side view")
    assert told["/CreationDate"] == "D:20250301"
    untold = written(tmp_path, sheet_of(), info=DocumentInfo("bare", date="next spring")).metadata
    assert dict(untold) == {"/Title": "bare"}


def test_a_side_that_viewers_cannot_show_is_refused(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="is 5081 mm long; a PDF page holds at most 5080 mm"):
        written(tmp_path, sheet_of(size=(5081.0, 914.0)))
    assert list(tmp_path.iterdir()) == []
    assert len(written(tmp_path, sheet_of(size=(5080.0, 914.0))).pages) == 1


def test_pages_of_two_sizes_are_refused(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="of one size"):
        written(tmp_path, sheet_of(), sheet_of(size=(297.0, 210.0)))


def test_no_sheets_are_refused(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="at least one sheet"):
        written(tmp_path)
