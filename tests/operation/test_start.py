"""A new operation: empty tables, or the example."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from routeplan.operation.columns import TABLES
from routeplan.operation.findings import errors
from routeplan.operation.read import read_operation
from routeplan.operation.start import start_operation
from routeplan.operation.world import HEALTH_USABLE, QUEEN_WAYS, QUEENS_NOT_LAYING, Operation


def test_empty_tables_hold_every_column_and_lack_only_rows(tmp_path: Path) -> None:
    written = start_operation(tmp_path / "new")
    assert [path.name for path in written] == [*(f"{name}.csv" for name in TABLES), "settings.toml"]
    operation, findings = read_operation(tmp_path / "new", date(2027, 5, 15))
    assert operation is None
    assert [f.table for f in errors(findings)] == ["yards.csv", "hives.csv", "splits.csv"]
    assert all("There is no" in f.message for f in errors(findings))
    for name, columns in TABLES.items():
        header = (tmp_path / "new" / f"{name}.csv").read_text().strip().split(",")
        assert header == [column.name for column in columns]


@pytest.mark.parametrize("example", [False, True])
def test_nothing_is_written_over(tmp_path: Path, example: bool) -> None:
    (tmp_path / "stock.csv").write_text("mine")
    with pytest.raises(FileExistsError, match=r"stock\.csv"):
        start_operation(tmp_path, example=example)
    assert [path.name for path in tmp_path.iterdir()] == ["stock.csv"]
    assert (tmp_path / "stock.csv").read_text() == "mine"


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Operation:
    folder = tmp_path_factory.mktemp("example")
    start_operation(folder, example=True)
    operation, findings = read_operation(folder)
    assert operation is not None, [f.sentence() for f in errors(findings)]
    return operation


def test_the_example_is_what_its_page_says(example: Operation) -> None:
    assert (len(example.yards), len(example.hives)) == (18, 190)
    assert sum(order.count for order in example.orders) == 16
    assert len({order.kit for order in example.orders}) == 3
    asked = {way: sum(o.count for o in example.orders if o.queen == way) for way in QUEEN_WAYS}
    assert asked == {"raise own": 6, "ripe cell": 5, "mated": 3, "parent's": 1, "own cells": 1}
    assert len({hive.frame for hive in example.hives}) == 2
    assert (example.day, example.day.isoweekday()) == (date(2027, 5, 15), 6)
    assert (example.crew.people, example.crew.places) == (2, 16)


def test_the_example_has_a_hive_for_each_reason_to_give_nothing(example: Operation) -> None:
    hives = example.hives
    assert any(not hive.may_give for hive in hives)
    assert any(hive.health not in HEALTH_USABLE for hive in hives)
    assert {hive.queen for hive in hives} >= set(QUEENS_NOT_LAYING)
    assert any(hive.count.queen_cells == "charged" for hive in hives)
    assert any(hive.count.bees is None for hive in hives)
    assert any((hive.count.mites_per_100 or 0) > 3 for hive in hives)
    assert any(hive.count.treated_until and hive.count.treated_until >= example.day for hive in hives)
    assert any(hive.count.inspected and (example.day - hive.count.inspected).days > 14 for hive in hives)
    assert sum(hive.queen_mother for hive in hives) >= 6


def test_the_example_has_yards_of_each_kind(example: Operation) -> None:
    with_hives = {hive.yard for hive in example.hives}
    assert sum(yard.id not in with_hives for yard in example.yards) == 6
    assert any(yard.health not in HEALTH_USABLE for yard in example.yards)
    assert any(yard.closed_until and yard.closed_until > example.day for yard in example.yards)
    assert any(yard.closes_min is not None and yard.closes_min < 13 * 60 for yard in example.yards)
    for frame in {hive.frame for hive in example.hives}:
        assert len({hive.yard for hive in example.hives if hive.frame == frame}) > 6, "yards mix both formats"


def test_the_example_shows_what_lasts_beyond_the_day(example: Operation) -> None:
    yards = {yard.id: yard for yard in example.yards}
    assert [name for name, yard in yards.items() if yard.looked_after] == ["Quarry Top"]
    assert [name for name, yard in yards.items() if not yard.has_flow(example.day, dearth=False)] == [
        "Sheepwash Lane"
    ]
    assert [name for name, yard in yards.items() if yard.bear and not yard.fence] == ["Upper Barn"]
    assert any(yard.due for yard in example.yards)
    assert any(hive.due for hive in example.hives)
    assert any(hive.excluder and hive.supers for hive in example.hives)
    assert example.settings.costs.per_hour > 0


def test_the_example_has_queens_and_cells_for_all_that_ask(example: Operation) -> None:
    assert example.counted("mated queen", on=example.day) == 3
    assert example.counted("ripe cell", on=example.day + timedelta(days=1)) == 6
    assert example.counted("fence kit") == 1


def test_the_example_splits_a_hive_with_fresh_cells_in_its_own_right(example: Operation) -> None:
    (order,) = [order for order in example.orders if order.hive]
    (hive,) = [hive for hive in example.hives if hive.key == (order.from_yard, order.hive)]
    assert hive.count.queen_cells == "charged"
    assert hive.count.inspected == date(2027, 5, 12), "three days old"


def test_the_example_grades_a_hive_that_was_not_counted(example: Operation) -> None:
    (hive,) = [hive for hive in example.hives if hive.grade]
    assert (hive.count.bees, hive.count.capped, hive.count.food) == (14, 6, 4.5)
