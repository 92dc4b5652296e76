"""What is usual of a dimension by the size of the wheels: common practice, for warnings alone.

The registry's usual ranges are those of wheels of 24 to 29 inches. What differs on smaller and on larger
ones stands here, by the rear wheel's radius.
"""

from __future__ import annotations

from layout.geometry.dimensions import REGISTRY

Range = tuple[float, float]

SIXTEEN: dict[str, Range] = {
    "bb_drop": (-50.0, 25.0), "bb_height": (175.0, 255.0), "rear_centre": (255.0, 350.0),
    "rear_centre_horizontal": (250.0, 350.0), "front_centre": (390.0, 540.0),
    "front_centre_horizontal": (385.0, 540.0), "wheelbase": (650.0, 880.0), "head_angle": (64.0, 75.5),
    "seat_angle": (64.0, 78.0), "axle_to_crown": (205.0, 310.0), "fork_length_on_axis": (200.0, 310.0),
    "fork_offset": (10.0, 55.0), "head_tube_length": (60.0, 150.0), "stack": (230.0, 420.0),
    "reach": (190.0, 340.0), "top_tube_effective": (290.0, 450.0), "top_tube_length": (280.0, 450.0),
    "top_tube_slope": (-3.0, 35.0), "seat_tube_length": (160.0, 330.0), "seat_tube_cc": (110.0, 300.0),
    "down_tube_length": (320.0, 530.0), "standover": (330.0, 540.0), "trail": (10.0, 70.0),
    "mechanical_trail": (8.0, 65.0), "wheel_flop": (3.0, 28.0),
}  # fmt: skip
TWENTY: dict[str, Range] = {
    "bb_drop": (-85.0, 40.0), "bb_height": (205.0, 320.0), "rear_centre": (310.0, 450.0),
    "rear_centre_horizontal": (300.0, 450.0), "front_centre": (440.0, 690.0),
    "front_centre_horizontal": (435.0, 685.0), "wheelbase": (760.0, 1120.0), "head_angle": (66.0, 75.5),
    "seat_angle": (67.0, 78.0), "axle_to_crown": (250.0, 420.0), "fork_length_on_axis": (245.0, 420.0),
    "fork_offset": (15.0, 60.0), "head_tube_length": (70.0, 330.0), "stack": (300.0, 660.0),
    "reach": (240.0, 480.0), "top_tube_effective": (360.0, 640.0), "top_tube_length": (350.0, 640.0),
    "top_tube_slope": (-8.0, 35.0), "seat_tube_length": (200.0, 620.0), "seat_tube_cc": (150.0, 560.0),
    "down_tube_length": (380.0, 720.0), "standover": (380.0, 820.0), "trail": (12.0, 85.0),
    "mechanical_trail": (10.0, 80.0), "wheel_flop": (3.0, 35.0),
}  # fmt: skip
TWENTY_FOUR: dict[str, Range] = {
    "bb_drop": (-35.0, 65.0), "bb_height": (225.0, 320.0), "rear_centre": (350.0, 460.0),
    "rear_centre_horizontal": (345.0, 460.0), "front_centre": (500.0, 700.0),
    "front_centre_horizontal": (495.0, 695.0), "wheelbase": (860.0, 1140.0), "axle_to_crown": (290.0, 480.0),
    "fork_length_on_axis": (285.0, 480.0), "fork_offset": (20.0, 60.0), "head_tube_length": (70.0, 260.0),
    "stack": (380.0, 650.0), "reach": (280.0, 470.0), "top_tube_effective": (420.0, 630.0),
    "top_tube_length": (410.0, 630.0), "top_tube_slope": (-5.0, 30.0), "seat_tube_length": (250.0, 600.0),
    "seat_tube_cc": (200.0, 560.0), "down_tube_length": (450.0, 740.0), "standover": (480.0, 820.0),
    "trail": (18.0, 95.0), "mechanical_trail": (15.0, 90.0), "wheel_flop": (4.0, 38.0),
}  # fmt: skip
THIRTY_SIX: dict[str, Range] = {
    "bb_drop": (90.0, 165.0), "bb_height": (270.0, 370.0), "rear_centre": (465.0, 570.0),
    "rear_centre_horizontal": (450.0, 555.0), "front_centre": (650.0, 850.0),
    "front_centre_horizontal": (635.0, 840.0), "wheelbase": (1110.0, 1390.0), "axle_to_crown": (465.0, 580.0),
    "fork_length_on_axis": (460.0, 575.0), "fork_offset": (40.0, 110.0), "head_tube_length": (55.0, 170.0),
    "stack": (580.0, 760.0), "top_tube_slope": (-3.0, 28.0), "down_tube_length": (620.0, 880.0),
    "trail": (50.0, 150.0), "mechanical_trail": (45.0, 140.0), "wheel_flop": (12.0, 60.0),
}  # fmt: skip

_BY_RADIUS: tuple[tuple[float, dict[str, Range]], ...] = (
    (216.0, SIXTEEN),
    (268.0, TWENTY),
    (300.0, TWENTY_FOUR),
    (400.0, {}),
)
"""The largest radius of each size, mm; what is larger is of 36 inches."""
_RADII = ("front_radius", "rear_radius")


def usual_range(name: str, radius: float | None) -> Range | None:
    """What is usual of a dimension with rear wheels of this radius, mm; None where nothing is.

    >>> usual_range("rear_centre", 348.0), usual_range("rear_centre", 205.0)
    ((395.0, 475.0), (255.0, 350.0))
    """
    if radius is None:
        return REGISTRY[name].usual
    table = next((found for largest, found in _BY_RADIUS if radius < largest), THIRTY_SIX)
    return table.get(name, REGISTRY[name].usual)
