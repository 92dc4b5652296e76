"""The read-back accepts what the writers wrote, and finds every way in which a file can be wrong."""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DecodedStreamObject, NameObject
from sheet_samples import POINTS, every_kind_of_entity, roll_sheet, tile_sheets

from layout.checks.readback.verify import read_pages, verify_dxf, verify_pdf, verify_svg
from layout.drafting.entities import Circle, ControlPoint, Drawing, Entity, Line
from layout.errors import WriteError
from layout.sheets.sheet import Rect, Sheet
from layout.writers import svg
from layout.writers.document import DocumentInfo
from layout.writers.dxf import writer as dxf
from layout.writers.pdf import writer as pdf

INFO = DocumentInfo("read-back")
Change = Callable[[Entity], Entity | None]


def read_points(path: Path) -> dict[str, list[tuple[float, float]]]:
    """Every control point of a written file by name, mm; a list, since a broken file may repeat one."""
    found: dict[str, list[tuple[float, float]]] = {}
    for page in read_pages(path):
        for name, at in page.points:
            found.setdefault(name, []).append(at)
    return found


def changed(drawing: Drawing, change: Change) -> Drawing:
    kept = (change(e) for e in drawing)
    return Drawing(drawing.title, tuple(e for e in kept if e is not None))


def mapped(entity: Entity, move: Callable[[tuple[float, float]], tuple[float, float]]) -> Entity:
    if isinstance(entity, ControlPoint):
        return replace(entity, at=move(entity.at))
    if isinstance(entity, Line):
        return replace(entity, start=move(entity.start), end=move(entity.end))
    return entity


def scaled(entity: Entity) -> Entity:
    return mapped(entity, lambda p: (p[0] * 1.01, p[1] * 1.01))


def shifted(entity: Entity) -> Entity:
    return mapped(entity, lambda p: (p[0] + 0.02, p[1]))


def without_bb(entity: Entity) -> Entity | None:
    return None if isinstance(entity, ControlPoint) and entity.name == "bb" else entity


def renamed(entity: Entity) -> Entity:
    if isinstance(entity, ControlPoint) and entity.name == "bb":
        return replace(entity, name="bottom")
    return entity


def without_crosses(entity: Entity) -> Entity | None:
    return None if isinstance(entity, Line) and entity.layer.value == "POINT" else entity


def nudged_cross(entity: Entity) -> Entity:
    """Crosses 0.02 off while their points stay: ink that does not match what is named."""
    if isinstance(entity, Line) and entity.layer.value == "POINT":
        return shifted(entity)
    return entity


WRONG = [
    (scaled, "the point front_axle.* is 6.05.. mm off"),
    (shifted, "the point rear_axle.* is 0.0200 mm off"),
    (without_bb, "the point bb (is missing|has no named destination)"),
    (renamed, "there is a point bottom that should not be there"),
    (without_crosses, "no stroke is drawn where the cross at bb should be"),
    (nudged_cross, "no stroke is drawn where the cross at bb should be"),
]


def refused(action: Callable[[], None]) -> str:
    with pytest.raises(WriteError) as caught:
        action()
    assert {fault.code for fault in caught.value.faults} == {"read_back"}
    assert all(fault.file for fault in caught.value.faults)
    assert caught.value.exit_status == 3
    return str(caught.value)


def test_what_is_written_reads_back(
    tmp_path: Path, sample: Drawing, roll: Sheet, stretched_roll: Sheet
) -> None:
    dxf.write(sample, tmp_path / "s.dxf", INFO, [roll])
    verify_dxf(tmp_path / "s.dxf", sample)
    assert {n: len(at) for n, at in read_points(tmp_path / "s.dxf").items()} == dict.fromkeys(POINTS, 1)
    for sheet, other in ((roll, stretched_roll), (stretched_roll, roll)):
        svg.write(sheet, tmp_path / "s.svg", INFO)
        verify_svg(tmp_path / "s.svg", sheet)
        assert "mm off" in refused(lambda wrong=other: verify_svg(tmp_path / "s.svg", wrong))
        pdf.write([sheet], tmp_path / "s.pdf", INFO)
        verify_pdf(tmp_path / "s.pdf", [sheet])
        assert "mm off" in refused(lambda wrong=other: verify_pdf(tmp_path / "s.pdf", [wrong]))


@pytest.mark.parametrize("stretch", [(1.0, 1.0), (0.9987, 1.0021)])
def test_tiles_read_back_page_by_page(tmp_path: Path, sample: Drawing, stretch: tuple[float, float]) -> None:
    tiles = tile_sheets(sample, stretch)
    pdf.write(tiles, tmp_path / "t.pdf", INFO)
    verify_pdf(tmp_path / "t.pdf", tiles)
    assert set(read_points(tmp_path / "t.pdf")) == set(POINTS)


def test_points_are_read_in_each_formats_own_coordinates(
    tmp_path: Path, sample: Drawing, roll: Sheet
) -> None:
    (placement,) = roll.placements
    dxf.write(sample, tmp_path / "s.dxf", INFO)
    svg.write(roll, tmp_path / "s.svg", INFO)
    pdf.write([roll], tmp_path / "s.pdf", INFO)
    for name, at in POINTS.items():
        assert read_points(tmp_path / "s.dxf")[name] == [pytest.approx(at, abs=1e-6)]
        on_sheet = pytest.approx(placement.to_sheet(at), abs=1e-6)
        assert read_points(tmp_path / "s.svg")[name] == [on_sheet]
        assert read_points(tmp_path / "s.pdf")[name] == [on_sheet]


@pytest.mark.parametrize(("change", "said"), WRONG)
def test_a_wrong_dxf_is_found(tmp_path: Path, sample: Drawing, change: Change, said: str) -> None:
    dxf.write(changed(sample, change), tmp_path / "s.dxf", INFO)
    assert re.search(said, refused(lambda: verify_dxf(tmp_path / "s.dxf", sample)))


@pytest.mark.parametrize(("change", "said"), WRONG)
def test_a_wrong_svg_is_found(
    tmp_path: Path, sample: Drawing, roll: Sheet, change: Change, said: str
) -> None:
    svg.write(roll_sheet(changed(sample, change)), tmp_path / "s.svg", INFO)
    assert re.search(said, refused(lambda: verify_svg(tmp_path / "s.svg", roll)))


@pytest.mark.parametrize(("change", "said"), WRONG)
def test_a_wrong_pdf_is_found(
    tmp_path: Path, sample: Drawing, roll: Sheet, change: Change, said: str
) -> None:
    pdf.write([roll_sheet(changed(sample, change))], tmp_path / "s.pdf", INFO)
    assert re.search(said, refused(lambda: verify_pdf(tmp_path / "s.pdf", [roll])))


def test_just_within_the_tolerance_is_accepted_and_just_beyond_is_not(
    tmp_path: Path, sample: Drawing, roll: Sheet
) -> None:
    """A hundredth of a millimetre, as promised."""
    for off, accepted in ((0.0099, True), (0.0101, False)):

        def move(e: Entity, off: float = off) -> Entity:
            return mapped(e, lambda p: (p[0], p[1] - off))

        wrong = changed(sample, move)
        dxf.write(wrong, tmp_path / "s.dxf", INFO)
        svg.write(roll_sheet(wrong), tmp_path / "s.svg", INFO)
        pdf.write([roll_sheet(wrong)], tmp_path / "s.pdf", INFO)
        checks = (
            lambda: verify_dxf(tmp_path / "s.dxf", sample),
            lambda: verify_svg(tmp_path / "s.svg", roll),
            lambda: verify_pdf(tmp_path / "s.pdf", [roll]),
        )
        for check in checks:
            if accepted:
                check()
            else:
                refused(check)


def test_compensation_that_was_not_applied_is_found(tmp_path: Path, sample: Drawing, roll: Sheet) -> None:
    svg.write(roll, tmp_path / "s.svg", INFO)
    pdf.write([roll], tmp_path / "s.pdf", INFO)
    wanted = roll_sheet(sample, (1.0, 1.0005))
    assert "mm off" in refused(lambda: verify_svg(tmp_path / "s.svg", wanted))
    assert "mm off" in refused(lambda: verify_pdf(tmp_path / "s.pdf", [wanted]))


def test_a_missing_page_is_found(tmp_path: Path, tiles: tuple[Sheet, ...]) -> None:
    pdf.write(tiles[:-1], tmp_path / "t.pdf", INFO)
    said = refused(lambda: verify_pdf(tmp_path / "t.pdf", tiles))
    assert "it has 39 pages, not 40" in said


def test_pages_in_the_wrong_order_are_found(tmp_path: Path, tiles: tuple[Sheet, ...]) -> None:
    pdf.write(tiles[::-1], tmp_path / "t.pdf", INFO)
    assert "should not be there" in refused(lambda: verify_pdf(tmp_path / "t.pdf", tiles))


def test_a_page_of_the_wrong_size_is_found(tmp_path: Path, roll: Sheet) -> None:
    wide = replace(roll, width=roll.width + 0.01)
    svg.write(roll, tmp_path / "s.svg", INFO)
    pdf.write([roll], tmp_path / "s.pdf", INFO)
    assert "1900.000 x 1067.000 mm, not 1900.010" in refused(lambda: verify_svg(tmp_path / "s.svg", wide))
    assert "1900.000 x 1067.000 mm, not 1900.010" in refused(lambda: verify_pdf(tmp_path / "s.pdf", [wide]))


def test_a_clip_that_hides_a_point_is_found(tmp_path: Path, sample: Drawing) -> None:
    x, y = 800.0 + POINTS["bb"][0], 330.0 + POINTS["bb"][1]
    right = roll_sheet(sample, clip=Rect(10.0, 10.0, x + 1, y + 1))
    svg.write(right, tmp_path / "s.svg", INFO)
    pdf.write([right], tmp_path / "s.pdf", INFO)
    verify_svg(tmp_path / "s.svg", right)
    verify_pdf(tmp_path / "s.pdf", [right])
    text = (tmp_path / "s.svg").read_text("utf-8").replace('width="791"', 'width="780"')
    (tmp_path / "s.svg").write_text(text, "utf-8")
    assert "clipped away" in refused(lambda: verify_svg(tmp_path / "s.svg", right))
    edit_page(tmp_path / "s.pdf", rb"(\S+ \S+) \S+ (\S+ re W n)", rb"\1 20 \2")
    assert "clipped away" in refused(lambda: verify_pdf(tmp_path / "s.pdf", [right]))


def edit_page(path: Path, pattern: bytes, replacement: bytes, *, form: bool = False) -> None:
    """Change a PDF's page content (or its form's) by a program that is neither writer nor reader."""
    writer = PdfWriter(clone_from=PdfReader(path))
    page = writer.pages[0]
    if form:
        (stream,) = (v.get_object() for v in page["/Resources"]["/XObject"].values())
        old = stream.get_data()
        new, count = re.subn(pattern, replacement, old, count=1)
        stream.set_data(new)
    else:
        old = page.get_contents().get_data()
        new, count = re.subn(pattern, replacement, old, count=1)
        fresh = DecodedStreamObject()
        fresh.set_data(new)
        page[NameObject("/Contents")] = writer._add_object(fresh)
    assert count == 1
    writer.write(path)


WRONG_CONTENT = [
    (rb"1 0 0 1 (\S+ \S+) cm", rb"1.00002 0 0 1.00002 \1 cm", False, "no stroke is drawn"),
    (rb"(1 0 0 1 \S+ )(\S+) cm", rb"\1 935.5 cm", False, "no stroke is drawn"),
    (rb"1 0 0 1 (\S+ \S+) cm", rb"0 1 -1 0 \1 cm", False, "no stroke is drawn"),
    (rb"/F0 Do", rb"", False, "no stroke is drawn"),
    (rb"q\n", rb"q\n1.0005 0 0 1 0 0 cm\n", False, "no stroke is drawn"),
    (rb"/OC /OUTLINE BDC\n", rb"/OC /OUTLINE BDC\n1.01 0 0 1.01 0 0 cm\n", True, "moves, scales or clips"),
    (rb"/OC /OUTLINE BDC\n", rb"/OC /OUTLINE BDC\n0 0 9 9 re W n\n", True, "moves, scales or clips"),
    (rb"/OC /OUTLINE BDC\n", rb"/OC /OUTLINE BDC\n0 0 9 9 re W* n\n", True, "moves, scales or clips"),
    (rb"/OC /OUTLINE BDC\n", rb"/OC /OUTLINE BDC\n/F0 Do\n", True, "moves, scales or clips"),
]


@pytest.mark.parametrize(("pattern", "replacement", "form", "said"), WRONG_CONTENT)
def test_wrong_content_under_right_destinations_is_found(
    tmp_path: Path, roll: Sheet, pattern: bytes, replacement: bytes, form: bool, said: str
) -> None:
    path = tmp_path / "s.pdf"
    pdf.write([roll], path, INFO)
    edit_page(path, pattern, replacement, form=form)
    assert said in refused(lambda: verify_pdf(path, [roll]))


def test_an_edit_that_changes_nothing_still_reads_back(tmp_path: Path, roll: Sheet) -> None:
    path = tmp_path / "s.pdf"
    pdf.write([roll], path, INFO)
    edit_page(path, rb"/F0 Do", rb"/F0 Do")
    verify_pdf(path, [roll])


WRONG_KEYS = [
    (b"/PrintScaling /None", b"/PrintScaling /AppDefault", "without scaling"),
    (b"/TrimBox [ 0 0 ", b"/TrimBox [ 0 9 ", "TrimBox is not its MediaBox"),
    (b"/Type /Page ", b"/UserUnit 2 /Type /Page ", "UserUnit"),
    (b"/Type /Page ", b"/Rotate 90 /Type /Page ", "turned"),
]


@pytest.mark.parametrize(("old", "new", "said"), WRONG_KEYS)
def test_page_keys_that_would_scale_or_turn_are_found(
    tmp_path: Path, roll: Sheet, old: bytes, new: bytes, said: str
) -> None:
    path = tmp_path / "s.pdf"
    pdf.write([roll], path, INFO)
    data = path.read_bytes()
    assert data.count(old) == 1
    path.write_bytes(renumbered(data.replace(old, new)))
    assert said in refused(lambda: verify_pdf(path, [roll]))


def renumbered(data: bytes) -> bytes:
    """Mend the cross-reference table after an edit that moved objects."""
    table = data.rindex(b"xref\n0 ", 0, data.rindex(b"startxref"))
    entries = data[table:].split(b"\n")
    for number in range(1, int(entries[1].split()[1])):
        found = re.search(rb"(?m)^%d 0 obj" % number, data)
        assert found is not None
        entries[2 + number] = b"%010d 00000 n " % found.start()
    body = b"\n".join(entries)
    return data[:table] + re.sub(rb"startxref\n\d+", b"startxref\n%d" % table, body)


@pytest.mark.parametrize("suffix", ["dxf", "svg", "pdf"])
@pytest.mark.parametrize("data", [b"", b"not a drawing at all", b"\xff\xfe\x00", b"%PDF-1.7\n%%EOF"])
def test_files_that_are_no_drawings_are_refused_plainly(tmp_path: Path, suffix: str, data: bytes) -> None:
    path = tmp_path / f"s.{suffix}"
    path.write_bytes(data)
    assert "does not read back" in refused(lambda: read_points(path) and None)


@pytest.mark.parametrize("suffix", ["dxf", "svg", "pdf"])
def test_a_file_cut_short_is_refused(tmp_path: Path, sample: Drawing, roll: Sheet, suffix: str) -> None:
    path = tmp_path / f"s.{suffix}"
    dxf.write(sample, tmp_path / "s.dxf", INFO)
    svg.write(roll, tmp_path / "s.svg", INFO)
    pdf.write([roll], tmp_path / "s.pdf", INFO)
    data = path.read_bytes()
    path.write_bytes(data[: len(data) * 2 // 3])
    checks = {
        "dxf": lambda: verify_dxf(path, sample),
        "svg": lambda: verify_svg(path, roll),
        "pdf": lambda: verify_pdf(path, [roll]),
    }
    refused(checks[suffix])


def test_a_damaged_stream_is_refused(tmp_path: Path, roll: Sheet) -> None:
    path = tmp_path / "s.pdf"
    pdf.write([roll], path, INFO)
    data = bytearray(path.read_bytes())
    at = data.index(b"stream\n", data.index(b"/Subtype /Form")) + 200
    data[at : at + 20] = b"\0" * 20
    path.write_bytes(bytes(data))
    with pytest.raises(zlib.error):
        zlib.decompress(bytes(data[at - 193 : at + 4000]))
    assert "is damaged" in refused(lambda: verify_pdf(path, [roll]))


def test_a_dxf_in_metres_is_refused(tmp_path: Path, sample: Drawing) -> None:
    path = tmp_path / "s.dxf"
    dxf.write(sample, path, INFO)
    text = path.read_text("utf-8")
    assert "$INSUNITS\n 70\n4\n" in text
    path.write_text(text.replace("$INSUNITS\n 70\n4\n", "$INSUNITS\n 70\n6\n"), "utf-8")
    assert "unit ($INSUNITS) is 6" in refused(lambda: verify_dxf(path, sample))


def test_an_svg_whose_units_are_not_millimetres_is_refused(tmp_path: Path, roll: Sheet) -> None:
    path = tmp_path / "s.svg"
    for old, new in (('width="1900mm"', 'width="1900px"'), ('viewBox="0 0 1900', 'viewBox="0 0 1901')):
        svg.write(roll, path, INFO)
        text = path.read_text("utf-8")
        assert old in text
        path.write_text(text.replace(old, new), "utf-8")
        refused(lambda: verify_svg(path, roll))


def test_a_transform_above_a_control_point_is_refused(tmp_path: Path, roll: Sheet) -> None:
    path = tmp_path / "s.svg"
    svg.write(roll, path, INFO)
    text = path.read_text("utf-8").replace('id="point"', 'id="point" transform="translate(0 0)"')
    path.write_text(text, "utf-8")
    assert "transform" in refused(lambda: verify_svg(path, roll))


def test_a_missing_file_is_refused(tmp_path: Path, roll: Sheet) -> None:
    assert "cannot read the file back" in refused(lambda: verify_svg(tmp_path / "none.svg", roll))


def test_a_point_without_a_drawn_cross_needs_none(tmp_path: Path) -> None:
    drawing = Drawing("d", (ControlPoint("bb", (5.0, 5.0)), Circle((5.0, 5.0), 3.0, every_layer())))
    dxf.write(drawing, tmp_path / "s.dxf", INFO)
    verify_dxf(tmp_path / "s.dxf", drawing)
    assert read_points(tmp_path / "s.dxf") == {"bb": [(5.0, 5.0)]}


def every_layer():
    return next(e.layer for e in every_kind_of_entity() if isinstance(e, Circle))
