"""Driving an order whose counts are known without ever waiting: the usual case, and then exact.

If the least counts of an order can be loaded and driven without a wait, within all hours and minutes shut in,
nothing can be better for this order. Otherwise the judge has to weigh counts, waits and hours together.
"""

import numpy as np
from ortools.graph.python import max_flow

from routeplan.planning.case import Case
from routeplan.planning.openings import Ints
from routeplan.planning.order import Counts, Order, Times
from routeplan.planning.remaining import INF
from routeplan.planning.yields import convolve


def driven(case: Case, order: Order, counts: Counts) -> Times | None:
    """Return the clock of an order driven without waiting, as early as hours allow; None if it cannot be."""
    if case.at_once or not _fits_truck(case, counts):
        return None
    t, at = 0, 0
    earliest, latest = case.start, case.end
    begin, opened, depart = [], [], []
    for i, visit in enumerate(order):
        y = visit.yard
        set_up, leaving = case.opening if visit.opens else case.placing
        t += case.drive(at, y + 1)
        begin.append(t)
        earliest = max(earliest, int(case.opens[y]) - t)
        t += set_up + _placing_s(case, y, counts, i)
        opened.append(t)
        if visit.opens:
            earliest = max(earliest, case.hives_from - t)
            t += counts.opening[i] + _making_s(case, y, counts, i)
            latest = min(latest, case.hives_until - t)
        t += leaving
        latest = min(latest, int(case.closes[y]) - t)
        depart.append(t)
        at = y + 1
    t += case.drive(at, 0)
    latest = min(latest, case.end - t)
    late = any(opened[j] - depart[i] > case.shut_in_s for i, j, _, _ in counts.moved)
    if late or earliest > latest or not _above_long_enough(case, counts, opened):
        return None
    return Times(tuple(earliest + b for b in begin), tuple(earliest + o for o in opened), earliest, t)


def as_early(case: Case, order: Order, counts: Counts, times: Times) -> Times:
    """Return a clock of the same order and counts that leaves home as early as it can and pays no more.

    Every step is taken as soon as hours allow; the later the crew leaves, the less it waits.
    """
    low, high = case.start, case.start if case.at_once else times.leave_home
    best = times
    while low <= high:
        leave = (low + high) // 2
        driven_so = driven_from(case, order, counts, leave)
        if driven_so is not None and driven_so.paid_s <= times.paid_s:
            best, high = driven_so, leave - 1
        else:
            low = leave + 1
    return best


def at_once(case: Case, order: Order, counts: Counts) -> Times | None:
    """Return the clock of an order that leaves home as late as it can and does everything as soon as it may,
    so that it waits least; None when it is late even from the start."""
    low, high, best = case.start, case.end, None
    while low <= high:
        leave = (low + high) // 2
        driven_so = driven_from(case, order, counts, leave)
        if driven_so is None:
            high = leave - 1
        else:
            best, low = driven_so, leave + 1
    return best and as_early(case, order, counts, best)


def driven_from(case: Case, order: Order, counts: Counts, leave: int) -> Times | None:
    """The clock of an order when the crew leaves home at a time and does everything as soon as it may."""
    t, at = leave, 0
    begin: list[int] = []
    hives: list[int] = []
    opened: list[int] = []
    depart: list[int] = []
    for i, visit in enumerate(order):
        y = visit.yard
        set_up, leaving = case.opening if visit.opens else case.placing
        t = max(t + case.drive(at, y + 1), int(case.opens[y]))
        begin.append(t)
        t += set_up + _placing_s(case, y, counts, i)
        opened.append(t)
        if visit.opens:
            ends = [hives[a] + counts.first_s(a) for a, b, _ in counts.passes if b == i]
            t = max(t, case.hives_from, *(end + case.above_s[0] for end in ends))
            hives.append(t)
            t += counts.opening[i] + _making_s(case, y, counts, i)
            if t > case.hives_until:
                return None
        else:
            hives.append(t)
        t += leaving
        if t > case.closes[y]:
            return None
        depart.append(t)
        at = y + 1
    t += case.drive(at, 0)
    late = any(opened[j] - depart[i] > case.shut_in_s for i, j, _, _ in counts.moved)
    late |= any(opened[j] - case.aboard[g].left_s > case.shut_in_s for g, j, _ in counts.brought)
    late |= _filled_late(case, counts, opened, depart, hives)
    if late or t > case.end or not _above_long_enough(case, counts, hives):
        return None
    return Times(tuple(begin), tuple(hives), leave, t - leave)


def _filled_late(case: Case, counts: Counts, opened: list[int], depart: list[int], hives: list[int]) -> bool:
    """Whether a box of two yards is shut in too long, or its brood too long without bees."""
    for fill in case.fills:
        way = fill.way(counts.made)
        placed = next((j for _, j, k, _ in counts.moved if k == fill.line), None)
        if way is not None and placed is not None:
            begun, made = way
            if not fill.in_time(begun, made, opened[placed], depart, hives, case.shut_in_s):
                return True
    return False


def _above_long_enough(case: Case, counts: Counts, hives: list[int]) -> bool:
    """Whether all combs set above an excluder wait long enough and not too long; `hives`: when work on them
    begins."""
    least_s, most_s = case.above_s
    waits = [(hives[j] - hives[i], counts.first_s(i)) for i, j, _ in counts.passes]
    return all(first_s + least_s <= wait <= most_s for wait, first_s in waits)


def _placing_s(case: Case, yard: int, counts: Counts, i: int) -> int:
    """Seconds of placing at a visit, a fence included."""
    placed = [(int(case.place_s[yard, k]), n) for _, j, k, n in counts.moved if j == i]
    placed += [(int(case.aboard[g].place_s[yard]), n) for g, j, n in counts.brought if j == i]
    fence_s = int(case.fence_s[yard]) if placed else 0
    return fence_s + sum(seconds * n for seconds, n in placed)


def _making_s(case: Case, yard: int, counts: Counts, i: int) -> int:
    """Seconds of filling and making up at a visit."""
    return sum((int(case.fill_s[k]) + int(case.make_s[yard, k])) * n for k, n in enumerate(counts.made[i]))


def _fits_truck(case: Case, counts: Counts) -> bool:
    places, nest = case.places, case.operation.crew.empties_per_place
    if places is None:
        return True
    full, empty = 0, case.size
    if empty > nest * places:
        return False
    for i, made in enumerate(counts.made):
        full += sum(made) - sum(n for _, j, _, n in counts.moved if j == i)
        empty -= sum(made)
        if nest * full + empty > nest * places:
            return False
    return True


def one_line(case: Case) -> bool:
    """Whether counting is enough: one line, exact yields, placing alike everywhere, enough in stock, and
    nothing that counts beside the clock."""
    if case.demand.limits or case.extra_s.any() or not case.counts_only_the_clock:
        return False
    if not case.placing_is_shorter:  # then a visit that opens hives must make something
        return False
    receiving = case.place_s[case.room > 0]
    if len(receiving) and receiving.min() < receiving.max():
        return False
    return not (
        len(case.demand.lines) != 1
        or not all(y.exact and y.plain for of_yard in case.yields for y in of_yard)
    )


def counted(case: Case, order: Order, least: Ints) -> Counts | None:
    """Return the least counts of an order of one line, None when they cannot be made or moved."""
    visits = [i for i, v in enumerate(order) if v.opens]
    if len({order[i].yard for i in visits}) < len(visits):
        return None
    made = _least_made(case, order, visits, least)
    moved = None if made is None else _moves(case, order, made)
    if made is None or moved is None:
        return None
    opening = [0] * len(order)
    for i in visits:
        if made[i]:
            one = case.yields[order[i].yard][0]
            opening[i] = int(one.opening[one.mixes[:, 0] == made[i]][0])
    return Counts(tuple((q,) for q in made), moved, tuple(opening), (0,) * len(order), 0)


def _least_made(case: Case, order: Order, visits: list[int], least: Ints) -> list[int] | None:
    """Share the splits among the donors of an order at least work."""
    tables = [np.where(np.arange(case.size + 1) == 0, 0, INF)]
    for i in visits:
        tables.append(convolve(tables[-1], least[order[i].yard]))
    if tables[-1][case.size] >= INF:
        return None
    made, left = [0] * len(order), case.size
    for i, table in reversed(list(zip(visits, tables[:-1], strict=True))):
        made[i] = int(np.argmin(table[: left + 1][::-1] + least[order[i].yard][: left + 1]))
        left -= made[i]
    return made


def _moves(case: Case, order: Order, made: list[int]) -> tuple[tuple[int, int, int, int], ...] | None:
    """Move every split to the last visit of a far enough yard with room (maximum flow); None: not all can."""
    flow = max_flow.SimpleMaxFlow()
    n, last = len(order), {v.yard: i for i, v in enumerate(order)}
    source, sink = 2 * n, 2 * n + 1
    arcs = {}
    for i, q in enumerate(made):
        if q:
            flow.add_arc_with_capacity(source, i, q)
    for j in sorted(last.values()):
        yard = order[j].yard
        if case.room[yard] and case.demand.of(0).to_yard in (None, yard):
            flow.add_arc_with_capacity(n + j, sink, int(case.room[yard]))
            for i in range(j):
                if made[i] and case.reach[order[i].yard, yard]:
                    arcs[i, j] = flow.add_arc_with_capacity(i, n + j, made[i])
    if not arcs or flow.solve(source, sink) != flow.OPTIMAL or flow.optimal_flow() < case.size:
        return None
    return tuple((i, j, 0, int(flow.flow(arc))) for (i, j), arc in sorted(arcs.items()) if flow.flow(arc))
