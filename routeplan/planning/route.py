"""What a box goes through where boxes may be of two yards: words that models, judge and search share."""

from dataclasses import dataclass

from routeplan.operation.world import Hive
from routeplan.planning.demand import QUEEN

BEGUN, MADE = "begun", "made"
"""The two sides of a box: the yard that begins it, and the one that completes it."""
Need = tuple[int, ...]


@dataclass(frozen=True)
class Way:
    """`bare`: the side that rides without bees ("begun", "made", "" for none), `alone`: what it gives then.
    `queen`: the side whose hive's queen goes along."""

    bare: str = ""
    alone: Need = ()
    queen: str = ""


@dataclass(frozen=True)
class Route:
    """What a box of a line goes through, by visit: begun (None: all of it is from one yard), made, placed."""

    line: int
    begun: int | None
    made: int
    placed: int
    way: Way | None = None

    @property
    def first_bees(self) -> int:
        """The visit whose leaving begins the time shut in."""
        if self.begun is None or (self.way is not None and self.way.bare == BEGUN):
            return self.made
        return self.begun

    def bounds(self, visit: int, need: Need) -> tuple[Need, Need]:
        """Least and most of each kind that a visit gives to one box."""
        if self.way is None or self.begun is None:
            return need, need
        side = BEGUN if visit == self.begun else MADE
        if self.way.bare:
            other = tuple(n - a for n, a in zip(need, self.way.alone, strict=True))
            exact = self.way.alone if self.way.bare == side else other
            return exact, exact
        queen = need[QUEEN] if self.way.queen == side else 0
        return tuple(queen if k == QUEEN else 0 for k in range(len(need))), tuple(
            queen if k == QUEEN else n for k, n in enumerate(need)
        )


@dataclass(frozen=True)
class PooledBox:
    """One split being made: its route, and its takes (visit, hive, kind index, frames)."""

    route: Route
    takes: tuple[tuple[int, Hive, int, int], ...]
