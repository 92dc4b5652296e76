"""Long lists, long texts and odd file names end in a drawing or in a message, never in a terminal upset."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.cli.commands import run
from layout.errors import SpecError
from layout.spec.load import loads
from layout.spec.parts import MOST_FITTINGS

SPEC = Path(__file__).parents[2] / "specs" / "track.yaml"


def fittings(count: int) -> str:
    rows = "".join(f"- {{kind: boss, tube: down_tube, at: {100 + i / 2}, from: bb}}\n" for i in range(count))
    return f"geometry:\n  head_angle: 72\nfittings:\n{rows}"


def test_fittings_without_end_are_refused_with_their_number() -> None:
    """900 fittings were placed for 48 s."""
    assert len(loads(fittings(MOST_FITTINGS)).spec.fittings) == MOST_FITTINGS
    with pytest.raises(SpecError, match=r"fittings: has 900 fittings; expected at most 100") as caught:
        loads(fittings(900))
    assert [f.key for f in caught.value.faults] == ["fittings"]


@pytest.mark.parametrize("letters", ["W" * 2000, "a long title of words " * 90])
@pytest.mark.parametrize("command", ["mitres", "setup", "plates"])
def test_a_title_of_any_length_leaves_the_paper_its_size(letters: str, command: str, tmp_path: Path) -> None:
    """A template of 327 mm was refused by A4, for the title on it."""
    spec = tmp_path / "frame.yaml"
    text = SPEC.read_text(encoding="utf-8")
    (line,) = [row for row in text.splitlines() if row.strip().startswith("title:")]
    spec.write_text(text.replace(line, f'  title: "{letters[:1990]}"'), encoding="utf-8")
    assert run([command, str(spec), "--out", str(tmp_path / "out")]) == 0


def test_control_characters_of_a_folder_never_reach_the_terminal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The table of files showed them as they are: a name could clear the screen."""
    odd = tmp_path / "clear\x1b[2J\x07here"
    assert run(["setup", str(SPEC), "--out", str(odd)]) == 0
    assert run(["new", str(tmp_path / "new\x1b[2J.yaml")]) == 0
    said = capsys.readouterr()
    assert "\x1b" not in said.out + said.err and "\x07" not in said.out + said.err
    assert "clear\\x1b[2J\\x07here" in said.out
