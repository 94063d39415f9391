"""What an order of visits counts beside its clock, by hand.

Home, donors' yard Y 10 km east, new yard Z 20 km east. A drive takes 180 s + 78 s a km: home - Y 960, Y - Z
960, Z - home 1740. One split of each kind from one hive is paid with 5940 s (see test_judge); a trip to Z and
back is 2 x 1740 s of drive and 300 s of set-up: 3780 s.
"""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from routeplan.operation.settings import Costs, Later, Settings, Swaps
from routeplan.operation.world import Hive, Operation, Stock
from routeplan.operation.world import Order as Asked
from routeplan.planning.case import case_of
from routeplan.planning.order import Round, Visit
from tests.planning.make import DAY, DAY_ALONE, ONE, hive, one_kit_hive, operation, yard
from tests.planning.proved import judged

PAID_S, TRIP_S = 5940, 3780
NOW = DAY_ALONE.later


def later(**more: Any) -> Settings:
    """The day alone, and these costs of the weeks after."""
    return replace(DAY_ALONE, later=replace(NOW, **more))


def day(
    settings: Settings = DAY_ALONE,
    hives: tuple[Hive, ...] = (one_kit_hive("H", "Y"),),
    splits: int = 1,
    way: str = "mated",
    stock: tuple[Stock, ...] = (),
    **of_z: Any,
) -> Operation:
    """Home, Y and Z."""
    orders = (Asked("A", splits, ONE.name, way),)
    yards = (yard("Y", 10.0, room=0), yard("Z", 20.0, **of_z))
    return operation(yards, hives, orders, settings=settings, stock=stock)


def round_of(one: Operation, *stops: str) -> Round | None:
    """The best round of an order of visits by names of yards, with a star where hives are opened."""
    index = {y.id: i for i, y in enumerate(one.yards)}
    order = tuple(Visit(index[s.rstrip("*")], s.endswith("*")) for s in stops or ("Y*", "Z"))
    verdict = judged(case_of(one), order)
    assert verdict.sure
    return verdict.found


def told(one: Operation) -> tuple[int, int]:
    """Paid and counted seconds of going to Y and to Z."""
    found = round_of(one)
    assert found is not None
    return found.paid_s, found.counted_s


@pytest.mark.parametrize(
    ("settings", "beside_s"),
    [
        (DAY_ALONE, 0),
        (later(trips=3), 3 * TRIP_S),
        (later(feeding_trips=2), 0),
        (replace(later(feeding_trips=2), dearth=True), 2 * TRIP_S),
        (later(few_splits=4, few_min=10.0), 3 * 600),
        (later(over_min=20.0), 1200),  # NO_LATER: no yard is free of it
        (later(over_min=20.0, most_yards=1), 0),
        (replace(DAY_ALONE, later=Later()), 3 * TRIP_S + 3 * 600),
    ],
)
def test_weeks_after(settings: Settings, beside_s: int) -> None:
    assert told(day(settings)) == (PAID_S, PAID_S + beside_s)
    assert told(day(settings, looked_after=True)) == (PAID_S, PAID_S)


def test_a_flow_of_its_own_feeds_a_yard_in_a_dearth() -> None:
    settings = replace(later(feeding_trips=2), dearth=True)
    assert told(day(settings, flow_until=DAY))[1] == PAID_S
    assert told(day(settings, flow_until=DAY - timedelta(days=1)))[1] == PAID_S + 2 * TRIP_S


def test_strong_hives_rob_where_nothing_flows() -> None:
    """Two with 10 frames of brood or more; looked after or not."""
    hives = (one_kit_hive("H", "Y"), hive("A", "Z", open=4.0), hive("B", "Z"), hive("C", "Z", open=3.9))
    settings = replace(later(robbing_min=3.0), dearth=True)
    for looked_after in (False, True):
        assert told(day(settings, hives, looked_after=looked_after))[1] == PAID_S + 2 * 180
    assert told(day(later(robbing_min=3.0), hives))[1] == PAID_S


def test_a_ripe_cell_goes_in_the_day_after() -> None:
    """No caged queen goes in today, 60 s less."""
    for looked_after in (False, True):
        one = day(way="ripe cell", looked_after=looked_after)
        assert told(one) == (PAID_S - 60, PAID_S - 60 + TRIP_S)


def test_hives_due_anyway_do_not_count() -> None:
    assert told(day(hives=(one_kit_hive("H", "Y", due=True),))) == (PAID_S, PAID_S - 300)


def test_a_fence_is_set_up_where_bears_come() -> None:
    kit = (Stock("fence kit", "", 1),)
    assert told(day(stock=kit, bear=True)) == (PAID_S + 45 * 60, PAID_S + 45 * 60)
    assert told(day(stock=kit, bear=True, fence=True)) == (PAID_S, PAID_S)
    assert round_of(day(bear=True)) is None


def test_a_yard_that_gets_a_fence_is_placed_at_at_one_visit() -> None:
    """Three splits and two places on the truck: one goes ahead, which a fence does not allow."""
    hives = tuple(one_kit_hive(name, "Y") for name in "HIJ")
    one = day(hives=hives, splits=3, stock=(Stock("fence kit", "", 1),), bear=True)
    one = replace(one, crew=replace(one.crew, places=2))
    assert round_of(one, "Y*", "Z", "Y*", "Z") is None
    fenced = replace(one, yards=(one.yards[0], replace(one.yards[1], fence=True)))
    assert round_of(fenced, "Y*", "Z", "Y*", "Z") is not None


@pytest.mark.parametrize(("item", "word"), [("food comb", "food_comb"), ("feeder", "feeder")])
def test_a_swap_counts_against(item: str, word: str) -> None:
    """H has no food to spare: one frame less is taken, 90 s, and the swap counts 7 minutes."""
    hungry = (one_kit_hive("H", "Y", food=2.5),)
    settings = replace(DAY_ALONE, swaps=replace(Swaps(minutes=7.0), **{word: True}))
    there = (Stock(item, "deep" if item == "food comb" else "", 1),)
    assert told(day(settings, hungry, stock=there)) == (PAID_S - 90, PAID_S - 90 + 420)
    assert round_of(day(settings, hungry)) is None
    assert round_of(day(DAY_ALONE, hungry, stock=there)) is None


def test_money_counts_roads_and_what_is_used_up() -> None:
    """0.50 a km and 20 an hour: a metre is worth 0.09 s; 13 + 13 + 26 km of road are 4680 s.

    A queen at 30 and five combs at 2 are worth 40 / 20 hours, 7200 s; three trips 3 x 52 km more, 3 x 4680 s.
    """
    costs = Costs(per_km=0.5, per_hour=20.0, queen=30.0, comb=2.0)
    money = replace(DAY_ALONE, objective="money", costs=costs)
    assert told(day(money)) == (PAID_S, PAID_S + 4680 + 7200)
    trips = replace(money, later=replace(NOW, trips=3))
    assert told(day(trips)) == (PAID_S, PAID_S + 4680 + 7200 + 3 * (TRIP_S + 4680))
    sugar = replace(money, costs=replace(costs, sugar_kg=1.5, sugar_per_split_kg=4.0), dearth=True)
    assert told(day(sugar))[1] == PAID_S + 4680 + 7200 + 1080  # 4 kg at 1.50 are worth 0.3 hours
    assert told(day(replace(money, objective="minutes"))) == (PAID_S, PAID_S)
