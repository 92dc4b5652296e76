"""The model of a spec: one class a block, one line a key, ranges and hover text beside it.

Lengths in millimetres, angles in degrees. Values are None where nothing is written:
defaults belong to `solve`, which lists those it used. Ranges of the plane dimensions come
from geometry's registry; the others are wide enough for any frame a builder would make
and narrow enough to catch a slipped digit or a wrong unit (common practice).

The JSON Schema is made from these classes, so the words here are what editors show.
"""

from typing import TYPE_CHECKING, Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, create_model

from layout.geometry import problem
from layout.spec import words
from layout.spec.block import SpecBlock, block, rows
from layout.spec.jig import Jig
from layout.spec.parts import (
    MOST_FITTINGS,
    BottomBracket,
    Drivetrain,
    FittingRow,
    RearEndBlock,
    Tubes,
    not_too_many,
)
from layout.spec.plates import Plates
from layout.spec.registered import givable, given
from layout.spec.standards import TyreMarking
from layout.spec.values import OneOf, Quantity, Words
from layout.spec.wheel import MeasuredWheel, WheelReader


class JobBlock(SpecBlock):
    """The words of the title block, as written."""

    number: Annotated[str, Words("the builder's number of the job, as written")] = ""
    title: Annotated[str, Words("what the drawing is called")] = ""
    owner: Annotated[str, Words("whose drawing it is: your workshop's name")] = ""
    rider: Annotated[str, Words("for whom the frame is built; initials are enough")] = ""
    drawn_by: Annotated[str, Words("who drew it")] = ""
    approved_by: Annotated[str, Words("who approved it")] = ""
    date: Annotated[str, Words("the date on the sheet, as written, best as 2024-05-01; no clock is read")] = (
        ""
    )
    revision: Annotated[str, Words("the drawing's revision")] = ""
    notes: Annotated[str, Words("notes for the sheet, a sentence or a few")] = ""


if TYPE_CHECKING:

    class Geometry(SpecBlock):
        """Any set of dimensions; its fields are the registry's."""

    class Choose(SpecBlock):
        """As Geometry."""

else:
    _GIVEN: Any = {name: (Annotated[float | None, given(name)], None) for name in givable()}
    _CHOSEN: Any = {name: (Annotated[float | None, found], None) for name, found in givable().items()}
    Geometry = create_model(
        "Geometry",
        __base__=SpecBlock,
        __doc__="Any set of dimensions that fixes the frame, together with fork, headset, wheels and rider.",
        **_GIVEN,
    )
    Choose = create_model(
        "Choose",
        __base__=SpecBlock,
        __doc__="Where the numbers admit two frames: the one nearest these values.",
        **_CHOSEN,
    )


class Wheels(SpecBlock):
    """Tyre and rim by the marking on the tyre's side, or a measured radius."""

    front: Annotated[
        TyreMarking | MeasuredWheel | None, WheelReader("front wheel (default: the same as the rear)")
    ] = None
    rear: Annotated[TyreMarking | MeasuredWheel | None, WheelReader("rear wheel (default: 37-622)")] = None


class Fork(SpecBlock):
    """The fork as its data sheet gives it."""

    axle_to_crown: Annotated[float | None, given("axle_to_crown")] = None
    offset: Annotated[float | None, given("fork_offset")] = None
    length_on_axis: Annotated[float | None, given("fork_length_on_axis")] = None
    sag: Annotated[float | None, given("fork_sag")] = None


class Headset(SpecBlock):
    """What the headset adds below and above the head tube."""

    lower_stack: Annotated[float | None, given("lower_stack")] = None
    upper_stack: Annotated[float | None, given("upper_stack")] = None


class Cockpit(SpecBlock):
    """Stem and spacers."""

    stem_length: Annotated[float | None, given("stem_length")] = None
    stem_angle: Annotated[float | None, given("stem_angle")] = None
    stem_clamp_height: Annotated[float | None, given("stem_clamp_height")] = None
    spacers: Annotated[float | None, given("spacers")] = None


class Rider(SpecBlock):
    """Saddle, crank and shoe."""

    saddle_height: Annotated[float | None, given("saddle_height")] = None
    saddle_setback: Annotated[float | None, given("saddle_setback")] = None
    saddle_nose_length: Annotated[float | None, given("saddle_nose_length")] = None
    shoe_ahead_of_spindle: Annotated[float | None, given("shoe_ahead_of_spindle")] = None
    crank_length: Annotated[float | None, given("crank_length")] = None
    pedal_side: Annotated[float | None, given("pedal_side")] = None
    pedal_outer: Annotated[float | None, given("pedal_outer")] = None
    pedal_below: Annotated[float | None, given("pedal_below")] = None


JOININGS = ("welded", "fillet", "lugged")
_JOINED = (
    *((word, words.DID_YOU_MEAN.format(names="welded")) for word in ("tig", "mig", "weld")),
    *((word, words.DID_YOU_MEAN.format(names="fillet or lugged")) for word in ("brazed", "braze", "silver")),
    *((word, words.DID_YOU_MEAN.format(names="lugged")) for word in ("lug", "lugs")),
)


class DrawingBlock(SpecBlock):
    """How the side view is drawn."""

    heading: Annotated[str, OneOf("which way the bicycle heads", ("right", "left"))] = "right"
    wheels: Annotated[str | None, OneOf("how much of the wheels", ("whole", "arcs", "none"))] = None
    tubes: Annotated[str, OneOf("outlines or centrelines alone", ("outline", "centreline"))] = "outline"


AGREED = problem.Agreement()


class AgreementBlock(SpecBlock):
    """How far given numbers may disagree before they contradict each other."""

    length: Annotated[float, Quantity("for lengths", 0.001, 20.0)] = AGREED.length
    angle: Annotated[float, Quantity("for angles", 0.001, 5.0, "degrees")] = AGREED.angle


class Instruments(SpecBlock):
    """One standard deviation of what is measured and set with."""

    tape: Annotated[float, Quantity("steel tape or rule", 0.001, 10.0)] = problem.STOP
    gauge: Annotated[float, Quantity("digital angle gauge", 0.001, 5.0, "degrees")] = problem.GAUGE
    stop: Annotated[float, Quantity("a jig's stop", 0.001, 10.0)] = problem.STOP


class Tolerance(SpecBlock):
    """What the built frame may be off, and the instruments."""

    length: Annotated[float, Quantity("for lengths", 0.001, 20.0)] = 1.0
    angle: Annotated[float, Quantity("for angles", 0.001, 5.0, "degrees")] = 0.2
    instruments: Instruments = block()


_STRETCH = Quantity("measured length over true length", 0.95, 1.05, "")


class PrinterBlock(SpecBlock):
    """The printer's stretch, measured over true, from the calibration page, and what it cannot print."""

    x: Annotated[float, _STRETCH] = 1.0
    y: Annotated[float, _STRETCH] = 1.0
    margins: Annotated[float, Quantity("what the printer cannot print at the edges", 5.0, 25.0)] = 5.0


class Spec(SpecBlock):
    """One bicycle frame. Lengths in millimetres, angles in degrees; all but geometry has defaults."""

    job: JobBlock = block()
    joining: Annotated[str, OneOf("how the main joints are made", JOININGS, _JOINED)] = JOININGS[0]
    geometry: Geometry = block()
    choose: Choose = block()
    wheels: Wheels = block()
    fork: Fork = block()
    headset: Headset = block()
    cockpit: Cockpit = block()
    rider: Rider = block()
    bottom_bracket: BottomBracket = block()
    rear_end: RearEndBlock = block()
    drivetrain: Drivetrain = block()
    tubes: Tubes = block()
    fittings: Annotated[
        tuple[FittingRow, ...], BeforeValidator(rows), AfterValidator(not_too_many)
    ] = Field((), description=f"bosses, bridges, guides ..., at most {MOST_FITTINGS}")
    drawing: DrawingBlock = block()
    agreement: AgreementBlock = block()
    tolerance: Tolerance = block()
    printer: PrinterBlock = block()
    jig: Jig = block()
    plates: Plates = block()
