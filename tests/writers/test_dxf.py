"""DXF files, measured by their raw group codes and audited."""

from __future__ import annotations

import io
import math
from itertools import pairwise
from pathlib import Path

import pytest
from sheet_samples import roll_sheet

from layout.drafting import dimensions
from layout.drafting.bounds import bounds
from layout.drafting.entities import (
    AngleDimension,
    Arc,
    ControlPoint,
    DatumLine,
    Drawing,
    LengthDimension,
    Line,
    Text,
)
from layout.drafting.lettering import text_start, text_width
from layout.drafting.style import LAYER_PENS, Layer, Pattern, Pen
from layout.errors import WriteError
from layout.sheets.sheet import Rect, Sheet
from layout.writers.document import DocumentInfo
from layout.writers.dxf import writer as dxf

Tags = list[tuple[int, str]]


def tags_of(path: Path) -> Tags:
    lines = path.read_text("utf-8").split("\n")
    return [(int(c), v) for c, v in zip(lines[0::2], lines[1::2], strict=False)]


def records(tags: Tags, section: str) -> list[Tags]:
    begin = tags.index((2, section))
    end = tags.index((0, "ENDSEC"), begin)
    starts = [i for i in range(begin, end) if tags[i][0] == 0] + [end]
    return [tags[a:b] for a, b in pairwise(starts)]


def of_type(found: list[Tags], kind: str) -> list[Tags]:
    return [r for r in found if r[0] == (0, kind)]


def value(record: Tags, code: int) -> str:
    return next(v for c, v in record if c == code)


def at(record: Tags, x: int) -> tuple[float, float]:
    return float(value(record, x)), float(value(record, x + 10))


def header(tags: Tags, name: str) -> list[str]:
    i = tags.index((9, name))
    values = []
    for code, text in tags[i + 1 :]:
        if code in (0, 9):
            return values
        values.append(text)
    return values


def written(folder: Path, drawing: Drawing, *sheets: Sheet) -> Tags:
    dxf.write(drawing, folder / "one.dxf", DocumentInfo("one"), sheets)
    return tags_of(folder / "one.dxf")


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("dxf")


@pytest.fixture(scope="module")
def tags(folder: Path, sample: Drawing, info: DocumentInfo, roll: Sheet) -> Tags:
    dxf.write(sample, folder / "sample.dxf", info, [roll])
    return tags_of(folder / "sample.dxf")


def test_the_header_says_millimetres_and_scales_nothing(tags: Tags) -> None:
    expected = {
        "$ACADVER": "AC1024",
        "$INSUNITS": "4",
        "$MEASUREMENT": "1",
        "$LTSCALE": "1.0",
        "$CELTSCALE": "1.0",
        "$LWDISPLAY": "1",
        "$PSVPSCALE": "1.0",
        "$PDMODE": "1",
    }
    assert {name: header(tags, name)[0] for name in expected} == expected


def test_dimensions_are_as_drawn_where_a_program_takes_their_sizes_from_the_header(tags: Tags) -> None:
    """LibreCAD drew 2.5 high values with a decimal comma beside words 7 high."""
    sizes = {n: float(header(tags, n)[0]) for n in ("$DIMTXT", "$DIMASZ", "$TEXTSIZE", "$DIMSCALE")}
    assert sizes == {"$DIMTXT": 7.0, "$DIMASZ": pytest.approx(4.2), "$TEXTSIZE": 7.0, "$DIMSCALE": 1.0}
    assert chr(int(header(tags, "$DIMDSEP")[0])) == "."


def test_every_layer_plots_black_without_a_plot_style(tags: Tags) -> None:
    """Yellow and cyan came pale grey out of a printer that has no colours. 7 is black on paper."""
    layers = [r for r in of_type(records(tags, "TABLES"), "LAYER") if value(r, 2) in set(Layer)]
    assert len(layers) == len(Layer)
    assert {value(r, 62) for r in layers} == {"7"}


def test_extents_are_those_of_what_is_drawn(tags: Tags, sample: Drawing) -> None:
    box = bounds(sample)
    low, high = ([float(v) for v in header(tags, name)[:2]] for name in ("$EXTMIN", "$EXTMAX"))
    assert tuple(low) == pytest.approx((box.left, box.bottom), abs=1e-6)
    assert tuple(high) == pytest.approx((box.right, box.top), abs=1e-6)


def test_all_layers_are_defined_with_the_widths_of_their_pens(tags: Tags) -> None:
    layers = {value(r, 2): r for r in of_type(records(tags, "TABLES"), "LAYER")}
    assert set(layers) == {"0", "Defpoints"} | {layer.value for layer in Layer}
    for layer in Layer:
        assert int(value(layers[layer.value], 370)) == round(LAYER_PENS[layer].width * 100)


def test_line_types_are_true_millimetres_and_begin_with_their_total(tags: Tags) -> None:
    types = {value(r, 2): r for r in of_type(records(tags, "TABLES"), "LTYPE")}
    thin, thick = Pen(0.25, Pattern.CHAIN), Pen(0.5, Pattern.CHAIN)
    double = Pen(0.25, Pattern.PHANTOM)
    for name, pen in (("DASHDOT", thin), ("DASHDOT_050", thick), ("DASHDOTDOT", double)):
        elements = [float(v) for c, v in types[name] if c == 49]
        assert [abs(e) for e in elements] == pytest.approx(list(pen.dashes))
        assert [e > 0 for e in elements] == [i % 2 == 0 for i in range(len(elements))]
        assert float(value(types[name], 40)) == pytest.approx(sum(pen.dashes))


def test_control_points_are_named_points_on_their_layer(tags: Tags, sample: Drawing) -> None:
    points = of_type(records(tags, "ENTITIES"), "POINT")
    assert {value(p, 8) for p in points} == {"POINT"}
    found = {}
    for point in points:
        named = point[point.index((1001, "LAYOUT")) + 1 :]
        assert [code for code, _ in named] == [1000]
        found[named[0][1]] = at(point, 10)
    assert set(found) == set(sample.points())
    for name, place in sample.points().items():
        assert found[name] == pytest.approx(place, abs=1e-6)


def test_entities_section_holds_model_space_alone(tags: Tags) -> None:
    assert not [r for r in records(tags, "ENTITIES") if (67, "1") in r]


def test_group_42_is_the_measured_value_and_the_override_its_display(tags: Tags, sample: Drawing) -> None:
    drawn = of_type(records(tags, "ENTITIES"), "DIMENSION")
    meant = [e for e in sample if isinstance(e, LengthDimension | AngleDimension)]
    assert len(drawn) == len(meant) > 3
    for record, d in zip(drawn, meant, strict=True):
        measured = float(value(record, 42))
        shown = value(record, 1)
        if isinstance(d, AngleDimension):
            (x0, y0), (x1, y1), (xv, yv) = at(record, 14), at(record, 10), at(record, 15)
            assert at(record, 13) == (xv, yv)
            turn = math.atan2(y1 - yv, x1 - xv) - math.atan2(y0 - yv, x0 - xv)
            assert measured == pytest.approx(turn % math.tau, abs=1e-8)
            measured = math.degrees(measured)
        else:
            (x0, y0), (x1, y1) = at(record, 13), at(record, 14)
            a = math.radians(float(value(record, 50)))
            along = abs((x1 - x0) * math.cos(a) + (y1 - y0) * math.sin(a))
            assert measured == pytest.approx(along, abs=2e-6)
            assert at(record, 10) == pytest.approx(dimensions.feet(d)[1], abs=1e-6)
        assert float(shown) == pytest.approx(measured, abs=0.5 * 10**-d.decimals + 1e-6)
        assert shown + ("°" if isinstance(d, AngleDimension) else "") == dimensions.value_string(d)


def test_a_dimension_has_a_block_with_its_lines_and_its_value(tags: Tags, sample: Drawing) -> None:
    drawn = of_type(records(tags, "ENTITIES"), "DIMENSION")
    meant = [e for e in sample if isinstance(e, LengthDimension | AngleDimension)]
    blocks = records(tags, "BLOCKS")
    for record, d in zip(drawn, meant, strict=True):
        begin = next(i for i, r in enumerate(blocks) if r[0] == (0, "BLOCK") and (2, value(record, 2)) in r)
        end = next(i for i in range(begin, len(blocks)) if blocks[i][0] == (0, "ENDBLK"))
        body = blocks[begin + 1 : end]
        assert len(body) == len(dimensions.lines(d)) + 1
        (text,) = of_type(body, "TEXT")
        assert value(text, 1) == dimensions.value_string(d).replace("°", "%%d")
        assert at(text, 10) == pytest.approx(dimensions.value_text(d).at, abs=1e-6)


def test_labels_are_texts_of_their_own_beside_the_value(tags: Tags, sample: Drawing) -> None:
    texts = {value(t, 1): t for t in of_type(records(tags, "ENTITIES"), "TEXT")}
    labelled = [e for e in sample if isinstance(e, LengthDimension | AngleDimension) and e.label]
    assert len(labelled) > 2
    for d in labelled:
        assert at(texts[d.label], 10) == pytest.approx(dimensions.label_text(d).at, abs=1e-6)


def test_text_is_fitted_to_the_width_our_own_lettering_has(tags: Tags, sample: Drawing) -> None:
    texts = of_type(records(tags, "ENTITIES"), "TEXT")
    for text in (e for e in sample if isinstance(e, Text) and e.text.startswith("s")):
        (record,) = [t for t in texts if value(t, 1) == text.text]
        assert value(record, 72) == "5"
        (x0, y0), (x1, y1) = at(record, 10), at(record, 11)
        width = text_width(text.text, text.height)
        assert math.hypot(x1 - x0, y1 - y0) == pytest.approx(width, abs=2e-6)
        assert math.degrees(math.atan2(y1 - y0, x1 - x0)) == pytest.approx(text.angle, abs=1e-4)
        assert float(value(record, 40)) == text.height


def test_a_program_that_does_not_fit_text_draws_it_as_wide_by_its_factor(tags: Tags, sample: Drawing) -> None:
    """Without group 41 (1 where it is not there: DXF reference, TEXT) words ran over what they keep off."""
    texts, widened = of_type(records(tags, "ENTITIES"), "TEXT"), 0
    for text in (e for e in sample if isinstance(e, Text) and len(e.text.strip()) > 1):
        (record,) = [t for t in texts if at(t, 10) == pytest.approx(text_start(text), abs=2e-6)]
        factor = float(dict(record).get(41, "1"))
        assert factor * text.height * len(text.text) == pytest.approx(
            text_width(text.text, text.height), abs=5e-4 * text.height * len(text.text) + 1e-9
        )
        widened += factor != 1.0
    assert widened > 2


def test_a_dimensions_value_is_held_by_its_middle(tags: Tags) -> None:
    """Group 71: 5 is middle and centre (DXF reference, DIMENSION); 6 would put it to the left of there."""
    drawn = of_type(records(tags, "ENTITIES"), "DIMENSION")
    assert drawn and all(value(record, 71) == "5" for record in drawn)


def test_an_upright_stroke_has_no_width_to_be_fitted_to(tmp_path: Path) -> None:
    tags = written(tmp_path, Drawing("d", (Text((1.0, 2.0), "I", 5.0),)))
    (text,) = of_type(records(tags, "ENTITIES"), "TEXT")
    assert (72, "5") not in text
    assert at(text, 10) == (1.0, 2.0)


def test_words_cannot_break_the_file_or_turn_into_codes(tmp_path: Path) -> None:
    words = "one\ntwo\r0 50%% a^J \\U+0041"
    tags = written(tmp_path, Drawing("d", (Text((0.0, 0.0), words, 5.0),)))
    (text,) = of_type(records(tags, "ENTITIES"), "TEXT")
    assert value(text, 1) == r"one two 0 50%%%%%% a^ J \U+005CU+0041"


def test_a_per_cent_sign_in_words_or_in_a_name_is_no_place_for_a_number(tmp_path: Path) -> None:
    drawn = (Text((1.0, 2.0), "5 %s %d", 5.0), ControlPoint("%s", (3.0, 4.0)))
    found = records(written(tmp_path, Drawing("d", drawn)), "ENTITIES")
    (text,), (point,) = of_type(found, "TEXT"), of_type(found, "POINT")
    assert (value(text, 1), at(text, 10)) == ("5 %s %d", (1.0, 2.0))
    assert (value(point, 1000), at(point, 10)) == ("%s", (3.0, 4.0))


def test_arcs_are_arcs_and_full_turns_are_circles(tmp_path: Path) -> None:
    arcs = (
        Arc((1.0, 2.0), 30.0, -30.0, 200.0, layer=Layer.OUTLINE),
        Arc((1.0, 2.0), 20.0, 90.0, 450.0, layer=Layer.OUTLINE),
    )
    found = records(written(tmp_path, Drawing("d", arcs)), "ENTITIES")
    (arc,) = of_type(found, "ARC")
    assert [float(value(arc, c)) for c in (10, 20, 40, 50, 51)] == [1.0, 2.0, 30.0, 330.0, 200.0]
    (circle,) = of_type(found, "CIRCLE")
    assert float(value(circle, 40)) == 20.0


def test_an_entity_with_a_pen_of_its_own_says_so(tmp_path: Path) -> None:
    pens = (None, Pen(0.5, Pattern.DASHED))
    lines = tuple(Line((0.0, 0.0), (9.0, 0.0), Layer.CENTRE, pen) for pen in pens)
    plain, own = of_type(records(written(tmp_path, Drawing("d", lines)), "ENTITIES"), "LINE")
    assert not {6, 370} & {code for code, _ in plain}
    assert (value(own, 6), value(own, 370)) == ("DASHED_050", "50")


def test_an_unended_datum_line_writes_nothing(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="datum line"):
        written(tmp_path, Drawing("d", (DatumLine((0.0, 0.0), 0.0),)))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("turn", [0, 1, 2, 3])
def test_a_layout_shows_the_model_at_one_to_one(tmp_path: Path, sample: Drawing, turn: int) -> None:
    import ezdxf

    sheet = roll_sheet(sample, turn=turn, clip=Rect(20.0, 30.0, 900.0, 1000.0))
    written(tmp_path, sample, sheet)
    layout = ezdxf.readfile(tmp_path / "one.dxf").layouts.get("roll")
    viewport = list(layout.viewports())[-1]
    assert viewport.get_scale() == 1.0
    onto_paper = viewport.get_transformation_matrix()
    for p in sample.points().values():
        x, y, _ = onto_paper.transform((*p, 0.0))
        assert (x, y) == pytest.approx(sheet.placements[0].to_sheet(p), abs=1e-6)
    assert (layout.dxf.paper_width, layout.dxf.paper_height) == (sheet.width, sheet.height)


def test_the_audit_finds_nothing_to_repair(folder: Path, tags: Tags) -> None:
    import ezdxf

    doc = ezdxf.readfile(folder / "sample.dxf")
    audit = doc.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    assert len(doc.modelspace()) > 30


def test_the_library_writes_each_entity_as_we_do(folder: Path, tags: Tags) -> None:
    """ezdxf, having read the file, says of each entity the same in the same order."""
    import ezdxf
    from ezdxf.lldxf.tagwriter import TagWriter

    doc = ezdxf.readfile(folder / "sample.dxf")
    ours = (folder / "sample.dxf").read_text("utf-8")
    kinds = set()
    for space in (*doc.layouts, *doc.blocks):
        for entity in space:
            theirs = io.StringIO()
            entity.export_dxf(TagWriter(theirs, dxfversion=doc.dxfversion))
            assert f"{theirs.getvalue()}  0\n" in ours
            kinds.add(entity.dxftype())
    assert kinds >= {"POINT", "LINE", "ARC", "CIRCLE", "LWPOLYLINE", "TEXT", "DIMENSION", "VIEWPORT"}
