"""Names for the splits of the rest of a day: those they had, the most alike first, so that little changes."""

from collections import Counter
from dataclasses import replace

from routeplan.field.state import State
from routeplan.plan import box_numbers
from routeplan.planning.boxes import Box
from routeplan.planning.case import Case
from routeplan.planning.frames import (
    NamedSplit,
    Taken,
    making_visits,
    named_takes,
    next_order,
    with_mixed,
    working_order,
)
from routeplan.planning.order import Round
from routeplan.planning.rest import Rest


def named_rest(state: State, rest: Rest, found: Round) -> tuple[NamedSplit, ...]:
    """Return the splits made in the rest, in the order they are completed, by the names of the plan before.

    Boxes of two yards keep theirs; one begun before the rest has no `begun_at` here.
    """
    named = with_mixed(rest.case, tuple(_in_order(rest.case, found)))
    taken = {one.id for one in named if one.id}
    planned = {s.id: s for s in state.plan.splits}
    numbers = box_numbers(state.plan)
    free = sorted((s for s in state.rest if s not in taken), key=numbers.__getitem__)
    yards = rest.case.operation.yards
    ids = {n: one.id for n, one in enumerate(named) if one.id}
    for same in (("order", "made", "placed"), ("order", "made"), ("order", "placed"), ("order",), ()):
        for n, one in enumerate(named):
            made, placed = (yards[found.order[i].yard].id for i in (one.made_at, one.placed_at))
            mine = {"order": one.order, "made": made, "placed": placed}
            for old in free if n not in ids else ():
                was = planned[old]
                its = {"order": was.order, "made": was.from_yard, "placed": was.to_yard}
                if all(mine[k] == its[k] for k in same):
                    ids[n] = old
                    free.remove(old)
                    break
    return tuple(replace(one, id=ids[n]) for n, one in enumerate(named))


def _in_order(case: Case, found: Round) -> list[NamedSplit]:
    """Every box with its order and its way; only boxes of two yards have names yet."""
    fills = {fill.line: fill for fill in case.fills}
    firsts = {fill.first for fill in case.fills}
    left = _orders_left(case, found)
    ways: dict[tuple[int, int], list[int]] = {}
    for i, j, k, n in sorted(found.counts.moved):
        ways.setdefault((i, k), []).extend([j] * n)
    boxes = _boxes(found)
    begun = {box.line: (i, box) for i, here in boxes.items() for box in here if box.line in firsts}
    splits = []
    for i in range(len(found.order)):
        for box in working_order(case, [b for b in boxes.get(i, []) if b.line not in firsts]):
            takes, placed_at = tuple(named_takes(case, box)), ways[i, box.line].pop(0)
            fill = fills.get(box.line)
            if fill is None:
                order = next_order(left[case.demand.lines[box.line].batch])
                splits.append(NamedSplit("", order, box.line, i, placed_at, takes))
                continue
            begun_at: int | None = None
            before: tuple[Taken, ...] = ()
            if fill.first is not None:
                begun_at, first = begun[fill.first]
                before = tuple(named_takes(case, first))
            splits.append(
                NamedSplit(fill.split, fill.order, box.line, i, placed_at, takes, begun_at, before, fill.bare)
            )
    return splits


def _boxes(found: Round) -> dict[int, list[Box]]:
    """The boxes filled at each visit."""
    boxes: dict[int, list[Box]] = {}
    for yard, filled in found.boxes.items():
        visits = making_visits(found, yard)
        for box in filled.boxes:
            boxes.setdefault(visits[box.visit], []).append(box)
    return boxes


def _orders_left(case: Case, found: Round) -> dict[int, list[tuple[str, int]]]:
    """By batch what its orders ask for beside the boxes of two yards that are made."""
    made = Counter(f.order for f in case.fills if f.first is not None and f.way(found.counts.made))
    return {
        b: [(order, n - made[order]) for order, n in batch.orders if n > made[order]]
        for b, batch in enumerate(case.demand.batches)
    }
