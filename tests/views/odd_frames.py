"""Frames unlike most: small and large wheels, long and low, many fittings, long names. Sizes are made up."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Odd:
    """What makes a frame odd; what is not said here is as on a plain road frame."""

    drop: float = 70.0
    rear: float = 430.0
    front: float = 604.0
    head: float = 71.5
    seat: float = 73.5
    head_tube: float = 140.0
    seat_tube: float = 540.0
    axle_to_crown: float = 395.0
    offset: float = 45.0
    wheel: str = "'37-622'"
    geometry: tuple[str, ...] = ()
    more: tuple[str, ...] = ()
    title: str = "Odd frame"

    @property
    def text(self) -> str:
        """The spec."""
        return "\n".join(
            (
                f"job: {{title: {self.title!r}, number: O-1, date: 2024-01-01}}",
                "geometry:",
                f"  bb_drop: {self.drop}",
                f"  rear_centre: {self.rear}",
                f"  front_centre: {self.front}",
                f"  head_angle: {self.head}",
                f"  seat_angle: {self.seat}",
                f"  head_tube_length: {self.head_tube}",
                f"  seat_tube_length: {self.seat_tube}",
                *(f"  {line}" for line in self.geometry),
                f"fork: {{axle_to_crown: {self.axle_to_crown}, offset: {self.offset}}}",
                f"wheels: {{front: {self.wheel}, rear: {self.wheel}}}",
                *self.more,
                "",
            )
        )


BOSSES = tuple(
    f"  - {{kind: boss, tube: {tube}, at: {at}, from: bb, side: {side}}}"
    for tube, side, places in (
        ("down_tube", "up", (150, 214, 278, 342)),
        ("down_tube", "down", (180, 244, 320)),
        ("seat_tube", "front", (160, 224, 288)),
        ("seat_tube", "back", (140, 300)),
    )
    for at in places
)
TWENTY = (
    "fittings:",
    *BOSSES,
    "  - {kind: guide, tube: top_tube, at: 120, from: head, side: down}",
    "  - {kind: guide, tube: top_tube, at: 260, from: head, side: down}",
    "  - {kind: guide, tube: top_tube, at: 400, from: head, side: down}",
    "  - {kind: bridge, tube: seat_stay, at: 368, from: axle, diameter: 14}",
    "  - {kind: bridge, tube: chain_stay, at: 62, from: bb, diameter: 14}",
    "  - {kind: brake_mount, tube: chain_stay, at: 95, from: axle, side: left}",
    "  - {kind: boss, tube: seat_stay, at: 60, from: axle, side: left}",
    "  - {kind: boss, tube: seat_stay, at: 120, from: axle, side: left}",
)
RIDER = "rider: {saddle_height: 735, saddle_setback: 55, crank_length: 172.5}"
LONG = "the frame with the very long name that a builder gave it on a winter's evening in the workshop"

ODD = {
    "24-inch": Odd(10, 360, 520, 69, 72, 95, 330, 340, 38, "'47-507'"),
    "66-cm": Odd(65, 445, 640, 73, 72.5, 250, 660, 375, 45, "'28-622'", more=(RIDER,)),
    "160-fork": Odd(30, 435, 790, 64, 76, 110, 430, 565, 44, "'60-622'"),
    "cargo": Odd(10, 1080, 640, 70, 70, 230, 480, 330, 45, "'50-406'"),
    "heading-left": Odd(more=("drawing: {heading: left}", RIDER, *TWENTY[:1], *BOSSES[:4])),
    "20-fittings": Odd(more=TWENTY),
    "long-names": Odd(title=LONG, more=(RIDER,)),
    "16-inch": Odd(-25, 300, 455, 69, 69, 80, 230, 238, 30, "{radius: 203}"),
    "step-through": Odd(
        60, 450, 640, 68, 68, 220, 480, 390, 60,
        geometry=("top_tube_at_head: 150", "top_tube_at_seat: 330"),
    ),
    "36-inch": Odd(130, 500, 735, 70, 73, 85, 460, 505, 70, "{radius: 452}"),
    "rising": Odd(geometry=("top_tube_slope: 4", "top_tube_at_seat: 11.7"), head_tube=200),
    "no-wheels": Odd(more=("drawing: {wheels: none}",)),
}  # fmt: skip
"""By name; `rising` has its top tube rise over the seat tube's top end."""
