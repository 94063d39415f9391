"""From the name of a frame format to comb area and cells.

The built comb is the frame less its wood: 20 mm of its length, 28 mm of its depth (so that a deep comb
side comes to the 871 cm² that a printed grading rule gives for 2,700 square inches of a ten-frame body).
"""

from dataclasses import dataclass
from math import sqrt

WOOD_LENGTH_MM = 20.0
WOOD_DEPTH_MM = 28.0


@dataclass(frozen=True)
class FrameFormat:
    """Outer size of a frame without its lugs, in mm."""

    length_mm: float
    depth_mm: float

    @property
    def comb_cm2(self) -> float:
        """Comb of one side in cm²."""
        return (self.length_mm - WOOD_LENGTH_MM) * (self.depth_mm - WOOD_DEPTH_MM) / 100.0


DEEP = FrameFormat(448.0, 232.0)

FORMATS: dict[str, FrameFormat] = {
    # makers' notes: 9 1/8, 6 1/4 and 5 3/8 inches deep; 17 5/8 inches long (from memory)
    "deep": DEEP,
    "langstroth": DEEP,
    "medium": FrameFormat(448.0, 159.0),
    "shallow": FrameFormat(448.0, 137.0),
    # British Standard 1300 (lapsed)
    "national": FrameFormat(356.0, 216.0),
    "14x12": FrameFormat(356.0, 305.0),
    # from memory
    "commercial": FrameFormat(406.0, 254.0),
    "dadant": FrameFormat(448.0, 285.0),
    "zander": FrameFormat(420.0, 220.0),
    "dn": FrameFormat(370.0, 223.0),
}
"""Common formats by the names of the trade, as `values.frame_format` writes them."""


def frame_format(name: str) -> FrameFormat:
    """Return the format of that name; one that is not known is taken as a deep frame."""
    return FORMATS.get(name, DEEP)


def is_known(name: str) -> bool:
    """Whether the size of that format is known."""
    return name in FORMATS


def cells_per_cm2(cell_width_mm: float) -> float:
    """Return cells on one cm² of one side: hexagons of that width from wall to wall."""
    return 100.0 / (sqrt(3) / 2 * cell_width_mm**2)
