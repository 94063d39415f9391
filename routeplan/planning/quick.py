"""The quick look at an order: what the tables say it takes, and whether that already obeys every rule.

Valid only for a single line with exact yields. The least work of the visited donors is found by counting; if
the counts can be moved, loaded and driven without any wait, the order's paid time is exactly that.
"""

from dataclasses import dataclass

import numpy as np
from ortools.graph.python import max_flow

from routeplan.planning.case import Case
from routeplan.planning.judge import Order
from routeplan.planning.remaining import INF
from routeplan.planning.yields import Ints, convolve

Moves = dict[tuple[int, int], int]


@dataclass(frozen=True)
class Counted:
    """Splits made by visit, moves (from visit, to visit) -> splits; clock as in judge.Round."""

    made: tuple[int, ...]
    moved: Moves
    begin: tuple[int, ...]
    hives: tuple[int, ...]
    leave_home: int
    paid_s: int


def simple(case: Case) -> bool:
    """Whether the quick look may be used: one line, exact tables, enough combs and boxes at home."""
    if len(case.demand.lines) != 1 or not all(y.exact for of_yard in case.yields for y in of_yard):
        return False
    operation, line = case.operation, case.demand.lines[0]
    kit, combs, boxes = case.demand.of(0).kit, operation.combs(line.frame), operation.nuc_boxes(line.frame)
    if combs is not None and (kit.combs * case.size > sum(combs) or kit.drawn * case.size > combs[0]):
        return False
    return boxes is None or case.size <= boxes


def count_order(case: Case, order: Order, least: Ints) -> Counted | None:
    """Return the least counts of an order when they obey every rule without waiting, else None."""
    opened = [v.yard for v in order if v.opens]
    made = _least_made(order, least, case.size) if len(set(opened)) == len(opened) else None
    if made is None:
        return None
    moved = _moves(case, order, made)
    if moved is None or not _fits_truck(case, made, moved):
        return None
    return _timed(case, order, made, moved, least)


def _least_made(order: Order, least: Ints, size: int) -> tuple[int, ...] | None:
    """Share the splits among the donors of an order at least work."""
    visits = [i for i, v in enumerate(order) if v.opens]
    rows = [least[order[i].yard].copy() for i in visits]
    tables = [np.where(np.arange(size + 1) == 0, 0, INF)]
    for row in rows:
        tables.append(convolve(tables[-1], row))
    if tables[-1][size] >= INF:
        return None
    made, left = [0] * len(order), size
    for i, row, table in reversed(list(zip(visits, rows, tables[:-1], strict=True))):
        q = int(np.argmin(table[: left + 1][::-1] + row[: left + 1]))
        made[i] = q
        left -= q
    return tuple(made)


def _moves(case: Case, order: Order, made: tuple[int, ...]) -> Moves | None:
    """Move every split to a later visit of a far enough yard with room (maximum flow), None if not all can."""
    flow = max_flow.SimpleMaxFlow()
    n, last = len(order), {v.yard: i for i, v in enumerate(order)}
    source, sink = 2 * n, 2 * n + 1
    arcs = {}
    for i, q in enumerate(made):
        if q:
            flow.add_arc_with_capacity(source, i, q)
    for j in sorted(last.values()):
        yard = order[j].yard
        to_yard = case.demand.of(0).to_yard
        if case.room[yard] and to_yard in (None, yard):
            flow.add_arc_with_capacity(n + j, sink, int(case.room[yard]))
            for i in range(j):
                if made[i] and case.travel.far[order[i].yard, yard]:
                    arcs[i, j] = flow.add_arc_with_capacity(i, n + j, made[i])
    if not arcs or flow.solve(source, sink) != flow.OPTIMAL or flow.optimal_flow() < case.size:
        return None
    return {key: int(flow.flow(arc)) for key, arc in arcs.items() if flow.flow(arc)}


def _fits_truck(case: Case, made: tuple[int, ...], moved: Moves) -> bool:
    places, nest = case.places, case.operation.crew.empties_per_place
    if places is None:
        return True
    full, empty = 0, case.size
    if empty > nest * places:
        return False
    for i, q in enumerate(made):
        full += q - sum(n for (_, j), n in moved.items() if j == i)
        empty -= q
        if nest * full + empty > nest * places:
            return False
    return True


def _timed(case: Case, order: Order, made: tuple[int, ...], moved: Moves, least: Ints) -> Counted | None:
    """Drive the order without waiting, leaving as early as every opening hour allows; None if some hour forbids."""
    t, at = 0, 0
    earliest, latest = case.start, case.end
    begin, opened, depart = [], [], []
    for i, visit in enumerate(order):
        y = visit.yard
        set_up, leaving = case.opening if visit.opens else case.placing
        t += case.drive(at, y + 1)
        begin.append(t)
        earliest = max(earliest, int(case.opens[y]) - t)
        t += set_up + int(case.place_s[y, 0]) * sum(n for (_, j), n in moved.items() if j == i)
        opened.append(t)
        if visit.opens:
            earliest = max(earliest, case.hives_from - t)
            t += int(least[y, made[i]]) - int(case.base_place_s[0]) * made[i]
            latest = min(latest, case.hives_until - t)
        t += leaving
        latest = min(latest, int(case.closes[y]) - t)
        depart.append(t)
        at = y + 1
    t += case.drive(at, 0)
    latest = min(latest, case.end - t)
    if earliest > latest or any(opened[j] - depart[i] > case.shut_in_s for i, j in moved):
        return None
    return Counted(
        made, moved, tuple(earliest + b for b in begin), tuple(earliest + o for o in opened), earliest, t
    )
