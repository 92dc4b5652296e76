"""DXF read by GDAL (its DXF driver, through pyogrio): an independent open reader, https://gdal.org."""

from __future__ import annotations

from pathlib import Path

import pyogrio
import pyogrio.raw
import pytest
import shapely
from sheet_samples import POINTS, WORDS

from layout.drafting import dimensions
from layout.drafting.entities import AngleDimension, Arc, Circle, Drawing, LengthDimension, Line, Text
from layout.drafting.style import Layer
from layout.sheets.sheet import Sheet
from layout.writers.document import DocumentInfo
from layout.writers.dxf import writer as dxf

Feature = tuple[str, str | None, shapely.Geometry]


@pytest.fixture(scope="module")
def features(tmp_path_factory, sample: Drawing, roll: Sheet, info: DocumentInfo) -> list[Feature]:
    """Layer, text and geometry of everything GDAL finds."""
    path: Path = tmp_path_factory.mktemp("gdal") / "sample.dxf"
    dxf.write(sample, path, info, [roll])
    pyogrio.set_gdal_config_options({"DXF_ENCODING": "UTF-8"})
    meta, _, geometry, columns = pyogrio.raw.read(path)
    column = dict(zip(meta["fields"], columns, strict=True))
    assert not [v for v in column["PaperSpace"] if v == 1]
    return list(zip(column["Layer"], column["Text"], shapely.from_wkb(geometry), strict=True))


def test_control_points_are_where_they_were_put(features: list[Feature]) -> None:
    found = [(g.x, g.y) for layer, text, g in features if layer == "POINT" and g.geom_type == "Point"]
    assert sorted(found) == [pytest.approx(p, abs=1e-6) for p in sorted(POINTS.values())]


def test_every_layer_that_is_drawn_on_arrives(features: list[Feature], sample: Drawing) -> None:
    assert {layer for layer, _, _ in features} == {e.layer.value for e in sample}


def test_lines_arrive_end_to_end(features: list[Feature], sample: Drawing) -> None:
    for line in (e for e in sample if isinstance(e, Line)):
        meant = shapely.LineString([line.start, line.end])
        on_layer = [g for layer, _, g in features if layer == line.layer.value]
        assert any(g.equals_exact(meant, 1e-6) for g in on_layer)


def test_circles_and_arcs_have_their_centre_and_radius(features: list[Feature], sample: Drawing) -> None:
    """GDAL gives chords whose ends are on the circle."""
    round_ones = [e for e in sample if isinstance(e, Circle | Arc)]
    assert len(round_ones) > 3
    for e in round_ones:
        on_layer = [g for layer, _, g in features if layer == e.layer.value and g.geom_type == "LineString"]
        away = [shapely.distance(shapely.points(g.coords), shapely.Point(e.centre)) for g in on_layer]
        assert any(d == pytest.approx(e.radius, abs=1e-5) for d in away if d.size > 10)


def test_words_survive_with_accents_and_signs(features: list[Feature], sample: Drawing) -> None:
    texts = {text for _, text, _ in features if text}
    assert WORDS.replace("Ø", "⌀") in texts
    assert {e.text for e in sample if isinstance(e, Text) and e.text != WORDS} <= texts


def test_dimensions_arrive_with_value_and_label_where_we_drew_them(
    features: list[Feature], sample: Drawing
) -> None:
    places = {text: (g.x, g.y) for _, text, g in features if text}
    shown = [e for e in sample if isinstance(e, LengthDimension | AngleDimension)]
    assert len(shown) > 3
    for d in shown:
        assert places[dimensions.value_string(d)] == pytest.approx(dimensions.value_text(d).at, abs=1e-5)
        label = dimensions.label_text(d)
        assert label is None or places[label.text] == pytest.approx(label.at, abs=1e-5)


def test_dimension_lines_arrive_from_the_block(features: list[Feature], sample: Drawing) -> None:
    on_layer = [g for layer, text, g in features if layer == Layer.DIM.value and not text]
    for d in (e for e in sample if isinstance(e, LengthDimension)):
        for line in dimensions.lines(d):
            if isinstance(line, Line):
                meant = shapely.LineString([line.start, line.end])
                assert any(g.equals_exact(meant, 2e-6) for g in on_layer)
