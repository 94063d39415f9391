"""Which frames of a hive to take, where they were looked at one by one.

Sealed brood that is emerging goes first: its bees come soonest, and few cells are chilled. Of open brood
what is mostly eggs and tiny larvae goes first: it raises the best queens and asks least of nurses (common
practice).
"""

from collections.abc import Iterable, Mapping

from routeplan.operation.world import FrameLook

ORDER = ("eggs", "open", "mixed", "capped", "food")
"""Kinds in the order in which they choose; each frame is taken once."""
LEAST_TENTHS = 6.0
"""A frame serves for a kind that covers so much of its two sides, twenty tenths (common practice)."""


def which_frames(looks: Iterable[FrameLook], asked: Mapping[str, int]) -> dict[str, tuple[int, ...]]:
    """Return for each kind the numbers of the frames to take, the best first; fewer where not so many serve.

    Parameters
    ----------
    looks : the frames of one hive. asked : frames by kind, a word of ORDER; other kinds are passed over.
    """
    left, chosen = list(looks), {}
    for kind in ORDER:
        serve = sorted((f for f in left if _tenths(f, kind) >= LEAST_TENTHS), key=lambda f: _rank(f, kind))
        taken = serve[: asked.get(kind, 0)]
        left = [f for f in left if f not in taken]
        if taken:
            chosen[kind] = tuple(f.number for f in taken)
    return chosen


def best_frames(looks: Iterable[FrameLook]) -> tuple[int, int]:
    """Return how many frames of one hive are emerging, and how many are mostly eggs and tiny larvae."""
    there = list(looks)
    emerging = sum(f.emerging and _tenths(f, "capped") >= LEAST_TENTHS for f in there)
    return emerging, sum(f.eggs and _tenths(f, "open") >= LEAST_TENTHS for f in there)


def _tenths(look: FrameLook, kind: str) -> float:
    if kind == "mixed":
        return 2 * min(look.capped, look.open)
    kinds = {"eggs": look.open, "open": look.open, "capped": look.capped, "food": look.food}
    own = kinds[kind]
    return own if own >= max(look.capped, look.open, look.food) else 0.0


def _rank(look: FrameLook, kind: str) -> tuple[bool, float, int]:
    first = look.emerging if kind == "capped" else look.eggs if kind in ("eggs", "open", "mixed") else False
    return not first, -_tenths(look, kind), look.number
