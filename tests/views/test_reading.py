"""No drawing can be misread: demos and generated frames on the roll and on A4 tiles, odd frames on all media.

`pytest tests/views/test_reading.py --all-frames` measures all fifty generated frames, each odd one and each
demo on each medium, and a third of the generated ones there.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from itertools import product
from pathlib import Path

import pytest
from odd_frames import ODD
from paper_reading import DEFAULT, PaperReading, read_paper
from reading import FAR, ON_TARGET
from shapely import unary_union
from shapely.geometry import LineString, Polygon

from layout.drafting.dimensions import explode
from layout.drafting.entities import LengthDimension, Line, Text
from layout.drafting.lettering import text_box
from layout.frame.solve import Frame, solve
from layout.frame.words import words
from layout.pipeline.draft import Draft, draft
from layout.spec.load import loads
from layout.views.side.lettering import AT_HEAD

FIRST, TENTH, THIRD = 4, 10, 3
MOST_TAPED = 18
APART = 4.0
"""So far, mm, a tape check's words keep from dimension lines: more than half their own height."""
SHARE_LONG = 0.03
"""Of all leaders, those that are hard to follow."""
MEDIA = (DEFAULT, "a4")
OTHER_MEDIA = ("roll-1067", "a0", "a1", "a2", "a3", "letter")
DEMOS = sorted(p.stem for p in (Path(__file__).parent.parent.parent / "specs").glob("*.yaml"))
Names = Callable[[str], Frame]
Case = tuple[str, str]


def cases(every: bool) -> list[Case]:
    """Frames and media: in the suite each odd frame on one medium, the media in turn."""
    generated = [f"generated-{k}" for k in range(FIRST, 50, 1 if every else TENTH)]
    usual = list(product((*DEMOS, *generated), MEDIA))
    if not every:
        media = (*OTHER_MEDIA, *MEDIA)
        return usual + [(name, media[k % len(media)]) for k, name in enumerate(ODD)]
    third = [f"generated-{k}" for k in range(0, 50, THIRD)]
    more = list(product((*DEMOS, *third), OTHER_MEDIA))
    return usual + more + list(product(ODD, (*MEDIA, *OTHER_MEDIA)))


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "case" in metafunc.fixturenames:
        every = metafunc.config.getoption("--all-frames")
        metafunc.parametrize("case", cases(every), ids="-".join, scope="module")


@cache
def drafted(frame_named: Names, name: str) -> Draft:
    frame = solve(loads(ODD[name].text, f"{name}.yaml")) if name in ODD else frame_named(name)
    return draft(frame, f"{name}.yaml")


@cache
def reading(frame_named: Names, case: Case) -> PaperReading:
    name, medium = case
    return read_paper(drafted(frame_named, name), medium)


@pytest.fixture(scope="module")
def sheets(case: Case, frame_named: Names) -> PaperReading:
    return reading(frame_named, case)


def test_nothing_that_is_read_or_scribed_lies_near_a_seam(sheets: PaperReading) -> None:
    assert sheets.found.on_seam == ()


def test_a4_pages_have_seams(frame_named: Names) -> None:
    for name in DEMOS:
        tiling = reading(frame_named, (name, "a4")).tiling
        assert tiling is not None and list(tiling.grid.seams())


def test_no_line_runs_through_words_or_digits(sheets: PaperReading) -> None:
    assert sheets.found.crossed == ()


def test_leaders_never_cross_and_are_short_enough_to_follow(sheets: PaperReading) -> None:
    found = sheets.found
    assert found.leaders
    assert found.leaders_cross == 0
    assert max(leader.length for leader in found.leaders) <= FAR


def test_few_leaders_are_long(frame_named: Names, pytestconfig: pytest.Config) -> None:
    every = cases(pytestconfig.getoption("--all-frames"))
    found = [reading(frame_named, case).found for case in every]
    assert sum(len(f.long) for f in found) <= SHARE_LONG * sum(len(f.leaders) for f in found)


def test_no_words_are_nearer_another_dimensions_line_than_their_own(sheets: PaperReading) -> None:
    assert sheets.found.nearer == ()


@pytest.mark.parametrize("name", [*DEMOS, *(f"generated-{k}" for k in range(FIRST, 50, TENTH))])
def test_a_tape_checks_words_stand_off_the_lines_of_dimensions(name: str, frame_named: Names) -> None:
    """J 580.9 stood 1.9 mm under the line of axle to crown, as if it were that line's second value."""
    drawn = [e for e in drafted(frame_named, name).view.view.core if isinstance(e, LengthDimension)]
    strokes = [part for d in drawn if d.line_drawn for part in explode(d) if isinstance(part, Line)]
    lines = unary_union([LineString([stroke.start, stroke.end]) for stroke in strokes])
    checks = [d for d in drawn if not d.line_drawn]
    words = [Polygon(text_box(part)) for d in checks for part in explode(d) if isinstance(part, Text)]
    assert len(words) >= 3
    assert min(box.distance(lines) for box in words) >= APART


def test_leaders_end_on_what_they_name(sheets: PaperReading) -> None:
    assert max(sheets.found.tips) <= ON_TARGET
    assert sheets.found.strays == ()


def test_no_words_are_off_the_page_or_inside_the_printers_margin(sheets: PaperReading) -> None:
    assert sheets.off_page == ()


@pytest.mark.parametrize("name", [*DEMOS, *(f"generated-{k}" for k in range(FIRST, 50, TENTH))])
def test_names_along_the_head_tube_stand_in_their_points_order(name: str, frame_named: Names) -> None:
    """They stood about the head tube as each found room, and their leaders fanned out."""
    core = drafted(frame_named, name).view.view.core
    at = {words(name): place for name, place in core.points().items() if name in AT_HEAD}
    texts = [e for e in core if isinstance(e, Text) and e.text in at]
    named = sorted((at[e.text][1], e.at[1], e.at[1] - at[e.text][1]) for e in texts)
    assert len(named) >= 3
    assert [y for _, y, _ in named] == sorted(y for _, y, _ in named)
    assert max(step for *_, step in named) - min(step for *_, step in named) < 1e-6


def test_what_found_no_place_is_in_the_tables_by_name(sheets: PaperReading) -> None:
    said = " ".join(sheets.words_apart)
    assert all(word in said for each in sheets.lost for word in each.split())


@pytest.mark.parametrize("name", [*DEMOS, "heading-left", "long-names", "no-wheels", "rising"])
def test_a_frame_of_the_usual_size_has_every_callout_on_a_roll(name: str, frame_named: Names) -> None:
    """The down tube's length went to the tables, for a name was clear of its line by too much."""
    assert drafted(frame_named, name).view.crowded == ()


def test_an_all_road_frame_takes_at_most_eighteen_pages_to_tape(frame_named: Names) -> None:
    tiling = reading(frame_named, ("all-road", "a4")).tiling
    assert tiling is not None and len(tiling.grid.kept) <= MOST_TAPED
