"""The documents of a job: what their files are called, and which sheets each holds."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from layout.drafting.entities import Drawing, Text
from layout.frame.job import Job
from layout.frame.solve import solve
from layout.pipeline.documents import Document, all_drawings, form, job_info
from layout.pipeline.files import PDF, PLT, SVG
from layout.pipeline.order import Order
from layout.sheets.sheet import Placement, Sheet
from layout.spec.load import loads
from layout.writers.document import DocumentInfo

INFO = DocumentInfo("Kestrel")


def page(name: str, kind: str = "nest") -> Sheet:
    placed = Placement(Drawing(f"on {name}"), 0.0, 0.0)
    return Sheet(name, "a3", kind, 420.0, 297.0, (placed,), Drawing(f"round {name}"))


def test_one_sheet_has_one_name_in_every_format():
    files = list(Document("x-roll-914", (page("roll-914"),), INFO).files(PDF, SVG, PLT))
    assert [f.name for f in files] == ["x-roll-914.pdf", "x-roll-914.svg", "x-roll-914.plt"]
    assert {f.page for f in files} == {None}
    assert {(f.kind, f.medium) for f in files} == {("nest", "a3")}


def test_several_sheets_are_one_pdf_and_a_file_a_page():
    sheets = (page("nest 1"), page("nest 2"))
    whole, *each = Document("x-nest", sheets, INFO).files(PDF, SVG)
    assert (whole.name, whole.sheets, whole.page) == ("x-nest.pdf", sheets, None)
    assert [(f.name, f.sheets, f.page) for f in each] == [
        ("x-nest-1.svg", sheets[:1], "nest 1"),
        ("x-nest-2.svg", sheets[1:], "nest 2"),
    ]


def test_tiles_keep_the_names_they_are_taped_by():
    sheets = (page("map", "tiles"), page("1-1", "tiles"), page("1-2", "tiles"))
    names = [f.name for f in Document("x-a4-tiles", sheets, INFO).files(SVG)]
    assert names == ["x-a4-tiles-map.svg", "x-a4-tiles-1-1.svg", "x-a4-tiles-1-2.svg"]


@pytest.mark.parametrize(("kind", "name"), [("tiles", "x-a4-tiles"), ("drawing", "x-a4")])
def test_a_set_of_tiles_can_say_so_in_its_name(kind: str, name: str):
    document = Document("x-a4", (page("map", kind), page("1-1", kind)), INFO)
    assert document.marked.name == name
    assert document.marked.sheets == document.sheets


@pytest.mark.parametrize(
    ("asked", "count", "written"),
    [
        ((), 1, ["pdf", "svg"]),
        ((), 2, ["pdf"]),
        (("SVG", "pdf"), 2, ["pdf", "svg"]),
        (("plt",), 2, ["plt"]),
        (("dxf",), 1, []),
    ],
)
def test_a_file_for_each_of_several_pages_is_written_only_where_it_is_asked_for(
    asked: tuple[str, ...], count: int, written: list[str]
):
    assert Order(formats=asked).formats_of([page(str(k)) for k in range(count)]) == written


def test_a_job_has_its_own_formats_and_the_media_asked_for_once_each():
    order = Order(("a3", "A4", "a3"), default_formats=("pdf", "csv"))
    assert order.formats_wanted == ("pdf", "csv")
    assert [paper.name for paper in order.papers] == ["a3", "a4"]
    assert Order().papers == ()


def test_a_document_tells_everything_that_is_drawn_on_it():
    documents = [Document("x", (page("1"), page("2")), INFO), Document("y", (page("3"),), INFO)]
    titles = [d.title for d in all_drawings(documents)]
    assert titles == ["round 1", "on 1", "round 2", "on 2", "round 3", "on 3"]


def test_a_form_is_drafted_for_the_room_inside_the_border():
    rooms = []

    def draft(width: float, height: float) -> list[Drawing]:
        rooms.append((width, height))
        return [Drawing("one", (Text((0.0, 0.0), "words", 3.5),)), Drawing("two")]

    paper = form("x-setup", "setup", draft, INFO)
    ((width, height),) = rooms
    assert 150.0 < width < 210.0 and 250.0 < height < 297.0
    assert [f.name for f in paper.files(PDF, SVG)] == ["x-setup.pdf", "x-setup-1.svg", "x-setup-2.svg"]
    assert [p.drawing.title for s in paper.sheets for p in s.placements] == ["one", "two"]


@pytest.mark.parametrize(("title", "said"), [("Kestrel", "Kestrel"), ("", "x")])
def test_a_job_without_a_title_is_called_by_its_file(title: str, said: str):
    spec = Path("specs/track.yaml").read_text(encoding="utf-8")
    frame = solve(loads(spec))
    frame = replace(frame, job=Job(title=title, drawn_by="A.", date="2026-03-02"))
    info = job_info(frame, "x", "mitres")
    assert info == DocumentInfo(said, "A.", "2026-03-02", "mitres", mark=f"frame mark {frame.mark}")
