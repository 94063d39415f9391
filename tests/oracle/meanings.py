"""What the rules mean in numbers, written out once more for the exact solvers of the tests.

Nothing here is shared with the planner or the audit: surplus, durations, distances, roads and what counts are
this module's own. Seconds throughout; frames are whole; every comparison of fractions allows 1e-6. The parts
are in files of their own: what is asked for, colonies, lengths of tasks, roads, and counting.
"""

from tests.oracle.asked import KINDS, NOTHING, SWAPS, Box, Give, Out, box_of, boxes, combs, may_mix, swaps
from tests.oracle.colonies import colony, egg_givers, gives, outs, parts
from tests.oracle.counting import After, after, needs_fence, over_s, queens, stuff_s, swap_s
from tests.oracle.lengths import (
    fence_s,
    hunt_s,
    leave_s,
    make_s,
    open_s,
    pace,
    place_s,
    quickest,
    saved_in_two_passes,
    set_up_s,
    shut_in_s,
    take_s,
    two_passes,
    ways,
)
from tests.oracle.roads import HOME, drives, far_enough, roads, usable, worths

__all__ = [
    "HOME",
    "KINDS",
    "NOTHING",
    "SWAPS",
    "After",
    "Box",
    "Give",
    "Out",
    "after",
    "box_of",
    "boxes",
    "colony",
    "combs",
    "drives",
    "egg_givers",
    "far_enough",
    "fence_s",
    "gives",
    "hunt_s",
    "leave_s",
    "make_s",
    "may_mix",
    "needs_fence",
    "open_s",
    "outs",
    "over_s",
    "pace",
    "parts",
    "place_s",
    "queens",
    "quickest",
    "roads",
    "saved_in_two_passes",
    "set_up_s",
    "shut_in_s",
    "stuff_s",
    "swap_s",
    "swaps",
    "take_s",
    "two_passes",
    "usable",
    "ways",
    "worths",
]
