"""Demo specs with lines dropped, doubled, swapped and numbers changed end in an answer or in our own words.

Some sixty in the suite, a few seconds; 3,000 with WHOLE_STUDIES=1 pytest tests/cli/test_mutated_specs.py
"""

from __future__ import annotations

import os
import random
import re
from pathlib import Path

import pytest

from layout.cli.commands import run

DEMOS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))
CASES = 3000 if os.environ.get("WHOLE_STUDIES") else 60
EVERY_MITRE = 15
"""One mutated spec of so many is placed in space and cut as well, which takes longer."""
NUMBER = re.compile(r"-?\d+(\.\d+)?")
ODD = ("0", "-1", "1e9", "nan", "''", "~", "[]", "{}", "54 cm", "21 1/4 in", "'x'", "9" * 21, "-0.0")


def mutated(text: str, rng: random.Random) -> str:
    """The text with one to three slips of the keyboard."""
    lines = text.splitlines()
    for _ in range(rng.randint(1, 3)):
        k = rng.randrange(len(lines))
        match rng.randrange(6):
            case 0:
                del lines[k]
            case 1:
                lines.insert(k, lines[rng.randrange(len(lines))])
            case 2:
                other = rng.randrange(len(lines))
                lines[k], lines[other] = lines[other], lines[k]
            case 3:
                lines[k] = NUMBER.sub(rng.choice(ODD), lines[k], count=1)
            case 4:
                lines[k] = NUMBER.sub(lambda m: str(round(float(m[0]) * rng.uniform(0.3, 3.0), 2)), lines[k])
            case _:
                at = rng.randrange(len(lines[k]) + 1)
                lines[k] = lines[k][:at] + rng.choice(":-#{}[]'\"\t\x00é ") + lines[k][at:]
        if not lines:
            return ""
    return "\n".join(lines) + "\n"


def test_a_mutated_spec_is_answered_or_refused_in_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spec, statuses = tmp_path / "frame.yaml", []
    for seed in range(CASES):
        rng = random.Random(f"mutated {seed}")
        text = mutated(rng.choice(DEMOS).read_text(encoding="utf-8"), rng)
        spec.write_text(text, encoding="utf-8")
        cut = ["mitres", "--format", "csv", "--out", str(tmp_path)]
        command = cut if seed % EVERY_MITRE == 0 else ["solve"]
        statuses.append(run([command[0], str(spec), *command[1:]]))
        said = capsys.readouterr()
        assert statuses[-1] in (0, 2), (seed, said.err[-300:])
        assert "the program failed" not in said.err, (seed, said.err[-300:])
        assert statuses[-1] == 0 or said.err.startswith(str(spec)), (seed, said.err[:300])
    assert {0, 2} == set(statuses)
