"""What is asked for, split by split, and what leaves a hive."""

from dataclasses import dataclass, replace
from importlib import import_module
from math import floor
from typing import NamedTuple

from routeplan.operation.world import Hive, Kit, Operation, Order
from tests.oracle.floors import held

EPS = 1e-6
SWAPS = ("food comb", "feeder")

Give = tuple[int, int, int, int]
"""Capped, open, food frames and shakes one hive gives on the day: nothing mixed, no queen."""


class Out(NamedTuple):
    """What leaves one hive: frames by kind (open ones with or without eggs), shakes, its queen."""

    capped: int = 0
    open: int = 0
    mixed: int = 0
    food: int = 0
    shakes: int = 0
    queen: int = 0

    @property
    def brood(self) -> int:
        """Frames of brood, mixed ones too."""
        return self.capped + self.open + self.mixed

    @property
    def frames(self) -> int:
        """Frames of all kinds."""
        return self.brood + self.food


NOTHING = Out()
KINDS = Out._fields


@dataclass(frozen=True)
class Box:
    """One split asked for. `order` is its row in `Operation.orders`, `hive` the one it is all of, if any.

    `kit` is the one of least work; `others` are further ones it may have instead, where floors ask for more.
    `whole`: its hive is broken up, so that nothing is put back into it.
    """

    order: int
    kit: Kit
    queen: str
    from_yard: str | None
    to_yard: str | None
    priority: int
    hive: tuple[str, str] | None = None
    others: tuple[Kit, ...] = ()
    whole: bool = False

    @property
    def needs(self) -> Give:
        """Frames and shakes by kind."""
        return (self.kit.capped, self.kit.open, self.kit.food, self.kit.shakes)

    @property
    def out(self) -> Out:
        """What leaves hives for it when nothing is swapped and no frame is mixed."""
        return self.outs[0]

    @property
    def outs(self) -> tuple[Out, ...]:
        """The same for each kit it may have."""
        queen = int(self.queen == "parent's")
        return tuple(Out(k.capped, k.open, 0, k.food, k.shakes, queen) for k in (self.kit, *self.others))


def box_of(operation: Operation, i: int) -> Box:
    """Return one split of an order, by the order's row."""
    order = operation.orders[i]
    named = None if order.hive is None else (_yard_of(order), order.hive)
    kit, *others = held(operation, operation.kit(order.kit), order.queen)
    more = tuple(others) if named is None else ()
    where = order.from_yard, order.to_yard
    return Box(i, kit, order.queen, *where, order.priority, named, more, order.break_up)


def _yard_of(order: Order) -> str:
    assert order.from_yard is not None, "an order that names a hive names its yard"
    return order.from_yard


def boxes(operation: Operation) -> list[Box]:
    """List every split asked for, one by one; those of a hive broken up with all its whole brood frames."""
    orders = enumerate(operation.orders)
    every = [box_of(operation, i) for i, order in orders for _ in range(order.count)]
    for hive in operation.hives:
        mine = [b for b, box in enumerate(every) if box.whole and box.hive == hive.key]
        for kind, n in left_over(operation, hive, [every[b] for b in mine]):
            for _ in range(n):
                roomy = [b for b in mine if every[b].kit.fill > 0]
                if roomy:
                    poorest = min(roomy, key=lambda b: _rank(every[b]))
                    every[poorest] = _with_one_more(every[poorest], kind)
    return every


def _rank(box: Box) -> tuple[int, bool]:
    return box.kit.capped + box.kit.open, box.queen in ("mated", "parent's")


def _with_one_more(box: Box, kind: str) -> Box:
    frames = {kind: getattr(box.kit, kind) + 1, "fill": box.kit.fill - 1}
    return replace(box, kit=replace(box.kit, **frames))


def left_over(operation: Operation, hive: Hive, mine: list[Box]) -> list[tuple[str, int]]:
    """Whole frames of brood of a hive that these boxes do not ask for."""
    if not mine:
        return []
    now = import_module("tests.oracle.colonies").colony(operation, hive)
    there = (("capped", now.capped), ("open", now.open))
    return [(k, floor((n or 0.0) + EPS) - sum(getattr(b.kit, k) for b in mine)) for k, n in there]


def swaps(operation: Operation, box: Box) -> tuple[str, ...]:
    """List what may stand in for the food frames of a split: "" (nothing, they come from hives) first."""
    allowed = operation.settings.swaps
    if box.hive is not None or box.kit.food < 1:
        return ("",)
    return ("", *(["food comb"] if allowed.food_comb else []), *(["feeder"] if allowed.feeder else []))


def may_mix(operation: Operation, box: Box) -> bool:
    """Say whether mixed frames may stand in for open ones."""
    return operation.settings.swaps.mixed_open and box.hive is None


def combs(box: Box, swap: str) -> int:
    """Combs from home that go into a split, or back where its frames came from."""
    if box.whole:
        return box.kit.drawn + box.kit.fill
    return box.kit.combs - (box.kit.food if swap else 0)
