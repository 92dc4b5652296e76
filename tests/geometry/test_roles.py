"""The table of roles: complete, true to the geometry of every frame, with all that views ask for."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import pytest
from road import ROAD
from space_samples import FORMS, POINTS, REAR, SHELL_SIZE, placed_all

from layout.bench.cut_list import cut_list
from layout.bench.cutting import rows
from layout.frame.solve import Frame, solve
from layout.geometry.space.assembly import Assembly
from layout.geometry.space.frame import SpaceFrame, assemble
from layout.geometry.space.lengths import LengthsOfAll
from layout.geometry.space.roles import (
    CHAIN_STAY,
    ROLES,
    SEAT_STAY,
    SEAT_TUBE,
    SHELL,
    WRITTEN,
    Role,
    Seen,
    Side,
)
from layout.geometry.space.tube import Tube
from layout.spec.load import loads
from layout.spec.tubes import Stay, Tubes
from layout.views.cutting import cutting_panels
from layout.views.side.plan import plan
from layout.views.templates.strips import strips

DIRECTIONS = {
    "up": (0.0, 1.0, 0.0),
    "down": (0.0, -1.0, 0.0),
    "front": (1.0, 0.0, 0.0),
    "back": (-1.0, 0.0, 0.0),
    "right": (0.0, 0.0, 1.0),
    "left": (0.0, 0.0, -1.0),
}
"""The words of the middle plane and the sides: x forward, y up, z towards the drive side."""
OPPOSITE = ({"up", "down"}, {"front", "back"}, {"left", "right"}, {"inner", "outer"})
TOWARDS = math.cos(math.radians(70.0))
"""The flattest seat stays rise at some 25 degrees: their front side is that far from forward."""
CUT = [role for role in ROLES.values() if role.cut]
EVERY = pytest.mark.parametrize("role", ROLES.values(), ids=list(ROLES))
"""Each role of the table in turn."""


def word_direction(tube: Tube, word: str) -> np.ndarray:
    outward = 0.0 if tube.side is None else tube.side.sign
    found = {**DIRECTIONS, "outer": (0.0, 0.0, outward), "inner": (0.0, 0.0, -outward)}[word]
    return np.array(found)


def wrong_words(frame: Assembly) -> Iterator[str]:
    """Each quarter mark whose word points away from where it lies."""
    for tube in frame.tubes.values():
        for phi in (0.0, 90.0, 180.0, 270.0):
            spoke = tube.path.first.spoke(phi)
            if not tube.role.cut:
                continue
            if float(spoke @ word_direction(tube, tube.quarter(phi))) <= TOWARDS:
                yield f"{tube.name} at {phi:g}: {tube.quarter(phi)}"


def test_the_words_of_every_quarter_point_where_they_say(space: SpaceFrame):
    """On all demo and generated frames."""
    assert list(wrong_words(space)) == []


@pytest.mark.parametrize("mount", ["back", "side", "single"])
def test_the_words_hold_for_bridges_and_every_mount(mount: str):
    found = placed_all(mount)
    assert list(wrong_words(found)) == []


def test_a_wrong_word_would_be_seen():
    (tube,) = (t for t in placed_all("back").tubes.values() if t.role == SEAT_TUBE)
    turned = Tube(CHAIN_STAY, tube.path, tube.profile, Side.LEFT)
    wrong = list(wrong_words(Assembly({"turned": turned}, ())))
    assert wrong == ["chain_stay_left at 0: up", "chain_stay_left at 180: down"]


@EVERY
def test_each_role_has_words_for_its_quarters(role: Role):
    a, b, c, d = role.quarters
    assert {a, c} in OPPOSITE
    assert {b, d} in OPPOSITE
    assert {a, c} != {b, d}
    assert ("inner" in role.quarters) == role.paired


@EVERY
def test_each_role_has_ends_that_its_frame_can_place(role: Role):
    """Two words; each end is cut against roles of the table, or faced, or at a dropout, or stands free."""
    assert len(set(role.end_words)) == 2
    for end in role.ends:
        assert set(end.hosts) <= ROLES.keys()
        assert not (end.hosts and (end.faced or end.dropout))
        assert end.always <= max(1, len(end.hosts))
    assert role.bridge in {"", *ROLES}
    if role.written:
        assert set(role.points) <= POINTS.keys()


def test_each_role_that_is_cut_is_drawn_somewhere_and_has_its_turn():
    assert [r.name for r in CUT if not r.seen] == []
    turns = [r.turn for r in CUT if not r.alike_ends]
    assert sorted(turns) == list(range(1, len(turns) + 1))
    assert all(r.turn > max(turns) for r in CUT if r.alike_ends), "bridges come last"


def test_a_spec_has_a_block_for_each_role_that_is_written():
    assert list(Tubes.model_fields) == [role.name for role in WRITTEN]
    for role in WRITTEN:
        kind = Tubes.model_fields[role.name].annotation
        assert isinstance(kind, type)
        assert issubclass(kind, Stay) == role.paired
        for word in role.end_words if role.sized_by_end else ():
            assert f"diameter_{word}" in kind.model_fields


BRIDGES = """\
  - {kind: bridge, tube: chain_stay, at: 62, from: bb}
  - {kind: bridge, tube: seat_stay, at: 370, from: axle}
"""


@pytest.mark.parametrize("mount", ["back", "single"])
def test_every_tube_that_is_cut_is_on_every_list(mount: str):
    """Cut list, cutting table, spreadsheet, templates: nothing of a frame with all roles is left out."""
    frame = solve(loads(f"geometry: {ROAD}\nrear_end: {{seat_stay_mount: {mount}}}\nfittings:\n{BRIDGES}"))
    found = frame.space
    labels = [t.label for t in found.listed]
    absent = set() if mount == "single" else {"single_stay"}
    assert {t.role.name for t in found.listed} == {role.name for role in CUT} - absent
    cuts = cut_list(frame)
    assert sorted(c.tube for c in cuts) == sorted(labels)
    rowed = {row[0] for row in rows(LengthsOfAll(found))}
    assert rowed == {t.name for t in found.tubes.values() if t.role.cut}
    assert {s.cut.tube for s in strips(found, "job")} == {c.tube for c in found.cuts}
    mitred = {j.tube for j in found.joints}
    assert mitred == {c.tube for c in found.cuts}
    assert cutting_panels("job", frame, {})


def test_the_side_view_has_a_bar_for_each_role_it_draws(demo_frame: Frame):
    bars = plan(demo_frame).bars
    assert bars.keys() == {r.name for r in ROLES.values() if Seen.SIDE in r.seen}


def test_one_of_a_pair_stands_for_both():
    found = assemble(POINTS, FORMS, SHELL_SIZE, REAR)
    left, right = found.pair(CHAIN_STAY)
    assert (left.side, right.side) == (Side.LEFT, Side.RIGHT)
    assert found.drawn(CHAIN_STAY) is right
    assert found.drawn(SEAT_TUBE) is found.of(SEAT_TUBE)
    assert [t.name for t in found.listed if t.role.paired] == [right.name, found.drawn(SEAT_STAY).name]
    assert left.label == right.label == CHAIN_STAY.name
    assert not any(t.role == SHELL for t in found.listed)


def test_a_role_that_a_frame_does_not_have_is_no_tube_of_it():
    with pytest.raises(KeyError):
        assemble(POINTS, FORMS, SHELL_SIZE, REAR).of(ROLES["single_stay"])


@pytest.mark.parametrize(
    ("phi", "right", "left"),
    [(0.0, "up", "up"), (90.0, "inner", "outer"), (180.0, "down", "down"), (270.0, "outer", "inner"),
     (-90.0, "outer", "inner"), (359.0, "up", "up"), (450.0, "inner", "outer"), (100.0, "inner", "outer")],
)  # fmt: skip
def test_a_pairs_quarters_are_mirrored(phi: float, right: str, left: str):
    assert CHAIN_STAY.quarter(phi, Side.RIGHT) == right
    assert CHAIN_STAY.quarter(phi, Side.LEFT) == left
