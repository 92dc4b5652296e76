"""Printer compensation through draw: where it applies, where never, and that it is said."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pypdfium2
import pytest

from layout.frame.solve import Frame, solve
from layout.pipeline.draw import draw
from layout.pipeline.order import Order
from layout.sheets.media import Printer
from layout.spec.load import load
from layout.spec.readings import load_readings

SPECS = Path(__file__).parents[2] / "specs"
PRINTER = Printer(1.0021, 0.9986)
SAID = "compensated for a printer of x 1.0021, y 0.9986"


@pytest.fixture(scope="module")
def small() -> Frame:
    return solve(load(SPECS / "small-650b.yaml"))


def pages_of(path: Path) -> list[str]:
    with pypdfium2.PdfDocument(path) as document:
        return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def test_it_is_said_on_every_page(small: Frame, tmp_path: Path):
    written = draw(small, "frame", tmp_path, Order(("a3", "roll-914"), ("pdf",), PRINTER))
    pages = [text for f in written.files if f.format == "pdf" for text in pages_of(Path(f.path))]
    assert len(pages) > 5
    assert all(SAID in text for text in pages)


def test_dimensions_shown_stay_the_true_ones(small: Frame, tmp_path: Path):
    shown = []
    for name, printer in (("a", Printer()), ("b", PRINTER)):
        draw(small, name, tmp_path, Order(("roll-914",), ("pdf",), printer))
        (text,) = pages_of(tmp_path / f"{name}-roll-914.pdf")
        shown.append(sorted(re.findall(r"\d+\.\d", text.replace(SAID, ""))))
    assert shown[0] == shown[1] and len(shown[0]) > 100


def test_the_dxf_and_its_layouts_are_never_compensated(small: Frame, tmp_path: Path):
    for name, printer in (("a", Printer()), ("b", PRINTER)):
        draw(small, name, tmp_path, Order(("roll-914",), ("dxf", "svg"), printer))
    assert (tmp_path / "a.dxf").read_bytes() == (tmp_path / "b.dxf").read_bytes()
    assert (tmp_path / "a-roll-914.svg").read_bytes() != (tmp_path / "b-roll-914.svg").read_bytes()
    assert "compensated for" not in (tmp_path / "b.dxf").read_text("utf-8")


def test_the_form_says_what_the_sheet_was_printed_with(small: Frame, tmp_path: Path):
    draw(small, "frame", tmp_path, Order(("roll-914",), ("svg",), PRINTER))
    sheet = load_readings(tmp_path / "frame-roll-914-readings.yaml").sheet
    assert (sheet.media, sheet.turned, sheet.printer) == ("roll-914", False, (1.0021, 0.9986))


def test_numbers_for_named_media_leave_others_alone(small: Frame, tmp_path: Path):
    order = Order(("A2", "roll-914"), ("pdf",), PRINTER, ("a2",))
    written = draw(small, "frame", tmp_path, order)
    for f in written.files:
        if f.format == "pdf":
            assert all((SAID in text) == (f.media == "a2") for text in pages_of(Path(f.path))), f.path
    assert load_readings(tmp_path / "frame-roll-914-readings.yaml").sheet.printer == (1.0, 1.0)
    assert not [n for n in written.warnings if n.code == "printer_shared"]


@pytest.mark.parametrize(("media", "warned"), [(("a3", "roll-914"), True), (("a3", "a4"), False)])
def test_one_printers_numbers_on_two_kinds_of_machine_are_warned_of(
    small: Frame, tmp_path: Path, media: tuple[str, ...], warned: bool
):
    notices = draw(small, "frame", tmp_path, Order(media, ("pdf",), PRINTER)).warnings
    assert [n.code for n in notices if n.code == "printer_shared"] == ["printer_shared"] * warned


def test_readings_filled_in_survive_a_second_draw(small: Frame, tmp_path: Path):
    order = Order(("roll-914",), ("svg",))
    draw(small, "frame", tmp_path, order)
    path = tmp_path / "frame-roll-914-readings.yaml"
    path.write_text(path.read_text().replace("measured: }", "measured: 996.5}", 1))
    notices = draw(small, "frame", tmp_path, order).warnings
    assert [n.code for n in notices if n.code == "readings_kept"] == ["readings_kept"]
    assert load_readings(tmp_path / "frame-roll-914-readings-1.yaml").rows[0].measured == 996.5
    assert load_readings(path).rows[0].measured is None


def test_hpgl_is_one_file_a_page(small: Frame, tmp_path: Path):
    written = draw(small, "frame", tmp_path, Order(("a1",), ("plt", "svg")))
    plotted = [f.sheet for f in written.files if f.format == "plt"]
    assert plotted == [f.sheet for f in written.files if f.format == "svg"]
    assert plotted[0] == "map" and len(plotted) > 2
    heads = [Path(f.path).read_text("ascii")[:6] for f in written.files if f.format == "plt"]
    assert set(heads) == {"IN;\nPS"}


def test_without_a_format_there_is_no_hpgl(small: Frame, tmp_path: Path):
    written = draw(small, "frame", tmp_path, Order(("roll-914",)))
    assert {f.format for f in written.files} == {"dxf", "svg", "pdf", "yaml"}


def test_heading_left_is_said_and_mirrors_every_point(small: Frame, tmp_path: Path):
    draw(small, "right", tmp_path, Order(("roll-914",), ("svg",)))
    draw(replace(small, heading="left"), "left", tmp_path, Order(("roll-914",), ("svg",)))
    found = []
    for name in ("right", "left"):
        text = (tmp_path / f"{name}-roll-914.svg").read_text("utf-8")
        assert f"heading {name}" in text
        circles = ElementTree.fromstring(text).iter("{http://www.w3.org/2000/svg}circle")
        at = {c.get("id"): (float(c.get("cx")), float(c.get("cy"))) for c in circles if c.get("id")}
        x, y = at["point-bb"]
        found.append({n: (round(p[0] - x, 4), round(p[1] - y, 4)) for n, p in at.items()})
    assert found[0].keys() == found[1].keys()
    for name, (x, y) in found[0].items():
        assert found[1][name] == pytest.approx((-x, y), abs=2e-4), name


def test_a_printer_that_is_none_is_said(small: Frame, tmp_path: Path):
    for printer, said in ((Printer(0.97, 0.97), True), (Printer(1.015, 0.99), False)):
        order = Order(("roll-1067",), ("svg",), printer)
        codes = [n.code for n in draw(small, "frame", tmp_path, order).warnings]
        assert ("printer_far" in codes) is said
