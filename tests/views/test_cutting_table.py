"""The cutting table says what the geometry found, for every end, and where a vent goes."""

from __future__ import annotations

import math
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from kernel_frames import SPECS, placed
from shapely.geometry import Polygon

from layout.bench.cutting import HEADINGS, rows
from layout.drafting.entities import Text
from layout.drafting.lettering import text_box
from layout.frame.solve import Frame, solve
from layout.geometry.space.frame import SpaceFrame
from layout.geometry.space.lengths import lengths_of
from layout.geometry.space.meeting import Host
from layout.geometry.space.mitre import Cut
from layout.geometry.space.mitre import mitre as solo
from layout.geometry.space.profile import constant_profile
from layout.geometry.space.tube import Tube
from layout.sheets.media import medium
from layout.sheets.nest import flow, lay_nested
from layout.spec.load import loads
from layout.views.cutting import WIDTH, cutting_panels


@cache
def faced(name: str) -> Frame:
    """A frame whose head tube is faced by 1.5 at each end."""
    if "head_tube:" in SPECS[name]:
        text = SPECS[name].replace("  head_tube: {", "  head_tube: {facing_allowance: 1.5, ")
    else:
        text = SPECS[name] + "tubes: {head_tube: {facing_allowance: 1.5}}\n"
    spec = loads(text, f"{name}.yaml")
    return solve(spec)


def table_of(name: str) -> dict[tuple[str, str], dict[str, str]]:
    """The first row of each end."""
    found = rows(faced(name).lengths)
    return {(r[0], r[1]): dict(zip(HEADINGS, r, strict=True)) for r in reversed(found)}


@pytest.mark.parametrize("name", SPECS)
def test_every_end_of_every_tube_has_its_row(name: str):
    frame = placed(name).space
    table = table_of(name)
    assert set(table) == {
        (t.name, e) for t in frame.tubes.values() if t.name != "bottom_bracket" for e in t.ends
    }
    for cut in frame.cuts:
        row = table[(cut.tube, cut.end_name)]
        assert row["on"] == cut.against[0]
        assert float(row["offset"]) == pytest.approx(cut.offset, abs=0.006)
        lengths = lengths_of(frame, cut.tube)
        assert float(row["cut_length"]) == pytest.approx(lengths.cut_length, abs=0.006)
        half = lengths.centre_length / 2
        assert float(row["mark_to_long_point"]) == pytest.approx(half - cut.least.s, abs=0.006)
        assert float(row["mark_to_short_point"]) == pytest.approx(half - cut.greatest.s, abs=0.006)


@pytest.mark.parametrize("name", SPECS)
def test_an_end_cut_on_two_tubes_has_a_row_for_each(name: str):
    """It showed the angle and the cutter of the first alone, under the names of both."""
    frame = placed(name)
    found = [dict(zip(HEADINGS, r, strict=True)) for r in rows(frame.lengths)]
    for cut in frame.space.cuts:
        own = [r for r in found if (r["tube"], r["end"]) == (cut.tube, cut.end_name)]
        assert [r["on"] for r in own] == list(cut.against)
        assert all(r["mark_to_long_point"] == "" for r in own[1:])
        for row, host in zip(own, cut.hosts, strict=True):
            if not host.tube.path.straight:
                continue
            angle, offset, cutter = by_vectors(cut, host.tube)
            assert float(row["offset"]) == pytest.approx(offset, abs=0.006)
            if not row["misfit"]:
                assert row["mill_angle"] == row["cutter"] == ""
                continue
            if not host.tube.profile.constant:
                continue
            assert float(row["misfit"]) == 0.0
            assert float(row["mill_angle"]) == pytest.approx(angle, abs=0.006)
            assert float(row["from_square"]) == pytest.approx(90.0 - angle, abs=0.006)
            assert float(row["cutter"]) == pytest.approx(cutter, abs=0.006)
    assert any(len(cut.against) > 1 for cut in frame.space.cuts)


def by_vectors(cut: Cut, host: Tube) -> tuple[float, float, float | None]:
    """Angle and distance of two straight axes by scalar and triple product; the diameter of a round host."""
    a, b = cut.end.triad, host.path.first
    normal = np.cross(a.along, b.along)
    sine = float(np.linalg.norm(normal))
    gap = b.at - a.at
    far = float(np.dot(np.cross(gap, a.along), normal)) / sine**2
    one, other = host.diameter_at(far)
    angle = math.degrees(math.acos(min(1.0, abs(float(np.dot(a.along, b.along))))))
    return angle, abs(float(np.dot(gap, normal))) / sine, one if one == other else None


def test_the_down_tube_is_milled_on_shell_and_seat_tube():
    said = [r[:3] for r in rows(placed("plain").lengths)]
    assert [r[2] for r in said if r[:2] == ("down_tube", "bb")] == ["bottom_bracket", "seat_tube"]
    assert "An end cut on two tubes has a row for each" in words_of("plain")


def test_a_square_end_has_no_mill_settings():
    row = table_of("plain")[("seat_tube", "top")]
    assert row["mill_angle"] == row["cutter"] == row["mark_to_long_point"] == ""


def test_the_head_tube_is_cut_longer_by_its_facing():
    row = table_of("plain")[("head_tube", "top")]
    assert float(row["length_needed"]) == pytest.approx(150.0 + 3.0)


@pytest.mark.parametrize("name", SPECS)
def test_the_tables_fit_upright_a4_and_nothing_leaves_them(name: str):
    frame = placed(name)
    for panel in cutting_panels("17 Test", frame, {"a.b": "3"}):
        assert panel.width == pytest.approx(WIDTH)
        assert panel.height < 260.0
        room = Polygon([(0, 0), (panel.width, 0), (panel.width, panel.height), (0, panel.height)])
        for e in panel.drawing:
            if isinstance(e, Text) and e.text.strip():
                assert room.contains(Polygon(text_box(e))), e.text


def words_of(name: str) -> str:
    frame = faced(name)
    panels = cutting_panels("17 Test", frame, {"rear_end.spacing": "135"})
    return " ".join(e.text for p in panels for e in p.drawing if isinstance(e, Text))


def test_vents_lie_where_the_axes_meet():
    space = placed("plain")
    down = space.plane.dimensions["down_tube_at_head"]
    assert down is not None
    _, said = table_words("", "marks")
    row = next(k for k, text in enumerate(said) if f"{down:.1f}" == text)
    assert " ".join(said[row - 3 : row]) == "vent Ø6.0 into down tube head tube"
    assert " ".join(said[row + 1 : row + 4]) == "the square end at bottom back"


def test_assumptions_facing_and_slot_are_said():
    said = words_of("plain")
    assert "Defaults, not in the spec: rear_end.spacing 135" in said
    assert "Head tube: cut 153.0 mm; facing removes 1.5 mm at each end" in said
    assert "slot at the back" in said


def test_lug_angles_are_given_as_acute_for_the_mill():
    found = placed("plain").plane.dimensions["angle_seat_chain"]
    assert found is not None
    fold = min(found, 180.0 - found)
    said = words_of("plain")
    assert " acute " in said and "folded" not in said
    assert f"{fold:.1f}°" in said and f"{90.0 - fold:.1f}°" in said


def test_the_longer_butt_has_its_end_and_an_eaten_one_is_said():
    spec = loads(
        SPECS["plain"] + "tubes:\n  down_tube: {diameter: 34.9, walls: [0.9, 0.6, 0.9], butts: [120, 40]}\n",
        "butts.yaml",
    )
    frame = solve(spec)
    panels = cutting_panels("17 Test", frame, {})
    said = " ".join(e.text for p in panels for e in p.drawing if isinstance(e, Text))
    assert "Down tube: the longer butt, 120 mm, goes to the BB end." in said
    assert "The cut removes the whole butt: down tube at the head end." in said
    cut = frame.space.cut_of("down_tube", 0)
    left = lengths_of(frame.space, "down_tube").butts
    assert cut is not None and left is not None
    assert left[0] == pytest.approx(120.0 - 5.0 - (cut.greatest.s - cut.least.s))


def table_words(more: str, name: str) -> tuple[SpaceFrame, list[str]]:
    """The words of one of the tables of a frame with other tubes, cell by cell."""
    spec = loads(SPECS["plain"] + more, "more.yaml")
    frame = solve(spec)
    (panel,) = (p for p in cutting_panels("17 Test", frame, {}) if p.name == name)
    return frame.space, [e.text for e in panel.drawing if isinstance(e, Text)]


def test_an_end_cut_square_has_its_two_short_sides():
    """The shell's row had none, though the rotation was taken from it."""
    frame, said = table_words("", "ends")
    assert "right, left" in " ".join(said)
    cut = frame.cut_of("down_tube", 0)
    assert cut is not None
    bare = solo(cut.end.tube, 0, [Host(frame.tubes["bottom_bracket"])])
    assert bare is not None
    assert {round(float(p)) for p in bare.phi[bare.s > bare.s.max() - 1e-9]} == {90, 270}


@pytest.mark.parametrize("name", SPECS)
def test_the_rotation_turns_the_short_side_it_names_onto_the_other(name: str):
    """90 degrees were given with nothing to count them from: the wrong way round ruins the tube.

    The short sides are taken from each curve itself, against the first tube that its end is cut on.
    """
    frame = placed(name)
    count = 0
    for row in rows(frame.lengths):
        cells = dict(zip(HEADINGS, row, strict=True))
        if not cells["rotation"]:
            continue
        count += 1
        sides = [float(cells["rotation_from_phi"]), float(cells["rotation_to_phi"])]
        turn = float(cells["rotation"])
        assert math.cos(math.radians(sides[0] + turn - sides[1])) == pytest.approx(1.0, abs=1e-6)
        for which, side in enumerate(sides):
            cut = frame.space.cut_of(cells["tube"], which)
            assert cut is not None
            branch = replace(cut.end.tube, profile=constant_profile(3.0))
            thin = solo(branch, which, [Host(cut.hosts[0].tube)])
            if thin is None or thin.partial:
                continue
            assert thin.at(np.array([side]))[0][0] > thin.at(np.array([side + 90.0]))[0][0], cells
    assert count >= 3


def test_the_sides_of_the_rotation_are_named():
    _, said = table_words("", "rotation")
    row = said.index("down tube")
    assert said[row : row + 4] == ["down tube", "90.0°", "right, at BB", "down, at head"]


def test_an_oval_is_not_given_a_hole_saw():
    """It had the mean of an oval's height and width for a cutter."""
    _, said = table_words("tubes: {seat_tube: {section: [36, 26]}}\n", "ends")
    assert " ".join(said).count("template only") == 2  # the top tube's and the stays' row
    assert "31.0" not in said
    _, round_one = table_words("", "ends")
    assert "template" not in " ".join(round_one)


def test_walls_are_written_without_a_bare_point():
    """A wall of 1.0 read "1."."""
    more = "seat_tube: {walls: [1.0, 0.7, 1.0]}, top_tube: {wall: 1}, down_tube: {walls: [0.9, 0.6, 0.6]}"
    _, said = table_words(f"tubes: {{{more}}}\n", "tubes")
    assert {"1/0.7/1", "1", "0.9/0.6/0.6"} < set(said)
    assert not any(text.endswith(".") or "./" in text for text in said)


@pytest.mark.parametrize("name", SPECS)
def test_the_tables_take_three_pages_of_a4(name: str):
    """A page held nothing but the first table."""
    frame = placed(name)
    panels = cutting_panels("17 Test", frame, {"rear_end.spacing": "135"})
    assert len(lay_nested(panels, medium("a4"), "table", lambda *_: "", arrange=flow)) <= 3


def test_a_frame_with_many_fittings_has_its_marks_on_several_pages():
    """The table of marks was one piece: taller than a page, it stopped the job."""
    rows = [f"{{kind: boss, tube: down_tube, at: {150 + 10 * k}, from: bb}}" for k in range(40)]
    text = SPECS["plain"] + "".join(f"  - {row}\n" for row in rows)
    frame = solve(loads(text, "many.yaml"))
    panels = cutting_panels("17 Test", frame, {})
    for paper in ("a4", "letter"):
        assert lay_nested(panels, medium(paper), "table", lambda *_: "", arrange=flow)
    parts = [p for p in panels if p.name.startswith("marks")]
    said = [e.text for p in parts for e in p.drawing if isinstance(e, Text)]
    assert len(parts) > 1 and said.count("boss") == 40
    assert " ".join(said).count("continued") == len(parts) - 1
