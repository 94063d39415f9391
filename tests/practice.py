"""Seeded operations as practical days have them: everything that counts, at once. All numbers are invented.

Three kits, four ways to a queen, opening hours at a third of the yards, hives opened from 11:00 to 16:00, a
truck of 16 places, follow-ups in what counts, yards looked after or due anyway, excluders and supers.
"""

from dataclasses import replace
from datetime import timedelta
from random import Random

from routeplan.operation.settings import Costs, Later, Settings
from routeplan.operation.world import Hive, Kit, Operation, Order, Stock, Yard
from tests.seeded import DAY, bench_operation

PRACTICE_REGIMES = (
    "small yards",
    "tight room",
    "four clusters",
    "15 km",
    "tight places",
    "no flow",
    "money",
)
"""What is hard about a day at 40 yards: many yards of one to three kits each, three yards in ten with room,
yards in four clusters, a minimum distance of 15 km, 8 places on the truck, a dearth, least money."""

AS_BENCHED = ("small yards", "tight room", "four clusters", "15 km")
HOURS = ((480, 780), (660, 900), (780, 1140))
"""Opening hours of the yards that have any, minutes after midnight."""

KITS = (
    Kit("five-frame", capped=2, open=1, food=2, shakes=2),
    Kit("four-frame", capped=2, open=1, food=1, shakes=2, drawn=1),
    Kit("three-frame", capped=1, open=1, food=1, shakes=2, fill=2),
)
MONEY = Costs(
    currency="$",
    per_km=0.7,
    per_hour=100.0,
    queen=35.0,
    cell=8.0,
    comb=3.0,
    sugar_kg=1.2,
    sugar_per_split_kg=4.0,
)


def practice_operation(
    yards: int, hives: int, splits: int, seed: int = 1, regime: str | None = None
) -> Operation:
    """A practical day of one of the sizes of tests/seeded.py, a crew for fourteen hours.

    Four people for up to 20 splits, six for more: so many a crew can usually make in the five hours.

    `regime` is one of PRACTICE_REGIMES. Raises ValueError for any other.
    """
    if regime is not None and regime not in PRACTICE_REGIMES:
        raise ValueError(f"{regime!r} is none of {', '.join(PRACTICE_REGIMES)}")
    base = bench_operation(yards, hives, splits, seed, regime if regime in AS_BENCHED else None)
    rng = Random(f"practice/{yards}/{hives}/{splits}/{seed}")
    orders = _orders(splits)
    return replace(
        base,
        yards=tuple(_yard(rng, y) for y in base.yards),
        hives=tuple(_hive(rng, h) for h in base.hives),
        orders=orders,
        kits=KITS,
        crew=replace(
            base.crew,
            people=4 if splits <= 20 else 6,
            hives_from_min=660,
            hives_until_min=960,
            places=8 if regime == "tight places" else 16,
        ),
        stock=_stock(orders),
        settings=Settings(
            minimum_distance_m=base.settings.minimum_distance_m,
            later=Later(),
            dearth=regime == "no flow",
            objective="money" if regime == "money" else "minutes",
            costs=MONEY if regime == "money" else Costs(),
        ),
    )


def _yard(rng: Random, yard: Yard) -> Yard:
    opens, closes = rng.choice(HOURS) if rng.random() < 1 / 3 else (None, None)
    return replace(
        yard,
        opens_min=opens,
        closes_min=closes,
        carry_min=rng.choice((0.0, 0.0, 0.5, 1.0)),
        looked_after=rng.random() < 0.15,
        due=rng.random() < 0.15,
    )


def _hive(rng: Random, hive: Hive) -> Hive:
    return replace(
        hive,
        queen_mother=rng.random() < 1 / 8,
        excluder=hive.supers > 0 and rng.random() < 0.6,
        due=rng.random() < 0.1,
    )


def _orders(splits: int) -> tuple[Order, ...]:
    """Bought queens and cells go first; about one split in ten takes the parent's queen along."""
    few, third = max(1, splits // 10), splits // 3
    return (
        Order("A", splits - 2 * third - few, "three-frame", "raise own", priority=2),
        Order("B", third, "five-frame", "ripe cell", priority=1),
        Order("C", third, "four-frame", "mated", priority=1),
        Order("D", few, "four-frame", "parent's", priority=2),
    )


def _stock(orders: tuple[Order, ...]) -> tuple[Stock, ...]:
    """As many queens and cells as asked for; the cells are ripe the day after the day."""
    counts = {o.queen: o.count for o in orders}
    return (
        Stock("mated queen", "", counts["mated"], until_day=DAY + timedelta(days=3)),
        Stock("ripe cell", "", counts["ripe cell"], DAY + timedelta(days=1), DAY + timedelta(days=2)),
    )
