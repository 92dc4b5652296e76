"""SVG files, measured with the standard XML parser."""

from __future__ import annotations

import math
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from layout.drafting.entities import (
    AngleDimension,
    Arc,
    DatumLine,
    Drawing,
    LengthDimension,
    Line,
    Polyline,
    Text,
)
from layout.drafting.lettering import text_width
from layout.drafting.style import Layer
from layout.errors import WriteError
from layout.sheets.sheet import Placement, Rect, Sheet
from layout.writers import svg
from layout.writers.document import DocumentInfo

SVG = "{http://www.w3.org/2000/svg}"


def parsed(path: Path) -> ElementTree.Element:
    return ElementTree.parse(path).getroot()


def group(root: ElementTree.Element, layer: Layer) -> ElementTree.Element:
    return next(g for g in root.findall(f"{SVG}g") if g.get("id") == layer.value.lower())


def one_entity(
    tmp_path: Path, *entities, placement: tuple[float, float, int] = (0.0, 0.0, 0), stretch=(1.0, 1.0)
):
    drawing = Drawing("d", entities)
    sheet = Sheet(
        "s", "a3", "drawing", 420.0, 297.0, (Placement(drawing, *placement),), Drawing("f"), stretch
    )
    svg.write(sheet, tmp_path / "one.svg", DocumentInfo("one"))
    return parsed(tmp_path / "one.svg")


@pytest.fixture(scope="module")
def written(tmp_path_factory, roll: Sheet, info: DocumentInfo) -> ElementTree.Element:
    path = tmp_path_factory.mktemp("svg") / "roll.svg"
    svg.write(roll, path, info)
    return parsed(path)


def test_a_user_unit_is_a_millimetre(written: ElementTree.Element) -> None:
    assert written.attrib["width"] == "1900mm"
    assert written.attrib["height"] == "1067mm"
    assert written.attrib["viewBox"] == "0 0 1900 1067"
    assert "transform" not in written.attrib


def test_one_group_a_layer_named_in_lower_case(written: ElementTree.Element) -> None:
    assert [g.get("id") for g in written.findall(f"{SVG}g")] == [layer.value.lower() for layer in Layer]


def test_control_points_are_circles_under_no_transform(written: ElementTree.Element, roll: Sheet) -> None:
    (placement,) = roll.placements
    circles = {c.get("id"): c for c in written.iter(f"{SVG}circle") if c.get("id")}
    assert set(circles) == {f"point-{n}" for n in placement.drawing.points()}
    for name, at in placement.drawing.points().items():
        x, y = placement.to_sheet(at)
        circle = circles[f"point-{name}"]
        assert float(circle.attrib["cx"]) == pytest.approx(x, abs=1e-6)
        assert float(circle.attrib["cy"]) == pytest.approx(roll.height - y, abs=1e-6)
    parents = {child: parent for parent in written.iter() for child in parent}
    for circle in circles.values():
        above = circle
        while above is not written:
            assert "transform" not in above.attrib
            above = parents[above]


def test_only_unpainted_words_are_transformed(written: ElementTree.Element) -> None:
    turned = {e.tag for e in written.iter() if "transform" in e.attrib}
    assert turned == {f"{SVG}text"}


def test_nothing_is_filled(written: ElementTree.Element) -> None:
    assert all(g.get("fill") == "none" for g in written.findall(f"{SVG}g"))
    assert {e.get("fill") for e in written.iter() if e.get("fill")} == {"none"}


def test_arcs_stay_arcs_in_pieces_that_end_on_their_circle(tmp_path: Path) -> None:
    arc = Arc((200.0, 100.0), 90.0, -30.0, 200.0, layer=Layer.OUTLINE)
    (path,) = group(one_entity(tmp_path, arc), Layer.OUTLINE)
    assert not re.search("[LCQ]", path.attrib["d"])
    start, *pieces = re.split("[MA]", path.attrib["d"])[1:]
    at = tuple(float(v) for v in start.split())
    assert at == pytest.approx(
        (200 + 90 * math.cos(math.radians(-30)), 197 - 90 * math.sin(math.radians(-30)))
    )
    for piece in pieces:
        rx, ry, tilt, large, sweep, x, y = (float(v) for v in piece.split())
        assert (rx, ry, tilt, large, sweep) == (90.0, 90.0, 0.0, 0.0, 0.0)
        assert math.hypot(x - 200, y - 197) == pytest.approx(90.0, abs=2e-6)
        assert math.dist(at, (x, y)) <= 2 * 90 * math.sin(math.radians(45)) + 1e-6
        at = (x, y)
    assert at == pytest.approx(
        (200 + 90 * math.cos(math.radians(200)), 197 - 90 * math.sin(math.radians(200)))
    )


def test_compensation_turns_arcs_into_ellipses_along_the_paper(tmp_path: Path) -> None:
    arc = Arc((100.0, 100.0), 50.0, 0.0, 80.0, layer=Layer.OUTLINE)
    root = one_entity(tmp_path, arc, placement=(300.0, 0.0, 1), stretch=(1.01, 0.99))
    (path,) = group(root, Layer.OUTLINE)
    assert re.search(r"A50\.5 49\.5 ", path.attrib["d"])


def test_polylines_close_only_where_they_are_closed(tmp_path: Path) -> None:
    points = ((10.0, 10.0), (50.0, 10.0), (50.0, 40.0))
    root = one_entity(tmp_path, Polyline(points, Layer.OUTLINE), Polyline(points, Layer.FITTING, closed=True))
    assert group(root, Layer.OUTLINE)[0].attrib["d"] == "M10 287L50 287L50 257"
    assert group(root, Layer.FITTING)[0].attrib["d"] == "M10 287L50 287L50 257Z"


def test_dash_patterns_are_true_millimetres(written: ElementTree.Element) -> None:
    assert group(written, Layer.CENTRE).get("stroke-dasharray") == "6 0.75 0.125 0.75"
    assert group(written, Layer.CENTRE).get("stroke-width") == "0.25"
    thick = group(written, Layer.DATUM)[0]
    assert (thick.get("stroke-width"), thick.get("stroke-dasharray")) == ("0.5", "12 1.5 0.25 1.5")


def test_words_are_there_unpainted_where_their_strokes_are(tmp_path: Path) -> None:
    text = Text((100.0, 50.0), "head tube", 7.0, Layer.NOTE, angle=90.0)
    note = group(one_entity(tmp_path, text), Layer.NOTE)
    painted, words = note
    assert words.get("stroke") == "none"
    (word,) = words
    assert word.text == "head tube"
    assert (word.get("x"), word.get("y")) == ("100", "247")
    assert word.get("transform") == "rotate(-90 100 247)"
    assert float(word.get("textLength")) == pytest.approx(text_width("head tube", 7.0), abs=1e-6)
    (strokes,) = painted
    numbers = [float(v) for v in re.findall(r"-?\d+\.\d+", strokes.attrib["d"])]
    assert min(numbers[0::2]) == pytest.approx(93.0, abs=0.5)
    assert max(numbers[1::2]) == pytest.approx(247.0, abs=1.0)
    assert min(numbers[1::2]) == pytest.approx(247.0 - text_width("head tube", 7.0), abs=1.0)


def test_a_clipped_placement_is_clipped_and_its_points_outside_left_out(
    tmp_path: Path, sample: Drawing
) -> None:
    placement = Placement(sample, 100.0, 100.0, 0, Rect(10.0, 10.0, 200.0, 287.0))
    sheet = Sheet("s", "a4", "tiles", 210.0, 297.0, (placement,), Drawing("f"))
    svg.write(sheet, tmp_path / "tile.svg", DocumentInfo("tile"))
    root = parsed(tmp_path / "tile.svg")
    (clip,) = root.iter(f"{SVG}clipPath")
    (rect,) = clip
    assert [rect.get(k) for k in ("x", "y", "width", "height")] == ["10", "10", "190", "277"]
    clipped = [g for g in root.iter(f"{SVG}g") if g.get("clip-path") == "url(#clip-0)"]
    assert len(clipped) >= 5
    assert [c.get("id") for c in root.iter(f"{SVG}circle") if c.get("id")] == ["point-bb"]


def test_title_and_description_come_from_the_document(written: ElementTree.Element) -> None:
    assert written.findtext(f"{SVG}title") == "Sample – façade"
    assert "1900 x 1067 mm; one unit is 1 mm." in (written.findtext(f"{SVG}desc") or "")


def test_characters_that_xml_cannot_carry_do_not_break_the_file(tmp_path: Path) -> None:
    root = one_entity(tmp_path, Text((20.0, 20.0), "a\x00b\x0bc\ud800 <&>", 5.0))
    (word,) = root.iter(f"{SVG}text")
    assert word.text == "a b c  <&>"


def test_words_that_look_like_places_in_the_file_stay_words(tmp_path: Path) -> None:
    words = "5 %s <!--NOTE--> & \"%d\""
    sheet = Sheet("s", "a4", "form", 210.0, 297.0, (), Drawing("f", (Text((1.0, 2.0), words, 5.0),)))
    svg.write(sheet, tmp_path / "w.svg", DocumentInfo(words))
    root = parsed(tmp_path / "w.svg")
    assert [e.text for e in root.iter(f"{SVG}text")] == [words]
    assert root.findtext(f"{SVG}title") == words


def test_an_unended_datum_line_writes_nothing(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="datum line"):
        one_entity(tmp_path, DatumLine((0.0, 0.0), 0.0), Line((0.0, 0.0), (1.0, 1.0), Layer.DIM))
    assert list(tmp_path.iterdir()) == []


def test_names_of_dimensions_are_all_that_a_page_for_the_screen_adds(
    tmp_path: Path, roll: Sheet, info: DocumentInfo
) -> None:
    svg.write(roll, tmp_path / "roll.svg", info)
    named = svg.svg_text(roll, info, named=True)
    assert re.sub(' data-of="[^"]*"', "", named) == (tmp_path / "roll.svg").read_text("utf-8")
    (placement,) = roll.placements
    dimensions = {e.name for e in placement.drawing if isinstance(e, LengthDimension | AngleDimension)}
    assert set(re.findall('data-of="([^"]*)"', named)) == dimensions
    assert dimensions
