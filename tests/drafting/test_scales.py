"""The search for a scale."""

from __future__ import annotations

from layout.drafting.scales import REDUCTIONS, largest, ratio, reduced_words


def test_the_reductions_are_those_of_the_standard():
    """ISO 5455 (from memory): 1, 2 and 5 times a power of ten."""
    assert REDUCTIONS == tuple(sorted(REDUCTIONS))
    assert all(str(scale).rstrip("0") in ("1", "2", "5") for scale in REDUCTIONS)


def test_the_first_scale_that_gives_anything_is_taken_and_none_after_it_tried():
    tried: list[int] = []

    def attempt(scale: int) -> str | None:
        tried.append(scale)
        return "" if 100 / scale <= 20 else None

    assert largest(REDUCTIONS, attempt) == ""
    assert tried == [2, 5]


def test_no_scale_may_do():
    assert largest((2, 5), lambda scale: None) is None


def test_what_is_lettered_says_not_to_measure():
    assert ratio(20) == "1:20"
    assert reduced_words(20) == "1:20, not for measuring"
