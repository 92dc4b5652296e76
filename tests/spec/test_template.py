"""The starting spec: every key is there with a comment, and it reads with all of them in use."""

from __future__ import annotations

import re

from layout.spec.block import SpecBlock
from layout.spec.keys import block_at, fields_of
from layout.spec.load import loads
from layout.spec.model import Spec
from layout.spec.template import template

OFF = re.compile(r"(?m)^#(?! )|^#(?=  +[a-z_]+:)")
"""A key that is commented out: `#` and no blank, or a key indented under an active block."""


def everything() -> str:
    return OFF.sub("", template())


def test_it_reads_as_it_stands_and_with_every_key_in_use() -> None:
    assert loads(template()).givens["head_angle"].value == 72.0
    spec = loads(everything()).spec
    assert spec.cockpit.stem_length == 100.0
    assert spec.plates.thickness == 10.0
    assert spec.jig.settings["bb_drop"].pitch == 5.0


def test_it_names_every_block_and_every_key_of_the_small_ones() -> None:
    text = template()
    for name in fields_of(Spec):
        assert re.search(rf"(?m)^#?{name}:", text), name
        if name in ("joining", "geometry", "choose"):
            continue
        model = block_at((name,))
        assert model is not None
        for key in _leaf_names(model):
            assert re.search(rf"\b{key}\b", text), f"{name}.{key}"


def test_every_line_with_a_number_says_what_it_is() -> None:
    quiet = [
        line
        for line in everything().splitlines()
        if re.match(r" +[a-z_]+: \S", line) and "#" not in line and "{" not in line
    ]
    groups = [line.split(":")[0].strip() for line in quiet]
    assert set(groups) <= {"rear", "length", "angle", "material", "bolt", "dowel", "thickness"}


def _leaf_names(model: type[SpecBlock]) -> list[str]:
    return list(fields_of(model))
