"""A new operation: tables to fill in, or the example; CSV files or one workbook."""

import io
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import openpyxl
import pytest

from routeplan.operation.columns import REQUIRED_TABLES, TABLES
from routeplan.operation.findings import errors
from routeplan.operation.read import read_operation
from routeplan.operation.start import example_files, start_files
from routeplan.operation.start_workbook import table_workbook
from routeplan.operation.world import HEALTH_USABLE, QUEEN_WAYS, QUEENS_NOT_LAYING, Operation
from routeplan.output.files import AlreadyThereError, write_new


def written(folder: Path, files: dict[str, bytes]) -> Path:
    write_new(folder, files)
    return folder


@pytest.mark.parametrize("workbook", [False, True])
def test_a_new_operation_holds_every_column_and_lacks_only_rows(tmp_path: Path, workbook: bool) -> None:
    folder = written(tmp_path / "new", start_files(workbook))
    names = ["operation.xlsx"] if workbook else [*(f"{name}.csv" for name in TABLES), "guide.txt"]
    assert sorted(path.name for path in folder.iterdir()) == sorted([*names, "settings.toml"])
    operation, findings = read_operation(folder, date(2027, 5, 15))
    assert operation is None
    assert [f.table.split(", ")[-1].removesuffix(".csv") for f in errors(findings)] == [*REQUIRED_TABLES]
    assert all("There is no" in f.message for f in errors(findings))
    passed_over = [f for f in findings if "example row" in f.message]
    assert [(f.row, f.level) for f in passed_over] == [(2, "warning")] * len(TABLES)
    assert not any("not used" in f.message for f in findings), "every column, and the guide, is known"


def test_an_example_row_is_read_without_a_fault_once_its_mark_is_gone(tmp_path: Path) -> None:
    """What the example rows show can be read; the mark alone keeps them out."""
    folder = written(tmp_path / "new", start_files())
    for name in TABLES:
        path = folder / f"{name}.csv"
        path.write_text(path.read_text(encoding="utf-8").replace("example: ", ""), encoding="utf-8")
    findings = read_operation(folder, date(2027, 5, 15))[1]
    assert not any("example row" in f.message for f in findings)
    cells = [f for f in errors(findings) if f.found and "is not" in f.message]
    assert cells == [], [f.sentence() for f in cells]


def test_rows_typed_below_the_example_are_read_in_a_workbook(tmp_path: Path) -> None:
    folder = written(tmp_path / "new", start_files(workbook=True))
    book = openpyxl.load_workbook(folder / "operation.xlsx")
    book["yards"].append(["Long Meadow", 52.0613, -2.7154])
    book["hives"].append(["007", "Long Meadow"])
    book["splits"].append(["A", 1, "three-frame"])
    book.save(folder / "operation.xlsx")
    operation, findings = read_operation(folder, date(2027, 5, 15))
    assert operation is not None, [f.sentence() for f in errors(findings)]
    assert [hive.key for hive in operation.hives] == [("Long Meadow", "007")]


def test_the_workbook_offers_lists_a_note_on_each_column_and_the_guide(tmp_path: Path) -> None:
    folder = written(tmp_path / "new", start_files(workbook=True))
    book = openpyxl.load_workbook(folder / "operation.xlsx")
    assert book.sheetnames == [*TABLES, "guide"]
    for name, columns in TABLES.items():
        rules = book[name].data_validations.dataValidation
        assert len(rules) == len(columns)
        for column, rule in zip(columns, rules, strict=True):
            assert rule.promptTitle == column.name
            assert column.meaning[:40] in rule.prompt
            if column.kind == "choice":
                assert rule.formula1.strip('"').split(",") == list(column.options)
                assert len(rule.formula1) <= 255, "a limit of the file format"
                assert rule.errorStyle == "warning", "other spellings are read too"
    assert book["hives"].data_validations.dataValidation[1].formula1.startswith("yards!$A$3:"), (
        "below the example"
    )
    filled = openpyxl.load_workbook(io.BytesIO(example_files(workbook=True)["operation.xlsx"]))
    (rule,) = [r for r in filled["hives"].data_validations.dataValidation if r.promptTitle == "yard"]
    assert rule.formula1.startswith("yards!$A$2:")
    guide = [row[:2] for row in book["guide"].iter_rows(min_row=3, values_only=True)]
    assert guide == [(name, c.name) for name, columns in TABLES.items() for c in columns]


def test_the_guide_names_every_column(tmp_path: Path) -> None:
    text = start_files()["guide.txt"].decode()
    for columns in TABLES.values():
        for column in columns:
            assert f"  {column.name}: {column.meaning[:20]}" in text


def test_the_example_is_the_same_in_a_workbook(tmp_path: Path, example: Operation) -> None:
    folder = written(tmp_path / "book", example_files(workbook=True))
    operation, findings = read_operation(folder)
    assert operation == example
    assert [f.sentence().split(": ", 1)[1] for f in findings] == [
        f.sentence().split(": ", 1)[1] for f in read_operation(written(tmp_path / "csv", example_files()))[1]
    ]


@pytest.mark.parametrize("files", [start_files, example_files])
def test_nothing_is_written_over(tmp_path: Path, files: Callable[[], dict[str, bytes]]) -> None:
    (tmp_path / "stock.csv").write_text("mine")
    with pytest.raises(AlreadyThereError, match=r"stock\.csv is already there"):
        write_new(tmp_path, files())
    assert [path.name for path in tmp_path.iterdir()] == ["stock.csv"]
    assert (tmp_path / "stock.csv").read_text() == "mine"


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Operation:
    folder = tmp_path_factory.mktemp("example")
    write_new(folder, example_files())
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


def test_texts_that_look_like_formulas_stay_text_in_a_workbook_and_numbers_stay_numbers(
    tmp_path: Path,
) -> None:
    notes = ['=HYPERLINK("x")', "+1 613 555 0100", "-", "@home", "plain"]
    header = [column.name for column in TABLES["yards"]]
    rows = [
        [{"yard": f"Y{i}", "lat": "45.1000", "lon": "-75.4000", "note": note}.get(c, "") for c in header]
        for i, note in enumerate(notes)
    ]
    path = tmp_path / "operation.xlsx"
    path.write_bytes(table_workbook({"yards": [header, *rows]}))
    sheet = openpyxl.load_workbook(path)["yards"]
    note, lon = header.index("note") + 1, header.index("lon") + 1
    for i, text in enumerate(notes, 2):
        cell = sheet.cell(i, note)
        assert (cell.value, cell.data_type, bool(cell.quotePrefix)) == (text, "s", text != "plain")
        assert (sheet.cell(i, lon).value, sheet.cell(i, lon).data_type) == (-75.4, "n")
        assert not sheet.cell(i, lon).quotePrefix
