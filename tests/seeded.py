"""Seeded random operations: the same arguments give the same operation, on every machine.

`bench_operation` makes the sizes and regimes of the benchmark, `mixed_operation` the same sizes with several
kits, ways to a queen and opening hours, `small_operation` the small ones that can be solved exactly, and
`rich_operation` the same with queens, ways to be sure of them, swaps, bears, the weeks after and money. All
numbers are invented; strengths are in the range a beekeeper would write down in May (common practice).
"""

import math
from dataclasses import replace
from datetime import date, timedelta
from random import Random

from routeplan.operation.settings import (
    NO_LATER,
    SEASONS,
    Costs,
    Excluder,
    KeepBack,
    Later,
    Limits,
    Settings,
    ShutIn,
    Sure,
    Swaps,
    WorkMinutes,
)
from routeplan.operation.world import (
    Count,
    Crew,
    Hive,
    Kit,
    Operation,
    Order,
    Pair,
    Place,
    Stock,
    Weather,
    Yard,
)

DAY = date(2027, 5, 15)
CENTRE = Place(45.0, -93.0)
SPAN_KM = 60.0
"""Side of the square the yards of the benchmark lie in; home is its middle."""

SIZES = ((12, 150, 20), (20, 300, 25), (40, 1000, 25), (60, 2400, 25), (100, 4000, 25))
"""(yards, hives, splits asked for) of the benchmark."""

REGIMES = (
    "small yards",
    "tight room",
    "15 km",
    "four clusters",
    "no set-up",
    "16 places",
    "600 min day",
    "no plan",
)
"""What the regimes change, at 40 yards: see `_regime`."""

LOOKED_OVER = Sure(hunt=False, supers=False)
"""Every leaving frame is looked over: one way to be sure of the queen, so the times are simple."""

ONE_OF_EACH = Kit("one of each", capped=1, open=1, food=1, shakes=1, drawn=1, fill=1)


def _at(east_km: float, north_km: float) -> Place:
    lat = CENTRE.lat + north_km / 111.13
    lon = CENTRE.lon + east_km / (111.32 * math.cos(math.radians(CENTRE.lat)))
    return Place(round(lat, 5), round(lon, 5))


def _scatter(rng: Random, count: int, span_km: float) -> list[Place]:
    half = span_km / 2
    return [_at(rng.uniform(-half, half), rng.uniform(-half, half)) for _ in range(count)]


def _clusters(rng: Random, count: int, span_km: float) -> list[Place]:
    middles = [(sx * span_km / 3, sy * span_km / 3) for sx in (-1, 1) for sy in (-1, 1)]
    near = [middles[i % 4] for i in range(count)]
    return [_at(x + rng.gauss(0, 3.0), y + rng.gauss(0, 3.0)) for x, y in near]


def _hive(
    rng: Random, yard: str, name: str, gives: bool, frame: str = "deep", most_brood: float = 12.0
) -> Hive:
    """A colony; `gives` sets whether it is strong enough to give brood and a food frame."""
    brood = rng.uniform(6.5, most_brood) if gives else rng.uniform(2.0, 5.0)
    bees = brood + rng.uniform(4.5, 7.0) if gives else rng.uniform(4.0, 8.0)
    capped = brood * rng.uniform(0.5, 0.62)
    return Hive(
        id=name,
        yard=yard,
        frame=frame,
        queen=rng.choice(("marked", "unmarked", "unknown")),
        temper=rng.choice(("calm", "calm", "normal", "normal", "bad")),
        boxes=2 if brood > 9 else 1,
        supers=rng.randint(0, 2),
        count=Count(
            inspected=DAY - timedelta(days=rng.randint(1, 7)),
            bees=round(bees, 1),
            capped=round(capped, 1),
            open=round(brood - capped, 1),
            food=round(rng.uniform(3.2, 6.0) if gives else rng.uniform(1.0, 3.0), 1),
            eggs_seen=True,
        ),
    )


def _shares(rng: Random, total: int, parts: int) -> list[int]:
    """Share `total` hives unevenly over `parts` yards, at least one each."""
    weights = [rng.expovariate(1.0) + 0.2 for _ in range(parts)]
    raw = [max(1, int(total * w / sum(weights))) for w in weights]
    while sum(raw) != total:
        i = rng.randrange(parts)
        step = 1 if sum(raw) < total else -1
        raw[i] = max(1, raw[i] + step)
    return raw


def _hives(rng: Random, yard_ids: list[str], total: int, giving: float) -> list[Hive]:
    made = []
    for yard_id, count in zip(yard_ids, _shares(rng, total, len(yard_ids)), strict=True):
        made += [_hive(rng, yard_id, f"{i + 1:03d}", rng.random() < giving) for i in range(count)]
    return made


def _few_hives(rng: Random, yard_ids: list[str]) -> list[Hive]:
    """One to three hives a yard that can give a kit, and one to three that cannot."""
    made = []
    for yard_id in yard_ids:
        strong, weak = rng.randint(1, 3), rng.randint(1, 3)
        made += [
            _hive(rng, yard_id, f"{i + 1:03d}", i < strong, most_brood=9.5) for i in range(strong + weak)
        ]
    return made


def bench_operation(
    yards: int, hives: int, splits: int, seed: int = 1, regime: str | None = None
) -> Operation:
    """An operation of the benchmark: one kit, mated queens, a cool day, a crew of four for fourteen hours.

    About 35 % of the hives give nothing; 85 % of the yards have room for 3 to 10 splits, the others for none.
    `regime` is one of REGIMES. Raises ValueError for any other.
    """
    if regime is not None and regime not in REGIMES:
        raise ValueError(f"{regime!r} is none of {', '.join(REGIMES)}")
    rng = Random(f"{yards}/{hives}/{splits}/{seed}")
    ids = [f"Y{i + 1:03d}" for i in range(yards)]
    scatter = _clusters if regime == "four clusters" else _scatter
    places = scatter(rng, yards, SPAN_KM)
    room_share = 0.3 if regime == "tight room" else 0.85
    made = tuple(
        Yard(i, p, room=rng.randint(3, 10) if rng.random() < room_share else 0, health="clear")
        for i, p in zip(ids, places, strict=True)
    )
    stock = _few_hives(rng, ids) if regime == "small yards" else _hives(rng, ids, hives, 0.65)
    operation = Operation(
        day=DAY,
        yards=made,
        hives=tuple(stock),
        orders=(Order("A", splits, ONE_OF_EACH.name, "mated"),),
        kits=(ONE_OF_EACH,),
        crew=Crew("crew", CENTRE, 4, 6 * 60, 20 * 60, 6 * 60, 20 * 60),
        weather=(Weather(DAY, None, 16.0),),
        settings=Settings(minimum_distance_m=5000.0, sure=LOOKED_OVER, later=NO_LATER),
    )
    return _regime(operation, regime)


def _regime(operation: Operation, regime: str | None) -> Operation:
    settings = operation.settings
    if regime == "15 km":
        return replace(operation, settings=replace(settings, minimum_distance_m=15_000.0))
    if regime == "no plan":
        return replace(operation, settings=replace(settings, minimum_distance_m=100_000.0))
    if regime == "no set-up":
        minutes = WorkMinutes(set_up_hives=0.0, leave_hives=0.0, set_up_placing=0.0, leave_placing=0.0)
        return replace(operation, settings=replace(settings, minutes=minutes))
    if regime == "16 places":
        return replace(operation, crew=replace(operation.crew, places=16))
    if regime == "600 min day":
        crew = replace(operation.crew, people=2, start_min=420, end_min=1020)
        crew = replace(crew, hives_from_min=420, hives_until_min=1020)
        orders = tuple(replace(o, count=30) for o in operation.orders)
        return replace(operation, crew=crew, orders=orders)
    return operation


MIXED_KITS = (
    Kit("five-frame", capped=2, open=1, food=2, shakes=2),
    Kit("four-frame", capped=2, open=1, food=1, shakes=2, drawn=1),
    Kit("three-frame", capped=1, open=1, food=1, shakes=2, fill=2),
)


def mixed_operation(yards: int, hives: int, splits: int, seed: int = 1) -> Operation:
    """The sizes of the benchmark with three kits and ways to a queen, hours at a third of the yards.

    Hives may be opened from 11:00 to 16:00; one hive in eight is a queen mother.
    """
    base = bench_operation(yards, hives, splits, seed)
    rng = Random(f"mixed/{yards}/{hives}/{splits}/{seed}")
    hours = ((480, 780), (660, 900), (780, 1140))
    made = []
    for yard in base.yards:
        opens, closes = rng.choice(hours) if rng.random() < 1 / 3 else (None, None)
        made.append(
            replace(yard, opens_min=opens, closes_min=closes, carry_min=rng.choice((0.0, 0.0, 0.5, 1.0)))
        )
    third = splits // 3
    orders = (
        Order("A", splits - 2 * third, "three-frame", "raise own", priority=2),
        Order("B", third, "four-frame", "ripe cell", priority=1),
        Order("C", third, "five-frame", "mated", priority=1),
    )
    return replace(
        base,
        yards=tuple(made),
        hives=tuple(replace(h, queen_mother=rng.random() < 1 / 8) for h in base.hives),
        orders=orders,
        kits=MIXED_KITS,
        crew=replace(base.crew, hives_from_min=660, hives_until_min=960, places=30),
    )


SMALL_KITS = (
    Kit("brood and food", capped=1, open=0, food=1, shakes=1, drawn=1, fill=1),
    Kit("one of each", capped=1, open=1, food=1, shakes=1, drawn=1, fill=1),
    Kit("three-frame", capped=1, open=1, food=1, shakes=2, fill=2),
    Kit("four-frame", capped=2, open=1, food=1, shakes=2, drawn=1),
)


SCARCE = (
    "yields",
    "room",
    "distance",
    "places",
    "shut in",
    "yard hours",
    "hive hours",
    "day",
    "stock",
)
"""What may be short in a scarce small operation: frames, room, yards far enough, and so on."""

SHORT_RIDES_MIN = (50.0, 40.0, 35.0, 30.0)
"""Minutes a split may be shut in, below 20, 25, 30 and 35 C, in a small operation that is short of it."""


def is_scarce(seed: int) -> bool:
    """Whether `small_operation(seed)` is one of the scarce ones (three in four)."""
    return seed % 4 != 0


def small_operation(seed: int, tiny: bool = False) -> Operation:
    """A random operation small enough to be solved exactly; `tiny` keeps it small enough to enumerate.

    2 to 5 yards, 4 to 14 hives, 2 to 6 splits (tiny: 2 to 4, 3 to 6, 1 to 4). In a scarce one up to three
    things of SCARCE are short: yards give few kits or have room for 0 to 2, the minimum distance is up to a
    third of the span, or places, time shut in, yard hours, hive hours, the day or the stock bind.
    """
    rng = Random(f"{'tiny' if tiny else 'small'}/{seed}")
    return _small(rng, tiny, frozenset(rng.sample(SCARCE, rng.randint(1, 3)) if is_scarce(seed) else ()))


def _small(rng: Random, tiny: bool, short: frozenset[str]) -> Operation:
    span_km = rng.choice((15.0, 25.0, 40.0))
    yards = _small_yards(rng, rng.choice((2, 3, 3, 4) if tiny else (2, 3, 4, 5, 5, 5)), span_km, short)
    frames = ("deep", "medium") if rng.random() < 0.15 else ("deep",)
    hives = _small_hives(rng, yards, rng.randint(3, 6) if tiny else rng.randint(4, 14), frames, short)
    kits = tuple(rng.sample(SMALL_KITS, 1 if rng.random() < 0.6 else 2))
    splits = rng.randint(1, 4) if tiny else rng.choice((2, 3, 4, 5, 5, 6))
    return Operation(
        day=DAY,
        yards=yards,
        hives=hives,
        orders=_small_orders(rng, kits, yards, splits),
        kits=tuple(sorted(kits, key=lambda k: k.name)),
        crew=_small_crew(rng, short),
        stock=_small_stock(rng, frames) if "stock" in short else (),
        weather=(Weather(DAY, None, rng.choice((14.0, 22.0, 26.0, 31.0))),) if rng.random() < 0.6 else (),
        pairs=_small_pairs(rng, yards) if rng.random() < 0.25 else (),
        settings=_small_settings(rng, span_km, short),
    )


def _small_yards(rng: Random, count: int, span_km: float, short: frozenset[str]) -> tuple[Yard, ...]:
    made = []
    for i, place in enumerate(_scatter(rng, count, span_km)):
        narrow = rng.random() < (0.6 if "yard hours" in short else 0.05)
        opens = rng.choice((540, 600, 690, 780)) if narrow else None
        yard = Yard(
            id=f"Y{i + 1}",
            place=place,
            room=rng.choice((0, 1, 1, 2)) if "room" in short else rng.choice((None, 2, 4, 6)),
            takes_splits=rng.random() < 0.95,
            carry_min=rng.choice((0.0, 0.0, 0.5, 2.0)),
            opens_min=opens,
            closes_min=opens + rng.choice((60, 90, 150)) if opens is not None else None,
            health="suspected" if rng.random() < 0.03 else "clear",
            closed_days=(DAY.isoweekday(),) if rng.random() < 0.03 else (),
        )
        made.append(yard)
    return tuple(made)


def _small_hives(
    rng: Random, yards: tuple[Yard, ...], total: int, frames: tuple[str, ...], short: frozenset[str]
) -> tuple[Hive, ...]:
    few = "yields" in short
    mothers = rng.random() < 0.5
    made = []
    for i in range(min(total, 2 * len(yards)) if few else total):
        yard = yards[i % len(yards)] if few else rng.choice(yards)
        hive = _hive(
            rng, yard.id, f"{i + 1:02d}", rng.random() < 0.9, rng.choice(frames), 9.5 if few else 12.0
        )
        mother = mothers and rng.random() < 0.5
        made.append(replace(hive, count=_blurred(rng, hive.count, few), queen_mother=mother))
    if rng.random() < 0.2:
        made[0] = replace(made[0], queen="queenless")
    return tuple(sorted(made, key=lambda h: h.key))


def _blurred(rng: Random, count: Count, few: bool) -> Count:
    """Some counts are totals only, without eggs looked for, with mites or treated; in some food is short."""
    if few and rng.random() < 0.3:
        count = replace(count, food=round(rng.uniform(1.5, 4.5), 1))
    if rng.random() < 0.15:
        brood = (count.capped or 0.0) + (count.open or 0.0)
        count = replace(count, brood=round(brood, 1), capped=None, open=None)
    if rng.random() < 0.1:
        count = replace(count, eggs_seen=rng.choice((None, False)))
    if rng.random() < 0.1:
        treated = DAY if rng.random() < 0.3 else None
        count = replace(count, mites_per_100=rng.choice((2.0, 5.0)), treated_until=treated)
    return count


def _small_orders(
    rng: Random, kits: tuple[Kit, ...], yards: tuple[Yard, ...], splits: int
) -> tuple[Order, ...]:
    left, made = splits, []
    for name in ("A", "B", "C"):
        kit = rng.choice(kits)
        own_queen = kit.shakes == 2 and rng.random() < 0.4
        order = Order(
            id=name,
            count=left if name == "C" else rng.randint(1, left),
            kit=kit.name,
            queen="raise own" if own_queen else rng.choice(("ripe cell", "mated")),
            from_yard=rng.choice(yards).id if rng.random() < 0.07 else None,
            to_yard=rng.choice(yards).id if rng.random() < 0.07 else None,
            priority=rng.randint(1, 2),
        )
        made.append(order)
        left -= order.count
        if left == 0:
            break
    return tuple(made)


def _small_crew(rng: Random, short: frozenset[str]) -> Crew:
    hives_from, hives_until, start, end = 600, 1020, 420, 1140
    if "hive hours" in short:
        hives_from = rng.choice((600, 720))
        hives_until = hives_from + rng.choice((45, 70, 100, 140))
    if "day" in short:
        start, end = hives_from - 30, hives_from + rng.choice((120, 160, 210))
    return Crew(
        "crew",
        home=_at(rng.uniform(-8, 8), rng.uniform(-8, 8)),
        people=rng.choice((1, 2, 2, 4)),
        start_min=start,
        end_min=end,
        hives_from_min=hives_from,
        hives_until_min=hives_until,
        places=rng.choice((1, 2, 2, 3, 3)) if "places" in short else rng.choice((None, 8)),
        empties_per_place=rng.choice((1, 2, 4)),
    )


def _small_stock(rng: Random, frames: tuple[str, ...]) -> tuple[Stock, ...]:
    made = []
    for frame in frames:
        made.append(Stock("drawn comb", frame, rng.randint(1, 5)))
        made.append(Stock("foundation", frame, rng.randint(8, 24)))
        made.append(Stock("nuc box", frame, rng.randint(2, 5)))
    return tuple(made)


def _small_pairs(rng: Random, yards: tuple[Yard, ...]) -> tuple[Pair, ...]:
    one, other = rng.sample(yards, 2)
    flying_m = rng.choice((None, 2000.0, 9000.0))
    drive_min = rng.choice((5.0, 17.5, 40.0)) if flying_m is None or rng.random() < 0.5 else None
    return (Pair(one.id, other.id, flying_m, drive_min),)


def _small_settings(rng: Random, span_km: float, short: frozenset[str]) -> Settings:
    share = rng.uniform(0.2, 0.33) if "distance" in short else rng.uniform(0.05, 0.15)
    season = "early spring" if rng.random() < 0.1 else "build-up"
    keep_back, brood_per_donor = SEASONS[season]
    minutes = WorkMinutes()
    if rng.random() < 0.2:
        minutes = replace(minutes, set_up_hives=0.0, leave_hives=0.0, set_up_placing=0.0, leave_placing=0.0)
    return Settings(
        minimum_distance_m=round(span_km * 1000 * share, 1),
        season=season,
        keep_back=keep_back,
        limits=Limits(brood_per_donor=brood_per_donor, donors_per_split=rng.choice((1, 2, 2, 3, 3))),
        minutes=minutes,
        shut_in=ShutIn(
            screened=rng.random() < 0.9,
            screened_min=SHORT_RIDES_MIN if "shut in" in short else ShutIn().screened_min,
        ),
        sure=LOOKED_OVER,
        later=NO_LATER,
    )


RICH = ("ways", "due", "parent's", "own right", "swaps", "mixed", "queens", "bears", "after", "money")
"""What may be switched on in a rich small operation, three to seven at once."""


def rich_operation(seed: int, tiny: bool = False) -> Operation:
    """A random operation like a small one, with several things of RICH switched on.

    As small as a small one but for a few more strong hives; 1 to 5 splits, of which one or two may be parts
    of a hive split in its own right. In a scarce one (`is_scarce`) one or two things of SCARCE are short.
    """
    rng = Random(f"rich/{'tiny' if tiny else 'small'}/{seed}")
    short = frozenset(rng.sample(SCARCE, rng.choice((1, 1, 2))) if is_scarce(seed) else ())
    features = rng.sample(RICH, rng.randint(3, 7))
    operation = _fewer(_small(rng, tiny, short), 3 if tiny else rng.choice((3, 4, 5)))
    operation = _stronger(rng, operation, 0.4 if tiny else 0.8)
    for feature in RICH:
        if feature in features:
            operation = _SWITCH_ON[feature](rng, operation)
    return operation


def two_pass_operation(seed: int) -> Operation:
    """A random small operation with excluders in stock, and queens that are long to find.

    In every other one some of SCARCE are short.
    """
    rng = Random(f"excluder/{seed}")
    short = frozenset(rng.sample(SCARCE, rng.choice((1, 1, 2))) if seed % 2 else ())
    operation = _stronger(rng, _fewer(_small(rng, True, short), 3), 1.0)
    hives = tuple(
        h if h.queen == "queenless" else replace(h, queen=rng.choice(("marked", "unmarked", "unknown")))
        for h in operation.hives
    )
    set_up, leave = rng.choice(((6.0, 2.0), (3.0, 0.0), (0.0, 0.0), (2.0, 1.0)))
    minutes = replace(
        operation.settings.minutes,
        set_up_hives=set_up,
        leave_hives=leave,
        set_up_placing=rng.choice((set_up / 2, 0.0)),
        hunt_marked=rng.choice((8.0, 12.0)),
        hunt_unmarked=rng.choice((15.0, 20.0)),
        excluder_first=rng.choice((2.0, 5.0)),
        excluder_second=rng.choice((1.0, 3.0)),
    )
    least = rng.choice((10.0, 20.0, 60.0))
    excluder = Excluder(True, least, least + rng.choice((0.0, 15.0, 60.0, 180.0)))
    look = rng.random() < 0.2
    sure = Sure(look=look, hunt=look or rng.random() < 0.85, supers=rng.random() < 0.5)
    operation = replace(
        operation, hives=hives, stock=(*operation.stock, Stock("excluder", "", rng.randint(1, 4)))
    )
    operation = _set(operation, minutes=minutes, excluder=excluder, sure=sure)
    for feature in ("due", "mixed", "after"):
        if rng.random() < 0.25:
            operation = _SWITCH_ON[feature](rng, operation)
    return operation


def _fewer(operation: Operation, most: int) -> Operation:
    """Ask for so many splits at most."""
    left, made = most, []
    for order in operation.orders:
        count = min(order.count, left)
        left -= count
        if count:
            made.append(replace(order, count=count))
    return replace(operation, orders=tuple(made))


def _stronger(rng: Random, operation: Operation, share: float) -> Operation:
    """Put one more strong hive in a share of the yards, with fresh counts."""
    frames = sorted({h.frame for h in operation.hives})
    more = [
        _hive(rng, y.id, f"{90 + i}", True, rng.choice(frames))
        for i, y in enumerate(operation.yards)
        if rng.random() < share
    ]
    more = [replace(h, queen_mother=rng.random() < 0.5) for h in more]
    return replace(operation, hives=tuple(sorted((*operation.hives, *more), key=lambda h: h.key)))


def _set(operation: Operation, **changes: object) -> Operation:
    """Change settings."""
    return replace(operation, settings=replace(operation.settings, **changes))  # type: ignore[arg-type]


def _rich_ways(rng: Random, operation: Operation) -> Operation:
    hives = tuple(
        replace(
            h,
            queen=h.queen
            if h.queen == "queenless"
            else rng.choice(("marked", "marked", "unmarked", "unknown")),
            supers=rng.randint(0, 2),
            excluder=rng.random() < 0.6,
        )
        for h in operation.hives
    )
    way = rng.random()
    sure = Sure(look=way > 0.3, hunt=way < 0.8, supers=rng.random() < 0.85)
    minutes = replace(
        operation.settings.minutes,
        hunt_marked=rng.choice((1.0, 2.0, 4.0)),
        hunt_unmarked=rng.choice((3.0, 6.0, 10.0)),
        box_lifted=rng.choice((1.5, 3.0)),
    )
    return _set(replace(operation, hives=hives), sure=sure, minutes=minutes)


def _rich_due(rng: Random, operation: Operation) -> Operation:
    hives = tuple(replace(h, due=rng.random() < 0.35) for h in operation.hives)
    yards = tuple(replace(y, due=rng.random() < 0.2) for y in operation.yards)
    return replace(operation, hives=hives, yards=yards)


def _rich_parents(rng: Random, operation: Operation) -> Operation:
    """One order gets the queens of parents; what stays behind then is not always the default."""
    i = rng.randrange(len(operation.orders))
    orders = tuple(replace(o, queen="parent's") if k == i else o for k, o in enumerate(operation.orders))
    parted = rng.choice(
        (operation.settings.parted, KeepBack(7.0, 4.0, 2.0, 3.0), KeepBack(4.0, 1.0, 1.0, 1.0))
    )
    return _set(replace(operation, orders=orders), parted=parted)


def _rich_own_right(rng: Random, operation: Operation) -> Operation:
    """A strong hive, or one with charged cells, is split in its own right: one or two parts."""
    hive = rng.choice(operation.hives)
    charged = rng.random() < 0.4
    brood, age = rng.uniform(6.5, 12.0), rng.randint(1, 6)
    count = replace(
        hive.count,
        inspected=DAY - timedelta(days=age),
        bees=round(brood + rng.uniform(3.0, 9.0), 1),
        brood=None,
        capped=round(brood * 0.55, 1),
        open=round(brood * 0.45, 1),
        food=round(rng.uniform(3.0, 7.0), 1),
        queen_cells="charged" if charged else rng.choice(("none", "cups", "not stated")),
        eggs_seen=rng.random() < 0.8,
    )
    hives = tuple(replace(h, count=count) if h.key == hive.key else h for h in operation.hives)
    words = (
        ("own cells", "own cells", "parent's") if charged else ("raise own", "mated", "ripe cell", "parent's")
    )
    parts = Order(
        id="S",
        count=rng.randint(1, 2),
        kit=rng.choice(operation.kits).name,
        queen=rng.choice(words),
        from_yard=hive.yard,
        priority=rng.randint(1, 2),
        hive=hive.id,
    )
    fewer = _fewer(operation, rng.choice((1, 2, 3)))
    return replace(fewer, hives=hives, orders=(*fewer.orders, parts))


def _rich_swaps(rng: Random, operation: Operation) -> Operation:
    """Food frames are short in most hives; a little stock stands in for them."""
    hives = tuple(
        replace(h, count=replace(h.count, food=round(rng.uniform(1.5, 3.5), 1))) if rng.random() < 0.6 else h
        for h in operation.hives
    )
    frames = sorted({h.frame for h in hives})
    combs = tuple(Stock("food comb", f, rng.randint(1, 2)) for f in frames if rng.random() < 0.8)
    feeders = (Stock("feeder", "", rng.randint(1, 2)),) if rng.random() < 0.6 else ()
    swaps = replace(
        operation.settings.swaps,
        food_comb=rng.random() < 0.75,
        feeder=rng.random() < 0.75,
        minutes=rng.choice((2.0, 5.0, 15.0)),
    )
    return _set(replace(operation, hives=hives, stock=operation.stock + combs + feeders), swaps=swaps)


def _rich_mixed(rng: Random, operation: Operation) -> Operation:
    """Open brood is short in most hives; mixed frames may stand in for it."""
    hives = []
    for hive in operation.hives:
        if hive.count.open is not None and rng.random() < 0.7:
            brood = (hive.count.capped or 0.0) + hive.count.open
            open_ = round(rng.uniform(1.0, 2.6), 1)
            counts = replace(hive.count, open=open_, capped=round(max(0.0, brood - open_), 1))
            hive = replace(hive, count=counts)
        hives.append(hive)
    minutes = operation.settings.swaps.minutes if rng.random() < 0.5 else rng.choice((2.0, 5.0))
    swaps: Swaps = replace(operation.settings.swaps, mixed_open=True, minutes=minutes)
    return _set(replace(operation, hives=tuple(hives)), swaps=swaps)


def _rich_queens(rng: Random, operation: Operation) -> Operation:
    """Bought queens and cells are counted, some to be used on other days."""
    rows: list[Stock] = []
    for item in ("mated queen", "ripe cell"):
        if rng.random() < 0.8:
            rows.append(Stock(item, "", rng.choice((0, 1, 1, 2))))
            first = DAY + timedelta(days=rng.randint(-1, 2))
            rows.append(Stock(item, "", 1, first, first + timedelta(days=rng.randint(0, 2))))
    return replace(operation, stock=operation.stock + tuple(rows))


def _rich_bears(rng: Random, operation: Operation) -> Operation:
    yards = tuple(
        replace(y, bear=rng.random() < 0.5, fence=rng.choice((None, False, False, True)))
        for y in operation.yards
    )
    kits = (Stock("fence kit", "", rng.choice((0, 1, 1, 2))),) if rng.random() < 0.8 else ()
    minutes = replace(operation.settings.minutes, fence=rng.choice((10.0, 45.0)))
    return _set(replace(operation, yards=yards, stock=operation.stock + kits), minutes=minutes)


def _rich_after(rng: Random, operation: Operation) -> Operation:
    """The weeks after count: some yards are looked after, some have a flow, some none."""
    yards = []
    for yard in operation.yards:
        begins, ends = (DAY + timedelta(days=rng.randint(-20, 5)), DAY + timedelta(days=rng.randint(-5, 20)))
        dates = rng.choice(((None, None), (None, None), (begins, None), (None, ends), (begins, ends)))
        looked_after = rng.random() < 0.3
        yards.append(replace(yard, looked_after=looked_after, flow_from=dates[0], flow_until=dates[1]))
    varied = Later(
        trips=rng.randint(0, 3),
        feeding_trips=rng.randint(0, 2),
        few_splits=rng.randint(0, 4),
        few_min=rng.choice((0.0, 5.0, 25.0)),
        most_yards=rng.randint(0, 2),
        over_min=rng.choice((5.0, 60.0)),
        robbing_min=rng.choice((0.0, 3.0, 15.0)),
    )
    limits = replace(operation.settings.limits, strong_from_brood=rng.choice((7.0, 10.0)))
    later = Later() if rng.random() < 0.4 else varied
    dearth = rng.random() < 0.4
    return _set(replace(operation, yards=tuple(yards)), later=later, limits=limits, dearth=dearth)


def _rich_money(rng: Random, operation: Operation) -> Operation:
    """Prices, mostly with money as what counts; a quick long road, so the cheapest is not the quickest."""
    costs = Costs(
        per_km=rng.choice((0.0, 0.3, 0.6, 1.5)),
        per_hour=rng.choice((12.0, 25.0)),
        queen=rng.choice((0.0, 30.0)),
        cell=rng.choice((0.0, 5.0)),
        comb=rng.choice((0.0, 2.5)),
        sugar_kg=rng.choice((0.0, 1.2)),
        sugar_per_split_kg=4.0,
    )
    pairs = operation.pairs
    if not pairs and rng.random() < 0.5:
        one, other = rng.sample(operation.yards, 2)
        pairs = (Pair(one.id, other.id, None, rng.choice((2.0, 6.0, 45.0))),)
    objective = "money" if rng.random() < 0.8 else "minutes"
    return _set(replace(operation, pairs=pairs), costs=costs, objective=objective)


_SWITCH_ON = {
    "ways": _rich_ways,
    "due": _rich_due,
    "parent's": _rich_parents,
    "own right": _rich_own_right,
    "swaps": _rich_swaps,
    "mixed": _rich_mixed,
    "queens": _rich_queens,
    "bears": _rich_bears,
    "after": _rich_after,
    "money": _rich_money,
}
