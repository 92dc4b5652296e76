"""Each rule of the process: kept, and broken with a message that names part and feature."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from layout.checks.plate_rules import broken_rules, width_of
from layout.geometry.plates.contour import Contour
from layout.geometry.plates.corners import Corner, Turn, closed_ring, rectangle, slot
from layout.geometry.plates.plate import Cutout, Plate, circle
from layout.geometry.plates.process import Process

PROCESS = Process()
OUTLINE = rectangle(0.0, 0.0, 100.0, 60.0, Corner.ROUND, 5.0)


def plate(*cutouts: Cutout, outline: Contour = OUTLINE) -> Plate:
    return Plate("table", 6.0, outline, cutouts)


def only(process: Process, *cutouts: Cutout, outline: Contour = OUTLINE) -> tuple[str, str]:
    """Key and message of the one rule that is broken."""
    (fault,) = broken_rules([plate(*cutouts, outline=outline)], process)
    assert fault.code == "range"
    assert fault.key is not None
    return fault.key, fault.message


def test_a_plain_part_breaks_no_rule() -> None:
    good = plate(circle("bolt hole", (30.0, 30.0), 6.6), Cutout("slot", slot((70.0, 30.0), 12.2, 6.2, 0.8)))
    assert broken_rules([good], PROCESS) == ()


def test_a_hole_smaller_than_the_plate_is_thick() -> None:
    key, message = only(PROCESS, circle("bolt hole", (30.0, 30.0), 5.5))
    assert key == "plates.smallest_hole"
    assert message.startswith("table, bolt hole: is 5.50 mm wide; expected at least 6 mm in plate of 6 mm")
    assert broken_rules([plate(circle("h", (30.0, 30.0), 5.5))], replace(PROCESS, smallest_hole=0.9)) == ()


def test_a_slot_counts_by_its_width() -> None:
    narrow = Cutout("slot for a tab", slot((50.0, 30.0), 20.0, 5.0, 0.8))
    assert width_of(narrow) == pytest.approx(5.0)
    key, message = only(PROCESS, narrow)
    assert (key, "slot for a tab: is 5.00 mm wide" in message) == ("plates.smallest_hole", True)


@pytest.mark.parametrize("degrees", [0.0, 30.0, 45.0, 90.0, 200.0])
def test_a_slot_counts_by_its_width_whichever_way_it_lies(degrees: float) -> None:
    """Only slots along the plate's edges were tried."""
    along = (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    leaning = slot((0.0, 0.0), 20.0, 5.0, 0.8).placed((50.0, 30.0), along)
    assert width_of(Cutout("slot", leaning)) == pytest.approx(5.0)


def test_a_window_without_parallel_sides_counts_by_its_extent() -> None:
    triangle = closed_ring([Turn((10.0, 10.0)), Turn((40.0, 10.0)), Turn((10.0, 50.0))])
    assert width_of(Cutout("window", triangle)) == pytest.approx(24.0)


@pytest.mark.parametrize(
    ("at", "where"),
    [((12.0, 30.0), "between outline and second"), ((45.0, 30.0), "between first and second")],
)
def test_a_web_narrower_than_the_plate_is_thick(at: tuple[float, float], where: str) -> None:
    if at[0] < 20.0:
        at = (3.3 + 5.0, 30.0)
    holes = (circle("first", (33.5, 30.0), 6.6), circle("second", at, 6.6))
    key, message = only(PROCESS, *holes)
    assert key == "plates.smallest_web"
    assert message.startswith(f"table, {where}: only ")


def test_a_neck_of_the_outline() -> None:
    bone = [
        (0, 0),
        (30, 0),
        (30, 20),
        (60, 20),
        (60, 0),
        (90, 0),
        (90, 50),
        (60, 50),
        (60, 25),
        (30, 25),
        (30, 50),
        (0, 50),
    ]
    inner = {2, 3, 8, 9}
    outline = closed_ring(
        [
            Turn((float(x), float(y)), Corner.ROUND if k in inner else Corner.SHARP, 1.0)
            for k, (x, y) in enumerate(bone)
        ]
    )
    key, message = only(PROCESS, outline=outline)
    assert (key, message.split(":")[0]) == ("plates.smallest_web", "table, neck of outline")
    assert "only 5.00 mm of material" in message


def test_a_sharp_inside_corner() -> None:
    window = Cutout("window", rectangle(30.0, 20.0, 60.0, 40.0))
    key, message = only(PROCESS, window)
    assert key == "plates.inner_radius"
    assert message.startswith(
        "table, window: has an inside corner of radius 0.00 mm; the process cuts 0.8 mm or more"
    )


def test_an_inside_radius_under_half_the_kerf() -> None:
    window = Cutout("window", rectangle(30.0, 20.0, 60.0, 40.0, Corner.ROUND, 0.9))
    assert broken_rules([plate(window)], PROCESS) == ()
    key, message = only(replace(PROCESS, kerf=2.0), window)
    assert key == "plates.inner_radius"
    assert "a cut 2 mm wide leaves 1 mm or more. Set plates.inner_radius to that" in message


def test_a_notch_in_the_outline_is_an_inside_corner_and_an_outside_one_is_none() -> None:
    notch = [(0, 0), (90, 0), (90, 50), (60, 50), (60, 30), (30, 30), (30, 50), (0, 50)]
    outline = closed_ring([Turn((float(x), float(y))) for x, y in notch])
    key, message = only(PROCESS, outline=outline)
    assert (key, "outline" in message) == ("plates.inner_radius", True)


@pytest.mark.parametrize("fit", [0.0, 0.6])
def test_a_fit_that_does_not_go_in_or_does_not_place(fit: float) -> None:
    tab = Cutout("slot for a tab", slot((50.0, 30.0), 12.0 + fit, 6.0 + fit, 0.8))
    key, message = only(replace(PROCESS, fit=fit), tab)
    assert key == "plates.fit"
    assert f"slot for a tab: plates.fit is {fit:g} mm. Use more than 0, at most 0.5 mm." in message


def test_a_cut_out_no_wider_than_two_cuts() -> None:
    hole = circle("hole", (50.0, 30.0), 6.6)
    key, _ = only(replace(PROCESS, kerf=3.5, inner_radius=0.5), hole)
    assert key == "plates.kerf"


def test_a_part_larger_than_the_sheet() -> None:
    key, message = only(replace(PROCESS, sheet=(110.0, 100.0)))
    assert key == "plates.sheet"
    assert message.startswith(
        "table, outline: is 100 x 60 mm; a sheet of 110 x 100 mm has 90 x 80 mm inside its edges"
    )
    assert broken_rules([plate()], replace(PROCESS, sheet=(80.0, 120.0))) == ()


def test_a_part_too_heavy_to_lift() -> None:
    key, message = only(replace(PROCESS, heaviest=0.2))
    assert key == "plates.heaviest"
    assert "weighs 0.3 kg; expected at most 0.2 kg" in message
