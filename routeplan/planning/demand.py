"""What is asked for, grouped so that identical splits are counted and never told apart.

A batch is a number of identical splits: same kit, way to a queen, fixed yards, hive and priority. Per frame
format, per thing that may stand in for food frames, and per kit that holds its floor, it becomes a line, the
unit the search counts in.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import comb, prod

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.counts import count_on
from routeplan.colony.floors import holds
from routeplan.colony.held_kits import held_kits, kit_work
from routeplan.colony.own_right import parts_asked, shared_out
from routeplan.operation.world import Kit, Operation
from routeplan.planning.bought import combs_of

KINDS = ("capped", "open", "eggs", "food", "shake", "queen")
"""Order of kinds in a need vector; eggs are open frames of queen mothers, queen is the parent's own.

After these a need vector has one place for every batch split in its own right: parts of the named hive.
"""
QUEEN = KINDS.index("queen")
EGGS_WAYS = ("raise own",)
"""Ways to a queen that need frames of eggs."""
MOST_MIXES = 40_000
"""Further kits are weighed up to so many ways to share all splits out over the lines: yields list them."""


@dataclass(frozen=True)
class Batch:
    """`count` identical splits; `orders` holds (order id, splits) in the order they are filled:
    the earliest date first. `hive`: the one hive of `from_yard` split in its own right. `ready_by`: the day
    of sale, where kits are made strong enough for it. `made`: of a hive that is broken up, what each of these
    parts is made of; all batches of such a hive are made together or none. `apart`: a box of two yards that
    is filled up in the rest of a day, beside all totals."""

    kit: Kit
    queen: str
    from_yard: int | None
    to_yard: int | None
    priority: int
    count: int
    orders: tuple[tuple[str, int], ...]
    hive: str | None = None
    ready_by: date | None = None
    made: Kit | None = None
    apart: bool = False

    @property
    def break_up(self) -> bool:
        """Whether nothing stays of its hive."""
        return self.made is not None

    @property
    def contents(self) -> tuple[int, int, int, int, int, int]:
        """Frames, shakes and queens one split receives as ordered, in the order of KINDS."""
        return self.contents_of(self.kit)

    def same_hive(self, other: "Batch") -> bool:
        """Whether both are of one hive split in its own right."""
        return self.hive is not None and (self.from_yard, self.hive) == (other.from_yard, other.hive)

    @property
    def takes_queen(self) -> bool:
        """Whether a split may take the queen out of the hive it comes from."""
        return self.queen == "parent's" or self.hive is not None

    def contents_of(self, kit: Kit) -> tuple[int, int, int, int, int, int]:
        """The same for another kit."""
        eggs = self.queen in EGGS_WAYS
        queen = int(self.queen == "parent's")
        return (kit.capped, 0 if eggs else kit.open, kit.open if eggs else 0, kit.food, kit.shakes, queen)


@dataclass(frozen=True)
class Line:
    """A batch in one frame format; `swap` is what stands in for its food frames, "" for nothing.

    `kit` is what one of its splits is made of: the batch's own, or a stronger one where a floor asks for it,
    a line for each that would do. `part`: what it takes of hives in place of all its kit holds, from `donors`
    hives at most, where the rest is from another yard.
    """

    batch: int
    frame: str
    kit: Kit
    swap: str = ""
    part: tuple[int, ...] | None = None
    donors: int | None = None


@dataclass(frozen=True)
class Limit:
    """At most `most` in all over the lines, each split of line k using `uses[k]` (stock of one thing)."""

    item: str
    frame: str
    uses: tuple[int, ...]
    most: int


@dataclass(frozen=True)
class Demand:
    """Batches sorted by priority, their lines, and what is in stock for them. `totals`: how many splits of
    each priority are wanted. `not_weighed`: lines left out because there would be too many ways."""

    batches: tuple[Batch, ...]
    lines: tuple[Line, ...]
    limits: tuple[Limit, ...]
    totals: tuple[tuple[int, int], ...]
    not_weighed: int = 0

    @property
    def size(self) -> int:
        """Splits to place in all."""
        return sum(n for _, n in self.totals)

    @property
    def asked(self) -> dict[int, int]:
        """Splits asked for, by priority."""
        asked: dict[int, int] = {}
        for batch in (b for b in self.batches if not b.apart):
            asked[batch.priority] = asked.get(batch.priority, 0) + batch.count
        return asked

    @property
    def own_right(self) -> tuple[int, ...]:
        """Batches split in their own right, in the order of their places in a need vector."""
        return tuple(b for b, batch in enumerate(self.batches) if batch.hive is not None)

    @property
    def width(self) -> int:
        """Length of a need vector."""
        return len(KINDS) + len(self.own_right)

    def of(self, line: int) -> Batch:
        """Return the batch of a line."""
        return self.batches[self.lines[line].batch]

    def together(self, batch: int) -> tuple[int, ...]:
        """Batches made together with this one, itself among them: those of one hive that is broken up."""
        one = self.batches[batch]
        if not one.break_up:
            return (batch,)
        return tuple(b for b in self.own_right if self.batches[b].same_hive(one))

    @property
    def wholes(self) -> tuple[tuple[tuple[int, int], ...], ...]:
        """For each hive that is broken up: the places of its parts in a need vector, and how many of each."""
        places = {b: len(KINDS) + i for i, b in enumerate(self.own_right)}
        return tuple(
            tuple((places[other], self.batches[other].count) for other in self.together(b))
            for b, batch in enumerate(self.batches)
            if batch.break_up and self.together(b)[0] == b
        )

    def cap(self, batch: int) -> int:
        """Most splits of a batch under the current totals."""
        b = self.batches[batch]
        if b.apart:
            return b.count
        return min(b.count, dict(self.totals).get(b.priority, 0))

    def contents(self, line: int) -> tuple[int, ...]:
        """Frames, shakes and queens out of hives for one split of a line, in the order of KINDS."""
        part = self.lines[line].part
        if part is not None:
            return part
        contents = list(self.of(line).contents_of(self.lines[line].kit))
        if self.lines[line].swap:
            contents[KINDS.index("food")] = 0
        return tuple(contents)

    def need(self, line: int) -> tuple[int, ...]:
        """What one split of a line takes of what hives give: its contents, or one part of its own hive."""
        own = [int(b == self.lines[line].batch) for b in self.own_right]
        pooled = (0,) * len(KINDS) if any(own) else self.contents(line)
        return (*pooled, *own)

    def needs(self) -> NDArray[np.int64]:
        """Need vectors of the lines, shape (lines, width)."""
        rows = [self.need(k) for k in range(len(self.lines))]
        return np.array(rows, dtype=np.int64).reshape(-1, self.width)

    def with_totals(self, totals: dict[int, int]) -> "Demand":
        """Return the same demand with other totals by priority (priorities not named want none)."""
        return replace(self, totals=tuple(sorted(totals.items())))


def demand_of(operation: Operation) -> Demand:
    """Group the orders of an operation. Totals are all that is asked for."""
    index = {y.id: i for i, y in enumerate(operation.yards)}
    rows: dict[tuple[object, ...], list[tuple[str, int]]] = {}
    whole = _broken_up(operation)
    for order in sorted(operation.orders, key=lambda o: (o.by or date.max, o.id)):
        from_yard = None if order.from_yard is None else index[order.from_yard]
        to_yard = None if order.to_yard is None else index[order.to_yard]
        ready_by = order.ready_by if holds(operation.settings) else None
        for made, n in whole.get(order.id, {None: order.count}).items():
            key = (order.priority, order.kit, order.queen, from_yard, to_yard, order.hive, ready_by, made)
            rows.setdefault(key, []).append((order.id, n))
    batches = tuple(
        Batch(operation.kit(kit), queen, a, b, priority, sum(n for _, n in orders), tuple(orders), *rest)  # type: ignore[arg-type]
        for (priority, kit, queen, a, b, *rest), orders in sorted(
            rows.items(), key=lambda item: repr(item[0])
        )
    )
    batches = tuple(sorted(batches, key=lambda b: b.priority))
    every = list(_each_line(operation, batches))
    lines = _weighed(operation, batches, every)
    limits = tuple(_limits(operation, batches, lines))
    demand = Demand(batches, lines, limits, (), len(every) - len(lines))
    return demand.with_totals(demand.asked)


def _broken_up(operation: Operation) -> dict[str, dict[Kit | None, int]]:
    """By order of a hive that is broken up: how many of its parts are made of what.

    Where it cannot be, or where no kit holds the floor, they are as the kit is written.
    """
    found: dict[str, dict[Kit | None, int]] = {}
    for hive in operation.hives:
        if hive.key in operation.broken_up:
            orders = [o for o in operation.orders if o.break_up and (o.from_yard, o.hive) == hive.key]
            parts = parts_asked(operation, hive)
            kits = None if parts is None else shared_out(count_on(hive, operation.day), parts)
            for i, order in enumerate(orders):
                made = [operation.kit(order.kit)] * order.count if kits is None else kits[i]
                found[order.id] = dict(Counter(made))
    return found


def _weighed(operation: Operation, batches: tuple[Batch, ...], every: list[Line]) -> tuple[Line, ...]:
    """Of all lines those that are weighed: as long as the ways to share all splits out over them stay few.

    The kit of least work of each batch, format and swap is always among them. Then come the second kits of
    all, the third, and so on, of those the one first that takes least work beyond its first; one that would
    make too many ways is left out, and the next is tried.
    """
    first: dict[tuple[int, str, str], Line] = {}
    more: list[tuple[int, float, int]] = []
    ranks: Counter[tuple[int, str, str]] = Counter()
    for i, line in enumerate(every):
        key = line.batch, line.frame, line.swap
        beyond = kit_work(line.kit, operation.settings) - kit_work(
            first.setdefault(key, line).kit, operation.settings
        )
        if ranks[key]:
            more.append((ranks[key], beyond, i))
        ranks[key] += 1
    kept = {i for i, line in enumerate(every) if line in first.values()}
    counts = Counter(every[i].batch for i in kept)
    for _, _, i in sorted(more):
        counts[every[i].batch] += 1
        if _ways(batches, counts) <= MOST_MIXES:
            kept.add(i)
        else:
            counts[every[i].batch] -= 1
    return tuple(line for i, line in enumerate(every) if i in kept)


def _ways(batches: tuple[Batch, ...], lines: Counter[int]) -> int:
    """In how many ways splits, up to all of them, can be shared out over so many lines of each batch."""
    return prod(comb(batch.count + lines[b], lines[b]) for b, batch in enumerate(batches))


def _each_line(operation: Operation, batches: tuple[Batch, ...]) -> Iterator[Line]:
    frames = sorted({h.frame for h in operation.hives})
    allowed = operation.settings.swaps
    swaps = [w for w, ok in (("food comb", allowed.food_comb), ("feeder", allowed.feeder)) if ok]
    for b, batch in enumerate(batches):
        for frame in frames:
            if batch.kit.frame not in (None, frame) or (batch.hive and not _is_of(operation, batch, frame)):
                continue
            instead = batch.kit.food and batch.hive is None
            days = None if batch.ready_by is None else (batch.ready_by - operation.day).days
            for swap in ("", *(w for w in swaps if instead and _in_stock(operation, w, frame))):
                kits = held_kits(batch.kit, batch.queen, frame, operation.settings, not swap, days)
                kits = (batch.made,) if batch.made and kits else kits
                for kit in kits if batch.hive is None else kits[:1]:  # parts of one hive are alike
                    yield Line(b, frame, kit, swap)


def _is_of(operation: Operation, batch: Batch, frame: str) -> bool:
    assert batch.from_yard is not None
    key = (operation.yards[batch.from_yard].id, batch.hive)
    return any(h.key == key and h.frame == frame for h in operation.hives)


def _in_stock(operation: Operation, item: str, frame: str) -> int:
    return operation.counted(item, frame if item == "food comb" else "") or 0


def _limits(operation: Operation, batches: tuple[Batch, ...], lines: tuple[Line, ...]) -> list[Limit]:
    """What stock at home sets a limit on; only limits that can bind are kept."""
    limits = []

    def limit(item: str, frame: str, most: int | None, uses: list[int]) -> None:
        asked = sum(
            batch.count * max((u for u, line in zip(uses, lines, strict=True) if line.batch == b), default=0)
            for b, batch in enumerate(batches)
        )
        if most is not None and asked > most:
            limits.append(Limit(item, frame, tuple(uses), most))

    def use(frame: str, of: object) -> list[int]:
        return [of(line, batches[line.batch]) if line.frame == frame else 0 for line in lines]  # type: ignore[operator]

    for frame in sorted({line.frame for line in lines}):
        combs = operation.combs(frame)
        if combs is not None:
            limit("comb", frame, sum(combs), use(frame, lambda k, b: combs_of(k.kit, k.swap, b.break_up)))
            limit("drawn comb", frame, combs[0], use(frame, lambda k, b: b.kit.drawn))
        limit("nuc box", frame, operation.nuc_boxes(frame), use(frame, lambda k, b: 1))
        there = _in_stock(operation, "food comb", frame)
        limit("food comb", frame, there, use(frame, lambda k, b: b.kit.food if k.swap == "food comb" else 0))
    limit("feeder", "", _in_stock(operation, "feeder", ""), [int(k.swap == "feeder") for k in lines])
    for queen, item, days in (("mated", "mated queen", 0), ("ripe cell", "ripe cell", 1)):
        there_on = operation.counted(item, on=operation.day + timedelta(days=days))
        limit(item, "", there_on, [int(batches[k.batch].queen == queen) for k in lines])
    return limits
