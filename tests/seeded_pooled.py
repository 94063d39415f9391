"""Random small operations where boxes may be of two yards, and have to be: yards lack brood, food or bees."""

from dataclasses import replace
from random import Random

from routeplan.operation.world import Hive, Operation
from tests.seeded import rich_operation, small_operation

SHORT_OF = ("nothing", "food", "brood", "food", "brood", "bees")


def pooled_operation(seed: int, tiny: bool = False) -> Operation:
    """A small operation with two yards a split allowed; one in four is a rich one.

    Most hives of a yard are short of food, brood or bees. Brood may ride without bees for a quarter
    of an hour or for two hours, or it is too cold for that.
    """
    rng = Random(f"pooled/{seed}")
    base = (rich_operation if seed % 4 == 3 else small_operation)(seed, tiny)
    short = {yard.id: rng.choice(SHORT_OF) for yard in base.yards}
    hives = tuple(_short(rng, hive, short[hive.yard]) for hive in base.hives)
    limits = replace(
        base.settings.limits,
        yards_per_split=2,
        bare_brood_min=rng.choice((15.0, 40.0, 120.0)),
        bare_brood_from_c=rng.choice((10.0, 20.0, 25.0)),
        own_queen_bees=rng.choice((2.0, 3.0, 4.0)),
    )
    orders = tuple(
        replace(o, from_yard=None) if o.hive is None and rng.random() < 0.7 else o for o in base.orders
    )
    settings = replace(base.settings, limits=limits, excluder=replace(base.settings.excluder, allowed=False))
    return replace(base, hives=hives, orders=orders, settings=settings)


def _short(rng: Random, hive: Hive, of: str) -> Hive:
    """The same hive with too little of something to give, and often more of the rest."""
    if rng.random() < 0.2:
        return hive
    keep, count = 2.0, hive.count
    if of == "food":
        count = replace(count, food=keep + 0.3, bees=(count.bees or 10.0) + 3)
    elif of == "brood" and count.brood is None:
        count = replace(count, capped=3.0, open=2.0, food=(count.food or 2.0) + 2)
    elif of == "bees" and count.bees is not None:
        count = replace(count, bees=max(8.0, count.bees - 3), food=(count.food or 2.0) + 1)
    return replace(hive, count=count)


def halved_operation(base: Operation, seed: int, rich: float = 0.05) -> Operation:
    """An operation where boxes may be of two yards and mostly have to be: of each yard nearly all hives can
    spare brood and no food, or food and no brood."""
    rng = Random(f"halved/{seed}")
    lacks = {yard.id: rng.choice(("food", "brood")) for yard in base.yards}
    hives = tuple(h if rng.random() < rich else _lacking(h, lacks[h.yard]) for h in base.hives)
    settings = replace(base.settings, limits=replace(base.settings.limits, yards_per_split=2))
    return replace(base, hives=hives, settings=settings)


def _lacking(hive: Hive, what: str) -> Hive:
    """The same hive where it keeps all its food (2 frames), or all its brood (5), and can spare the other."""
    count = hive.count
    if what == "food":
        return replace(hive, count=replace(count, food=2.3))
    count = replace(count, food=5.0, bees=max(11.0, count.bees or 0))
    if count.brood is not None:
        return replace(hive, count=replace(count, brood=5.6))
    return replace(hive, count=replace(count, capped=3.2, open=2.4))
