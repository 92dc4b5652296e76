"""setup: one spec becomes the bench's papers: the setup sheet, its numbers, the form for what is built.

STEM-setup.pdf, -1.svg, -2.svg     two pages to pin up
STEM-settings.csv, STEM-cuts.csv   the same numbers for a spreadsheet
STEM-setup.json                    the same for a program
STEM-frame-readings.yaml           the form that `inspect` reads, `measured` left empty
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from layout.bench.blocks import PlateBlock, blocks
from layout.bench.cut_list import CutRow, cut_list, stock
from layout.bench.reach import reach_notices
from layout.bench.settings import CANNOT, JIG, LENGTH, Setting, Value, settings, value_text
from layout.drafting.numbers import format_number
from layout.drafting.spreadsheet import csv_text, noted
from layout.errors import Notice
from layout.frame.solve import Frame, solve
from layout.frame.words import words
from layout.geometry.dimensions import REGISTRY
from layout.geometry.space.clearance import TYRE, WANTED
from layout.pipeline.documents import Document, data_text, form, job_info, table_note
from layout.pipeline.files import PDF, SVG, DataFile, Output, file_report
from layout.pipeline.forms import write_form
from layout.pipeline.frame_form import frame_form
from layout.pipeline.stale import stale_notices
from layout.pipeline.writing import writing
from layout.report.mitres import CHANGE
from layout.report.written import FileWritten, lettering_notices
from layout.spec.load import FrameSpec, load
from layout.views.setup.pages import pages
from layout.views.setup.panels import Clearance, Work
from layout.views.setup.rows import scale_words

KIND = "setup"
DOCUMENT = "setup sheet"
GAPS = dict.fromkeys(("down_tube_to_tyre", "pedal_to_tyre", "pedal_lean_angle"), WANTED[TYRE].reason)
"""Clearances in the plane that have a least value, and where that is from: the standard that has the tyre's.

The rear end's come from the tubes in space.
"""

Say = Callable[[str], None]


class SetupResult(NamedTuple):
    """Files, warnings and the numbers; `data` is what `setup --json` prints."""

    files: tuple[FileWritten, ...]
    warnings: tuple[Notice, ...]
    settings: tuple[Setting, ...]
    cuts: tuple[CutRow, ...]
    blocks: tuple[PlateBlock, ...] = ()

    @property
    def data(self) -> dict[str, Any]:
        """The numbers beside files and warnings: full precision."""
        return {
            "settings": settings_json(self.settings),
            "stacks": stacks_json(self.settings),
            "blocks": [b._asdict() for b in self.blocks],
        }

    @property
    def words(self) -> str:
        """For the terminal: what to set, in order."""
        return "\n".join(_lines(self.settings)) + "\n"


def setup(spec_path: str | Path, out: Path, say: Say = lambda _: None) -> SetupResult:
    """Write the bench's papers for one spec into the folder `out`, named after the spec's file.

    Raises SpecError or SolveError where the spec is at fault, WriteError where a file cannot be
    written or does not read back.
    """
    spec = load(spec_path)
    return set_up(solve(spec), Path(spec.file).stem, out, say)


def set_up(frame: Frame, stem: str, out: Path, say: Say = lambda _: None) -> SetupResult:
    """The same for a solved frame; `say` hears a line as each stage begins."""
    form_name = f"{stem}-frame-readings.yaml"
    readings = DataFile(form_name, "readings", frame_form(frame, (frame.spec.typed_name, form_name)))
    with writing(out, PDF, SVG, say=say) as files:
        say("placing tubes in space")
        work = bench_work(frame)
        cuts, found, gaps = work.cuts, work.settings, work.clearances
        say("drafting")
        sheet = setup_sheet(work, stem)
        note = table_note(sheet.info.mark)
        outputs: tuple[Output, ...] = (
            *sheet.files(PDF, SVG),
            DataFile(f"{stem}-settings.csv", KIND, _settings_csv(found, note)),
            DataFile(f"{stem}-cuts.csv", "table", _cuts_csv(cuts, note)),
            DataFile(f"{stem}-setup.json", KIND, _json(work)),
        )
        files.beside(*outputs)
        kept = write_form(readings, files.stage, out)
    warnings = (
        *frame.plane.warnings, *frame.placed.notices(), *reach_notices(frame, found),
        *_slot_notices(frame.spec), *_short(gaps), *lettering_notices(sheet.drawings), *kept,
        *stale_notices(out, stem, frame.mark, [*(o.name for o in outputs), form_name]),
    )  # fmt: skip
    written = tuple(file_report(output, out) for output in (*outputs, readings))
    said = tuple(dict.fromkeys(warnings))
    return SetupResult(written, said, found, cuts, blocks=_plate_blocks(frame))


def _plate_blocks(frame: Frame) -> tuple[PlateBlock, ...]:
    """What stands under each part where the frame lies on a flat plate; nothing in a jig."""
    return blocks(frame) if frame.model.jig.is_plate else ()


def bench_work(frame: Frame) -> Work:
    """What the bench needs of a solved frame: settings, cuts and clearances."""
    return Work(frame, settings(frame), cut_list(frame), tuple(frame_clearances(frame)))


def setup_sheet(work: Work, stem: str) -> Document:
    """The two pages to pin up."""
    return form(f"{stem}-setup", KIND, partial(pages, work), job_info(work.frame, stem, DOCUMENT))


def settings_json(found: Sequence[Setting]) -> list[dict[str, Any]]:
    """Every number of every setting, in the order of setting; `finished` only where that is another."""
    return [
        {"name": v.name, "value": v.value, "unit": v.unit, "from": v.origin}
        | ({} if v.finished is None else {"finished": v.finished})
        for s in found
        for v in s.values
    ]


def stacks_json(found: Sequence[Setting]) -> list[dict[str, Any]]:
    """Where the jig is stepped: the step's reading, its hole and the shims on it, and what is left over.

    Only what can be set.
    """
    return [
        {
            "name": s.main.name,
            "step": s.scale.step,
            "hole": s.scale.hole,
            "shims": list(s.scale.shims),
            "error": s.scale.error,
        }
        for s in found
        if s.scale is not None and s.scale.step is not None and s.scale.settable
    ]


def frame_clearances(frame: Frame) -> Iterator[Clearance]:
    """What must be clear, with the room wanted: in the plane, then between the stays."""
    for name, reason in GAPS.items():
        value, usual = frame.plane.dimensions[name], REGISTRY[name].usual
        if value is not None and usual is not None:
            yield Clearance(words(name), name, value, usual[0], unit=REGISTRY[name].unit, reason=reason)
    for gap in frame.clearances.gaps:
        name = f"{words(frame.space.tubes[gap.tube].label)} to {gap.part}"
        want = WANTED[gap.part]
        yield Clearance(name, gap.part, gap.value, want.least, reason=want.reason)


def _slot_notices(spec: FrameSpec) -> Iterator[Notice]:
    """A word where the axle is thicker than the slots it drops into."""
    axle, slot = spec.spec.rear_end.axle, spec.spec.rear_end.dropout.slot
    if axle is not None and slot is not None and axle > slot:
        message = f"an axle of {axle:g} mm does not drop into a dropout's slot of {slot:g} mm. Check both."
        yield Notice("axle_slot", message)


def _short(found: Sequence[Clearance]) -> Iterator[Notice]:
    for c in found:
        if c.short:
            has = value_text(c.value, c.unit)
            if c.value < 0.0 and c.unit == LENGTH:
                has = f"they run into each other by {value_text(-c.value, c.unit)}"
            unit = " mm" if c.unit == LENGTH else ""
            least = value_text(c.wanted, c.unit)
            said = f"{c.name}: {has}{unit}; at least {least}{unit} needed ({c.reason})."
            yield Notice("clearance", f"{said} {CHANGE}")


def _lines(found: Sequence[Setting]) -> Iterator[str]:
    for s in found:
        unit = "°" if s.main.unit == "deg" else " mm"
        line = f"{s.number or '':>2}  {s.title:<24} {format_number(s.main.value, 1):>7}{unit}"
        if s.main.finished is not None:
            line += f"   rough end; finished {format_number(s.main.finished, 1)}"
        if s.scale is not None:
            line += f"   jig {_scale_text(s)}"
        yield line.rstrip()


def _scale_text(setting: Setting) -> str:
    scale = setting.scale
    if scale is None:
        return ""
    said = scale_words(scale)
    return ", ".join(said if scale.settable else (*said, scale.goes))


def _settings_csv(found: Sequence[Setting], note: str) -> str:
    """One row for each number: the setting's place in the order, what it is, its value.

    `finished` has the number of the faced end where that is another. What the jig cannot be set to has
    no value, but says so; `note` stands in the first row.
    """
    heading = ("order", "setting", "name", "value", "unit", "from", "measured", "finished")
    rows: list[Sequence[str]] = [heading]
    for s in found:
        for v in s.values:
            how, value = s.how if v is s.main else "", format_number(v.value, 3)
            if v.origin == JIG and s.scale is not None and not s.scale.settable:
                how, value = f"{CANNOT}: {s.scale.goes}", ""
            rows.append((str(s.number or ""), s.name, v.name, value, v.unit, v.origin, how, _finished(v)))
    return csv_text(noted(rows, note))


def _finished(value: Value) -> str:
    return "" if value.finished is None else format_number(value.finished, 3)


def _cuts_csv(cuts: Sequence[CutRow], note: str) -> str:
    heading = (
        "order", "tube", "count", "size", "cut_length", "saw_before_mitring", "order_length", "mitres",
        "size_is", "off_first_at_most", "off_second_at_most",
    )  # fmt: skip
    rows: list[Sequence[str]] = [heading]
    for number, c in enumerate(cuts, 1):
        lengths = (format_number(v, 2) for v in (c.cut_length, c.sawn, c.order_length))
        off = ("", "") if c.spare is None else tuple(format_number(v, 1) for v in c.spare)
        rows.append((str(number), c.tube, str(c.count), c.size, *lengths, c.ends, c.origin, *off))
    return csv_text(noted(rows, note))


def _json(work: Work) -> str:
    """All numbers of the sheet as a file of their own."""
    data = {
        "job": {"number": work.frame.job.number, "title": work.frame.job.title},
        "mark": work.frame.mark,
        "settings": settings_json(work.settings),
        "stacks": stacks_json(work.settings),
        "blocks": [b._asdict() for b in _plate_blocks(work.frame)],
        "cuts": [
            {
                "tube": c.tube,
                "count": c.count,
                "size": c.size,
                "size_is": c.origin,
                "cut_length": c.cut_length,
                "saw_before_mitring": c.sawn,
                "order_length": c.order_length,
                "off_at_most": None if c.spare is None else list(c.spare),
            }
            for c in work.cuts
        ],
        "stock": [{"size": s.size, "lengths": list(s.lengths)} for s in stock(work.cuts)],
        "clearances": [{"name": c.name, "has": c.value, "wanted": c.wanted} for c in work.clearances],
    }
    return data_text(data)
