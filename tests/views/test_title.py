"""The title block: what ISO 7200 asks for (its list from memory), and nothing cut short in silence."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from layout.drafting.entities import Drawing, Text
from layout.frame.job import Job
from layout.frame.solve import Frame, solve
from layout.pipeline.draft import draft
from layout.sheets.lay import lay
from layout.sheets.media import medium
from layout.spec.load import load, loads
from layout.views.panels import title_panels

SPEC = """
job: {number: 24-7, title: A frame, owner: Own workshop, rider: K. M., drawn_by: D. R., approved_by: A. P.,
      date: 2026-03-02, revision: B}
geometry: {bb_drop: 70, rear_centre: 425, front_centre: 605, head_angle: 72, seat_angle: 73,
           head_tube_length: 150}
fork: {axle_to_crown: 395, offset: 45}
"""
NOTES = " ".join(f"Sentence {k} says what the bench must not forget." for k in range(40))
NAME = 2 * "A very long name of a frame for a rider of many given names, as a customer wrote it, and colours"


@pytest.fixture(scope="module")
def frame() -> Frame:
    return solve(loads(SPEC))


def words_of(drawing: Drawing) -> list[str]:
    return [e.text for e in drawing if isinstance(e, Text)]


def test_the_title_block_has_what_iso_7200_lists_and_ours(frame: Frame):
    """Owner and sheet of sheets were missing."""
    said = words_of(title_panels(frame)["title"].drawing)
    fields = dict(pairwise(said))
    assert {name: fields[name] for name in WANTED} == WANTED | {"frame mark": frame.mark}


WANTED = {
    "owner": "Own workshop", "title": "A frame", "number": "24-7", "drawn by": "D. R.",
    "approved by": "A. P.",
    "document": "frame layout, side view", "date": "2026-03-02", "revision": "B", "sheet": "1 of 1",
    "rider": "K. M.", "the bicycle is": "heading right", "frame mark": "",
}  # fmt: skip


def test_an_owner_that_is_not_given_leaves_its_field_blank(frame: Frame):
    said = words_of(title_panels(replace(frame, job=Job(title="A frame")))["title"].drawing)
    assert said[said.index("owner") + 1] == "number"


@pytest.mark.parametrize("name", ["roll-1067", "a4"])
def test_notes_and_names_too_long_for_the_title_block_stand_in_full_beside_it(frame: Frame, name: str):
    """The notes ended in an ellipsis and the rest of them stood nowhere."""
    job = frame.job._replace(notes=NOTES, title=NAME, owner=NAME)
    drafted = draft(replace(frame, job=job), "frame.yaml")
    shown = [words_of(p.drawing) for s in lay(drafted.arrangement, medium(name)) for p in s.placements]
    said = " ".join(word for words in shown for word in words)
    assert f"notes: {NOTES}" in said and f"title: {NAME}" in said and f"owner: {NAME}" in said


def test_short_notes_need_no_panel_of_their_own(frame: Frame):
    assert set(title_panels(frame)) == {"title"}


@pytest.mark.parametrize("name", ["roll-1067", "a4"])
def test_the_decimal_sign_is_said_once(frame: Frame, name: str):
    sheets = lay(draft(frame, "frame.yaml").arrangement, medium(name))
    drawings = {id(p.drawing): p.drawing for s in sheets for p in s.placements}
    said = [text for drawing in drawings.values() for text in words_of(drawing) if "decimal" in text]
    assert said == ["scale; decimal sign: point"]


@pytest.mark.parametrize(("name", "before"), [("a4", 1), ("a2", 0)])
def test_the_title_block_among_tiles_says_which_sheet_of_how_many_it_is_on(
    frame: Frame, name: str, before: int
):
    """It said "1 of 1" among eighteen pages."""
    sheets = lay(draft(frame, "frame.yaml").arrangement, medium(name))
    said = [
        (number, b)
        for number, sheet in enumerate(sheets, 1)
        for placement in sheet.placements
        for a, b in pairwise(words_of(placement.drawing))
        if a == "sheet"
    ]
    assert len(sheets) > 1
    assert said == [(before + 1, f"{before + 1} of {len(sheets)}")]


def test_tables_of_a_tall_frame_on_landscape_letter_take_at_most_five_pages():
    """The list of dimensions filled half the width of each page, and the tables took seven."""
    frame = solve(load(Path(__file__).parents[2] / "specs" / "hardtail.yaml"))
    names = [sheet.name for sheet in lay(draft(frame, "hardtail.yaml").arrangement, medium("letter"))]
    assert names[0] == "map"
    assert sum(name.startswith("tables") for name in names) <= 5
