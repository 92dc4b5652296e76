"""Media by name, in any case, and what is said where there is none."""

from __future__ import annotations

import pytest

from layout.errors import SheetError
from layout.sheets.media import LONGEST_SIDE, MEDIA, SHORTEST_SIDE, MediumKind, medium, plain

NAMED = (
    "a0 a1 a2 a3 a4 letter ansi-a ansi-b ansi-c ansi-d ansi-e arch-a arch-b arch-c arch-d arch-e "
    "roll-610 roll-762 roll-841 roll-914 roll-1067"
).split()


def test_the_table_has_every_medium_that_is_promised():
    assert sorted(m.name for m in MEDIA) == sorted(NAMED)


@pytest.mark.parametrize("name", NAMED)
def test_names_are_found_in_any_case(name):
    assert medium(name.upper()) is medium(name)
    assert medium(name).name == name


@pytest.mark.parametrize("row", MEDIA, ids=lambda m: m.name)
def test_every_row_is_whole(row):
    assert row.source
    assert row.device.source
    assert 0 < row.device.side < row.short / 4
    assert row.tiled == (row.kind is MediumKind.CUT) == (row.long is not None)
    if row.kind is MediumKind.CUT:
        assert SHORTEST_SIDE <= row.short <= row.long <= LONGEST_SIDE
    else:
        assert row.device.longest is not None


def test_office_paper_is_printed_by_office_printers_and_the_rest_is_not():
    office = {m.name for m in MEDIA if m.device.name == "office printer"}
    assert office == {"a4", "a3", "letter", "ansi-a", "ansi-b", "arch-a", "arch-b"}


def test_any_roll_and_any_sheet_can_be_asked_for():
    assert (medium("roll-900").short, medium("roll-900").long) == (900.0, None)
    assert medium("Roll-914.0") is medium("roll-914")
    sheet = medium("1200X800")
    assert (sheet.name, sheet.short, sheet.long) == ("1200x800", 800.0, 1200.0)
    assert medium("215.9×355.6").name == "215.9x355.6"


@pytest.mark.parametrize(
    "name",
    ["", "a5", "a44", "roll-", "roll-0", "roll--3", "roll-100", "roll-99999", "0x0", "100x300", "300x9999",
     "300x", "x300", "1e3x300", "nanxnan", "-300x300", "300x300x300", "roll-1e3", "9" * 9 + "x300"],
)  # fmt: skip
def test_anything_else_is_an_error_of_code_media(name):
    with pytest.raises(SheetError) as caught:
        medium(name)
    (fault,) = caught.value.faults
    assert fault.code == "media"
    assert caught.value.exit_status == 2


@pytest.mark.parametrize(
    ("wrong", "right"), [("a5", "a"), ("lettre", "letter"), ("roll914", "roll-914"), ("ansi e", "ansi-e")]
)
def test_a_close_name_is_suggested(wrong, right):
    with pytest.raises(SheetError, match=f"Did you mean {right}"):
        medium(wrong)


def test_a_side_out_of_range_is_told_its_range():
    with pytest.raises(SheetError, match="of 100 mm; expected 200 to 5080 mm"):
        medium("roll-100")


def test_sizes_are_written_plainly():
    assert [plain(v) for v in (210.0, 279.4, 1219.2, 0.125, 1000.0)] == [
        "210",
        "279.4",
        "1219.2",
        "0.125",
        "1000",
    ]
