"""Every sentence that a fault of a YAML file is told in, whole, with named holes for `str.format`.

What begins in lower case goes on from the key it is said of: `frame.yaml:3: geometry.head_angle: is 7; ...`.
What begins with a capital is a sentence of its own, put behind one of those.
"""

from __future__ import annotations

from collections.abc import Sequence

TOO_LARGE = "the file is larger than {size} kB. A frame's spec has a few kB: is this the right file?"
UTF_16 = "the file is saved as UTF-16. Save it again as UTF-8."
NOT_UTF_8 = (
    "the byte 0x{byte:02X} is not UTF-8. Save the file again with the encoding UTF-8. "
    "Older editors use another one for accented letters."
)
NOT_TEXT_FILE = "this is {kind}, not a text file. Give a YAML file."
NO_CHARACTER = "the character U+{code:04X} cannot stand in a text file. Delete it."
NO_FILE = "there is no such file. {source}"
FOLDER = "this is a folder. Give a YAML file."
FORBIDDEN = "you have no permission to read this file. Change its permissions."
UNREADABLE = "the file cannot be read: {reason}. Check the disk and try again."
NAME_NOT_UTF_8 = "the name of this file is not UTF-8, so no other file can be named after it. Rename it."

NO_YAML = "this is not YAML: {problem}. Write `key: value` lines."
NOTHING = "the file holds no {what}. Write keys such as `{key}:`. {source}"
NO_KEYS = (
    "the file holds {found}, not keys with values. Write `{key}:` and below it, indented, `{below}`. "
    "Put a space after each colon."
)
READINGS_NOT_SPEC = "this is a readings file, not a spec. Give the spec first, then the readings."
SPEC_NOT_READINGS = "this is a spec, not a readings file. Give the spec first, then the readings."
SECOND_DOCUMENT = "a second document starts here (---). One file holds one frame: move it to another file."
TAG = "the tag {tag} has no meaning in a spec. Delete it."
MERGE_KEY = "merge keys (<<) are not read in a spec. Write the keys out."
TWICE = "is written twice, first in line {line}. Delete one."
NO_ANCHOR = "*{name} refers to nothing: no &{name} stands above it. Write the value out."
IN_ITSELF = "*{name} stands inside what it refers to. Write the value out."
TOO_MANY = (
    "there are more than {most} values (repeats through * are counted). A spec has a few hundred: "
    "is this the right file?"
)
NO_WORD = "a key is a list, a mapping or an alias here. Write a word."
TOO_DEEP = "the values are nested more than {most} deep. A spec needs 6 levels: check the brackets."
SYNTAX = "this line is not YAML. {hint}"
SYNTAX_OTHER = (
    "this line is not YAML ({problem}). Write `key: value` lines. Align the keys of one block. Close "
    "brackets and quotation marks."
)
HINT_COLON = "There is no space after the colon: write `key: value`."
HINT_TAB = "There is a tab: replace it with spaces."
HINT_OPEN = "A quotation mark or bracket is left open: close it."
HINT_COMMA = "A bracket is left open or a comma is missing: close it."
HINT_DEEP = "A spec needs 6 levels: check the brackets."
HINT_QUOTE = "A text that begins with a special character needs quotation marks: add them."
HINT_ALIGN = "It has two colons, or more indent than its neighbours. Quote the text or align the line."

GIVEN_TWICE = "{name} is given twice: here and as {other} in line {line}. Delete one."

NO_KEY = "is not a key of {block}. {hint}"
NO_TOP_KEY = "is not a key of this file. {hint}"
TWO_LENGTHS = (
    "A fork's length can mean two things. fork.axle_to_crown is the straight line from crown race to axle, "
    "as data sheets give it. fork.length_on_axis is measured along the steering axis. Write one of them."
)
CALCULATED = "It is calculated, so it cannot be given. Delete it."
TIGHT_COLON = "There is no space after the colon: write {key}: {value}"
NO_COLON = "There is no colon: write {key}: {value}"
NESTED = "Its keys belong at the left edge: delete this line and indent them less."
TRUE_SCALE = "Every drawing is at 1:1. Delete it."
ON_COMMAND_LINE = "Paper is chosen where you draw, as in `layout draw frame.yaml --media a4`. Delete it."
LOOKS_ALIKE = "It has the character U+{code:04X} in it, which looks like another. Write {word}."
A_LETTER = "A letter is the sheet's name for a check. Write from and to, as the form has them."
OUTSIDE_BLOCK = (
    "{count} keys stand outside their block: {names}. Write `{block}:` above them and indent them."
)
DECIMAL_COMMA = "It looks like the second half of a number with a decimal comma. Write a decimal point."
WRITE_IT = "Write it {word}."
CALLED_HERE = "Here it is called {word}."
ELSEWHERE = "It belongs in another block: write {place}."
DID_YOU_MEAN = "Did you mean {names}?"
ONE_OF_KEYS = "Expected {names}."
HALF_DIAMETER = "Write radius: half the wheel's diameter, in mm."
DIMENSIONS = "`layout terms` lists the dimensions; {block}.{example} is one."
NO_SETTING = "is not the name of a dimension. {hint}"
SETTINGS = "`layout terms` lists the dimensions."

TOO_FEW_VALUES = "has too few values ({count}); expected {wanted}, such as {example}."
TOO_MANY_VALUES = "has too many values ({count}); expected {wanted}, such as {example}."
MISSING = "is missing. Write for example `{key}: {example}` ({meaning})."
NO_LIST = "is {found}; expected a list such as {example}."
NO_BLOCK = "is {found}; expected a block of keys below it, indented, such as {names}."
NO_BLOCK_EQUALS = "is the single text {text}. Write a colon, not an equals sign: `key: value`."
NO_BLOCK_TIGHT = "is the single text {text}. There is no space after the colon: write `key: value`."

OUT_OF_RANGE = "is {found}; expected {expected}. {hint}"
CHECK_DIGITS = "Check the digits and the unit."
CHECK_NUMBER = "Check the digits."
AN_ANGLE = "is an angle, {text}; expected a length, {expected}."
A_LENGTH = "is a length, {text}; expected an angle, {expected}."
STRANGE_KEY = "has the key {key}; expected a number, or {example}."
NO_STATED_VALUE = "has no key `value`; expected a number, or {example}."
NOT_WHOLE = "is {found:g}; expected a whole number, {expected}."
NOT_OF_WORDS = "is {text}; expected {words}.{hint}"
NOT_TRUE_FALSE = "is {text}; expected true or false."
TOO_LONG = "has {count} characters; expected at most {most}. Shorten it."
STRANGE_CHARACTER = "holds the {kind} U+{code:04X}. Delete it."
QUOTED = "is the text {text}; expected a number, {expected}. Delete the quotation marks."
NO_NUMBER = "is {text}; expected a number, {expected}. {hint}"
WRITE_NUMBER = "Write {number}."
ONE_NUMBER = "Write one number alone."
NUMBER_OR_NOTHING = "Write a number, or delete the key."
TOO_GREAT = "is {text}; expected {expected}."
NO_VALUE = "has no value; expected {expected}. Write one or delete the key."
NO_SCALAR = "is {found}; expected {expected}."
YES_OR_NO = "is {text}, which YAML reads as yes or no; expected a number, {expected}."
LEADING_ZERO = "is {text}. Write {number}: YAML can read a leading zero as octal."
HOURS = "is {text}, which YAML reads as hours and minutes; expected a decimal number, {expected}.{hint}"
PROGRAMMER = "is {text}; expected a decimal number, {expected}."
UNDERSCORES = "is {text}; expected a number without underscores. Write {number}."
COMMA = "is {text}; expected a decimal point. Write {number}."
INFINITE = "is {text}; expected a finite number, {expected}."
NUMBER_ALONE = "is {text}. Write the number alone, {expected}."

NO_MARKING = "is {text}; expected an ISO 5775 marking, width and bead seat diameter, such as 37-622. {hint}"
MARKING_MEANT = "Did you mean {marking}?"
MARKING_WHERE = "It is printed on the tyre's side. For a measured wheel write {{radius: 341}}."
NO_BEAD_SEAT = (
    "is {text}; {diameter} is not a known bead seat diameter. Expected one of {known}. For a measured "
    "wheel write {{radius: 341}}."
)
NO_WIDTH = "is {text}; the width is {width:g}, expected {low:g} to {high:g} mm. Check the digits."
NO_WHEEL = "has no value; expected a marking such as 37-622. Write one or delete the key."

HEAD_ALONE = "only a head tube has it. Write diameter; add diameter_end where the second end differs."
HEAD_ALONE_STAY = "only a head tube has it. Write diameter; add diameter_end for the axle end."
STAYS_ALONE = "this tube is drawn straight; only stays may have bends. Delete it."
ROUND = "a head tube is round. Write diameter, or diameter_top and diameter_bottom."
HEAD_ENDS = "a head tube's ends are its top and bottom. Write diameter_top and diameter_bottom."
MITRED = "both ends are mitred, not faced; the mitring allowance is added for you. Delete it."
NOT_FACED = "no end of a stay is faced; the mitring allowance is added for you. Delete it."
STAYS_DIMPLED = "this tube has no dimples; only stays may have them. Delete it."
SEAT_ALONE = "only a seat tube holds the seat post. Delete it."
NO_LUG = "lugs go round a head tube. Write the lug's length under top_tube and down_tube."
WALL_TWICE = "has wall and walls, which say the same thing. Delete one."
TAPER_ORDER = "is [{first:g}, {second:g}]; where it begins comes first. Write [{second:g}, {first:g}]."
TAPER_ALONE = "the taper needs a second size. Add {keys}."
TURNED_ALONE = "only an oval tube can be turned. Add section, or delete it."
BEND_ORDER = "is {at:g}, less than the bend before it, {before:g} mm. Write the bends from the first end on."
WALL_THICK = "is {wall:g}; expected less than half of {size:g} mm, the least outside size. Check both."
WALL_MIDDLE = "has {wall:g} mm in the middle; expected the thinnest wall there. Check the order."
BUTTS_ALONE = "butts are lengths of thicker wall. Add walls: [first, middle, second]."
HEAD_DIAMETERS = "give either diameter or diameter_top and diameter_bottom."
STAY_ENDS = (
    "is {thin:g}, more than the diameter, {thick:g} mm. It is the size at the axle, the thin end. "
    "Exchange the two."
)

SHELL_ISO = "Write iso-68 or iso-73: the thread of 1.37 in x 24 TPI, by its width in mm."
SHELL_M36 = "Write m36-70: the thread M36 x 24 TPI."
SHELL_PLAIN = "For a shell without a thread write its width and diameter, not its name."

NO_END = "its `from` is {text}; expected an end of the {tube}: {ends}."
NO_BRIDGE = "is a bridge on the {tube}; a bridge joins a pair of stays. Write {tubes}."
NO_SIZE = "is a {kind} with a size; only a port has one. Delete it."
NO_DIAMETER = "is a {kind} with a diameter; only a {kinds} has one. Delete it."
RACK_MOUNT = "Write boss with side: left or right, one for each stay."
NO_RADIUS = "is a {kind} with a radius; only a bridge is curved. Delete it."
PORT_SIZE = "is a port. Give either its diameter or size: [along the tube, round it]."

NO_ROTOR = "has no diameter. Give the rotor's diameter too."
ON_SINGLE_TUBE = (
    "has stay_spacing_at_top, but stays on a single tube end on it. Delete it, or write seat_stay_mount: "
    "side or back."
)

RANGE_ORDER = "its range goes from {first:g} to {second:g}. Write the least value first."
SHIMS_ALONE = "shims need a stepped stop. Add pitch, or delete shims."
SHIMS_MOST = "has {count} shims; expected at most {most} pieces. Delete some."
FITTINGS_MOST = "has {count} fittings; expected at most {most}. Delete some."
ONE_HEIGHT = "has bb_above_base and rear_axle_above_base; one follows from the other. Delete one."
SHIMS_ANGLE = "shims set lengths, and this is an angle. Delete them."
SQUARE_ALONE = "can be square only for {names}. Delete it."
NO_BOLT = "is {size:g}; {sizes} mm."

FOR_TAPE = (
    "these are readings of a printed sheet, for `layout tape`. Give the form of the frame, which "
    "`layout setup` writes."
)
OLD_SHEET = (
    "this sheet was drawn from other numbers than the spec has now. Print the sheet again, or use the "
    "old spec."
)
FOR_INSPECT = "is for `layout inspect`; `layout tape` takes distances only. Write from and to, not {kind}."
SAME_POINT = "from and to are the same point of this frame. Give two points that lie apart."
NO_DISTANCE = "is {measured:g}; expected a distance of more than 0 mm. Leave it empty if it was not measured."
NO_VALUE_READ = "{refusal} Leave it empty if it was not measured."
UNDETERMINED = "is {name}, which this spec does not determine. Give the numbers it needs, or delete the row."
OTHER_UNIT = (
    "these distances look like {units}: {name} is {measured:g} {unit}, and the frame has {true:.1f} mm. "
    "Write mm."
)
NO_POINT = "is {name}, not a point of this frame. {hint}"
NO_DIMENSION = "is {name}, not a dimension of this frame. {hint}"
OTHER_FRAME = (
    "{count} of {total} readings name what this frame does not have; the first is {name}. Is this the form "
    "of another frame?"
)
NO_READING = "is not one reading; expected from and to, or one of dimension, height, alignment."


def listed(names: Sequence[str], last: str = "or") -> str:
    """Names with commas and a word before the last.

    >>> listed(("whole", "arcs", "none"))
    'whole, arcs or none'
    """
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {last} {names[-1]}"
