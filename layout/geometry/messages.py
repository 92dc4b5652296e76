"""Every sentence that the solver says of a frame's numbers, whole, with named holes for `str.format`."""

from __future__ import annotations

NO_DIMENSION = "{name} is not a dimension. `layout terms` lists them."
CALCULATED = "{name} is calculated, so it cannot be given. Delete it."
NO_NUMBER = "{name} is {value!r}; expected a finite number."
OUT_OF_RANGE = "{name} is {value:g} {unit}; expected {low:g} to {high:g} {unit}."
NO_SIZE = "{name} is not a part's size. Expected {names}."
NO_CHOICE = "choose: {name} is not a dimension. `layout terms` lists them."
NO_CHOICE_NUMBER = "choose: {name} is {value!r}; expected a finite number."

ONE_TOO_FEW = "too few numbers: 1 more is needed. {give}"
TOO_FEW = "too few numbers: {count} more are needed. {give}"
GIVE = "Give {names}."
GIVE_ONE = "Give one of {names}."
WHATEVER = "too few numbers: these hold whatever {name} is. Give {name}."

NOT_KNOWN = "choose: {name} is not known here. Choose by a dimension of the frame."
SECOND_FRAME = "a second frame fits these numbers. For that frame, add one of these under choose: {values}."
AMBIGUOUS = "{count} frames fit these numbers equally well. Write one of these under choose: {values}."

CONTRADICT = "these {count} numbers contradict each other."
CONTRADICT_BUILT = "these {count} numbers contradict each other in any frame that can be built: {reason}"
NO_FRAME = "no frame can be built from these numbers."
NO_FRAME_BUILT = "no frame can be built from these numbers: {reason}"
NOTHING_EXPLAINS = "No single number and no two explain it."
TWO_WRONG = (
    "Two of them are wrong: {first} is {first_given} and needs {first_needs}, {second} is {second_given} and "
    "needs {second_needs}."
)
CHECK = "Check {name}: it is {given}, the others need {needs}{hint}."
THEN = "Then {name}: it is {given}, the others need {needs}{hint}."
CORRECT_ONE = "Correct one or delete it."
SMALL_ERRORS = (
    "Or small errors add up: no number is far off, and the worst is {name}, by {by}. If your numbers are no "
    "more exact, write agreement: {{length: {length:g}, angle: {angle:g}}}."
)
DEFAULT_WHEEL = "Or write wheels: {marking} is only a default."
LARGER_WHEEL = "Or write wheels: a front wheel {by} larger than the rear fits."
SMALLER_WHEEL = "Or write wheels: a front wheel {by} smaller than the rear fits."

WOULD_BE = "{name} would have to be {value:.1f} {unit}; possible is {low:g} to {high:g} {unit}."
STACK_WOULD_BE = (
    "{name} would have to be {value:.1f} mm. Unless it is written, possible is {low:g} to {high:g} mm."
)
MISSED_BEYOND = (
    "the {tube} would miss the head tube. It meets the steering axis {at:.1f} mm beyond the head tube's "
    "{end} end."
)
MISSED_FROM = (
    "the {tube} would miss the head tube. It meets the steering axis {at:.1f} mm from the head tube's {end} "
    "end. The head tube is {length:.1f} mm long."
)
THROUGH_WHEEL = (
    "the head tube would pass through the front wheel. Its lower end lies {reach:.1f} mm from the front "
    "axle, and the wheel's radius is {radius:.1f} mm."
)
NEGATIVE = "{name} would have to be {value:.1f} mm; possible is 0 mm or more."
BELOW_SHELL = (
    "the top tube would meet the seat tube's axis {below:.1f} mm below the bottom bracket. "
    "No seat tube is there."
)
BACKWARDS = "the top tube would run backwards. The head tube lies behind the seat tube."

REPLACED = (
    "your numbers fit only with {name} {value}, not with its default, {default}. Check them, or write "
    "{where}."
)
PLACE_MOVED = (
    "{name} is {value}, as near as your numbers allow to its default: no frame has both. Check your numbers, "
    "or write {name}."
)
SEAT_TUBE_ASSUMED = (
    "seat tube length assumed: {length}. The top tube's slope of {slope} is only a default. "
    "Give seat_tube_length or top_tube_slope."
)
CROSSED = (
    "the top tube and the down tube cross at the head tube. They meet it {top:.1f} mm below its top and "
    "{down:.1f} mm above its lower end; it is {length:.1f} mm long. Give top_tube_at_head and "
    "down_tube_at_head, or a longer head tube."
)
SEAT_TUBE_SHORT = (
    "the top tube misses the seat tube: it meets the axis {above:.1f} mm above the tube's top end. "
    "Give a longer seat_tube_length, or a top tube that meets it lower."
)
REAR_OVERLAP = (
    "the rear tyre reaches {by:.1f} mm into the seat tube, so the wheel cannot turn. Check rear_centre, "
    "seat_angle and the rear wheel."
)
FRONT_OVERLAP = (
    "the front tyre reaches {by:.1f} mm into the down tube, so the wheel cannot turn. Check front_centre and "
    "the front wheel."
)
UNUSUAL = "{name} is {value}; usual is {low:g} to {high:g} {unit} (common practice). Check it."

BEND_EARLY = (
    "the bend at {at:g} mm reaches from {low:.1f} to {high:.1f} mm. It begins before {what}, at "
    "{station:.1f} mm."
)
BEND_LATE = (
    "the bend at {at:g} mm reaches from {low:.1f} to {high:.1f} mm. It ends past {what}, at {station:.1f} mm."
)
BENDS_TOO_FAR = "the bends turn the stay so far that it cannot reach both its ends."
BRIDGE_NARROW = (
    "a curved bridge has no room there. Its straight ends would overlap by {by:.1f} mm. Move it to where the "
    "stays lie further apart, or delete radius."
)
BRIDGE_TIGHT = "the arc is too tight for these stays and this tube; expected at least {least:g} mm."
BENDS_TOO_LONG = (
    "the last bend ends {last:.1f} mm from the stay's first end, but the stay spans only {chord:.1f} mm."
)
