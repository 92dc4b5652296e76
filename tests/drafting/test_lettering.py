"""The single-stroke alphabet: proportions, repertoire, boxes, strokes.

Proportions of ISO 3098 type B, from memory: small letters 7/10, tails 3/10, clear gap between
characters 2/10 with strokes of 1/10, space between words 6/10, lines 14/10 to 17/10 apart.
"""

from __future__ import annotations

import math
import string
import unicodedata
from itertools import pairwise

import pytest
from shapely.geometry import LineString, MultiLineString, Point, Polygon

from layout.drafting.entities import Align, Text
from layout.drafting.lettering import (
    LINE_SPACING,
    CurveTo,
    LineTo,
    Stroke,
    flatten,
    line_step,
    missing,
    strokes,
    text_box,
    text_width,
)
from layout.drafting.style import lettering_pen

ASCII = [chr(c) for c in range(33, 127)]
LATIN = [chr(c) for c in range(0xA1, 0x180) if c != 0xAD]
SIGNS = list("°Ø⌀±×·–—−µ²³½‘’“”„…€§→←↑↓≤≥≈′″")
REPERTOIRE = sorted({*ASCII, *LATIN, *SIGNS})
HEIGHTS = (3.5, 5.0, 7.0)


def ink(text: Text, sagitta: float = 0.001) -> MultiLineString:
    """The middle lines of all strokes."""
    return MultiLineString([LineString(flatten(s, sagitta)) for s in strokes(text)])


def ink_of(char: str, height: float = 10.0) -> MultiLineString:
    return ink(Text((0.0, 0.0), char, height))


def curve_point(start: tuple[float, float], c: CurveTo, t: float) -> tuple[float, float]:
    """De Casteljau, not the library's power form."""
    pts = [start, c.c1, c.c2, c.end]
    while len(pts) > 1:
        pts = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b in pairwise(pts)]
    return pts[0]


@pytest.mark.parametrize(
    ("char", "bottom", "top"),
    [
        *[(c, 0.0, 1.0) for c in "ABCDEFGHIKLMNOPRSTUVWXYZ0123456789bdhkl"],
        *[(c, 0.0, 0.7) for c in "aceomnrsuvwxz"],
        *[(c, -0.3, 0.7) for c in "gpqy"],
    ],
)
def test_heights_are_those_of_iso_3098(char: str, bottom: float, top: float) -> None:
    _, low, _, high = ink_of(char).bounds
    assert low == pytest.approx(bottom * 10, abs=0.01)
    assert high == pytest.approx(top * 10, abs=0.01)


def test_two_stems_leave_two_tenths_clear_with_a_stroke_of_one_tenth() -> None:
    height = 3.5
    left, right = (ink(Text((0.0, 0.0), "II", height)).bounds[i] for i in (0, 2))
    assert right - left - lettering_pen(height).width == pytest.approx(0.2 * height)


def test_words_stand_six_tenths_apart() -> None:
    gap = text_width("H H", 10.0) - 2 * text_width("H", 10.0) - 1.0
    assert gap == pytest.approx(6.0)


def test_line_spacing_is_within_iso_3098() -> None:
    assert 1.4 <= LINE_SPACING <= 1.7


def test_digits_are_all_of_one_width_alone_and_in_numbers() -> None:
    assert len({text_width(d, 7.0) for d in string.digits}) == 1
    assert text_width("111.1", 7.0) == pytest.approx(text_width("888.8", 7.0))


def test_digits_after_the_decimal_point_line_up_from_the_right() -> None:
    points = []
    for number in ("11.1", "430.0", "7.4"):
        dots = [s for s in strokes(Text((0.0, 0.0), number, 5.0, align=Align.END)) if _is_dot(s)]
        points.append(LineString(flatten(dots[0], 0.001)).centroid.x)
    assert points == pytest.approx([points[0]] * 3)


def _is_dot(stroke: Stroke) -> bool:
    left, _, right, _ = LineString(flatten(stroke, 0.001)).bounds
    return right - left < 0.5


@pytest.mark.parametrize("height", HEIGHTS)
@pytest.mark.parametrize("angle", [0.0, 30.0, 90.0, 217.0])
def test_no_ink_leaves_the_box(height: float, angle: float) -> None:
    for char in REPERTOIRE:
        text = Text((31.0, -7.0), char, height, angle=angle)
        box = Polygon(text_box(text))
        drawn = ink(text).buffer(pen(text) / 2, quad_segs=16)
        assert box.buffer(1e-6).covers(drawn), char


def pen(text: Text) -> float:
    return lettering_pen(text.height).width


def test_the_pen_is_a_tenth_to_a_fourteenth_of_the_height() -> None:
    """ISO 3098's types A and B, h/14 and h/10 (from memory); all words had one width of 0.35."""
    assert [lettering_pen(h).width for h in (10.0, 7.0, 5.0, 3.5, 2.5)] == [0.7, 0.5, 0.35, 0.35, 0.25]
    for height in (1.8, 2.5, 3.5, 5.0, 7.0, 10.0):
        assert 1 / 14.5 <= lettering_pen(height).width / height <= 1 / 9.9


def test_width_is_that_of_the_ink() -> None:
    for char in sorted(set(REPERTOIRE) - set(string.digits)):
        left, _, right, _ = ink_of(char).bounds
        assert (left, right) == pytest.approx((0.0, text_width(char, 10.0)), abs=0.002), char


@pytest.mark.parametrize("text", ["front centre 612.5", "AVATAR To. Ty", "ĂÇĘĮ Čeněk, Ångström", "¿Qué? {½}"])
@pytest.mark.parametrize("align", list(Align))
def test_no_ink_of_running_words_leaves_the_box(text: str, align: Align) -> None:
    entity = Text((5.0, 9.0), text, 5.0, angle=-41.0, align=align)
    drawn = ink(entity).buffer(pen(entity) / 2)
    assert Polygon(text_box(entity)).buffer(1e-6).covers(drawn)


def test_box_reaches_below_the_baseline_only_for_characters_that_do() -> None:
    def low(text: str) -> float:
        return text_box(Text((0.0, 0.0), text, 10.0))[0][1]

    assert low("Rear centre 430.0") == pytest.approx(-0.35, abs=0.001)
    assert low("drop") == pytest.approx(-3.35)
    assert -3.0 < low("1,5") < -0.35


def test_box_is_a_capital_high_or_as_high_as_the_accents() -> None:
    def high(text: str) -> float:
        return text_box(Text((0.0, 0.0), text, 10.0))[2][1]

    assert high("oxen") == high("HEAD") == pytest.approx(10.35)
    assert high("ÉTÉ") == pytest.approx(13.35)


def test_pad_widens_the_box_on_all_sides() -> None:
    text = Text((0.0, 0.0), "Ø 28.6", 5.0)
    tight, wide = text_box(text), text_box(text, pad=2.0)
    assert wide[0] == pytest.approx((tight[0][0] - 2, tight[0][1] - 2))
    assert wide[2] == pytest.approx((tight[2][0] + 2, tight[2][1] + 2))


def test_alignment_moves_the_line_along_its_baseline() -> None:
    width = text_width("drop 70.0", 7.0)
    for align, start in ((Align.START, 0.0), (Align.MIDDLE, -width / 2), (Align.END, -width)):
        box = text_box(Text((0.0, 0.0), "drop 70.0", 7.0, angle=90.0, align=align))
        assert box[0][1] == pytest.approx(start - 0.25)
        assert box[1][1] == pytest.approx(start + width + 0.25)


def test_turned_and_moved_strokes_are_the_plain_ones_turned_and_moved() -> None:
    plain = strokes(Text((0.0, 0.0), "Rg8", 5.0))
    turned = strokes(Text((10.0, 20.0), "Rg8", 5.0, angle=90.0))
    for a, b in zip(plain, turned, strict=True):
        assert b.start == pytest.approx((10.0 - a.start[1], 20.0 + a.start[0]))
        for p, q in zip(a.segments, b.segments, strict=True):
            assert q.end == pytest.approx((10.0 - p.end[1], 20.0 + p.end[0]))


def test_the_whole_repertoire_is_drawn() -> None:
    assert missing("".join(REPERTOIRE)) == set()
    blank = [c for c in REPERTOIRE if not strokes(Text((0.0, 0.0), c, 5.0))]
    assert blank == []


def test_a_character_it_lacks_is_named_and_drawn_as_an_empty_box() -> None:
    assert missing("drop 字 語 Ø") == {"字", "語"}
    (only,) = strokes(Text((0.0, 0.0), "字", 10.0))
    assert LineString(flatten(only, 0.01)).is_closed
    assert text_width("字", 10.0) > 0


def test_letters_with_loose_marks_are_the_same_as_composed_ones() -> None:
    loose = unicodedata.normalize("NFD", "Čeněk Ångström")
    assert loose != "Čeněk Ångström"
    assert missing(loose) == set()
    assert strokes(Text((0.0, 0.0), loose, 5.0)) == strokes(Text((0.0, 0.0), "Čeněk Ångström", 5.0))


def test_every_character_looks_like_no_other() -> None:
    seen: dict[tuple[Stroke, ...], str] = {}
    for char in REPERTOIRE:
        shape = strokes(Text((0.0, 0.0), char, 10.0))
        twin = seen.setdefault(shape, char)
        # The same signs in Unicode: Icelandic and Croatian capital D with a bar.
        assert twin == char or {twin, char} == {"Ð", "Đ"}, (twin, char)


@pytest.mark.parametrize(("a", "b"), ["1l", "1I", "lI", "0O", "69", "38", "5S", "2Z", "Ø⌀", "Øø", "I|"])
def test_characters_easily_mistaken_differ_in_ink(a: str, b: str) -> None:
    one, two = ink_of(a), ink_of(b)
    assert one.hausdorff_distance(two) > 1.2, "over a tenth of the height apart somewhere"


def test_neighbours_never_run_into_each_other_even_at_the_smallest_height() -> None:
    h = 3.5
    alone = {c: ink(Text((0.0, 0.0), c, h), 0.02) for c in string.ascii_letters + string.digits + ".,-+°"}
    for a in alone:
        for b in alone:
            pair = ink(Text((0.0, 0.0), a + b, h), 0.02)
            count = len(alone[a].geoms)
            first, second = MultiLineString(pair.geoms[:count]), MultiLineString(pair.geoms[count:])
            assert first.distance(second) > lettering_pen(h).width + 0.1, a + b


def test_marks_stand_clear_of_their_letters() -> None:
    attached = {"\u0327", "\u0328"}
    for char in REPERTOIRE:
        base, *marks = unicodedata.normalize("NFD", char)
        if not marks or attached & set(marks):
            continue
        base = {"i": "ı", "j": "ȷ"}.get(base, base)
        count = len(strokes(Text((0.0, 0.0), base, 3.5)))
        parts = ink(Text((0.0, 0.0), char, 3.5)).geoms
        letter, mark = MultiLineString(parts[:count]), MultiLineString(parts[count:])
        assert letter.distance(mark) > lettering_pen(3.5).width + 0.05, char


def test_the_o_is_round() -> None:
    drawn = strokes(Text((0.0, 0.0), "O", 20.0))
    a = text_width("O", 20.0) / 2
    for x, y in flatten(drawn[0], 0.0005):
        assert math.hypot((x - a) / a, (y - 10.0) / 10.0) == pytest.approx(1.0, abs=3e-4)


@pytest.mark.parametrize("sagitta", [0.1, 0.01, 0.001])
def test_flattening_stays_within_its_sagitta(sagitta: float) -> None:
    for char in REPERTOIRE:
        for stroke in strokes(Text((0.0, 0.0), char, 7.0)):
            line = LineString(flatten(stroke, sagitta))
            here = stroke.start
            for piece in stroke.segments:
                if isinstance(piece, CurveTo):
                    for i in range(17):
                        off = line.distance(Point(curve_point(here, piece, i / 16)))
                        assert off <= sagitta * 1.0001, char
                here = piece.end


def test_flattening_spends_few_points_and_keeps_corners() -> None:
    (stroke,) = strokes(Text((0.0, 0.0), "O", 7.0))
    assert len(flatten(stroke, 0.01)) < 60
    line = Stroke((0.0, 0.0), (LineTo((1.0, 0.0)), LineTo((1.0, 1.0))))
    assert flatten(line, 0.01) == ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))


def test_nothing_written_has_no_width_and_no_strokes() -> None:
    assert text_width("", 5.0) == 0.0
    assert strokes(Text((0.0, 0.0), "", 5.0)) == ()
    assert strokes(Text((0.0, 0.0), "   ", 5.0)) == ()


def test_width_grows_with_height_and_adds_up() -> None:
    assert text_width("wheelbase", 7.0) == pytest.approx(2 * text_width("wheelbase", 3.5))
    assert text_width("HHH", 10.0) == pytest.approx(2 * text_width("HH", 10.0) - text_width("H", 10.0))


@pytest.mark.parametrize("height", HEIGHTS)
def test_lines_under_each_other_never_meet(height: float) -> None:
    upper = Polygon(text_box(Text((0.0, 0.0), "gpqyj", height)))
    lower = Polygon(text_box(Text((0.0, -line_step(height)), "ÅÉŮŐÑ", height)))
    assert upper.distance(lower) >= 0.08
    assert 1.4 <= line_step(height) / height <= 1.75
