"""Mistakes that people make in a spec, each with what its message has to offer as the way out.

A row is the text of a spec and words of the message.
"""

from __future__ import annotations

GOOD = """\
geometry:
  bb_drop: 70
  rear_centre: 425
  front_centre: 605
  head_angle: 72
  seat_angle: 73
  head_tube_length: 150
  seat_tube_length: 540
fork: {axle_to_crown: 395, offset: 45}
"""


def good_but(**changed: str) -> str:
    """The frame that is right with other values for some of its dimensions, written as in the file."""
    lines = []
    for line in GOOD.splitlines():
        key = line.split(":")[0].strip()
        lines.append(f"  {key}: {changed.pop(key)}" if key in changed else line)
    assert not changed, f"the frame has no {', '.join(changed)}"
    return "\n".join(lines) + "\n"


def also(*lines: str) -> str:
    """The frame that is right with more dimensions below its own."""
    return GOOD.replace("fork:", "".join(f"  {line}\n" for line in lines) + "fork:")


TIED = """\
geometry: {rear_centre: 424.5, rear_centre_horizontal: 424.2641, front_centre: 604, head_angle: 71.5,
  seat_angle: 73.5, head_tube_length: 140}
fork: {axle_to_crown: 395, offset: 45}
wheels: {front: {radius: 200}, rear: {radius: 200}}
"""
"""A drop and a rise of 14 mm are as odd as each other on small wheels."""

UNREADABLE = [
    ("", "`layout new FILE` writes one"),
    ("- head_angle: 72", "a space after each colon"),
    ("head_angle", "a space after each colon"),
    ("geometry:\n\thead_angle: 72", "spaces"),
    ("geometry: {head_angle: 72", "close it"),
    ("job: {title: 'x}", "close it"),
    ("job: {title: @x}", "quotation marks"),
    ("geometry:\n  head_angle:72\n  seat_angle:73", "write `key: value`"),
    ("geometry:\n  head_angle: 72\n   seat_angle: 73", "align"),
    ("geometry: {head_angle:72}", "write head_angle: 72"),
    ("geometry: {head_angle: 72,5}", "decimal point"),
    ("geometry: {head_angle: 72}\n---\ngeometry: {head_angle: 73}", "another file"),
    ("geometry: {head_angle: !!str 72}", "Delete it"),
    ("a: &a {x: 1}\nb: {<<: *a}", "Write the keys out"),
    ("geometry: {head_angle: *angle}", "Write the value"),
    ("a: &a [*a]", "Write the value out"),
    ("? [a]\n: 1", "Write a word"),
    ("a: [[[[[[[[[[[[[[1]]]]]]]]]]]]]]", "check the brackets"),
    ("readings: []", "Give the spec first"),
    ("geometry: {head_angle: 72}\ngeometry: {seat_angle: 73}", "Delete one"),
    ("geometry: {head_angle: 72, head_angle: 73}", "Delete one"),
    ("job: {title: \"a\\x07\"}", "Delete it"),
]

UNKNOWN = [
    ("geometry: {head_angel: 72}", "Did you mean head_angle?"),
    ("geometry: {rear_center: 425}", "Did you mean rear_centre?"),
    ("geometry: {BB-Drop: 70}", "Write it bb_drop"),
    ("geometry: {offset: 45}", "write fork.offset"),
    ("geometry: {rake: 45}", "write fork.offset"),
    ("geometry: {chainstay: 425}", "Here it is called rear_centre"),
    ("geometry: {chainstay_length: 425}", "Here it is called rear_centre"),
    ("geometry: {crank: 170}", "write rider.crank_length"),
    ("geometry: {toe_clearance: 30}", "Delete it"),
    ("geometry: {pedal_to_tyre: 30}", "Delete it"),
    ("geometry: {wheels: 37-622}", "write wheels"),
    ("geometry: {xyzzy: 1}", "`layout terms`"),
    ("head_angle: 72", "write geometry.head_angle"),
    ("jobs: {}", "Did you mean job?"),
    ("qqq: 1", "Expected job, joining"),
    ("fork: {length: 395}", "fork.axle_to_crown"),
    ("geometry: {fork_length: 395}", "fork.length_on_axis"),
    ("fork: {fork_sag: 20}", "Here it is called sag"),
    ("fork: {rake: 45}", "Here it is called offset"),
    ("wheels: {middle: 37-622}", "Expected front or rear"),
    ("headset: {stem_length: 90}", "write cockpit.stem_length"),
    ("tubes: {headtube: {}}", "Did you mean head_tube?"),
    ("tubes: {seat_tube: {diametre: 28.6}}", "Did you mean diameter"),
    ("fittings: [{kind: boss, tube: down_tube, at: 5, form: bb}]", "Did you mean from?"),
    ("drawing: {wheel: arcs}", "Did you mean wheels?"),
    ("jig: {settings: {drop: {}}}", "Did you mean bb_drop?"),
    ("jig: {settings: {bbdrop: {}}}", "Did you mean bb_drop?"),
    ("jig: {settings: {zzz: {}}}", "`layout terms`"),
    ("job: {titel: x}", "Did you mean title?"),
    ("bottom_bracket: {thread: bsa}", "Here it is called shell"),
    ("brazeons: []", "called fittings"),
    ("geometry: {tt_length: 1}", "top_tube_length"),
]

VALUES = [
    ("geometry: {head_angle: 72d}", "expected a number"),
    ("geometry: {head_angle: seventy}", "expected a number"),
    ("geometry: {head_angle: '72'}", "Delete the quotation marks"),
    ("geometry: {head_angle: 072}", "Write 72"),
    ("geometry: {head_angle: 72:30}", "72.5"),
    ("geometry: {head_angle: '72,5'}", "Delete the quotation marks"),
    ("geometry:\n  head_angle: 72,5", "72.5"),
    ("geometry: {rear_centre: 1_000}", "Write 1000"),
    ("geometry: {rear_centre: 0x1ab}", "decimal number"),
    ("geometry: {rear_centre: .inf}", "finite number"),
    ("geometry: {rear_centre: yes}", "expected a number"),
    ("geometry: {rear_centre: }", "delete the key"),
    ("geometry: {rear_centre: [425]}", "expected a number, 230 to 1200 mm"),
    ("geometry: {rear_centre: {value: 425, agreed: 1}}", "{value: 425, agreement: 1.5}"),
    ("geometry: {rear_centre: {agreement: 1}}", "{value: 425, agreement: 1.5}"),
    ("geometry: {rear_centre: {value: 425, agreement: 50}}", "0.001 to 20 mm"),
    ("geometry: {rear_centre: 42.5}", "42.5 cm"),
    ("geometry: {rear_centre: 16.75}", "16 3/4 in"),
    ("geometry: {rear_centre: 42500}", "230 to 1200 mm"),
    ("geometry: {rear_centre: 73 deg}", "230 to 1200 mm"),
    ("geometry: {head_angle: 72 mm}", "45 to 90 degrees"),
    ("geometry: {head_angle: 7.2}", "Check the digits"),
    ("geometry: {head_angle: 72%}", "Write the number alone"),
    ("geometry: 5", "such as bb_drop"),
    ("geometry: [72, 73]", "such as bb_drop"),
    ("tubes: {seat_tube: 28.6}", "such as diameter"),
    ("rider: [1, 2]", "such as saddle_height"),
    ("drivetrain: {chainring_teeth: 42.5}", "whole number"),
    ("drivetrain: {chainring_teeth: 420}", "16 to 70 teeth"),
    ("drawing: {heading: north}", "right or left"),
    ("drawing: {wheels: full}", "whole, arcs or none"),
    ("joining: tig", "welded"),
    ("joining: brazed", "fillet"),
    ("printer: {x: 1.2}", "0.95 to 1.05"),
    ("printer: {x: 100.2}", "0.95 to 1.05"),
    ("printer: 1.002", "such as x, y"),
    ("agreement: {length: 0}", "0.001 to 20 mm"),
    ("tolerance: {length: -1}", "0.001 to 20 mm"),
]

PARTS = [
    ("wheels: {front: 700x25}", "Did you mean 25-622?"),
    ("wheels: {front: 700x25c}", "Did you mean 25-622?"),
    ("wheels: {front: 700C}", "37-622"),
    ("wheels: {front: 26x2.0}", "Did you mean 51-559?"),
    ("wheels: {front: 29x2.25}", "Did you mean 57-622?"),
    ("wheels: {front: 650bx47}", "Did you mean 47-584?"),
    ("wheels: {front: 622x37}", "Did you mean 37-622?"),
    ("wheels: {front: 37/622}", "Did you mean 37-622?"),
    ("wheels: {front: 37-623}", "Expected one of 349"),
    ("wheels: {front: 3-622}", "37-622"),
    ("wheels: {front: 200-622}", "18 to 125 mm"),
    ("wheels: {front: }", "delete the key"),
    ("wheels: {front: {radius: 3400}}", "120 to 480 mm"),
    ("wheels: {front: {diameter: 680}}", "Write radius"),
    ("bottom_bracket: {shell: english}", "iso-68"),
    ("bottom_bracket: {shell: bsa}", "iso-68"),
    ("bottom_bracket: {shell: iso-69}", "Did you mean iso-68?"),
    ("bottom_bracket: {shell: italian}", "m36-70"),
    ("bottom_bracket: {shell: pressfit}", "width and diameter"),
    ("bottom_bracket: {width: 6.8}", "6.8 cm"),
    ("tubes: {top_tube: {walls: [0.8, 0.5]}}", "[0.8, 0.5, 0.8]"),
    ("tubes: {top_tube: {walls: [1, 1, 1, 1]}}", "[0.8, 0.5, 0.8]"),
    ("tubes: {top_tube: {walls: [0.5, 0.8, 0.5]}}", "in the middle"),
    ("tubes: {top_tube: {butts: 30}}", "a list such as [100, 80]"),
    ("tubes: {top_tube: {butts: [100, 80]}}", "Add walls"),
    ("tubes: {top_tube: {walls: [1, 9, 1]}}", "0.3 to 6 mm"),
    ("tubes: {top_tube: {wall: 0.8, walls: [1, 1, 1]}}", "Delete one"),
    ("tubes: {seat_tube: {diameter: 10, wall: 5}}", "less than half"),
    ("tubes: {top_tube: {bends: [{at: 9, angle: 5}]}}", "only stays may have bends. Delete it"),
    ("tubes: {chain_stay: {bends: [{at: 9}]}}", "bend 1, angle"),
    ("tubes: {chain_stay: {bends: [{at: 200, angle: 5}, {at: 100, angle: 5}]}}", "first end"),
    ("tubes: {down_tube: {facing_allowance: 2}}", "Delete it"),
    ("tubes: {chain_stay: {facing_allowance: 2}}", "Delete it"),
    ("tubes: {down_tube: {diameter_top: 30}}", "Write diameter"),
    ("tubes: {head_tube: {diameter_end: 44}}", "diameter_bottom"),
    ("tubes: {head_tube: {section: [30, 40]}}", "diameter"),
    ("tubes: {head_tube: {diameter: 36, diameter_top: 36, diameter_bottom: 44}}", "give either diameter or"),
    ("tubes: {down_tube: {taper: [100, 200]}}", "Add diameter_end"),
    ("tubes: {down_tube: {taper: [200, 100], diameter_end: 30}}", "Write [100, 200]"),
    ("tubes: {down_tube: {turned: 90}}", "section"),
    ("tubes: {chain_stay: {diameter: 12, diameter_end: 22}}", "Exchange the two"),
    ("fittings: {kind: boss}", "{kind: boss, tube: down_tube, at: 200, from: bb}"),
    ("fittings: [boss]", "such as kind, tube, at and from"),
    ("fittings: [{tube: down_tube, at: 5}]", "fitting 1, kind"),
    ("fittings: [{kind: bos, tube: down_tube, at: 5}]", "Did you mean boss?"),
    ("fittings: [{kind: boss, tube: downtube, at: 5}]", "Did you mean down_tube?"),
    ("fittings: [{kind: boss, tube: down_tube, at: 5, from: axle}]", "bb or head"),
    ("fittings: [{kind: bridge, tube: down_tube, at: 5}]", "chain_stay or seat_stay"),
    ("fittings: [{kind: guide, tube: down_tube, at: 5, diameter: 4}]", "Delete it"),
    ("fittings: [{kind: rack_mount, tube: seat_stay, at: 300}]", "boss with side"),
    ("fittings: [{kind: brake, tube: seat_stay, at: 300}]", "Did you mean brake_mount?"),
    ("fittings: [{kind: boss, tube: seat_stay, at: 300, radius: 60}]", "Delete it"),
    ("fittings: [{kind: boss, tube: down_tube, at: 5, size: [4, 5]}]", "Delete it"),
    ("fittings: [{kind: port, tube: down_tube, at: 50}]", "diameter"),
    ("fittings: [{kind: port, tube: down_tube, at: 50, size: 8}]", "[40, 12]"),
    ("rear_end: {rotor: {thickness: 1.8}}", "Give the rotor's diameter"),
    ("rear_end: {rotor: {diameter: 160, thickness: 18}}", "mm"),
    ("rear_end: {seat_stay_mount: single, stay_spacing_at_top: 50}", "side or back"),
    ("rear_end: {seat_stay_mount: top}", "side, back or single"),
    ("rear_end: {spacing: 13.5}", "13.5 cm"),
    ("rear_end: {dropout: {off: 7}}", "is not a key of rear_end.dropout"),
    ("jig: {settings: {bb_drop: {shims: [1]}}}", "pitch"),
    ("jig: {settings: {bb_drop: {range: [90, 40]}}}", "least value first"),
    ("jig: {settings: {bb_drop: {range: 40}}}", "[40, 90]"),
    ("jig: {settings: {head_angle: {shims: [1], pitch: 1}}}", "Delete them"),
    ("jig: {settings: {bb_drop: {measured: square}}}", "Delete it"),
    ("jig: {bb_above_base: 300, rear_axle_above_base: 370}", "Delete one"),
    ("plates: {parts: [bass]}", "Did you mean base?"),
    ("plates: {parts: [{a: b}]}", "expected base, bb_post"),
    ("plates: {parts: base}", "a list such as [base"),
    ("plates: {bolt: 7}", "expected 3, 4"),
    ("plates: {thickness: 0.5}", "1 to 40 mm"),
    ("headset: {lower_stack: 12}\ngeometry: {lower_stack: 13}", "Delete one"),
    ("choose: {toe_clearance: 5}", "Delete it"),
]

RARE = [
    ("a: ]", "Align the keys of one block"),
    ("tubes: {seat_stay: {diameter_top: 16}}", "add diameter_end for the axle end"),
    ("tubes: {down_tube: {dimples: [{at: 90}]}}", "only stays may have them"),
    ("tubes: {top_tube: {collar: {kind: collar}}}", "only a seat tube"),
    ("tubes: {head_tube: {lug: 40}}", "under top_tube and down_tube"),
    ("fittings: [{kind: boss, tube: down_tube, at: 90, radius: 80}]", "only a bridge is curved"),
    ("job: {title: " + 2001 * "x" + "}", "Shorten it"),
    ("jig: {settings: {bb_drop: {pitch: 5, shims: [" + 65 * "1, " + "]}}}", "Delete some"),
    ("fittings: [" + 101 * "{kind: boss, tube: down_tube, at: 90}, " + "]", "Delete some"),
    ("a: &a [" + 200 * "1, " + "]\nb: [" + 200 * "*a, " + "]", "is this the right file?"),
    ("a: \x00", "Delete it"),
    (GOOD.replace("  head_tube_length: 150\n", ""), "1 more is needed"),
]
"""What few people come across."""

BYTES = [
    ("job: {title: Jürgen}".encode("latin-1"), "Save the file again with the encoding UTF-8"),
    ("job: {title: Jürgen}".encode("utf-16"), "Save it again as UTF-8"),
    (b"%PDF-1.7\n1 0 obj", "this is a PDF"),
    (b"#" * 300_000, "is this the right file?"),
    (b"PK\x03\x04", "a spreadsheet"),
]
"""Files by their bytes."""

WRITTEN = [
    (good_but(head_angle="72;"), "Write 72."),
    (good_but(head_angle="72°30'"), "Did you mean 72.5?"),
    (good_but(rear_centre="~425"), "Write 425."),
    (good_but(rear_centre="420-430"), "Write one number alone"),
    (good_but(rear_centre="400+25"), "Write one number alone"),
    (good_but(rear_centre="425 1/2"), "Did you mean 425.5?"),
    (good_but(rear_centre="425 millimetres"), "Did you mean 425 mm?"),
    (good_but(rear_centre="tbd"), "Write a number, or delete the key"),
    (good_but(rear_centre="?"), "needs quotation marks"),
    (good_but(rear_centre="7 in"), "is 7 in (177.8 mm)"),
    ("geometry:\n  head_angle = 72", "Write a colon, not an equals sign"),
    ("name,value\nhead_angle,72\n", "a space after each colon"),
    ('{"geometry": {"bb_drop": 70,}', "close it"),
    ("geometry: {head_аngle: 72}", "It has the character U+0430"),
    ("geometry: {bb_drop_mm: 70}", "Did you mean bb_drop?"),
    ("geometrie: {lenkwinkel: 72}", "Did you mean geometry?"),
    ("Geometry: {head_angle: 72}", "Write it geometry"),
    ("frame:\n  geometry: {head_angle: 72}", "belong at the left edge"),
    ("bb_drop: 70\nrear_centre: 425\nfront_centre: 605\nhead_angle: 72", "4 keys stand outside their block"),
    ("fork: 395", "such as axle_to_crown: 395 and offset: 45"),
    ("fork: {axle_to_crown 395, offset 45}", "write axle_to_crown: 395"),
    ("wheels: 37-622", "such as front: 37-622 and rear: 37-622"),
    ("wheels: [37-622, 37-622]", "such as front: 37-622 and rear: 37-622"),
    ("wheels: {front: 622}", "such as 37-622"),
    ("jig: {settings: [bb_drop]}", "such as bb_drop: {range: [40, 90]}"),
    ("jig: {bb_drop: {range: [40, 90]}}", "write jig.settings.bb_drop"),
    ("jig: {settings: {bb_drop: {counts: backwards}}}", "expected up or down"),
    ("jig: {settings: {bb_drop: {pitch: 0}}}", "0.1 to 200 mm"),
    ("jig: {settings: {bb_drop: {unit: mm}}}", "Expected offset, counts"),
    ("plates: {thickness: 6.35 in}", "is 6.35 in (161.29 mm)"),
    ("plates: {bolt: M10}", "Write 10."),
    ("plates: {sheet: 2000x1000}", "a list such as [2000, 1000]"),
    ("plates: {base: three}", "single or pair"),
    ("plates: {parts: [base, crank_gauge]}", "Did you mean angle_gauges?"),
    ("tubes: {chainstay: {diameter: 22}}", "Did you mean chain_stay?"),
    ("tubes: {top_tube: {material: steel}}", "Expected diameter"),
    ("tubes: {top_tube: {diameter: 1-1/8}}", "Did you mean 1-1/8 in?"),
    ("tubes: {top_tube: {diameter: 28.6, diameter: 31.8}}", "Delete one"),
    ("tubes: {top_tube: {walls: 0.8/0.5/0.8}}", "a list such as [0.8, 0.5, 0.8]"),
    ("tubes: {chain_stay: {dimples: {at: 90}}}", "[{at: 90, length: 60, depth: 3, plane: 90}]"),
    ("tubes: {seat_tube: {collar: 30}}", "such as kind, slot and insertion"),
    ("rear_end: {spacing: 142x12}", "Write one number alone"),
    ("rear_end: {dropout: track}", "such as thickness"),
    ("drivetrain: {chainring_teeth: 44/28}", "Write one number alone"),
    ("rider: {height: 1800}", "Expected saddle_height"),
    ("rider: {saddle_height: 72}", "Did you mean 72 cm?"),
    ("cockpit: {stem_angle: -6 mm}", "expected an angle"),
    ("headset: integrated", "such as lower_stack"),
    ("fittings:\n  boss: {tube: down_tube, at: 200}", "a list such as - {kind: boss"),
    ("fittings: [{kind: bottle cage, tube: down_tube, at: 200}]", "expected boss, bridge"),
    ("fittings: [{kind: boss, tube: fork, at: 200}]", "expected seat_tube"),
    ("tolerance: {tape: 0.5}", "write tolerance.instruments.tape"),
    ("drawing: {scale: '1:2'}", "Every drawing is at 1:1"),
    ("drawing: {media: a4}", "--media a4"),
    ("choose: {stack: high}", "Write a number, or delete the key"),
    ("job: My frame", "such as number, title"),
    ("job: {number: [1, 2]}", "expected a text"),
    ("job:\n  notes: weld: carefully", "Quote the text"),
]
"""What people write that is nearly right: other notations, another alphabet, a wrong level or file."""

NUMBERS = [
    ("geometry: {head_angle: 72}", "7 more are needed"),
    ("geometry: {bb_drop: 70, rear_centre: 425, head_angle: 72, seat_angle: 73}", "Give one of front_centre"),
    ("geometry: {stack: 560, reach: 380}\nfork: {axle_to_crown: 395, offset: 45}", "Give one of head_angle"),
    (also("wheelbase: 1100"), "Check front_centre: it is 605.0 mm, the others need 685.0 mm (one digit?)"),
    (also("wheelbase: 1023"), "write agreement: {length: "),
    (also("stack: 650"), "a front wheel 62.9 mm larger than the rear fits"),
    (also("stack: 650", "trail: 20"), "the others need 583.4 mm"),
    (also("stack: 500"), "lower_stack would have to be"),
    (also("front_centre_horizontal: 640"), "the others need"),
    (also("rear_centre_horizontal: 450"), "Correct one or delete it"),
    (also("top_tube_at_head: 180"), "would miss the head tube"),
    (also("down_tube_at_head: 160"), "would miss the head tube"),
    (also("top_tube_slope: 5", "top_tube_at_seat: 40").replace("540", "700"), "head tube"),
    (good_but(head_tube_length="15"), "50 to 450 mm"),
    (good_but(bb_drop="7.0 in"), "bb_drop"),
    (GOOD.replace("395", "300"), "Or write wheels: 37-622 is only a default"),
    (GOOD.replace("395", "39.5"), "39.5 cm"),
    (good_but(seat_angle="37"), "45 to 90 degrees"),
    (also("trail: 330"), "the others need"),
    (GOOD + "choose: {saddle_height: 700}", "Choose by a dimension of the frame"),
    (also("reach: 560", "stack: 380"), "need"),
    (TIED, "Write one of these under choose"),
]

ROOM = [
    ("fittings: [{kind: bridge, tube: seat_stay, at: 372, from: axle, radius: 10}]", "at least"),
    ("fittings: [{kind: bridge, tube: seat_stay, at: 480, from: axle, radius: 60}]", "delete radius"),
    ("fittings: [{kind: boss, tube: down_tube, at: 890, from: bb}]", "Check `at` and `from`"),
    ("rear_end: {stay_spacing_at_shell: 20}\nfittings: [{kind: bridge, tube: chain_stay, at: 0, from: bb}]",
     "move it towards the axle"),
    ("tubes: {chain_stay: {bends: [{at: 5, angle: 30}]}}", "Move the bend"),
    ("tubes: {chain_stay: {bends: [{at: 400, angle: 60, radius: 200}]}}", "Move the bend"),
    ("tubes: {chain_stay: {bends: [{at: 100, angle: 80}, {at: 200, angle: 80}]}}", "Move the bend"),
]  # fmt: skip
"""Below a frame that is right: what its tubes in space have no room for."""
