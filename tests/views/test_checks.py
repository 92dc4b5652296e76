"""The letters of tape checks on a view."""

from __future__ import annotations

import pytest

from layout.bench.tape import TapeCheck
from layout.drafting.calls import CheckCall, LengthCall, NoteCall
from layout.views.checks import check_rows, letter_calls

POINTS = {"a": (0.0, 0.0), "b": (300.0, 400.0), "c": (300.0, 0.0)}
AB = TapeCheck("A", "a", "b", 500.0)
AC = TapeCheck("B", "a", "c", 300.0)
SLANT = 53.13010235415598


def length(name: str, start: str, end: str, direction: float) -> LengthCall:
    return LengthCall(name, name, POINTS[start], POINTS[end], direction=direction)


def said(calls: list) -> list[tuple[str, str]]:
    return [(type(c).__name__, getattr(c, "label", c.name)) for c in calls]


def test_a_dimension_between_a_checks_points_takes_its_letter():
    calls = [length("slant", "a", "b", SLANT), NoteCall("words", (0.0, 0.0)), length("level", "c", "a", 0.0)]
    assert said(letter_calls(calls, [AB, AC], POINTS)) == [
        ("LengthCall", "A  slant"), ("NoteCall", "words"), ("LengthCall", "B  level"),
    ]  # fmt: skip


def test_a_dimension_measured_otherwise_between_the_same_points_does_not():
    found = letter_calls([length("height", "a", "b", 90.0)], [AB], POINTS, 5.0)
    assert said(found) == [("LengthCall", "height"), ("CheckCall", "A")]
    assert isinstance(found[1], CheckCall)
    assert (found[1].start, found[1].end, found[1].height) == (POINTS["a"], POINTS["b"], 5.0)


@pytest.mark.parametrize("way", [("a", "b"), ("b", "a")])
def test_a_letter_is_given_once(way: tuple[str, str]):
    calls = [length("first", *way, SLANT), length("second", *way, SLANT)]
    assert said(letter_calls(calls, [AB], POINTS)) == [("LengthCall", "A  first"), ("LengthCall", "second")]


def test_the_list_of_checks_says_what_to_measure_and_how_much():
    check = TapeCheck("C", "rear_axle", "bb", 430.04)
    assert check_rows([check]) == [("C  rear axle to BB", "430.0")]
