"""Standard parts by their marking: tyres and rims after ISO 5775, bottom-bracket shells by thread.

Every value here is from memory, none from the document at hand: check a part with a rule
before it is cut to. Adding a part is one row.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from layout.geometry.wheel import DEFAULT_BEAD_SEAT, DEFAULT_WIDTH, wheel_radius
from layout.spec import words
from layout.spec.text import shown

SOURCE = "from memory"

INCH = 25.4
_WIDEST_INCHES = 6.0
"""A width in an older marking that is no more than this is in inches."""

BEAD_SEAT_DIAMETERS = (349, 406, 451, 507, 559, 584, 622)
"""Bead seat diameters of ISO 5775 in use on bicycles, mm; from memory."""

NARROWEST_TYRE, WIDEST_TYRE = 18.0, 125.0
"""Section widths that are made, mm; common practice."""

_MARKING = re.compile(r"(\d{2,3}(?:\.\d+)?)-(\d{3})")
_SLOPPY = re.compile(r"(\d{2,3}(?:\.\d+)?)\s*[-–—−x×/ ]\s*(\d{2,3})")
_NOMINAL = re.compile(r"(\d{2,3})\s*([abc]?)\s*[-–—−x×/ ]\s*(\d{1,2}(?:\.\d+)?)\s*([abc]?)")

NOMINAL = {
    ("700", ""): 622, ("700", "c"): 622, ("28", ""): 622, ("29", ""): 622, ("650", "b"): 584,
    ("650", "c"): 571, ("27.5", ""): 584, ("26", ""): 559, ("24", ""): 507, ("20", ""): 406, ("16", ""): 349,
}  # fmt: skip
"""Bead seat diameters by the older marking, nominal diameter and letter; common practice."""


@dataclass(frozen=True)
class TyreMarking:
    """A tyre on its rim: section width and bead seat diameter, mm, as marked."""

    width: float
    bead_seat_diameter: int
    marking: str

    @property
    def radius(self) -> float:
        """Unloaded wheel radius, mm, by geometry's rule.

        >>> TyreMarking(37.0, 622, "37-622").radius
        348.0
        """
        return wheel_radius(self.width, self.bead_seat_diameter)


def read_marking(marking: str) -> TyreMarking:
    """The tyre of an ISO 5775 marking such as "37-622".

    Raises ValueError with what is wrong with it and what to write instead.
    """
    found, text = _MARKING.fullmatch(marking), shown(marking)
    if not found:
        meant = _meant(marking)
        hint = words.MARKING_MEANT.format(marking=meant) if meant else words.MARKING_WHERE.format()
        raise ValueError(words.NO_MARKING.format(text=text, hint=hint))
    width, diameter = float(found[1]), int(found[2])
    if diameter not in BEAD_SEAT_DIAMETERS:
        known = words.listed([str(d) for d in BEAD_SEAT_DIAMETERS])
        raise ValueError(words.NO_BEAD_SEAT.format(text=text, diameter=diameter, known=known))
    if not NARROWEST_TYRE <= width <= WIDEST_TYRE:
        ends = {"low": NARROWEST_TYRE, "high": WIDEST_TYRE}
        raise ValueError(words.NO_WIDTH.format(text=text, width=width, **ends))
    return TyreMarking(width, diameter, marking)


def _meant(marking: str) -> str:
    """The marking that one in another form most likely stands for; empty where nothing is likely.

    >>> _meant("622 x 37"), _meant("700x25c"), _meant("26x2.0"), _meant("round")
    ('37-622', '25-622', '51-559', '')
    """
    text = marking.strip().lower()
    parts = _SLOPPY.fullmatch(text)
    if parts:
        for width, diameter in (parts.groups(), parts.groups()[::-1]):
            if diameter in map(str, BEAD_SEAT_DIAMETERS) and float(width) <= WIDEST_TYRE:
                return f"{width}-{diameter}"
    old = _NOMINAL.fullmatch(text)
    if old is None:
        return ""
    seat = NOMINAL.get((old[1], old[2] or old[4]), 0)
    width = float(old[3]) * (INCH if float(old[3]) < _WIDEST_INCHES else 1.0)
    fits = seat in BEAD_SEAT_DIAMETERS and NARROWEST_TYRE <= width <= WIDEST_TYRE
    return f"{width:.0f}-{seat}" if fits else ""


@dataclass(frozen=True)
class ShellStandard:
    """A bottom-bracket shell: width along its axis and usual outside diameter, mm."""

    width: float
    diameter: float
    source: str = SOURCE


SHELLS = {
    "iso-68": ShellStandard(68.0, 40.0),
    "iso-73": ShellStandard(73.0, 40.0),
    "m36-70": ShellStandard(70.0, 40.0),
    "m47-68": ShellStandard(68.0, 51.0),
    "m47-73": ShellStandard(73.0, 51.0),
    "m47-86.5": ShellStandard(86.5, 51.0),
}
"""Shells by the name a spec gives them: the thread (iso: 1.37 in x 24 TPI of ISO 6696, m36: M36 x 24 TPI,
m47: M47 x 1) and the width. Outside diameters are the middle of what is made."""

SHELL_HINTS = (
    *((word, words.SHELL_ISO) for word in ("english", "bsa", "bsc", "iso", "threaded")),
    *((word, words.SHELL_M36) for word in ("italian", "ita")),
    *((word, words.SHELL_PLAIN) for word in ("pressfit", "press-fit", "press_fit", "press fit")),
)
"""What people write for a shell's thread, with what to write here; common practice."""

DEFAULT_SHELL = "iso-68"
DEFAULT_MARKING = f"{DEFAULT_WIDTH:g}-{DEFAULT_BEAD_SEAT:g}"
