"""Small operations written out by hand: hives that give so much, yards along the equator.

On the equator one degree of longitude of WGS-84 is 6 378 137 m x pi / 180, so yards at whole kilometres east
of home are that far apart. All names and numbers are invented.
"""

import math
from dataclasses import fields
from datetime import date, timedelta
from typing import Any

from routeplan.operation.settings import NO_LATER, KeepBack, Settings
from routeplan.operation.world import Count, Crew, Hive, Kit, Operation, Order, Place, Yard

DAY = date(2027, 5, 12)  # a Wednesday
METRES_A_DEGREE = 6_378_137 * math.pi / 180
ONE = Kit("one of each", capped=1, open=1, food=1, shakes=1, drawn=1, fill=1)
COUNTED = {f.name for f in fields(Count)}
DAY_ALONE = Settings(minimum_distance_m=5000.0, later=NO_LATER)
"""5 km apart at least; nothing but the day itself counts."""
NOTHING_KEPT = KeepBack(0.0, 0.0, 0.0, 0.0)


def east(km: float) -> Place:
    """The place so many kilometres east of home on the equator."""
    return Place(0.0, 20.0 + km * 1000 / METRES_A_DEGREE)


def yard(name: str, km: float, **more: Any) -> Yard:
    """A yard so many kilometres east of home."""
    return Yard(name, east(km), **more)


def hive(name: str, yard_id: str = "Y", days: int = 0, **more: Any) -> Hive:
    """A strong hive, looked at so many days ago; `more` changes the hive or its count."""
    count: dict[str, Any] = {"bees": 20.0, "capped": 6.0, "open": 5.0, "food": 6.0, "eggs_seen": True}
    words = {k: v for k, v in more.items() if k not in COUNTED}
    count |= {k: v for k, v in more.items() if k in COUNTED}
    seen = DAY - timedelta(days=days)
    frame = words.pop("frame", "deep")
    return Hive(name, yard_id, frame, Count(inspected=seen, **count), **words)


def one_kit_hive(name: str, yard_id: str, **more: Any) -> Hive:
    """A hive that gives one capped, one open and one food frame and two shakes, and nothing beyond.

    Brood 7 - 2 = 5 and food 4 - 1 - 0.2 = 2.8 are what the usual keep-back leaves to give.
    """
    return hive(name, yard_id, **({"bees": 12.1, "capped": 4.0, "open": 3.0, "food": 4.0} | more))


def operation(
    yards: tuple[Yard, ...],
    hives: tuple[Hive, ...],
    orders: tuple[Order, ...] = (Order("A", 1, ONE.name, "mated"),),
    kits: tuple[Kit, ...] = (ONE,),
    crew: Crew | None = None,
    settings: Settings | None = None,
    **more: Any,
) -> Operation:
    """An operation of these, sorted as one that was read; a pair from 07:00 to 19:00, the day alone."""
    return Operation(
        day=DAY,
        yards=tuple(sorted(yards, key=lambda y: y.id)),
        hives=tuple(sorted(hives, key=lambda h: h.key)),
        orders=tuple(sorted(orders, key=lambda o: o.id)),
        kits=tuple(sorted(kits, key=lambda k: k.name)),
        crew=crew or Crew("pair", east(0.0)),
        settings=settings or DAY_ALONE,
        **more,
    )
