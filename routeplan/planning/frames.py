"""From counts to names: which hive's frames go into which split, in working order, as evenly as found.

Within the round found (same hives' work in seconds) the donors are chosen so that the smallest margin over
the keep-back is as large as found in a short time; this part is best found, not proved.
"""

from dataclasses import dataclass

from routeplan.operation.world import Hive
from routeplan.plan import Take
from routeplan.planning.boxes import Box, Boxes, fill_boxes
from routeplan.planning.case import Case
from routeplan.planning.demand import KINDS
from routeplan.planning.limits import Clock
from routeplan.planning.order import Round


@dataclass(frozen=True)
class NamedSplit:
    """One split with its name and way: order row, line, visits (from 0), takes by hive."""

    id: str
    order: str
    line: int
    made_at: int
    placed_at: int
    takes: tuple[tuple[Hive, str, int], ...]


def evened(case: Case, found: Round, clock: Clock) -> dict[int, Boxes]:
    """Fill each yard's boxes again within the same opening times, leaving hives as even as found."""
    boxes = {}
    for yard, filled in sorted(found.boxes.items()):
        made = tuple(found.counts.made[i] for i in making_visits(found, yard))
        seconds = max(0.05, clock.left() / 2)
        try:
            even = fill_boxes(case, yard, made, filled.opening_s, seconds, even=True)
        except TimeoutError:
            even = None
        boxes[yard] = even or filled
    return boxes


def making_visits(found: Round, yard: int) -> list[int]:
    """Visits of a yard that open hives, in order."""
    return [i for i, v in enumerate(found.order) if v.yard == yard and v.opens]


def named_splits(case: Case, found: Round, boxes: dict[int, Boxes]) -> tuple[NamedSplit, ...]:
    """Give every box its destination, its order and its name, in the order they are made."""
    left = {b: list(batch.orders) for b, batch in enumerate(case.demand.batches)}
    ways = {(i, k): [] for i, _, k, _ in found.counts.moved}  # type: ignore[var-annotated]
    for i, j, k, n in sorted(found.counts.moved):
        ways[i, k] += [j] * n
    splits: list[NamedSplit] = []
    for i, visit in enumerate(found.order):
        if not any(found.counts.made[i]) or not visit.opens:
            continue
        ordinal = making_visits(found, visit.yard).index(i)
        for box in _working_order([b for b in boxes[visit.yard].boxes if b.visit == ordinal]):
            order = _next_order(left[case.demand.lines[box.line].batch])
            placed_at = ways[i, box.line].pop(0)
            takes = tuple(
                (hive, KINDS[k], n) for hive, k, n in sorted(box.takes, key=lambda t: (t[0].id, t[1]))
            )
            splits.append(NamedSplit(f"S{len(splits) + 1}", order, box.line, i, placed_at, takes))
    return tuple(splits)


def _working_order(boxes: list[Box]) -> list[Box]:
    """Boxes of the same donors side by side, so that one is finished before the next is begun."""
    return sorted(boxes, key=lambda b: (b.line, sorted(h.id for h, _, _ in b.takes)))


def _next_order(orders: list[tuple[str, int]]) -> str:
    """Take the next split of a batch from its order rows, first row first."""
    name, n = orders[0]
    orders[0] = (name, n - 1)
    if n == 1:
        orders.pop(0)
    return name


def takes_of(splits: tuple[NamedSplit, ...], visit: int) -> tuple[Take, ...]:
    """All takes at one visit, box by box."""
    return tuple(
        Take(hive.id, kind, n, split.id)
        for split in splits
        if split.made_at == visit
        for hive, kind, n in split.takes
    )


def opened_in_order(splits: tuple[NamedSplit, ...], visit: int) -> tuple[Hive, ...]:
    """Hives opened at a visit: queen mothers first, bad tempers last, else as the boxes need them."""
    seen: dict[str, Hive] = {}
    mothers = set()
    for split in splits:
        if split.made_at == visit:
            for hive, kind, _ in split.takes:
                seen.setdefault(hive.id, hive)
                if kind == "eggs":
                    mothers.add(hive.id)
    ranked = sorted(seen.values(), key=lambda h: (h.temper == "bad", h.id not in mothers))
    return tuple(ranked)
