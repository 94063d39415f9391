"""Ways to work a hive: queen found, supers only, hives due, mixed frames, a queen leaving, split on its own.

The seconds of a yard's table are then a lower limit; the boxes filled are exact. Both against all that may
leave each hive tried out.
"""

from collections import Counter
from dataclasses import replace
from functools import cache
from random import Random

import pytest

from routeplan.operation.settings import Limits, Sure, Swaps, WorkMinutes
from routeplan.operation.world import Hive, Kit, Operation, Order, Stock
from routeplan.planning.boxes import LEAST, Within, fill_boxes
from routeplan.planning.case import Case, case_of
from routeplan.planning.demand import KINDS
from tests.planning.make import DAY_ALONE, hive, operation, yard
from tests.planning.tried import Mix, Taken, every_mix, fixed_s, least_hive_s, needed

KITS = (
    Kit("bees and brood", capped=1, shakes=2, drawn=1),
    Kit("four", capped=1, open=1, food=1, shakes=1),
    Kit("five", capped=2, open=1, food=2, shakes=2),
)
WAYS = (Sure(), Sure(look=False), Sure(hunt=False), Sure(supers=False), Sure(look=False, hunt=False))
SEEDS = range(120)
ANYTHING = Within((10**7,), 10**7)
QUEEN = KINDS.index("queen")


def random_yard(seed: int) -> Operation:
    """One to four hives, some due, marked or with supers above an excluder; all kinds of splits."""
    rng = Random(f"options/{seed}")
    hives = tuple(_hive(rng, f"H{i}") for i in range(rng.randint(1, 4)))
    orders = tuple(_order(rng, name, hives) for name in "ABC"[: rng.randint(1, 3)])
    swaps = Swaps(*(rng.random() < 0.4 for _ in range(3)), minutes=rng.choice((0.0, 3.0, 15.0)))
    minutes = WorkMinutes(hunt_marked=rng.choice((1.0, 2.0, 4.0)), frame_queen_found=rng.choice((0.3, 0.8)))
    settings = replace(DAY_ALONE, sure=WAYS[seed % len(WAYS)], swaps=swaps, minutes=minutes)
    settings = replace(settings, limits=Limits(donors_per_split=99))
    stock = (Stock("food comb", "deep", 3), Stock("feeder", "", 2))
    return operation(
        (yard("Y", 0.0), yard("Z", 9.0)), hives, _once_each(orders), KITS, None, settings, stock=stock
    )


def _hive(rng: Random, name: str) -> Hive:
    """A hive strong enough to be split, some only just."""
    return hive(
        name,
        days=rng.choice((0, 2, 4, 6)),
        bees=round(rng.uniform(9, 19), 1),
        capped=round(rng.uniform(1.5, 6.5), 1),
        open=round(rng.uniform(1.5, 4.5), 1),
        food=round(rng.uniform(2.5, 6), 1),
        queen=rng.choice(("marked", "marked", "marked", "unmarked", "unknown", "queenless")),
        queen_cells=rng.choice(("none", "none", "none", "charged")),
        queen_mother=rng.random() < 0.6,
        boxes=rng.randint(1, 2),
        supers=rng.randint(0, 2),
        excluder=rng.random() < 0.7,
        due=rng.random() < 0.5,
    )


def _order(rng: Random, name: str, hives: tuple[Hive, ...]) -> Order:
    kit = rng.choice(KITS).name
    if rng.random() < 0.3:
        way = rng.choice(("raise own", "own cells", "parent's", "mated"))
        return Order(name, rng.randint(1, 2), kit, way, "Y", hive=rng.choice(hives).id)
    way = rng.choice(("raise own", "mated", "mated", "parent's"))
    return Order(name, rng.randint(1, 2), kit, way, priority=rng.randint(1, 2))


def _once_each(orders: tuple[Order, ...]) -> tuple[Order, ...]:
    """Leave out orders that name a hive another one names already."""
    return tuple(
        o for i, o in enumerate(orders) if o.hive is None or o.hive not in {p.hive for p in orders[:i]}
    )


@cache
def case(seed: int) -> Case:
    """The case of a random yard."""
    return case_of(random_yard(seed))


@cache
def tried(seed: int, counted: bool) -> dict[Taken, int]:
    """Least seconds with hives for all that can leave them."""
    return least_hive_s(random_yard(seed), case(seed).demand, 0, "deep", counted)


@pytest.mark.parametrize("counted", [True, False], ids=["what counts", "the clock"])
@pytest.mark.parametrize("seed", SEEDS)
def test_the_table_holds_every_mix_and_is_never_above_the_least(seed: int, counted: bool) -> None:
    """It may hold mixes that cannot be made where queens leave: it does not see whose queen it is.

    Where a queen is found it counts as if all a hive may give were taken.
    """
    one, demand = random_yard(seed), case(seed).demand
    lines = tuple(range(len(demand.lines)))
    needs = {mix: needed(demand, lines, mix) for mix in every_mix(demand, lines)}
    expected = {
        mix: tried(seed, counted)[need] for mix, need in needs.items() if need in tried(seed, counted)
    }
    yields = case(seed).yields[0] if counted else case(seed).clock_yields[0]
    takes_queens = any(demand.need(k)[QUEEN] for k in lines)
    if len(expected) < 2 and (takes_queens or yields == ()):
        return
    (found,) = yields
    assert not found.merged
    swap_s = round(60 * one.settings.swaps.minutes) if counted else 0
    rest = [fixed_s(one, demand, k) + (swap_s if demand.lines[k].swap else 0) for k in lines]
    table = {
        tuple(mix): seconds - sum(n * s for n, s in zip(mix, rest, strict=True))
        for mix, seconds in zip(found.mixes.tolist(), found.seconds.tolist(), strict=True)
    }
    assert set(table) >= set(expected)
    assert all(table[mix] <= seconds for mix, seconds in expected.items())
    if not takes_queens:
        asked = {mix: seconds for mix, seconds in table.items() if mix in needs}
        assert set(asked) == set(expected)
        assert asked == expected or not found.exact or any(d.found for d in case(seed).donors[0])


def some_mixes(seed: int) -> list[Mix]:
    """Some of the mixes asked for, others on each yard."""
    demand = case(seed).demand
    mixes = [mix for mix in every_mix(demand, tuple(range(len(demand.lines)))) if any(mix)]
    return Random(seed).sample(mixes, min(8, len(mixes)))


@pytest.mark.parametrize("seed", SEEDS)
def test_boxes_are_filled_at_the_least_that_counts(seed: int) -> None:
    demand = case(seed).demand
    for mix in some_mixes(seed):
        filled = fill_boxes(case(seed), 0, (mix,), ANYTHING, 20.0, LEAST)
        least = tried(seed, True).get(needed(demand, tuple(range(len(mix))), mix))
        usual = sum(n * int(s) for n, s in zip(mix, case(seed).fill_s, strict=True))
        assert (None if filled is None else filled.total_s + usual) == least, mix


def test_the_random_yards_are_worth_trying() -> None:
    """Every way is the least somewhere, and every kind of split can be made somewhere."""
    ways, made = Counter(), Counter()
    for seed in SEEDS:
        demand = case(seed).demand
        for mix in some_mixes(seed):
            filled = fill_boxes(case(seed), 0, (mix,), ANYTHING, 20.0, LEAST)
            for box in filled.boxes if filled else ():
                batch = demand.of(box.line)
                made[batch.queen, batch.hive is not None] += 1
                made[demand.lines[box.line].swap] += 1
    for donors in (d for seed in SEEDS for d in case(seed).donors[0]):
        for o in donors.options:
            ways[o.way, o.found, o.off_s > 0, o.mixed > 0, o.give[QUEEN] > 0] += 1
    assert {way for way, *_ in ways} == {"look", "hunt", "supers"}
    assert all(sum(n for key, n in ways.items() if key[i]) >= 10 for i in (1, 2, 3, 4)), ways
    pooled, own = ("raise own", "mated", "parent's"), ("raise own", "own cells", "parent's", "mated")
    assert {(way, False) for way in pooled} | {(way, True) for way in own} | {"food comb", "feeder"} <= set(
        made
    )
