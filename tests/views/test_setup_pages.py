"""The setup sheet's pages, measured with the real lettering; shapely judges what overlaps."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from crowding import TOUCH, lettering, overlaps
from shapely.affinity import rotate, scale
from shapely.geometry import Point, box

from layout.bench.cut_list import CutRow, cut_list
from layout.bench.settings import settings
from layout.drafting.bounds import bounds
from layout.drafting.entities import Drawing, Text
from layout.drafting.numbers import format_number
from layout.frame.solve import Frame, solve
from layout.sheets.forms import form_room, form_sheets
from layout.sheets.media import medium
from layout.spec.load import loads
from layout.views.setup.pages import pages
from layout.views.setup.panels import Clearance, Work, blocks_panel, clearance_panel, cut_panel, tightest
from layout.views.setup.rows import VALUE, scale_words

SPECS = Path(__file__).parents[2] / "specs"
DEMOS = sorted(SPECS.glob("*.yaml"))
ROOM = form_room(medium("a4"))

JIGS = {
    "plate": "",
    "scales": "jig: {bb_above_base: 300, settings: {bb_drop: {}, rear_centre: {}, head_angle: {}}}",
    "stepped": "jig: {settings: {bb_drop: {pitch: 5, shims: [0.1, 0.2, 0.25, 0.3, 0.55, 1.25]},"
    " front_centre: {offset: -100, range: [400, 500], measured: square}, seat_angle: {range: [60, 61]}}}",
    "many": "jig: {settings: {stack: {}, reach: {}, seat_tube_length: {}, top_tube_length: {},"
    " head_tube_top_height: {}, wheelbase: {}, top_tube_at_head: {}, top_tube_at_seat: {},"
    " down_tube_length: {}, standover: {}, trail: {}, bb_height: {}}}",
}
GAPS = (
    Clearance("seat tube to tyre", "tyre", 13.0, 6.0),
    Clearance("chain stay to tyre", "tyre", 4.1, 6.0),
    Clearance("seat stay bridge to tyre", "tyre", 3.9, 6.0),
    Clearance("chain stay to chainring", "chainring", 7.0, 3.0),
    Clearance("pedal lean angle", "pedal_lean_angle", 25.7, 25.0, "deg"),
)


@cache
def work(path: Path, more: str = "") -> Work:
    spec = loads(f"{path.read_text(encoding='utf-8')}\n{more}\n", path.name)
    frame = solve(spec)
    cuts = cut_list(frame)
    return Work(frame, settings(frame), cuts, GAPS)


@cache
def pages_of(path: Path, more: str = "") -> tuple[Drawing, ...]:
    """The pages of one spec, drawn once: they are plain data."""
    return tuple(pages(work(path, more), *ROOM))


@pytest.mark.parametrize("jig", JIGS)
@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_nothing_overlaps_and_all_is_on_the_page(path: Path, jig: str) -> None:
    drawn = pages_of(path, JIGS[jig])
    paper = box(0.0, 0.0, *ROOM).buffer(TOUCH)
    for page in drawn:
        assert overlaps(page) == []
        within = bounds(page)
        assert within is not None
        assert paper.contains(box(within.left, within.bottom, within.right, within.top))
        assert len(lettering(page)) > 10


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_two_pages_do_for_every_demo_on_a_plate_or_a_jig(path: Path) -> None:
    assert [len(pages_of(path, JIGS[jig])) for jig in ("plate", "scales", "stepped")] == [2, 2, 2]


def test_settings_that_have_no_room_go_on_a_page_of_their_own() -> None:
    made = work(DEMOS[0], JIGS["many"])
    assert len(made.settings) > 20
    drawn = pages_of(DEMOS[0], JIGS["many"])
    assert len(drawn) > 2
    values = [[e for e in page if isinstance(e, Text) and e.height > 7.5] for page in drawn]
    assert sum(map(len, values)) == len(made.settings)
    assert min(len(page) for page in values[:2]) >= 9


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.stem)
def test_every_value_stands_ten_high_and_in_order(path: Path) -> None:
    made = work(path, JIGS["scales"])
    drawn = pages_of(path, JIGS["scales"])[0]
    values = [e.text for e in drawn if isinstance(e, Text) and e.height == VALUE]
    shown = [format_number(s.main.value, 1) + ("°" if s.main.unit == "deg" else "") for s in made.settings]
    assert values == shown
    assert len(values) == 9


def test_what_the_jig_reads_and_cannot_do_is_on_the_page() -> None:
    said = [e.text for e in pages_of(DEMOS[0], JIGS["stepped"])[0] if isinstance(e, Text)]
    assert said.count("cannot be set") == 2
    assert "the jig goes from 60 to 61" in said
    made = next(s for s in work(DEMOS[0], JIGS["stepped"]).settings if s.name == "bb_drop")
    assert made.scale is not None
    assert f"hole {made.scale.hole}" in said
    assert " + ".join(t for t in said if t.startswith(scale_words(made.scale)[0].split(" ")[0]))


def test_a_setting_out_of_range_has_no_number_on_paper() -> None:
    """It printed the sum of steps and shims, large, over a small OUT OF RANGE."""
    jig = "jig: {settings: {bb_drop: {pitch: 5, shims: [0.5, 1, 2, 2], range: [0, 68]}}}"
    made = work(DEMOS[0], jig)
    (scale,) = (s.scale for s in made.settings if s.scale is not None)
    assert scale.step == 65.0 and not scale.settable
    assert scale_words(scale) == ["cannot be set"]
    said = [e.text for e in pages(made, *ROOM)[0] if isinstance(e, Text)]
    assert "cannot be set" in said and "the jig goes from 0 to 68" in said
    assert not any("65.0" in text or "hole" in text for text in said)


@pytest.mark.parametrize("jig", ["plate", "scales"])
def test_the_paper_numbers_the_settings_as_terminal_and_spreadsheet_do(jig: str) -> None:
    """On a plate it left two out and counted on, so that its 5 was their 7."""
    made, drawn = work(DEMOS[0], JIGS[jig]), pages_of(DEMOS[0], JIGS[jig])
    numbered = {s.title: str(s.number) for s in made.settings if s.number is not None}
    assert list(numbered.values()) == [str(k) for k in range(1, 8 if jig == "plate" else 10)]
    said = [e.text for e in drawn[0] if isinstance(e, Text)]
    rows = said[said.index("set in this order") :]
    assert {title: rows[rows.index(title) - 1] for title in numbered} == numbered
    assert ("rear axle height" in rows) == (jig == "scales")


def test_where_no_step_lies_within_the_range_nothing_is_set() -> None:
    made = work(DEMOS[0], "jig: {settings: {bb_drop: {pitch: 5, range: [71, 73]}}}")
    (scale,) = (s.scale for s in made.settings if s.scale is not None)
    assert scale_words(scale) == ["cannot be set"]
    assert scale.goes == "no step within the range"


def test_the_sketch_points_at_every_setting_and_warns() -> None:
    first = pages_of(DEMOS[0], JIGS["scales"])[0]
    small = [e.text for e in first if isinstance(e, Text) and e.height == 5.0 and e.text.isdigit()]
    assert sorted(small) == [str(k) for k in range(1, 10)]
    assert any("not for measuring" in e.text for e in first if isinstance(e, Text))


def test_a_plate_gets_blocks_that_bring_every_axis_to_one_height() -> None:
    """The shell stands on its face: 34 up; a tube of 28.6 on a block of 34 - 14.3."""
    path = SPECS / "all-road.yaml"
    said = [e.text for e in pages_of(path)[0] if isinstance(e, Text)]
    assert "Blocks, middle plane 34.0 up" in said
    assert said[said.index("under the") :][:12].count("19.7") == 2
    assert "16.55" in said  # 34 - 34.9 / 2 = 16.55
    assert "10.8" in said  # 34 - 46.4 / 2
    assert "-44.0" in said  # 34 - 142 / 2 - 7: the dropout hangs over the plate's edge
    high = pages_of(path, "jig: {plane_above_plate: 80}")[0]
    higher = [e.text for e in high if isinstance(e, Text)]
    assert "65.7" in higher
    assert "2.0" in higher  # 80 - 142 / 2 - 7
    assert "46.0" in higher  # 80 - 68 / 2: the shell's


def test_wheels_of_two_sizes_bring_a_word_about_levelling() -> None:
    """Front axle 14 below the rear over 1061: 0.8 degrees."""
    said = " ".join(e.text for page in pages_of(SPECS / "tourer.yaml", JIGS["scales"]) for e in page
                    if isinstance(e, Text))  # fmt: skip
    assert "leans 0.8°" in said


def test_the_tightest_gap_to_each_part_is_shown_and_all_that_are_short() -> None:
    assert [g.name for g in tightest(GAPS)] == [
        "chain stay to tyre", "seat stay bridge to tyre", "chain stay to chainring", "pedal lean angle",
    ]  # fmt: skip


def test_a_gap_too_small_shows_what_is_wanted_and_a_word() -> None:
    """It read "has 4.1 | wanted < 6", as if less than 6 were wanted."""
    panel = clearance_panel(work(DEMOS[0]), 110.0)
    said = [e.text for e in panel.drawing if isinstance(e, Text)]
    at = said.index("chain stay to tyre: TOO LITTLE")
    assert said[at + 1 : at + 3] == ["4.1", "6"]
    assert " ".join(said).count("TOO LITTLE") == 2
    assert not any("<" in text for text in said)


def test_a_whole_millimetre_is_not_sawn_a_millimetre_longer() -> None:
    """300.0000001, what the sums make of 300, was to be sawn to 301; what is truly more is rounded up."""
    made = work(DEMOS[0])
    cuts = tuple(CutRow("top_tube", 1, "28.6", 290.0, sawn, 310.0, "") for sawn in (300.0000001, 300.01))
    panel = cut_panel(replace(made, cuts=cuts), 180.0)
    said = [e.text for e in panel.drawing if isinstance(e, Text)]
    assert [text for text in said if text in ("300", "301")] == ["300", "301"]


def test_a_form_has_a_border_and_no_scale() -> None:
    drawing = Drawing("d", (Text((1.0, 1.0), "a", 5.0),))
    (sheet,) = form_sheets([drawing], medium("a4"), "setup", "frame mark 01234567")
    assert (sheet.width, sheet.height, sheet.kind, sheet.stretch) == (210.0, 297.0, "setup", (1.0, 1.0))
    assert not any("1:1" in e.text for e in sheet.furniture if isinstance(e, Text))


def test_long_names_and_accents_stay_in_their_fields() -> None:
    job = "Geländerad für Wochenendtouren mit Gepäck, zweite Fassung nach Anprobe und Rücksprache"
    text = (SPECS / "track.yaml").read_text(encoding="utf-8").replace("title: Track frame", f"title: {job}")
    spec = loads(text.replace("number: T-12", "number: " + "9" * 60))
    frame: Frame = solve(spec)
    made = Work(frame, settings(frame), (), ())
    for page in pages(made, *ROOM):
        assert overlaps(page) == []


def blocks_said(tubes: str) -> dict[str, str]:
    text = (SPECS / "all-road.yaml").read_text(encoding="utf-8").split("\ntubes:")[0]
    spec = loads(f"{text}\ntubes: {tubes}\n")
    frame = solve(spec)
    made = Work(frame, settings(frame), (), ())
    said = [e.text for e in blocks_panel(made, 130.0).drawing if isinstance(e, Text)]
    return dict(pairwise(said))


def test_an_oval_is_blocked_up_by_its_width_not_by_its_height() -> None:
    """They held it up to 8 mm off the middle plane, reckoned from its height in the plane."""
    said = blocks_said("{top_tube: {section: [40, 26]}, down_tube: {section: [44, 30]}}")
    assert said["top tube"] == "14.0"  # 34 - 40 / 2
    assert said["down tube"] == "12.0"  # 34 - 44 / 2


@pytest.mark.parametrize("turned", [0, 20, 45, 70, 90])
def test_a_turned_oval_is_blocked_up_as_its_turned_ellipse_lies(turned: int) -> None:
    """Shapely's outline of the same ellipse, turned about the tube's axis by it, has these bounds."""
    said = blocks_said(f"{{top_tube: {{section: [40, 26], turned: {turned}}}}}")
    ellipse = rotate(scale(Point(0.0, 0.0).buffer(1.0, quad_segs=512), 20.0, 13.0), turned)
    left, _, right, _ = ellipse.bounds
    assert float(said["top tube"]) == pytest.approx(34.0 - (right - left) / 2, abs=0.051)


def test_a_tapering_oval_has_a_block_at_each_end() -> None:
    said = blocks_said("{down_tube: {section: [44, 30], diameter_end: 38}}")
    assert (said["down tube, BB"], said["down tube, head"]) == ("12.0", "15.0")


def test_what_is_wanted_of_a_gap_is_marked_by_its_source() -> None:
    """One note under the table gave all of them two sources, and left the reader to choose."""
    iso = "ISO 4210-2, from memory: check the standard"
    gaps = (
        Clearance("pedal to tyre", "pedal_to_tyre", 100.0, 89.0, reason=iso),
        Clearance("chain stay to crank", "crank", 7.0, 5.0, reason="common practice"),
    )
    panel = clearance_panel(replace(work(DEMOS[0]), clearances=gaps), 110.0)
    said = [e.text for e in panel.drawing if isinstance(e, Text)]
    assert said[said.index("pedal to tyre") + 2] == "89*"
    assert said[said.index("chain stay to crank") + 2] == "5"
    assert f"* {iso}; others common practice." in " ".join(said)


MANY_FITTINGS = "\n".join(
    ["fittings:"]
    + [f"  - {{kind: boss, tube: down_tube, at: {at}, from: bb, side: {side}}}"
       for at in (210, 274) for side in ("up", "down")]
    + [f"  - {{kind: boss, tube: seat_stay, at: {at}, from: axle, side: {side}}}"
       for at in (60, 200) for side in ("left", "right")]
    + [f"  - {{kind: guide, tube: top_tube, at: 60, from: {end}, side: down}}" for end in ("head", "seat")]
    + ["  - {kind: boss, tube: seat_tube, at: 200, from: bb, side: front}",
       "  - {kind: bridge, tube: seat_stay, at: 385, from: axle}",
       "  - {kind: bridge, tube: chain_stay, at: 62, from: bb}"]
)  # fmt: skip


def test_the_cautions_have_no_page_of_their_own_where_there_is_room_across_the_foot() -> None:
    """A third page held nothing but the cautions, and the second had its foot empty."""
    text = (SPECS / "track.yaml").read_text(encoding="utf-8").split("\nfittings:")[0]
    spec = loads(f"{text}\n{MANY_FITTINGS}\n")
    frame = solve(spec)
    cuts = cut_list(frame)
    made = Work(frame, settings(frame), cuts, GAPS)
    drawn = pages(made, *ROOM)
    assert len(drawn) == 2
    said = " ".join(e.text for e in drawn[1] if isinstance(e, Text))
    assert "Cautions" in said and "A frame that fails injures its rider." in said
    for page in drawn:
        assert overlaps(page) == []


NAME = "Bartholomäus Featherstonehaugh-Cholmondeley III"


def test_a_name_in_the_strip_is_broken_at_words_alone() -> None:
    """It read "Bartholomä | us Feathe…" on every page."""
    text = (SPECS / "track.yaml").read_text(encoding="utf-8")
    (rider,) = (line for line in text.splitlines() if line.startswith("  rider:"))
    spec = loads(text.replace(rider, f"  rider: {NAME}"))
    frame = solve(spec)
    made = Work(frame, settings(frame), (), ())
    said = [e.text for e in pages(made, *ROOM)[0] if isinstance(e, Text)]
    start = said.index("rider") + 1
    lines = said[start : said.index("date")]
    shown = "".join(lines)
    pieces = ["Bartholomäus", "Featherstonehaugh-", "Cholmondeley", "III"]
    whole = [p for line in lines for p in line.replace("-", "- ").rstrip("…").split()]
    assert whole == pieces[: len(whole)] and len(whole) >= 2, shown
