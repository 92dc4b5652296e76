"""What a tube is sawn to is one number, whichever paper it is read from."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from layout.frame.solve import solve
from layout.geometry.space.meeting import nearest_host_axis
from layout.pipeline.mitres import mitres
from layout.pipeline.setup import setup
from layout.spec.load import load

SPECS = Path(__file__).parents[2] / "specs"
ALLOWANCE = 5.0
"""More on each mitred end before it is mitred, common practice."""


def with_facing(folder: Path, seat_tube: str) -> Path:
    text = (SPECS / "all-road.yaml").read_text(encoding="utf-8")
    old = "seat_tube: {diameter: 28.6,"
    assert text.count(old) == 1
    path = folder / "frame.yaml"
    path.write_text(text.replace(old, f"{old} {seat_tube}"), encoding="utf-8")
    return path


def told(path: Path, out: Path) -> dict[str, set[float]]:
    """Every length to saw a tube to before mitring that any output gives, to 0.01."""
    found: dict[str, set[float]] = {}
    made = mitres(load(path), out, formats=["csv"])
    for name, tube in made.data["tubes"].items():
        found.setdefault(name.removesuffix("_right"), set()).add(round(tube["length_needed"], 2))
    with open(out / "frame-cutting.csv", encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            found[row["tube"].removesuffix("_right")].add(float(row["length_needed"]))
    setup(path, out)
    with open(out / "frame-cuts.csv", encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            found[row["tube"]].add(float(row["saw_before_mitring"]))
    whole = json.loads((out / "frame-setup.json").read_text(encoding="utf-8"))
    for cut in whole["cuts"]:
        found[cut["tube"]].add(round(cut["saw_before_mitring"], 2))
    return {name: lengths for name, lengths in found.items() if not name.endswith("_left")}


@pytest.fixture(scope="module")
def faced(tmp_path_factory: pytest.TempPathFactory) -> dict[str, set[float]]:
    out = tmp_path_factory.mktemp("faced")
    return told(with_facing(out, "facing_allowance: 3,"), out)


def test_all_papers_give_one_saw_length(faced: dict[str, set[float]]) -> None:
    """With a facing allowance on the seat tube, setup said 537.02 and mitres 531.02."""
    assert len(faced) >= 8
    assert {name: lengths for name, lengths in faced.items() if len(lengths) != 1} == {}


def test_a_seat_tube_is_faced_at_its_top_and_a_head_tube_at_both_ends(
    faced: dict[str, set[float]], tmp_path: Path
) -> None:
    """The seat tube's foot is mitred: it has what mitring takes. Head tube 155 and twice 1.5."""
    found = mitres(load(SPECS / "all-road.yaml"), tmp_path, formats=["csv"])
    cut = {name: t["cut_length"] for name, t in found.data["tubes"].items()}
    assert faced["seat_tube"] == {round(cut["seat_tube"] + ALLOWANCE + 3.0, 2)}
    assert faced["head_tube"] == {158.0}
    assert faced["top_tube"] == {round(cut["top_tube"] + 2 * ALLOWANCE, 2)}


def test_facing_takes_of_a_butt_and_is_said_on_the_cutting_table(tmp_path: Path) -> None:
    plain = mitres(load(SPECS / "all-road.yaml"), tmp_path / "plain", formats=["csv"])
    path = with_facing(tmp_path, "facing_allowance: 3,")
    with_it = mitres(load(path), tmp_path / "faced", formats=["csv", "svg"], media=["a4"])
    before, after = (t.data["tubes"]["seat_tube"]["butts_left"] for t in (plain, with_it))
    assert (before[0] - after[0], before[1] - after[1]) == pytest.approx((0.0, 3.0))
    pages = [f.path for f in with_it.files if (f.kind, f.format) == ("table", "svg")]
    said = " ".join(Path(page).read_text("utf-8") for page in pages)
    assert "facing removes 3.0 mm at the top end" in said
    assert "Head tube: cut 158.0 mm; facing removes 1.5 mm at each end" in said


def test_walls_without_butts_leave_the_butts_unknown(tmp_path: Path) -> None:
    """Butts not given were taken as none at all, and every cut was said to eat them."""
    text = (SPECS / "all-road.yaml").read_text(encoding="utf-8")
    path = tmp_path / "frame.yaml"
    path.write_text(text.replace(", butts: [90, 90]", ""), encoding="utf-8")
    found = mitres(load(path), tmp_path, formats=["csv"])
    assert found.data["tubes"]["top_tube"]["butts_left"] is None
    assert "butt_eaten" not in {w.code for w in found.warnings}


@pytest.mark.parametrize("name", ["all-road", "hardtail"])
def test_the_cut_list_names_every_tube_that_an_end_is_cut_on(name: str, tmp_path: Path) -> None:
    """An end cut on two tubes had one angle, that of the first, and no name."""
    setup(SPECS / f"{name}.yaml", tmp_path)
    space = solve(load(SPECS / f"{name}.yaml")).space
    wanted: dict[str, list[str]] = {}
    for cut in space.cuts:
        for host in cut.hosts:
            near = nearest_host_axis(cut.end, host.tube)
            assert near is not None
            angle = f"{near.angle:.1f}° on {host.tube.name.replace('_', ' ')}"
            wanted.setdefault(cut.tube.removesuffix("_right"), []).append(angle)
    with open(tmp_path / f"{name}-cuts.csv", encoding="utf-8", newline="") as stream:
        told = {row["tube"]: row["mitres"] for row in csv.DictReader(stream)}
    assert len(wanted["down_tube"]) >= 3
    for tube, said in told.items():
        spoken = [part for end in said.split("; ") for part in end.split(" ", 1)[1:]]
        assert " and ".join(spoken) == " and ".join(wanted.get(tube, [])), tube
    assert told["down_tube"].startswith("BB 90.0° on bottom bracket and ")
    assert told["head_tube"] == "square"
