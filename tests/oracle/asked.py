"""What is asked for, split by split, and what leaves a hive."""

from dataclasses import dataclass
from typing import NamedTuple

from routeplan.operation.world import Kit, Operation, Order
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
    """

    order: int
    kit: Kit
    queen: str
    from_yard: str | None
    to_yard: str | None
    priority: int
    hive: tuple[str, str] | None = None
    others: tuple[Kit, ...] = ()

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
    return Box(i, kit, order.queen, order.from_yard, order.to_yard, order.priority, named, more)


def _yard_of(order: Order) -> str:
    assert order.from_yard is not None, "an order that names a hive names its yard"
    return order.from_yard


def boxes(operation: Operation) -> list[Box]:
    """List every split asked for, one by one."""
    orders = enumerate(operation.orders)
    return [box_of(operation, i) for i, order in orders for _ in range(order.count)]


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
    """Combs from home that go into a split."""
    return box.kit.combs - (box.kit.food if swap else 0)
