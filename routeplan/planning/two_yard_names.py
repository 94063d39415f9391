"""From boxes of two yards to names: the same order of work and names as for boxes of one."""

from routeplan.planning.boxes import Box
from routeplan.planning.case import Case
from routeplan.planning.frames import NamedSplit, named_takes, next_order, with_mixed, working_order
from routeplan.planning.order import Round
from routeplan.planning.route import PooledBox


def named_pooled(case: Case, found: Round) -> tuple[NamedSplit, ...]:
    """Give every box its order and its name, in the order they are completed."""
    left = {b: list(batch.orders) for b, batch in enumerate(case.demand.batches)}
    splits: list[NamedSplit] = []
    for i in range(len(found.order)):
        here = [(_side(one, i), one) for one in found.pooled if one.route.made == i]
        for box in working_order(case, [side for side, _ in here]):
            one = next(one for side, one in here if side is box)
            order = next_order(left[case.demand.lines[box.line].batch])
            begun = one.route.begun
            splits.append(
                NamedSplit(
                    f"S{len(splits) + 1}",
                    order,
                    box.line,
                    i,
                    one.route.placed,
                    tuple(named_takes(case, box)),
                    begun,
                    () if begun is None else tuple(named_takes(case, _side(one, begun))),
                    one.route.way.bare if one.route.way else "",
                )
            )
    return with_mixed(case, tuple(splits))


def _side(box: PooledBox, visit: int) -> Box:
    """What one visit gives to a box."""
    return Box(visit, box.route.line, tuple((hive, k, n) for i, hive, k, n in box.takes if i == visit))
