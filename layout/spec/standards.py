"""Standard parts by their marking: tyres and rims after ISO 5775, bottom-bracket shells by thread.

Every value here is from memory, none from the document at hand: check a part with a rule
before it is cut to. Adding a part is one row.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from layout.geometry.wheel import DEFAULT_BEAD_SEAT, DEFAULT_WIDTH, wheel_radius

SOURCE = "from memory"

BEAD_SEAT_DIAMETERS = (349, 406, 451, 507, 559, 584, 622)
"""Bead seat diameters of ISO 5775 in use on bicycles, mm; from memory."""

NARROWEST_TYRE, WIDEST_TYRE = 18.0, 125.0
"""Section widths that are made, mm; common practice."""

_MARKING = re.compile(r"(\d{2,3}(?:\.\d+)?)-(\d{3})")
_SLOPPY = re.compile(r"(\d{2,3}(?:\.\d+)?)\s*[-–—−x×/ ]\s*(\d{2,3})")


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

    Raises ValueError with a sentence that says what to write instead.
    """
    found = _MARKING.fullmatch(marking)
    if not found:
        raise ValueError(
            f"expected an ISO 5775 marking such as 37-622 (width, bead seat diameter){_meant(marking)}"
        )
    width, diameter = float(found[1]), int(found[2])
    if diameter not in BEAD_SEAT_DIAMETERS:
        known = ", ".join(map(str, BEAD_SEAT_DIAMETERS))
        raise ValueError(
            f"{diameter} is not a known bead seat diameter; expected one of {known}, or {_MEASURED}"
        )
    if not NARROWEST_TYRE <= width <= WIDEST_TYRE:
        raise ValueError(
            f"the width {width:g} is out of range; expected {NARROWEST_TYRE:g} to {WIDEST_TYRE:g} mm"
        )
    return TyreMarking(width, diameter, marking)


_MEASURED = "{radius: 341} for a measured wheel"


def _meant(marking: str) -> str:
    """What a marking in another form most likely stands for."""
    parts = _SLOPPY.fullmatch(marking.strip())
    if parts:
        for width, diameter in (parts.groups(), parts.groups()[::-1]):
            if diameter in map(str, BEAD_SEAT_DIAMETERS) and float(width) <= WIDEST_TYRE:
                return f": write {width}-{diameter}"
    return f", as printed on the tyre's side, or {_MEASURED}"


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

DEFAULT_SHELL = "iso-68"
DEFAULT_MARKING = f"{DEFAULT_WIDTH:g}-{DEFAULT_BEAD_SEAT:g}"
