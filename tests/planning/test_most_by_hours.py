"""How many splits the hours for opening hives leave room for: days worked out by hand, and never below the
exact answer."""

from collections.abc import Callable
from dataclasses import replace
from random import Random

import pytest

from routeplan.operation.settings import Limits, Settings
from routeplan.operation.world import Crew, Hive, Operation, Order
from routeplan.planning import most_by_hours as by_hours
from routeplan.planning.case import case_of
from routeplan.planning.limits import Clock
from routeplan.planning.most_by_hours import most_by_hours
from routeplan.planning.possible import most_possible
from tests.oracle import exact
from tests.planning.make import DAY_ALONE, ONE, east, hive, one_kit_hive, operation, yard
from tests.practice import practice_operation
from tests.seeded import rich_operation, small_operation, two_pass_operation

SECONDS = 20.0
MAKING_S, ON_S = 300 + 3 * 90 + 30 + 180, 300 + 180 + 10 * 78 + 600
"""A hive opened, three frames and one shake out, the box made up and loaded: 780 s. Packed up, ten kilometres
driven, set up again: 1 860 s."""


def in_a_row(yards: int, minutes: int, **more: object) -> Operation:
    """Yards ten kilometres apart, each good for one split, and so many minutes for opening hives; one place
    more to put the splits."""
    made = [yard(f"D{i}", 10.0 * i, room=0, **more.get(f"D{i}", {})) for i in range(1, yards + 1)]  # type: ignore[attr-defined]
    hives = tuple(one_kit_hive("H", y.id) for y in made)
    crew = Crew("pair", east(0.0), hives_from_min=660, hives_until_min=660 + minutes)
    orders = (Order("A", 4, ONE.name, "mated"),)
    return operation((*made, yard("Z", -10.0)), hives, orders, crew=crew)


def limit_of(one: Operation, most: int = 9) -> int:
    """The limit on all splits of an operation."""
    case = case_of(one)
    return most_by_hours(case, {}, tuple(case.demand.asked), most, Clock(SECONDS))


@pytest.fixture(autouse=True)
def _ask_always(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ask also where there is time to spare."""
    monkeypatch.setattr(by_hours, "TO_SPARE", 0.0)


@pytest.mark.parametrize("splits", [1, 2, 3])
def test_yards_in_a_row(splits: int) -> None:
    needed_min = (splits * MAKING_S + (splits - 1) * ON_S) / 60
    assert needed_min == int(needed_min)
    assert limit_of(in_a_row(4, int(needed_min))) == splits
    assert limit_of(in_a_row(4, int(needed_min) - 1)) == splits - 1


def test_a_yard_that_closes_before_it_can_be_reached_makes_none() -> None:
    """Hives are opened from 11:00; the work takes 13 minutes and packing up 5, so by 11:18."""
    assert limit_of(in_a_row(1, 60, D1={"closes_min": 678})) == 1
    assert limit_of(in_a_row(1, 60, D1={"closes_min": 677})) == 0


def test_two_yards_of_the_same_early_hours_cannot_both_be_first() -> None:
    """The second is packed up 13 + 31 + 13 + 5 minutes after 11:00."""
    early = {"closes_min": 660 + 62}
    assert limit_of(in_a_row(2, 70, D1=early, D2=early)) == 2
    early = {"closes_min": 660 + 61}
    assert limit_of(in_a_row(2, 70, D1=early, D2=early)) == 1


def test_a_yard_that_opens_late_makes_none() -> None:
    """From 11:30 set up for ten minutes, then the work, by 11:53."""
    late = {"opens_min": 690}
    assert limit_of(in_a_row(1, 53, D1=late)) == 1
    assert limit_of(in_a_row(1, 52, D1=late)) == 0


def test_splits_that_cannot_be_brought_home_before_the_day_ends() -> None:
    """From D1 twenty kilometres to Z, set up, placed, and ten home: 1 740 + 300 + 300 + 960 s = 55 min."""
    one = in_a_row(1, 60)
    ends = 660 + 13 + 5 + 55
    assert limit_of(replace(one, crew=replace(one.crew, end_min=ends))) == 1
    assert limit_of(replace(one, crew=replace(one.crew, end_min=ends - 1))) == 0


def one_donor_a_split(hives: tuple[Hive, ...]) -> int:
    """The limit on splits of one yard where all frames of a split come from one hive."""
    settings: Settings = replace(DAY_ALONE, limits=Limits(donors_per_split=1))
    orders = (Order("A", 2, ONE.name, "mated"),)
    return limit_of(operation((yard("Y", 10.0), yard("Z", -10.0)), hives, orders, settings=settings))


def test_boxes_that_cannot_be_filled_are_not_counted() -> None:
    """One hive has brood to give and no food, the other food and no brood: together their frames would do."""
    without_food = hive("B", food=2.0)
    without_brood = hive("F", capped=2.0, open=1.0)
    assert one_donor_a_split((without_food, without_brood)) == 0
    assert one_donor_a_split((without_food, without_brood, one_kit_hive("H", "Y"))) == 1


def test_what_others_are_fixed_at_takes_its_time() -> None:
    """Three yards fit: with one made first, two are left."""
    one = in_a_row(4, (3 * MAKING_S + 2 * ON_S) // 60)
    orders = (Order("A", 1, ONE.name, "mated", priority=1), Order("B", 3, ONE.name, "mated", priority=2))
    case = case_of(replace(one, orders=orders))
    assert most_by_hours(case, {}, (1,), 9, Clock(SECONDS)) == 1
    assert most_by_hours(case, {1: 1}, (2,), 9, Clock(SECONDS)) == 2
    assert most_by_hours(case, {}, (2,), 9, Clock(SECONDS)) == 3
    assert most_by_hours(case, {}, (1, 2), 9, Clock(SECONDS)) == 3


def test_nothing_is_asked_where_there_is_time_to_spare(monkeypatch: pytest.MonkeyPatch) -> None:
    """As guessed: three yards, one after the other, take 101 minutes; that is under half of 203."""
    monkeypatch.undo()
    assert round((3 * MAKING_S + 2 * ON_S) / 60) == 101
    closed = {"D1": {"closes_min": 660}}
    assert limit_of(in_a_row(3, 203, **closed), most=3) == 3
    assert limit_of(in_a_row(3, 202, **closed), most=3) == 2


def hurried(one: Operation, seed: int) -> Operation:
    """The same with little time for opening hives."""
    minutes = Random(f"hurried/{seed}").choice((25, 40, 55, 75, 100, 140))
    return replace(one, crew=replace(one.crew, hives_until_min=one.crew.hives_from_min + minutes))


def with_small_truck(seed: int) -> Operation:
    """A tiny one with one to three places on the truck and one to four empties on each."""
    rng, one = Random(f"truck/{seed}"), (rich_operation if seed % 2 else small_operation)(seed, tiny=True)
    crew = replace(one.crew, places=rng.randint(1, 3), empties_per_place=rng.randint(1, 4))
    return replace(one, crew=crew)


def compared(make: Callable[[int], Operation], seeds: range) -> tuple[list[str], int, int, int]:
    """Limits below the exact answer, limits compared, those that are met, and those below what is possible
    whatever the time."""
    below, count, met, sharper = [], 0, 0, 0
    for seed in seeds:
        one = hurried(make(seed), seed)
        truth = exact.best(one, 8.0)
        if isinstance(truth, exact.Unproved):
            continue
        case, fixed = case_of(one), dict[int, int]()
        possible = dict(most_possible(case, 5.0).totals)
        for priority, n in truth.placed:
            limit = most_by_hours(case, fixed, (priority,), case.demand.asked[priority], Clock(SECONDS))
            if limit < n:
                below.append(f"seed {seed}, priority {priority}: {limit} for {n}")
            count, met, sharper = count + 1, met + (limit == n), sharper + (limit < possible[priority])
            fixed = {**fixed, priority: n}
        in_all = most_by_hours(case, {}, tuple(fixed), case.size, Clock(SECONDS))
        if in_all < sum(fixed.values()):
            below.append(f"seed {seed}, in all: {in_all} for {truth.placed}")
    return below, count, met, sharper


DAYS: dict[str, Callable[[int], Operation]] = {
    "small": lambda seed: small_operation(seed, tiny=True),
    "rich": lambda seed: rich_operation(seed, tiny=True),
    "two passes": two_pass_operation,
    "small truck": with_small_truck,
}


@pytest.mark.parametrize("kind", DAYS)
def test_never_below_the_exact_answer(kind: str) -> None:
    below, count, met, sharper = compared(DAYS[kind], range(16))
    assert not below, "\n".join(below)
    assert count >= 16
    assert met >= count // 2
    assert sharper >= (0 if kind == "two passes" else 1)


@pytest.mark.long
@pytest.mark.parametrize("kind", DAYS)
def test_never_below_the_exact_answer_on_hundreds(kind: str) -> None:
    below, count, met, sharper = compared(DAYS[kind], range(200))
    assert not below, "\n".join(below)
    assert count >= 200
    assert met >= count // 2
    assert sharper >= 10


@pytest.mark.long
def test_a_practical_day_of_small_yards_is_proved() -> None:
    """As many splits of each priority as a plan is known for; frames alone would do for all 25."""
    case = case_of(practice_operation(40, 1000, 25, 1, "small yards"))
    assert most_possible(case, 20.0).totals == ((1, 16), (2, 9))
    assert most_by_hours(case, {}, (1,), 16, Clock(120.0)) == 12
    assert most_by_hours(case, {1: 12}, (2,), 9, Clock(120.0)) == 1


def fewest_stops(nest: int, places: int, to_make: int) -> int | None:
    """The same by trying every number made at each stop; all full boxes are placed before the next."""
    if not to_make:
        return 0
    after = [
        fewest_stops(nest, places, to_make - q)
        for q in range(1, to_make + 1)
        if nest * q + to_make - q <= nest * places
    ]
    found = [n for n in after if n is not None]
    return 1 + min(found) if found and to_make <= nest * places else None


@pytest.mark.parametrize(("nest", "places"), [(1, 3), (2, 2), (3, 3), (4, 2)])
def test_stops_that_a_truck_needs(nest: int, places: int) -> None:
    one = in_a_row(1, 60)
    one = replace(one, orders=(Order("A", 9, ONE.name, "mated"),))
    case = case_of(replace(one, crew=replace(one.crew, places=places, empties_per_place=nest)))
    for n in range(1, 10):
        assert by_hours.stops_for(case, n) == fewest_stops(nest, places, n)


def test_what_the_truck_does_not_hold_is_made_at_more_stops_and_placed_between() -> None:
    """One yard makes three splits in a row. With two places, each for a full box or two empties, one is made
    and placed before the other two: the yard is packed up and set up again (900 s), the first split placed
    (300 s)."""
    hives = tuple(one_kit_hive(name, "D") for name in "HIJ")
    orders = (Order("A", 3, ONE.name, "mated"),)

    def limit(seconds: int, places: int | None) -> int:
        until = 660 + seconds // 60
        crew = Crew("pair", east(0.0), hives_from_min=660, hives_until_min=until, places=places)
        yards = (yard("D", 10.0, room=0), yard("Z", -10.0))
        return limit_of(operation(yards, hives, orders, crew=replace(crew, empties_per_place=2)))

    assert limit(3 * MAKING_S, None) == 3
    assert limit(3 * MAKING_S, 2) == 2
    assert limit(3 * MAKING_S + 900 + 300, 2) == 3
    assert limit(3 * MAKING_S + 900 + 240, 2) == 2
