"""Counts on the day, by hand. Stage days 9 open and 12 capped are common practice."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from routeplan.audit.case import Case
from routeplan.audit.could import most_alone
from routeplan.audit.hives import eggs_fault, on_the_day, queen_mothers
from routeplan.audit.roads import Roads
from routeplan.operation.world import Count, Hive
from tests.audit.edit import with_count, with_hive, with_settings
from tests.tiny import DAY, tiny_operation, tiny_plan


def _hive(days: int, queen: str = "marked", **count: float | bool | None) -> Hive:
    return Hive("H", "Y", "deep", Count(inspected=DAY - timedelta(days=days), **count), queen)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("days", "laying", "capped", "unsealed"),
    [
        (0, True, 6.0, 4.5),
        (4, True, 6 * 8 / 12 + 4.5 / 9 * 4, 4.5),  # 4 + 2
        (12, True, 6.0, 4.5),  # all of the old capped brood out, 12 days' worth sealed
        (20, True, 6.0, 4.5),
        (3, False, 6 * 9 / 12 + 1.5, 3.0),  # 4.5 + 1.5; 4.5 x 6/9
        (9, False, 6 * 3 / 12 + 4.5, 0.0),
        (12, False, 4.5, 0.0),
        (14, False, 4.5 / 9 * 7, 0.0),  # sealed on days 1 to 9, out from day 13
        (30, False, 0.0, 0.0),
    ],
)
def test_rolled_forward(days: int, laying: bool, capped: float, unsealed: float) -> None:
    strength = on_the_day(_hive(days, bees=10.0, capped=6.0, open=4.5, food=3.0, eggs_seen=laying), DAY)
    assert strength.capped == pytest.approx(capped)
    assert strength.open == pytest.approx(unsealed)
    assert (strength.bees, strength.food, strength.age) == (10.0, 3.0, days)


def test_a_queen_that_does_not_lay() -> None:
    strength = on_the_day(_hive(3, "queenless", capped=6.0, open=4.5, eggs_seen=True), DAY)
    assert strength.open == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("count", "capped", "unsealed"),
    [
        ({"brood": 7.0}, 4.0, 3.0),  # 12 : 9
        ({"brood": 7.0, "capped": 5.0}, 5.0, 2.0),
        ({"brood": 7.0, "open": 1.0}, 6.0, 1.0),
        ({"brood": 9.0, "capped": 2.0, "open": 1.0}, 2.0, 1.0),
        ({"capped": 5.0}, 5.0, None),
        ({"open": 5.0}, None, 5.0),
        ({}, None, None),
    ],
)
def test_kinds_of_brood(count: dict[str, float], capped: float | None, unsealed: float | None) -> None:
    strength = on_the_day(_hive(0, **count), DAY)
    assert (strength.capped, strength.open) == (capped, unsealed)
    known = capped is not None and unsealed is not None
    assert strength.brood == (capped + unsealed if known else None)  # type: ignore[operator]


def test_no_date_counts_as_today() -> None:
    hive = replace(_hive(0), count=Count(capped=6.0, open=3.0))
    assert on_the_day(hive, DAY).age == 0
    assert on_the_day(hive, date(2027, 12, 1)).capped == 6.0


def test_queen_mothers_flagged_else_above_the_median() -> None:
    """Brood: A1, A2, B1 7, A3 4.92, A4 4.5 + 1.33 + 4 = 9.83, B2 4.5 + 1.67 + 5 = 11.17: median 7."""
    operation = tiny_operation()
    assert queen_mothers(operation) == {("Borehole", "B1")}
    operation = with_hive(operation, "B1", queen_mother=False)
    assert queen_mothers(operation) == {("Acacia", "A4"), ("Borehole", "B2")}
    assert queen_mothers(with_hive(operation, "A4", temper="bad")) == {("Borehole", "B2")}
    unknown = replace(operation, hives=tuple(replace(h, count=Count()) for h in operation.hives))
    assert queen_mothers(unknown) == frozenset()


def test_eggs_must_be_seen_and_fresh() -> None:
    operation = tiny_operation()
    mothers = queen_mothers(operation)

    def fault(**changes: object) -> str | None:
        changed = with_count(operation, "B1", **changes)
        return eggs_fault(next(h for h in changed.hives if h.id == "B1"), changed, mothers)

    assert fault() is None
    assert fault(eggs_seen=None) == "no eggs were seen in it"
    assert fault(inspected=DAY - timedelta(days=4)) is None
    assert fault(inspected=DAY - timedelta(days=5)) == "its eggs were seen 5 days ago, at most 4 count"


@pytest.mark.parametrize(
    ("season", "strong", "most"),
    [("build-up", 10.0, 3), ("build-up", 34 / 3, 3), ("build-up", 11.5, 2), ("early spring", 10.0, 2)],
)
def test_a_strong_donor_gives_three(season: str, strong: float, most: int) -> None:
    """A4 rolls forward to 5.83 capped and 4 open, 9.83; with 2 more capped it has 11.33 (7.33 capped)."""
    operation = with_settings(tiny_operation(), "", season=season)
    operation = with_settings(operation, "limits", strong_from_brood=strong)
    operation = with_count(with_hive(operation, "A4", may_give=True), "A4", capped=8.0)
    case = Case(operation, tiny_plan(), Roads(operation))
    assert most_alone(case, ("Acacia", "A4"), "capped") == most


def test_a_hive_at_its_floor_could_give_nothing() -> None:
    operation = tiny_operation()
    case = Case(operation, tiny_plan(), Roads(operation))
    kinds = ("capped", "open", "food", "shake")
    assert [most_alone(case, ("Acacia", "A3"), k) for k in kinds] == [0, 0, 0, 0]
    assert [most_alone(case, ("Acacia", "A1"), k) for k in kinds] == [2, 2, 2, 2]
