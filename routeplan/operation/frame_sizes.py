"""Outer sizes of common frames, by the names of the trade."""

from dataclasses import dataclass


@dataclass(frozen=True)
class FrameSize:
    """Outer size of a frame without its lugs, in mm."""

    length_mm: float
    depth_mm: float


DEEP = FrameSize(448.0, 232.0)

FRAME_SIZES: dict[str, FrameSize] = {
    # makers' notes: 9 1/8, 6 1/4 and 5 3/8 inches deep; 17 5/8 inches long (from memory)
    "deep": DEEP,
    "langstroth": DEEP,
    "medium": FrameSize(448.0, 159.0),
    "shallow": FrameSize(448.0, 137.0),
    # British Standard 1300 (lapsed)
    "national": FrameSize(356.0, 216.0),
    "14x12": FrameSize(356.0, 305.0),
    # from memory
    "commercial": FrameSize(406.0, 254.0),
    "dadant": FrameSize(448.0, 285.0),
    "zander": FrameSize(420.0, 220.0),
    "dn": FrameSize(370.0, 223.0),
}
"""Common formats by the names of the trade, as `values.frame_format` writes them."""


def frame_size(name: str) -> FrameSize:
    """Return the size of a format by its name; one that is not known is taken as a deep frame."""
    return FRAME_SIZES.get(name, DEEP)
