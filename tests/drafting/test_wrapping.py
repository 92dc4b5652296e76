"""Words fitted into a width."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drafting.lettering import text_width, widths_of_beginnings
from layout.drafting.wrapping import shorten, widest_piece, widest_word, wrap

TEXT = "Verify the scale before cutting: measure the cross both ways."


@pytest.mark.parametrize("width", [200.0, 60.0, 30.0])
def test_lines_fit_and_keep_every_word_in_its_order(width: float) -> None:
    lines = wrap(TEXT, width, 3.5)
    assert " ".join(lines) == TEXT
    assert max(text_width(line, 3.5) for line in lines) <= width


def test_each_line_takes_as_many_words_as_fit() -> None:
    lines = wrap(TEXT, 60.0, 3.5)
    for line, following in pairwise(lines):
        assert text_width(f"{line} {following.split()[0]}", 3.5) > 60.0


def test_a_text_that_fits_is_left_as_it_is() -> None:
    assert wrap("a  b", 100.0, 5.0) == ("a  b",)
    assert wrap("  ", 100.0, 5.0) == wrap("", 100.0, 5.0) == ()


@given(st.text(st.characters(codec="latin-1", categories=("L", "N", "P")), min_size=1, max_size=40))
def test_a_word_too_long_is_broken_without_losing_a_character(word: str) -> None:
    lines = wrap(word, 9.0, 3.5)
    assert "".join(lines) == word
    assert all(text_width(line, 3.5) <= 9.0 for line in lines)


def test_shortened_text_fits_and_ends_in_an_ellipsis() -> None:
    short = shorten(TEXT, 60.0, 3.5)
    assert text_width(short, 3.5) <= 60.0
    assert short.endswith("…") and TEXT.startswith(short[:-1])
    following = TEXT[len(short) - 1 :].split()[0]
    assert text_width(f"{short[:-1]} {following}…", 3.5) > 60.0
    assert shorten("short", 60.0, 3.5) == "short"
    assert shorten("wide", 1.0, 3.5) == "…"


def test_the_widest_word_is_measured() -> None:
    assert widest_word("a measured b", 5.0) == text_width("measured", 5.0)
    assert widest_word("", 5.0) == 0.0


def test_a_text_is_cut_short_between_words_or_after_a_hyphen() -> None:
    """A name was cut within a word: "Featherstonehaugh-Chol…"."""
    room = text_width("seat-tube cl…", 3.5)
    assert shorten("seat-tube clamp", room, 3.5) == "seat-tube…"
    assert shorten("seat-tube clamp", text_width("seat-tu…", 3.5), 3.5) == "seat-…"
    assert shorten("seatpost", text_width("seatp…", 3.5), 3.5) == "seatp…"


def test_a_word_too_long_is_broken_after_a_hyphen_where_it_has_one() -> None:
    room = text_width("Featherstonehaugh-Chol", 3.5)
    name = "Featherstonehaugh-Cholmondeley"
    assert wrap(name, room, 3.5) == ("Featherstonehaugh-", "Cholmondeley")
    assert widest_piece(name, 3.5) == text_width("Featherstonehaugh-", 3.5)


@given(st.text(max_size=30))
def test_the_width_of_each_beginning_is_that_of_its_text(text: str) -> None:
    """Each was measured anew: a title of 2,000 letters took mitres 3 s more, of a word without end."""
    assert widths_of_beginnings(text, 3.5) == [text_width(text[:end], 3.5) for end in range(1, len(text) + 1)]


@given(st.text("abW -\u0301e\u1ebf", min_size=1, max_size=60), st.floats(1.0, 60.0))
def test_a_text_is_cut_as_late_as_it_can_be(text: str, width: float) -> None:
    """Against the plain search, which tries every end from the last."""
    ends = [text[:end].rstrip() for end in range(len(text) - 1, 0, -1)]
    fitting = [cut for cut in ends if text_width(cut + "…", 3.5) <= width]
    whole = [cut for cut in fitting if cut.endswith("-") or text[len(cut)] == " "]
    if text_width(text, 3.5) > width:
        assert shorten(text, width, 3.5) == [*whole, *fitting, ""][0] + "…"
