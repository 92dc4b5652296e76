"""Digests of every file and every word that the commands give, to show that a rebuilding changed none.

    .venv/bin/python tests/bench/digests.py > before.txt      # then change the code, and
    .venv/bin/python tests/bench/digests.py | diff before.txt -

Five demo frames and five generated ones; draw in every format on a roll and on a1, a4 and letter,
mitres, setup, plates, calibrate, compare, tape, inspect, solve. `--frames NAME,...` takes fewer.
"""

from __future__ import annotations

import hashlib
import json
import math
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parent.parent))

DEMOS = ("all-road", "hardtail", "small-650b", "tourer", "track")
GENERATED = (3, 10, 24, 38, 49)
NEXT = "all-road"
"""The frame that each is compared with."""
FORMATS = [f"--format={name}" for name in ("dxf", "svg", "pdf", "plt")]
MEDIA = [f"--media={name}" for name in ("roll-1067", "a1", "a4", "letter")]
COMMANDS: dict[str, list[str]] = {
    "solve": ["solve", "SPEC", "--json"],
    "solve-table": ["solve", "SPEC", "--tolerances"],
    "draw": ["draw", "SPEC", "--out", "draw", "--json"],
    "draw-every": ["draw", "SPEC", "--out", "every", *FORMATS, *MEDIA],
    "mitres": ["mitres", "SPEC", "--out", "mitres", "--json"],
    "mitres-every": ["mitres", "SPEC", "--out", "mitres-every", *FORMATS, *MEDIA],
    "setup": ["setup", "SPEC", "--out", "setup"],
    "setup-json": ["setup", "SPEC", "--out", "setup-json", "--json"],
    "plates": ["plates", "SPEC", "--out", "plates", "--json"],
    "compare": ["compare", "SPEC", "OTHER", "--out", "compare"],
    "tape": ["tape", "SPEC", "tape.yaml", "--json"],
    "tape-words": ["tape", "SPEC", "tape.yaml"],
    "inspect": ["inspect", "SPEC", "built.yaml", "--out", "inspect", "--json"],
    "inspect-words": ["inspect", "SPEC", "built.yaml"],
}
RUN = "import sys; from layout.cli import main; sys.argv = ['layout', *sys.argv[1:]]; main()"


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]


def spec_text(name: str) -> str:
    if name.startswith("generated-"):
        from conftest import generated_spec

        return generated_spec(int(name.rpartition("-")[2]))
    return (HERE.parents[2] / "specs" / f"{name}.yaml").read_text("utf-8")


def layout(words: list[str], where: Path) -> subprocess.CompletedProcess[bytes]:
    path = os.pathsep.join((str(HERE.parents[2]), os.environ.get("PYTHONPATH", "")))
    env = {**os.environ, "PYTHONPATH": path, "COLUMNS": "160"}
    return subprocess.run([sys.executable, "-c", RUN, *words], cwd=where, env=env, capture_output=True)


def fill_forms(where: Path, solved: dict[str, object], stem: str) -> None:
    """Readings as a bench would take them: a sheet 0.3 % long, a frame slightly out."""
    points: dict[str, list[float]] = solved["points"]  # type: ignore[assignment]
    dimensions: dict[str, float] = solved["dimensions"]  # type: ignore[assignment]
    forms = sorted((where / "draw").glob(f"{stem}-roll-*-readings.yaml"))
    pattern = re.compile(r"\{from: (\w+), +to: (\w+), +measured: ?\}")

    def read(found: re.Match[str], scale: float) -> str:
        a, b = found.groups()
        size = scale * math.dist(points[a], points[b]) if a in points and b in points else 0.0
        return f"{{from: {a}, to: {b}, measured: {size:.1f}}}" if size else found.group(0)

    text = forms[0].read_text("utf-8") if forms else "readings: []\n"
    (where / "tape.yaml").write_text(pattern.sub(lambda m: read(m, 1.003), text), "utf-8")
    form = where / "setup" / f"{stem}-frame-readings.yaml"
    text = form.read_text("utf-8") if form.exists() else "readings: []\n"
    text = pattern.sub(lambda m: read(m, 1.0005), text)
    names = re.compile(r"\{dimension: (\w+), +measured: ?\}")
    text = names.sub(lambda m: f"{{dimension: {m[1]}, measured: {dimensions[m[1]] + 0.2:.1f}}}", text)
    (where / "built.yaml").write_text(text, "utf-8")


def digests(name: str) -> Iterator[str]:
    """Every line for one frame: a command's status and words, then its files."""
    with tempfile.TemporaryDirectory() as folder:
        where = Path(folder)
        (where / f"{name}.yaml").write_text(spec_text(name), "utf-8")
        (where / "other.yaml").write_text(spec_text(NEXT), "utf-8")
        for label, words in COMMANDS.items():
            if label == "tape":
                solved = json.loads(layout(["solve", f"{name}.yaml", "--json"], where).stdout)
                fill_forms(where, solved, name)
            named = [{"SPEC": f"{name}.yaml", "OTHER": "other.yaml"}.get(w, w) for w in words]
            done = layout(named, where)
            said = f"status {done.returncode}, stdout {digest(done.stdout)}, stderr {digest(done.stderr)}"
            yield f"{name} {label}: {said}"
        for path in sorted(p for p in where.rglob("*") if p.is_file()):
            yield f"{name} {path.relative_to(where).as_posix()} {digest(path.read_bytes())}"


def shared() -> Iterator[str]:
    """What belongs to no frame: calibration pages, schema, media, a new spec."""
    with tempfile.TemporaryDirectory() as folder:
        where = Path(folder)
        for medium in ("a4", "letter", "roll-914"):
            layout(["calibrate", "--media", medium, "--out", "calibrate"], where)
        layout(["new", "frame.yaml"], where)
        for words in (["schema"], ["media"], ["--help"]):
            yield f"{' '.join(words)} {digest(layout(words, where).stdout)}"
        for path in sorted(p for p in where.rglob("*") if p.is_file()):
            yield f"{path.relative_to(where).as_posix()} {digest(path.read_bytes())}"


def main() -> None:
    frames = [*DEMOS, *(f"generated-{k}" for k in GENERATED)]
    if "--frames" in sys.argv:
        frames = sys.argv[sys.argv.index("--frames") + 1].split(",")
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        for lines in pool.map(lambda name: list(digests(name)), frames):
            print(*lines, sep="\n")
    print(*shared(), sep="\n")


if __name__ == "__main__":
    main()
