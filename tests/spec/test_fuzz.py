"""Any text at all becomes a FrameSpec or a SpecError, quickly, and nothing else."""

from __future__ import annotations

from hypothesis import example, given, settings
from hypothesis import strategies as st

from layout.errors import SpecError
from layout.spec.load import FrameSpec, loads
from layout.spec.registered import givable
from layout.spec.text import decode

KEYS = (
    *(
        "job",
        "geometry",
        "choose",
        "wheels",
        "fork",
        "headset",
        "rider",
        "tubes",
        "fittings",
        "jig",
        "plates",
    ),
    *("seat_tube", "chain_stay", "bends", "walls", "settings", "bb_drop", "head_angle", "front", "offset"),
    *("<<", "", "1", "kind", "at", "from", "diameter", "section", "radius", "head_angle:72", "length"),
)
VALUES = (
    "",
    "~",
    "37-622",
    "72",
    "010",
    "no",
    "1,5",
    ".nan",
    "12:30:00",
    "1e999",
    "'72'",
    "boss",
    "*a",
    "&a 1",
)

trees = st.recursive(
    st.sampled_from(VALUES) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(KEYS), inner, max_size=5),
    max_leaves=25,
)


def flow(tree: object) -> str:
    """The tree in YAML's flow style, values unquoted, so that every trap can bite."""
    if isinstance(tree, dict):
        return "{" + ", ".join(f"{key}: {flow(value)}" for key, value in tree.items()) + "}"
    if isinstance(tree, list):
        return "[" + ", ".join(map(flow, tree)) + "]"
    return str(tree)


def check(text: str) -> None:
    try:
        spec = loads(text, "f")
    except SpecError as e:
        assert e.faults
        for fault in e.faults:
            assert fault.file == "f"
            assert fault.code in ("syntax", "unknown_key", "type", "range", "duplicate")
            assert "\n" not in str(fault)
    else:
        assert isinstance(spec, FrameSpec)


@given(st.text())
@example("\ud800")
@example("a: \x85b")
@example("? ")
@example("--- !x y")
@example("%TAG ! a\n---\n!b c")
@example("- &a\n- *a")
@example("{? : *}")
def test_any_text_is_a_spec_or_a_fault(text: str) -> None:
    check(text)


@given(trees)
@settings(max_examples=300)
def test_any_tree_of_known_keys_is_a_spec_or_a_fault(tree: object) -> None:
    check(flow(tree))


@given(st.binary(max_size=200))
def test_any_bytes_are_a_spec_or_a_fault(data: bytes) -> None:
    try:
        text = decode(data, "f")
    except SpecError as e:
        assert [f.code for f in e.faults] == ["syntax"]
    else:
        check(text)


@given(
    st.dictionaries(st.sampled_from(sorted(givable())), st.floats(-1e4, 1e4), max_size=12),
)
def test_numbers_are_read_as_written_or_refused_as_out_of_range(numbers: dict[str, float]) -> None:
    known = givable()
    bad = {n for n, v in numbers.items() if not known[n].low <= v <= known[n].high}
    text = "geometry:\n" + "".join(f"  {name}: {value!r}\n" for name, value in numbers.items())
    try:
        spec = loads(text)
    except SpecError as e:
        assert {(f.key or "").removeprefix("geometry.") for f in e.faults} == bad
        assert all(f.code == "range" for f in e.faults)
    else:
        assert not bad
        assert {name: found.value for name, found in spec.givens.items()} == numbers
