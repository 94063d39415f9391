"""A day as large as wanted: the rich day again and again, each time at yards of its own.

No crew drives so many stops; only what the page has to carry is as in a large operation.
"""

from dataclasses import replace

from routeplan.operation.world import Operation, Place
from routeplan.plan import Plan
from tests.output import rich
from tests.output.sample import renamed

STOPS, SPLITS = len(rich.rich_plan().stops), len(rich.rich_plan().splits)


def many_splits(splits: int, hives: int) -> tuple[Operation, Plan]:
    """Return a day of at least so many splits and hives; hives that give nothing make up the number."""
    times = -(-splits // SPLITS)
    parts = [_again(n) for n in range(times)]
    spare = max(0, hives - times * len(rich.HIVES))
    donor, line = rich.HIVES[-1], rich.rich_plan().hives[-1]
    operations, plans = [p[0] for p in parts], [p[1] for p in parts]
    more = tuple(replace(donor, id=f"X{n}", yard=f"{donor.yard} {n % times}") for n in range(spare))
    why = tuple(
        replace(
            line, hive=f"X{n}", yard=f"{donor.yard} {n % times}", gives=(), reason=f"keeps its {n % 7} brood"
        )
        for n in range(spare)
    )
    operation = replace(
        rich.OPERATION,
        yards=tuple(y for o in operations for y in o.yards),
        hives=(*(h for o in operations for h in o.hives), *more),
    )
    plan = replace(
        plans[0],
        stops=tuple(s for p in plans for s in p.stops),
        splits=tuple(s for p in plans for s in p.splits),
        hives=(*(h for p in plans for h in p.hives), *why),
        after=tuple(a for p in plans for a in p.after),
        take_rules=tuple(r for p in plans for r in p.take_rules),
        standbys=tuple(s for p in plans for s in p.standbys),
    )
    return operation, plan


def _again(n: int) -> tuple[Operation, Plan]:
    plan = rich.rich_plan()
    names = {y.id: f"{y.id} {n}" for y in rich.OPERATION.yards} | {s.id: f"{s.id}x{n}" for s in plan.splits}
    named = renamed(plan, names)
    moved = tuple(
        replace(s, made_at=s.made_at + n * STOPS, placed_at=s.placed_at + n * STOPS) for s in named.splits
    )
    operation = replace(
        rich.OPERATION,
        yards=tuple(
            replace(y, id=names[y.id], place=Place(y.place.lat + 0.01 * n, y.place.lon))
            for y in rich.OPERATION.yards
        ),
        hives=tuple(replace(h, yard=names[h.yard]) for h in rich.OPERATION.hives),
    )
    return operation, replace(named, splits=moved)
