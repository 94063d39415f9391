"""Counts on the day, by stage arithmetic: egg 3 days, open larva 6, capped 12 (many handbooks)."""

from datetime import timedelta

import pytest

from routeplan.colony.counts import count_on, is_laying
from routeplan.operation.world import Count, Hive
from tests.planning.make import DAY, hive

CELLS = 1000.0
"""Cells of brood a day of laying fills, taken as one frame here: a queen who lays 1,000 eggs a day."""


def by_age(days: int, laying: bool) -> tuple[float, float]:
    """Capped and open after `days`, followed cell by cell: 21 ages of 1,000 cells, one day older each day."""
    ages = [1.0] * 21
    for _ in range(days):
        ages = [1.0 if laying else 0.0, *ages[:-1]]
    return sum(ages[9:]), sum(ages[:9])


@pytest.mark.parametrize("laying", [True, False])
@pytest.mark.parametrize("days", range(25))
def test_as_cells_followed_day_by_day(days: int, laying: bool) -> None:
    """A steady brood nest holds 3 : 6 : 12 days of eggs, larvae and capped cells."""
    now = count_on(hive("H", days=days, capped=12.0, open=9.0, eggs_seen=laying), DAY)
    assert (now.capped, now.open) == pytest.approx(by_age(days, laying))


@pytest.mark.parametrize(
    ("day", "open_cells", "capped_cells"),
    [
        (0, 8000, 12000),  # eggs of the last two days and six days of larvae
        (2, 6000, 12000),
        (5, 3000, 12000),
        (8, 0, 12000),
        (10, 0, 10000),
        (14, 0, 6000),
        (19, 0, 1000),
        (20, 0, 0),
    ],
)
def test_brood_after_laying_stops(day: int, open_cells: int, capped_cells: int) -> None:
    """Stage arithmetic for 1,000 eggs a day; the last were laid a day before day 0."""
    now = count_on(hive("H", days=day + 1, capped=12.0, open=9.0, queen="queenless"), DAY)
    assert now.open is not None
    assert now.capped is not None
    assert (now.open * CELLS, now.capped * CELLS) == pytest.approx((open_cells, capped_cells))


def test_brood_falls_by_what_emerges_each_day() -> None:
    """Once laying has stopped, a day's brood emerges each day until none is left after 21 days."""
    brood = [
        count_on(hive("H", days=d, capped=12.0, open=9.0, eggs_seen=False), DAY).brood for d in range(23)
    ]
    assert brood == pytest.approx([float(max(0, 21 - d)) for d in range(23)])


@pytest.mark.parametrize(
    ("count", "capped", "unsealed", "estimated"),
    [
        ({"brood": 7.0}, 4.0, 3.0, True),  # 12 : 9
        ({"brood": 7.0, "capped": 5.0}, 5.0, 2.0, False),
        ({"brood": 7.0, "open": 1.0}, 6.0, 1.0, False),
        ({"brood": 9.0, "capped": 2.0, "open": 1.0}, 2.0, 1.0, False),
        ({"capped": 5.0}, 5.0, None, False),
        ({"open": 5.0}, None, 5.0, False),
        ({}, None, None, False),
    ],
)
def test_kinds_of_brood(
    count: dict[str, float], capped: float | None, unsealed: float | None, estimated: bool
) -> None:
    now = count_on(Hive("H", "Y", "deep", Count(inspected=DAY, **count)), DAY)  # type: ignore[arg-type]
    assert (now.capped, now.open, now.estimated) == (capped, unsealed, estimated)


def test_a_total_alone_is_shared_first_and_then_rolled_forward() -> None:
    known = count_on(hive("H", days=6, capped=4.0, open=3.0, eggs_seen=False), DAY)
    total = count_on(hive("H", days=6, brood=7.0, capped=None, open=None, eggs_seen=False), DAY)
    assert (total.capped, total.open) == pytest.approx((known.capped, known.open))
    # 4 x 6/12 and 6 of the 9 days of open brood sealed: 2 + 2; a third of the open brood is left
    assert (known.capped, known.open) == pytest.approx((4.0, 1.0))


def test_one_kind_alone_is_not_rolled_forward() -> None:
    now = count_on(hive("H", days=6, capped=4.0, open=None), DAY)
    assert (now.capped, now.open, now.brood) == (4.0, None, None)


def test_bees_and_food_are_held_and_no_date_is_today() -> None:
    now = count_on(hive("H", days=9, bees=12.5, food=3.5), DAY)
    assert (now.bees, now.food, now.age_days) == (12.5, 3.5, 9)
    undated = Hive("H", "Y", "deep", Count(capped=6.0, open=3.0))
    later = count_on(undated, DAY + timedelta(days=100))
    assert (later.capped, later.open, later.age_days) == (6.0, 3.0, 0)


@pytest.mark.parametrize(
    ("queen", "eggs_seen", "laying"),
    [
        ("marked", True, True),
        ("unknown", None, True),
        ("unmarked", False, False),
        ("queenless", True, False),
        ("drone layer", None, False),
        ("laying workers", True, False),
    ],
)
def test_laying_as_far_as_the_record_says(queen: str, eggs_seen: bool | None, laying: bool) -> None:
    assert is_laying(hive("H", queen=queen, eggs_seen=eggs_seen)) == laying
