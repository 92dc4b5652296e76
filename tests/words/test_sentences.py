"""Every text of the code keeps the rules, also where no test brings it up."""

from __future__ import annotations

import re

import rules
from sentences import Sentence, sentences

_NUMBER = re.compile(
    r"\{(?:[^{}]*(?:format_number\(|_mm\(|plain\()[^{}]*|[^{}]*:\.?\d?[fg])\}"
    r"(?! ?(?:mm|°|kg|kB|m\b|%|degrees|\{(?:\w+\.)?unit|x \{|x thick|times|TPI|to \{|is -?\{))"
)
"""A hole for a number of mm, degrees ... without a unit behind it."""
_PROSE = re.compile(r"[.:?]$")
STRANGE = {
    "bench/mounts.py": "labels on the drawing, whose title block has the unit",
    "bench/scale.py": "the range of a scale in a table of mm and degrees",
    "checks/readback/plates.py": "a place in a damaged file, for who reports it",
    "checks/readback/plt.py": "a place in a damaged file, for who reports it",
    "checks/readback/verify.py": "a place in a damaged file, for who reports it",
    "drafting/packing.py": "caught by who packs: no one reads it",
    "pipeline/setup.py": "a note in a table of mm",
    "views/setup/panels.py": "a list that begins with its unit",
    "views/setup/rows.py": "a note in a table of mm",
    "views/templates/words.py": "labels on the strips, whose guide has the unit",
    "writers/strokes.py": "what only a wrong view brings up",
}
"""Where a number may stand without a unit, and why."""
TYPED = re.compile(
    r"(?:Write off: |Take |plates.smallest_web|M)\{[^{}]*\}"
    r"|(?:is|Write|^has) \[?\{[^{}]*\}(?:, \{[^{}]*\}\])?(?=[;,.])"
    r"|its range goes from \{[^{}]*\} to \{[^{}]*\}|\{\{(?:[^{}]|\{[^{}]*\})*\}\}"
    r"|Divide by the true length[^.]*|x \{[^{}]*\}, y \{[^{}]*\}"
)
"""Numbers as they are typed, ratios and sizes of bolts."""


def broken(said: Sentence) -> list[str]:
    return [f"{said.place}: {what}" for what in rules.broken(said.plain)]


def test_every_text_of_the_code_keeps_the_rules() -> None:
    every = list(sentences())
    assert len(every) > 700
    assert [line for said in every for line in broken(said)] == []


def test_every_number_put_into_a_text_has_its_unit() -> None:
    bare = [s for s in sentences() if _NUMBER.search(TYPED.sub(" ", s.text))]
    assert [f"{s.place}: {s.text}" for s in bare if s.file not in STRANGE] == []
    assert {s.file for s in bare} == set(STRANGE), "an exception that is needed no more"


def test_the_checker_of_texts_finds_a_bare_number() -> None:
    assert _NUMBER.search("the gap is {gap:.1f} there")
    assert not _NUMBER.search("the gap is {gap:.1f} mm there")
    assert Sentence("a.py", 1, "a {gap:.1f} mm gap, {{at: 5}}").plain == "a X mm gap, [at: 5]"
