"""What is asked for, grouped so that identical splits are counted and never told apart.

A batch is a number of identical splits: same kit, way to a queen, fixed yards and priority. Per frame
format it becomes a line, the unit the search counts in.
"""

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from routeplan.operation.world import Kit, Operation

KINDS = ("capped", "open", "eggs", "food", "shake")
"""Order of kinds in a need vector; eggs are open frames of queen mothers."""


@dataclass(frozen=True)
class Batch:
    """`count` identical splits; `orders` holds (order id, splits) in the order they are filled:
    the earliest date first."""

    kit: Kit
    queen: str
    from_yard: int | None
    to_yard: int | None
    priority: int
    count: int
    orders: tuple[tuple[str, int], ...]

    @property
    def need(self) -> tuple[int, int, int, int, int]:
        """Frames and shakes one split receives, in the order of KINDS."""
        kit = self.kit
        if self.queen == "raise own":
            return (kit.capped, 0, kit.open, kit.food, kit.shakes)
        return (kit.capped, kit.open, 0, kit.food, kit.shakes)


@dataclass(frozen=True)
class Line:
    """A batch in one frame format."""

    batch: int
    frame: str


@dataclass(frozen=True)
class Demand:
    """Batches sorted by priority, and their lines. `totals`: how many splits of each priority are wanted."""

    batches: tuple[Batch, ...]
    lines: tuple[Line, ...]
    totals: tuple[tuple[int, int], ...]

    @property
    def size(self) -> int:
        """Splits to place in all."""
        return sum(n for _, n in self.totals)

    @property
    def asked(self) -> dict[int, int]:
        """Splits asked for, by priority."""
        asked: dict[int, int] = {}
        for batch in self.batches:
            asked[batch.priority] = asked.get(batch.priority, 0) + batch.count
        return asked

    def of(self, line: int) -> Batch:
        """Return the batch of a line."""
        return self.batches[self.lines[line].batch]

    def cap(self, batch: int) -> int:
        """Most splits of a batch under the current totals."""
        b = self.batches[batch]
        return min(b.count, dict(self.totals).get(b.priority, 0))

    def needs(self) -> NDArray[np.int64]:
        """Need vectors of the lines, shape (lines, kinds)."""
        return np.array([self.of(i).need for i in range(len(self.lines))], dtype=np.int64).reshape(
            -1, len(KINDS)
        )

    def with_totals(self, totals: dict[int, int]) -> "Demand":
        """Return the same demand with other totals by priority (priorities not named want none)."""
        return Demand(self.batches, self.lines, tuple(sorted(totals.items())))


def demand_of(operation: Operation) -> Demand:
    """Group the orders of an operation. Totals are all that is asked for."""
    index = {y.id: i for i, y in enumerate(operation.yards)}
    rows: dict[tuple[object, ...], list[tuple[str, int]]] = {}
    for order in sorted(operation.orders, key=lambda o: (o.by or date.max, o.id)):
        from_yard = None if order.from_yard is None else index[order.from_yard]
        to_yard = None if order.to_yard is None else index[order.to_yard]
        key = (order.priority, order.kit, order.queen, from_yard, to_yard)
        rows.setdefault(key, []).append((order.id, order.count))
    batches = tuple(
        Batch(operation.kit(kit), queen, a, b, priority, sum(n for _, n in orders), tuple(orders))  # type: ignore[arg-type]
        for (priority, kit, queen, a, b), orders in sorted(rows.items(), key=lambda item: repr(item[0]))
    )
    batches = tuple(sorted(batches, key=lambda b: b.priority))
    frames = sorted({h.frame for h in operation.hives})
    lines = tuple(
        Line(i, frame)
        for i, batch in enumerate(batches)
        for frame in frames
        if batch.kit.frame in (None, frame)
    )
    demand = Demand(batches, lines, ())
    return demand.with_totals(demand.asked)
