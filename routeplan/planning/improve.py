"""Better plans near a known one: one visit left out, put in, changed or moved at a time, the most promising
first.

Looks for plans only; what it finds goes to the proof as the plan to beat.
"""

from collections.abc import Iterator

from routeplan.planning.order import Order, Visit, orderly
from routeplan.planning.rounds import Part, Search

LOOKED_AT = 40
"""Neighbours judged without success before it gives up; counted, so that a plan repeats."""


def improve(search: Search) -> None:
    """Walk from the search's best plan to better ones until none of the nearest is better."""
    seen: set[Order] = set()
    while search.best is not None and not search.clock.over():
        before = search.best
        for part, least_s in _promising(search, before.order, seen)[:LOOKED_AT]:
            if search.clock.over() or least_s >= search.limit():
                break
            seen.add(part.order)
            search.look(part, least_s)
            if search.best is not before:
                break
        if search.best is before:
            return


def _promising(search: Search, order: Order, seen: set[Order]) -> list[tuple[Part, int]]:
    """Neighbours of an order that may be better than the best plan, by the least they count."""
    found = []
    for near in sorted(set(_neighbours(search, order)) - seen, key=lambda o: [(v.yard, v.opens) for v in o]):
        part: Part | None = search.start()
        for visit in near:
            part = search.extend(part, visit) if part is not None else None
        if part is not None:
            least_s = search.least_paid(part)
            if least_s < search.limit():
                found.append((part, least_s))
    return sorted(found, key=lambda f: f[1])


def _neighbours(search: Search, order: Order) -> Iterator[Order]:
    ground, n = search.ground, len(order)
    visits = [Visit(y, True) for y in range(ground.yards) if search.most[y]]
    visits += [Visit(y, False) for y in range(ground.yards) if ground.room[y]]
    for i in range(n):
        rest = order[:i] + order[i + 1 :]
        candidates = [rest]
        candidates += [(*rest[:j], order[i], *rest[j:]) for j in range(n) if j != i]
        candidates += [(*order[:i], v, *order[i + 1 :]) for v in visits if v != order[i]]
        yield from (c for c in candidates if orderly(c, search.twice, search.twice_yards))
    for i in range(n + 1):
        yield from (
            c
            for c in ((*order[:i], v, *order[i:]) for v in visits)
            if orderly(c, search.twice, search.twice_yards)
        )
    for i in range(n):
        for j in range(i + 1, n):
            swapped = list(order)
            swapped[i], swapped[j] = swapped[j], swapped[i]
            if orderly(tuple(swapped), search.twice, search.twice_yards):
                yield tuple(swapped)
