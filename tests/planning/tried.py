"""What one yard can make and the least its hives take for it, by trying all that may leave each hive."""

from itertools import product

import numpy as np

from routeplan.operation.world import Hive, Operation
from routeplan.planning.demand import Demand
from tests.oracle import meanings
from tests.oracle.meanings import Box, Out

Mix = tuple[int, ...]
Taken = tuple[int, ...]
"""Capped, open, eggs, food, shakes, queens; then, for each hive that is split in its own right, its parts."""


def every_mix(demand: Demand, lines: tuple[int, ...]) -> list[Mix]:
    """All counts of the lines, no more of a batch than asked for."""
    caps = [range(demand.cap(demand.lines[k].batch) + 1) for k in lines]
    batches = [demand.lines[k].batch for k in lines]
    return [
        mix
        for mix in product(*caps)
        if all(
            sum(n for n, at in zip(mix, batches, strict=True) if at == b) <= demand.cap(b)
            for b in set(batches)
        )
    ]


def needed(demand: Demand, lines: tuple[int, ...], mix: Mix) -> Taken:
    """What must leave hives for so many splits of each line."""
    own = _own_right(demand)
    total = [0] * (6 + len(own))
    for k, n in zip(lines, mix, strict=True):
        batch, swap = demand.of(k), demand.lines[k].swap
        if batch.hive is not None:
            total[6 + own.index(demand.lines[k].batch)] += n
            continue
        eggs = batch.queen == "raise own"
        one = (
            batch.kit.capped,
            0 if eggs else batch.kit.open,
            batch.kit.open if eggs else 0,
            0 if swap else batch.kit.food,
            batch.kit.shakes,
            int(batch.queen == "parent's"),
        )
        total[:6] = [a + n * b for a, b in zip(total, one, strict=False)]
    return tuple(total)


def _own_right(demand: Demand) -> list[int]:
    return [b for b, batch in enumerate(demand.batches) if batch.hive is not None]


def least_hive_s(
    one: Operation, demand: Demand, yard: int, frame: str, counted: bool = True
) -> dict[Taken, int]:
    """Least seconds with the hives of a yard for everything that can leave them for the splits asked for.

    `counted`: seconds that count (hives due anyway come off, mixed frames count against it); else the clock.
    """
    lines = tuple(k for k, line in enumerate(demand.lines) if line.frame == frame)
    wants = np.array([needed(demand, lines, mix) for mix in every_mix(demand, lines)])
    most = wants.max(axis=0) if len(wants) else np.zeros(6, dtype=int)
    least: dict[Taken, int] = {(0,) * len(most): 0}
    for hive in one.hives:
        if hive.yard == one.yards[yard].id and hive.frame == frame:
            least = _with_hive(least, _ways(one, demand, hive, counted), most)
    return least


def _with_hive(least: dict[Taken, int], ways: dict[Taken, int], most: np.ndarray) -> dict[Taken, int]:
    new: dict[Taken, int] = {}
    for taken, spent in least.items():
        for more, seconds in ways.items():
            both = tuple(a + b for a, b in zip(taken, more, strict=True))
            if all(n <= top for n, top in zip(both, most, strict=True)):
                new[both] = min(new.get(both, spent + seconds), spent + seconds)
    return new


def _ways(one: Operation, demand: Demand, hive: Hive, counted: bool) -> dict[Taken, int]:
    """All that may leave a hive and the least seconds for it, nothing included."""
    own = _own_right(demand)
    rest = (0,) * len(own)
    ways: dict[Taken, int] = {}
    for place, b in enumerate(own):
        batch = demand.batches[b]
        if (one.yards[batch.from_yard or 0].id, batch.hive) == hive.key:
            row = next(i for i, o in enumerate(one.orders) if o.id == batch.orders[0][0])
            for parts, out in meanings.parts(one, meanings.box_of(one, row)).items():
                part = tuple(parts * int(i == place) for i in range(len(own)))
                ways[(0,) * 6 + part] = _seconds(one, hive, out, counted)
            return ways
    mother = hive.key in meanings.egg_givers(one)
    for out in meanings.outs(one, hive):
        open_ = out.open + out.mixed
        for eggs in range(open_ + 1 if mother else 1):
            taken = (out.capped, open_ - eggs, eggs, out.food, out.shakes, out.queen, *rest)
            spent = _seconds(one, hive, out, counted)
            ways[taken] = min(spent, ways.get(taken, spent))
    return ways


def _seconds(one: Operation, hive: Hive, out: Out, counted: bool) -> int:
    if out == meanings.NOTHING:
        return 0
    quickest = meanings.quickest(one, hive, out)
    assert quickest is not None
    spent, due = quickest
    return spent - due + out.mixed * meanings.swap_s(one) if counted else spent


def fixed_s(one: Operation, demand: Demand, k: int, home: int = 0) -> int:
    """Seconds of making and (at the yard where that is quickest) placing one split of a line."""
    batch = demand.of(k)
    box = Box(0, batch.kit, batch.queen, None, None, batch.priority)
    return meanings.make_s(one, one.yards[home]) + min(meanings.place_s(one, y, box) for y in one.yards)
