"""What is looked at in the weeks after; days are common practice unless a line says otherwise."""

import pytest

from routeplan.colony.follow_ups import (
    GAVE,
    KINDS,
    MAKE_A_TRIP,
    PARTED,
    QUEEN_LEFT,
    SPLITS,
    broodless_days,
    fewest_trips,
    of_hive,
    of_split,
    sale_days,
)
from routeplan.colony.timeline import timeline
from routeplan.operation.settings import Later, Queens
from routeplan.operation.world import QUEEN_WAYS

QUEENS = Queens()
EVERYTHING = [*SPLITS.values(), GAVE, QUEEN_LEFT, PARTED]


def days(way: str, *kinds: str) -> list[tuple[int, int]]:
    return [(s.first, s.last) for s in SPLITS[way] if s.kind in (kinds or ("look",))]


def test_every_way_to_a_queen_has_follow_ups() -> None:
    assert tuple(SPLITS) == QUEEN_WAYS


def test_days_by_way_to_a_queen() -> None:
    """Own queen 7, (14), closed 15 to 25, 28, (35); cell the day after, eggs 18 to 21; caged 4 and 10."""
    assert days("raise own") == [(7, 7), (28, 28)]
    assert days("raise own", "doubt") == [(14, 14), (35, 35)]
    assert days("raise own", "closed") == [(15, 25)]
    assert days("ripe cell", "cell", "look") == [(1, 1), (18, 21)]
    assert days("mated") == [(4, 4), (10, 10)]
    assert [(s.first, s.last) for s in GAVE] == [(5, 7)]


def test_ready_to_sell() -> None:
    """Own brood in all stages: own queen 42 days, cell 30, mated 21 to 25."""
    assert {way: sale_days(way)[0] for way in QUEEN_WAYS} == {
        "raise own": 42,
        "ripe cell": 30,
        "mated": 21,
        "parent's": 21,
        "own cells": 30,
    }
    assert sale_days("mated") == (21, 25)


@pytest.mark.parametrize("way", QUEEN_WAYS)
def test_eggs_are_looked_for_when_they_can_be_there(way: str) -> None:
    """The timeline and the looks agree: the first look for eggs is no earlier than the first eggs can be."""
    times = timeline(way, QUEENS)
    eggs = next(s for s in SPLITS[way] if s.look.startswith("eggs?"))
    assert times.eggs[0] <= eggs.last
    assert eggs.last >= sum(times.eggs) / 2 - 1
    if times.emerges and times.flies:
        cells = [s for s in SPLITS[way] if "count the queen cells" in s.look]
        assert all(s.last < times.emerges[0] for s in cells)
        for closed in (s for s in SPLITS[way] if s.kind == "closed"):
            assert closed.first <= times.flies[0] <= closed.last


@pytest.mark.parametrize("way", QUEEN_WAYS)
def test_nothing_is_done_on_days_on_which_nobody_opens_it(way: str) -> None:
    steps = of_split(way, QUEENS)
    shut = [s for s in steps if s.kind == "closed"]
    assert all(s.first > c.last or s.last < c.first for s in steps for c in shut if s is not c)


def test_every_look_says_what_to_do_if_it_is_not_so() -> None:
    for steps in EVERYTHING:
        assert list(steps) == sorted(steps, key=lambda s: s.first)
        for step in steps:
            assert step.kind in KINDS
            assert step.first <= step.last
            assert step.if_not or step.kind == "closed"


def test_the_trips_that_are_counted_are_those_the_looks_need() -> None:
    """The default of `later.trips` is what the way with the most looks needs."""
    need = {way: fewest_trips(days(way, *MAKE_A_TRIP)) for way in QUEEN_WAYS}
    assert need == {"raise own": 3, "ripe cell": 2, "mated": 3, "parent's": 2, "own cells": 2}
    assert max(need.values()) == Later().trips


def test_looks_on_one_day_share_a_trip() -> None:
    assert fewest_trips([]) == 0
    assert fewest_trips([(7, 7), (5, 7), (18, 21), (21, 25), (28, 28)]) == 3
    assert fewest_trips([(1, 9), (2, 3), (4, 5)]) == 2


def test_the_days_for_a_treatment_are_those_without_capped_brood() -> None:
    """The last worker of the old brood is out on day 21; eggs are capped on their ninth day."""
    first, last = broodless_days("raise own", QUEENS) or (0, 0)
    assert first == 21
    assert last == int(timeline("raise own", QUEENS).eggs[0]) + 8
    assert broodless_days("mated", QUEENS) is None
    assert broodless_days("parent's", QUEENS) is None
    for steps in (of_split("raise own", QUEENS), of_hive(True, False, QUEENS)):
        (mites,) = [s for s in steps if s.kind == "mites"]
        assert (mites.first, mites.last) == (26, last)
        assert "label and local law come first" in mites.look
        assert mites.first <= 28 <= mites.last  # the look for eggs falls into it
    assert not [s for s in of_split("mated", QUEENS) if s.kind == "mites"]


def test_hives_that_gave() -> None:
    assert of_hive(False, False, QUEENS) == GAVE
    assert of_hive(False, True, QUEENS) == PARTED
    assert [s.first for s in of_hive(True, True, QUEENS)] == [7, 14, 15, 26, 28, 35]
