"""Numbers spelled many at once, against Python's own spelling of one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.writers.decimals import LIMIT, Around, filled, floats, plains, spelled
from layout.writers.strokes import plain

LINES = Around([("", "\n"), ("L", " end")])


def told(numbers: list[float], which: int = 0) -> str:
    text, lengths = spelled(np.array(numbers), LINES, np.full(len(numbers), which))
    assert lengths.sum() == len(text)
    return text


def meant(numbers: list[float]) -> str:
    return "".join(f"{v:.3f}\n" for v in numbers)


@given(st.lists(st.floats(-LIMIT + 1, LIMIT - 1), min_size=1))
def test_any_numbers_are_spelled_as_python_does(numbers: list[float]) -> None:
    assert told(numbers) == meant(numbers)


def test_halves_of_a_thousandth_fall_as_python_lets_them_fall() -> None:
    numbers = [k / 2000 for k in range(-200_001, 200_001, 2)] + [k / 1024 for k in range(-5000, 5000)]
    assert told(numbers) == meant(numbers)


@pytest.mark.parametrize("number", [0.0, -0.0, -0.0001, 0.9995, 999.9995, 9999.9996, 12345.678, -99998.999])
def test_edges(number: float) -> None:
    assert told([number]) == meant([number])


def test_what_stands_around_a_number() -> None:
    text, lengths = spelled(np.array([-1.5, 20.0]), LINES, np.array([1, 0]))
    assert (text, lengths.tolist()) == ("L-1.500 end20.000\n", [11, 7])
    assert spelled(np.empty(0), LINES, np.empty(0, dtype=np.intp))[0] == ""


@pytest.mark.parametrize("number", [float(LIMIT), -1e9, float("inf"), float("nan")])
def test_no_number_is_spelled_wrong_because_it_is_too_large(number: float) -> None:
    with pytest.raises(ValueError, match="99999"):
        told([number])


def test_a_word_too_long_to_stand_around_a_number_is_refused() -> None:
    with pytest.raises(ValueError, match="longer than 4"):
        Around([("", " curve")])


@given(st.lists(st.floats(-LIMIT - 1, LIMIT + 1)))
def test_any_numbers_of_strokes_are_spelled_as_one_is(numbers: list[float]) -> None:
    assert plains(np.array(numbers)) == [plain(v) for v in numbers]


def test_halves_of_a_millionth_fall_as_python_lets_them_fall() -> None:
    numbers = [k / 2_000_000 for k in range(-200_001, 200_001, 2)]
    numbers += [90_000 + k / 2**20 for k in range(20_000)] + [k + 2.0**-7 for k in range(20_000)]
    assert plains(np.array(numbers)) == [plain(v) for v in numbers]


@pytest.mark.parametrize(
    ("number", "meant"),
    [(-0.0, "0"), (-4e-7, "0"), (5.1e-7, "0.000001"), (0.9999996, "1"), (1000.0, "1000"),
     (10.00102, "10.00102"), (-1234.5, "-1234.5"), (99998.9999999, "99999"), (1e6, "1000000")],
)  # fmt: skip
def test_edges_of_strokes_numbers(number: float, meant: str) -> None:
    assert plains(np.array([number])) == [meant]


def test_templates_are_filled_in_their_order() -> None:
    assert filled(["%s", "", "%s-%s"], [1.0, 2.0, 3.0]) == ["1", "", "2-3"]
    assert filled([], []) == []


@given(st.lists(st.floats(-LIMIT - 1, LIMIT + 1) | st.floats(-1e-3, 1e-3)))
def test_any_numbers_are_rounded_as_python_rounds_one(numbers: list[float]) -> None:
    assert floats(np.array(numbers)) == [str(round(v, 6) + 0.0) for v in numbers]


@pytest.mark.parametrize(
    ("number", "meant"),
    [(-0.0, "0.0"), (-4e-7, "0.0"), (1e-6, "1e-06"), (-0.000099, "-9.9e-05"), (0.0001, "0.0001"),
     (612.0, "612.0"), (100000.0, "100000.0")],
)  # fmt: skip
def test_edges_of_rounded_numbers(number: float, meant: str) -> None:
    assert floats(np.array([number])) == [meant]
