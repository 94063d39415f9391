"""From the name of a frame format to comb area and cells.

The built comb is the frame less its wood: 20 mm of its length, 28 mm of its depth (so that a deep comb
side comes to the 871 cm² that a printed grading rule gives for 2,700 square inches of a ten-frame body).
"""

from math import sqrt

from routeplan.operation.frame_sizes import FRAME_SIZES, frame_size

WOOD_LENGTH_MM = 20.0
WOOD_DEPTH_MM = 28.0


def comb_cm2(name: str) -> float:
    """Return the comb on one side of a frame in cm²; a format not known is taken as deep."""
    size = frame_size(name)
    return (size.length_mm - WOOD_LENGTH_MM) * (size.depth_mm - WOOD_DEPTH_MM) / 100.0


def is_known(name: str) -> bool:
    """Whether the size of that format is known."""
    return name in FRAME_SIZES


def cells_per_cm2(cell_width_mm: float) -> float:
    """Return cells on one cm² of one side: hexagons of that width from wall to wall."""
    return 100.0 / (sqrt(3) / 2 * cell_width_mm**2)
