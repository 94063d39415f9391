"""The same operation reads the same from every kind of file, in any order of rows and columns."""

import csv
import io
import random
import time
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P

from routeplan.operation.build import build_operation
from routeplan.operation.csv_files import parse_csv
from routeplan.operation.read import read_grids, read_operation
from routeplan.operation.settings import Settings
from routeplan.operation.world import TRADE_KITS, Operation, Place
from tests.operation.sound import SOUND, read_changed, write_operation
from tests.tiny import tiny_operation


@pytest.fixture
def sound(tmp_path: Path) -> Operation:
    return _read(write_operation(tmp_path / "sound", {}))


def _read(source: Path) -> Operation:
    operation, findings = read_operation(source)
    assert operation is not None, [f.sentence() for f in findings]
    assert findings == []
    return operation


def _tables() -> dict[str, list[list[str]]]:
    texts = {name.removesuffix(".csv"): text for name, text in SOUND.items() if name.endswith(".csv")}
    return {name: list(csv.reader(io.StringIO(text))) for name, text in texts.items()}


def test_values_and_their_units(sound: Operation) -> None:
    hive = next(h for h in sound.hives if h.id == "007")
    assert (hive.count.capped, hive.count.open, hive.queen_mother, hive.supers) == (5.5, 3.5, True, 1)
    assert sound.crew.home == Place(52.0604, -2.7218)
    assert (sound.crew.places, sound.crew.start_min, sound.crew.empties_per_place) == (16, 420, 4)
    assert (sound.pairs[0].drive_min, sound.pairs[0].flying_m) == (20, None)
    assert sound.day == date(2027, 5, 15)
    assert sound.kit("three-frame").frame == "deep", "a row replaces the kit of the trade"
    assert sound.kit("four-frame") in TRADE_KITS


def test_the_day_worked_out_by_hand_reads_as_it_is_built() -> None:
    operation, findings = read_operation(Path(__file__).parents[1] / "data" / "tiny")
    assert operation == tiny_operation()
    assert all(f.level == "warning" for f in findings)


def test_parts_are_sorted(sound: Operation) -> None:
    assert [y.id for y in sound.yards] == ["Alder", "Birch", "Cedar"]
    assert [h.id for h in sound.hives] == ["007", "1E5", "NA"]


def test_rows_and_columns_in_any_order(sound: Operation, tmp_path: Path) -> None:
    shuffle = random.Random(7).shuffle
    for name, (header, *rows) in _tables().items():
        order = list(range(len(header)))
        shuffle(order)
        shuffle(rows)
        with (tmp_path / f"{name}.csv").open("w", newline="") as file:
            csv.writer(file).writerows([[row[i] for i in order] for row in [header, *rows]])
    (tmp_path / "settings.toml").write_text(SOUND["settings.toml"])
    assert _read(tmp_path) == sound


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_semicolons_tabs_and_decimal_commas(sound: Operation, tmp_path: Path, delimiter: str) -> None:
    for name, rows in _tables().items():
        rows = [[cell.replace("3.5", "3,5").replace("18.5", "18,5") for cell in row] for row in rows]
        with (tmp_path / f"{name}.csv").open("w", newline="") as file:
            csv.writer(file, delimiter=delimiter).writerows(rows)
    (tmp_path / "settings.toml").write_text(SOUND["settings.toml"])
    assert _read(tmp_path) == sound


def test_line_ends_and_byte_order_mark_of_windows(sound: Operation, tmp_path: Path) -> None:
    for name, text in SOUND.items():
        (tmp_path / name).write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert _read(tmp_path) == sound


def test_blank_rows_are_passed_over_and_rows_keep_their_numbers(tmp_path: Path) -> None:
    hives = SOUND["hives.csv"].replace("NA,", "\n,,,\nNA,").replace(",4 1/2", ",four")
    _, findings = read_changed(tmp_path, {"hives.csv": hives})
    assert [(f.row, f.column) for f in findings] == [(5, "capped")]


def test_headers_in_capitals_with_spaces(sound: Operation, tmp_path: Path) -> None:
    header, rest = SOUND["yards.csv"].split("\n", 1)
    written = (
        header.replace("takes_splits", " Takes Splits ").replace("closed_days", "CLOSED-DAYS") + "\n" + rest
    )
    assert _read(write_operation(tmp_path, {"yards.csv": written})) == sound


def _xlsx(path: Path) -> None:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in _tables().items():
        sheet = book.create_sheet(name.title())
        for row in rows:
            sheet.append([_typed(cell) for cell in row])
    book.save(path)


def _typed(cell: str) -> object:
    """As a spreadsheet holds it: dates and plain numbers typed, everything else text."""
    if cell.startswith("2027-"):
        return date.fromisoformat(cell)
    try:
        value = float(cell)
    except ValueError:
        return cell or None
    return cell if cell.startswith("0") or "E" in cell else value


def _ods(path: Path) -> None:
    book = OpenDocumentSpreadsheet()
    for name, rows in _tables().items():
        table = Table(name=name)
        for row in rows:
            line = TableRow()
            for text in row:
                line.addElement(_ods_cell(text))
            table.addElement(line)
        book.spreadsheet.addElement(table)
    book.save(str(path))


def _ods_cell(text: str) -> TableCell:
    value = _typed(text)
    if isinstance(value, float):
        return TableCell(valuetype="float", value=value)
    if isinstance(value, date):
        return TableCell(valuetype="date", datevalue=value.isoformat())
    cell = TableCell(valuetype="string") if text else TableCell()
    if text:
        cell.addElement(P(text=text))
    return cell


@pytest.mark.parametrize(("name", "write"), [("operation.xlsx", _xlsx), ("operation.ods", _ods)])
def test_workbooks(sound: Operation, tmp_path: Path, name: str, write: object) -> None:
    folder = tmp_path / "book"
    folder.mkdir()
    write(folder / name)  # type: ignore[operator]
    (folder / "settings.toml").write_text(SOUND["settings.toml"])
    assert _read(folder / name) == sound
    assert _read(folder) == sound, "a folder with one workbook is that workbook"


def test_a_fault_in_a_workbook_names_file_and_sheet(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.title = "yards"
    book.active.append(["yard", "lat", "lon"])
    book.active.append(["Alder", "north", -2.7])
    book.create_sheet("Hive").append(["hive"])
    book.save(tmp_path / "mine.xlsx")
    operation, findings = read_operation(tmp_path / "mine.xlsx")
    assert operation is None
    sentences = [f.sentence() for f in findings]
    assert "mine.xlsx, yards, row 2, column lat: “north” is not a latitude" in "\n".join(sentences)
    assert "sheet hives: is missing. Add it to mine.xlsx" in "\n".join(sentences)
    assert "mine.xlsx, Hive: is not used. Did you mean hives?" in sentences


def test_a_workbook_that_is_none(tmp_path: Path) -> None:
    (tmp_path / "a.xlsx").write_bytes(b"not a workbook")
    operation, findings = read_operation(tmp_path / "a.xlsx")
    assert operation is None
    assert "cannot be opened as a workbook" in findings[0].message


def test_a_workbook_beside_csv_files_is_said_not_to_be_used(tmp_path: Path) -> None:
    folder = write_operation(tmp_path, {})
    _xlsx(folder / "old.xlsx")
    operation, findings = read_operation(folder)
    assert operation is not None
    assert [f.table for f in findings] == ["old.xlsx"]


def test_the_day_given_wins_over_the_setting(tmp_path: Path) -> None:
    operation, _ = read_operation(write_operation(tmp_path, {}), date(2027, 5, 16))
    assert operation is not None
    assert operation.day == date(2027, 5, 16)


def test_without_crews_the_first_yard_is_home(tmp_path: Path) -> None:
    operation, findings = read_changed(tmp_path, {"crews.csv": ""})
    assert operation is not None
    assert operation.crew.home == Place(52.0601, -2.72)
    assert [f.level for f in findings] == ["warning"]


def test_nothing_is_built_where_a_position_is_missing() -> None:
    """The guard behind the checks: an unsound draft raises instead of making up a place."""
    grids = {"yards": parse_csv("yard,lat,lon\nAlder,,\n", "yards", "yards.csv")}
    draft, _ = read_grids(grids, Settings(), date(2027, 5, 15))
    with pytest.raises(ValueError, match="Alder has no position"):
        build_operation(draft)


def test_several_workbooks_in_a_folder_are_not_chosen_from(tmp_path: Path) -> None:
    _xlsx(tmp_path / "a.xlsx")
    _ods(tmp_path / "b.ods")
    operation, findings = read_operation(tmp_path)
    assert operation is None
    assert findings[0].message == "holds several workbooks: a.xlsx, b.ods."


def test_csv_files_beside_a_workbook_are_said_not_to_be_used(tmp_path: Path) -> None:
    _xlsx(tmp_path / "a.xlsx")
    (tmp_path / "hives.csv").write_text(SOUND["hives.csv"])
    operation, findings = read_operation(tmp_path, date(2027, 5, 15))
    assert operation is not None
    assert [(f.level, f.table) for f in findings] == [("warning", "hives.csv")]


def test_a_table_that_is_there_twice(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.title = "yards"
    book.create_sheet("yards ")
    book.save(tmp_path / "a.xlsx")
    _, findings = read_operation(tmp_path / "a.xlsx")
    assert ("a.xlsx, yards ", "is there twice: a.xlsx, yards is the same table.") in [
        (f.table, f.message) for f in findings
    ]


def test_five_thousand_hives_read_quickly(tmp_path: Path) -> None:
    yards = [f"Y{i},{52 + i / 200:.4f},{-2 - i / 300:.4f},5,ok" for i in range(100)]
    hives = [f"{j},Y{i},deep,ok,2027-05-12,14,5½,3.5,4,yes" for i in range(100) for j in range(50)]
    tables = {
        "yards.csv": "yard,lat,lon,room,health\n" + "\n".join(yards),
        "hives.csv": "hive,yard,frame,health,inspected,bees,capped,open,food,eggs_seen\n" + "\n".join(hives),
        "splits.csv": "order,count,kit\nA,3,three-frame\n",
        "pairs.csv": "",
    }
    folder = write_operation(tmp_path, tables)
    start = time.process_time()
    operation, _ = read_operation(folder)
    assert time.process_time() - start < 1.5
    assert operation is not None
    assert len(operation.hives) == 5000
