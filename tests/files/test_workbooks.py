"""Workbooks kept for years: merged cells, hidden rows, formulas, numbers that once were names."""

from datetime import date, datetime, time, timedelta
from pathlib import Path

import openpyxl
import pytest
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P
from openpyxl.styles import Font, PatternFill
from openpyxl.utils.datetime import CALENDAR_MAC_1904
from openpyxl.worksheet.worksheet import Worksheet

from routeplan.operation.read import read_operation
from tests.files.bring import PLAIN, Cells, hives_of, places, read_book, said, table

HEAD: list[object] = ["hive", "yard", "inspected", "bees", "brood", "food", "health"]


def look(name: object, brood: object = 7, inspected: object = date(2026, 5, 4)) -> list[object]:
    return [name, "Creek", inspected, 12, brood, 4, "ok"]


def test_text_keeps_its_zeros_beside_numbers_and_both_are_said(tmp_path: Path) -> None:
    read = read_book(tmp_path, [HEAD, look("007"), look("012"), look(12)])
    assert list(hives_of(read)) == ["007", "012", "12"]
    assert "“12” looks like “012” in row 3" in said(read)


def test_a_number_shown_with_zeros_is_read_as_it_is_shown(tmp_path: Path) -> None:
    def shape(hives: Worksheet) -> None:
        hives["A2"].number_format = "000"

    assert list(hives_of(read_book(tmp_path, [HEAD, look(7), look(12)], shape))) == ["007", "12"]


def test_numbers_shown_with_letters_or_marks_are_names_as_shown(tmp_path: Path) -> None:
    """7 shown as C007 is no second 7; frames shown as “7 of brood” stay a number."""

    def shape(hives: Worksheet) -> None:
        for cell, code in {
            "A2": '"C"000',
            "A4": "0-00",
            "A5": r"\H#",
            "A6": "0.00",
            "E2": '0" of brood"',
        }.items():
            hives[cell].number_format = code

    read = read_book(tmp_path, [HEAD, look(7), look(7), look(1207), look(7), look(1207)], shape)
    assert set(hives_of(read)) == {"C007", "7", "12-07", "H7", "1207"}
    assert hives_of(read)["C007"].count.brood == 7
    assert "“C007” is how a number is shown, and read so" in said(read)


def test_a_name_that_became_a_power_of_ten_is_said(tmp_path: Path) -> None:
    def shape(hives: Worksheet) -> None:
        hives["A2"].number_format = "0.00E+00"

    read = read_book(tmp_path, [HEAD, look(100000), look(2000), look("1E6")], shape)
    assert list(hives_of(read)) == ["100000", "1E6", "2000"]
    assert "column hive: “100000” is a number shown as 1.00E+05: it may have been typed as 1E5" in said(read)
    assert said(read).count("may have been typed") == 1


def test_names_of_true_false_dates_and_endless_figures(tmp_path: Path) -> None:
    read = read_book(tmp_path, [HEAD, look(True), look(date(2026, 2, 1)), look(12345678901234567)])
    assert {"TRUE", "2026-02-01"} <= set(hives_of(read))
    assert "such as 1-2 that a spreadsheet made a date of" in said(read)
    assert "its last figures are lost" in said(read)


def test_dates_numbers_and_text_in_one_column(tmp_path: Path) -> None:
    read = read_book(tmp_path, [HEAD, look("1"), look("2", inspected=46146), look("3", inspected="4/5/26")])
    assert places(read, "error") == [("bees.xlsx, hives", 4, "inspected")]
    fine = read_book(tmp_path / "fine", [HEAD, look("1"), look("2", inspected=46146)])
    assert {str(hive.count.inspected) for hive in hives_of(fine).values()} == {"2026-05-04"}


def test_real_dates_beside_text_that_can_only_be_day_first_may_be_turned_round(tmp_path: Path) -> None:
    """Where the month is expected first, 4/5 becomes a date and 13/5 stays text (common practice)."""
    read = read_book(tmp_path, [HEAD, look("1"), look("2", inspected="03/13/2026")])
    assert "may have been turned round" in said(read)
    swapped = [HEAD, look("1"), look("2", inspected=date(2026, 4, 23)), look("3", inspected="03/13/2026")]
    assert "may have been turned round" not in said(read_book(tmp_path / "b", swapped)), "23 is no month"


def test_days_counted_from_1904(tmp_path: Path) -> None:
    folder = tmp_path / "mac"
    folder.mkdir()
    book = openpyxl.Workbook()
    book.epoch = CALENDAR_MAC_1904
    book.remove(book.active)
    for name in ("yards", "splits"):
        sheet = book.create_sheet(name)
        for row in table(PLAIN[f"{name}.csv"]):
            sheet.append(row)
    hives = book.create_sheet("hives")
    for row in (HEAD, look("1"), look("2", inspected=46146 - 1462)):
        hives.append(row)
    book.save(folder / "bees.xlsx")
    (folder / "settings.toml").write_text(PLAIN["settings.toml"])
    read = read_operation(folder)
    assert {str(hive.count.inspected) for hive in hives_of(read).values()} == {"2026-05-04"}


def test_times_typed_stored_and_counted_on(tmp_path: Path) -> None:
    head: list[object] = ["yard", "lat", "lon", "health", "opens"]
    times: list[object] = [time(7, 30), 0.3125, "7:30 am", "0730", datetime(2026, 5, 4, 7, 30)]
    yards: Cells = [head, *([f"Y{i}", 52.0613 + i / 10, -2.7254, "ok", t] for i, t in enumerate(times[:4]))]
    hives = [HEAD, [*look("1")[:1], "Y0", *look("1")[2:]]]
    operation, findings = read_book(tmp_path, hives, yards=yards)
    assert operation is not None, [f.sentence() for f in findings]
    assert {yard.opens_min for yard in operation.yards} == {450}
    for wrong in (timedelta(hours=26), times[4]):
        late = read_book(tmp_path / str(wrong)[:2], hives, yards=[*yards[:-1], [*yards[-1][:-1], wrong]])
        assert places(late, "error") == [("bees.xlsx, yards", 5, "opens")]


def test_a_title_and_headers_merged_over_two_rows(tmp_path: Path) -> None:
    def shape(hives: Worksheet) -> None:
        hives.merge_cells("A1:G1")
        hives.merge_cells("D2:F2")
        hives.merge_cells("A2:A3")

    rows: Cells = [
        ["Bees of 2026"],
        ["Hive", "Yard", "Inspected", "Strength", None, None, "Health"],
        [None, None, None, "brood", "bees", "food", None],
        ["C1", "Creek", date(2026, 5, 4), 7, 12, 4, "ok"],
        ["Total", None, None, 7, 12, 4, None],
    ]
    read = read_book(tmp_path, rows, shape)
    hive = hives_of(read)["C1"]
    assert (hive.count.brood, hive.count.bees, hive.row) == (7, 12, 4)
    assert "“Total” is read as a total" in said(read)
    rows[2][4] = "brood"
    assert places(read_book(tmp_path / "twice", rows, shape), "error")[0][2] == "brood"


def test_a_yard_merged_down_over_its_hives_counts_for_each(tmp_path: Path) -> None:
    rows = [HEAD, look("1"), look("2"), look("3")]
    rows[2][1] = rows[3][1] = None
    read = read_book(tmp_path, rows, lambda hives: hives.merge_cells("B2:B4"))
    assert {hive.yard for hive in hives_of(read).values()} == {"Creek"}
    assert "merged over several rows" in said(read)


def test_blank_and_coloured_rows_are_no_hives_and_rows_keep_their_numbers(tmp_path: Path) -> None:
    def shape(hives: Worksheet) -> None:
        for row in (*range(45, 5001, 50), 1_048_576):
            for column in range(1, 30):
                hives.cell(row, column).fill = PatternFill("solid", fgColor="FFFF00")

    blank: list[object] = [None] * 7
    rows = [
        HEAD,
        *(look(f"H{i}") for i in range(20)),
        blank,
        blank,
        blank,
        *(look(f"H{i}") for i in range(20, 39)),
    ]
    read = read_book(tmp_path, [*rows, look("H39", brood="x")], shape)
    assert places(read, "error") == [("bees.xlsx, hives", 44, "brood")]
    assert len(hives_of(read_book(tmp_path / "fine", [*rows, look("H39")], shape))) == 40


def test_hidden_rows_and_sheets_are_never_silent(tmp_path: Path) -> None:
    def shape(hives: Worksheet) -> None:
        hives.row_dimensions[3].hidden = True
        hives.parent["Lists"].sheet_state = "hidden"

    read = read_book(tmp_path, [HEAD, look("H1"), look("H2"), look("H3")], shape, Lists=[["calm"], ["bad"]])
    assert len(hives_of(read)) == 3
    assert "bees.xlsx, hives, row 3: 1 hidden row is included" in said(read)
    assert "bees.xlsx, Lists: is hidden" in said(read)


def test_rows_and_columns_drawn_together_are_hidden_too(tmp_path: Path) -> None:
    def shape(hives: Worksheet) -> None:
        hives.row_dimensions[3].height = 0.1
        hives.column_dimensions["E"].width = 0.1

    read = read_book(tmp_path, [HEAD, look("H1"), look("H2")], shape)
    assert "row 3: 1 hidden row is included" in said(read)
    assert "The column brood is hidden, and read all the same." in said(read)


def test_struck_out_rows_are_never_silent(tmp_path: Path) -> None:
    def shape(hives: Worksheet) -> None:
        for place in ("A3", "B3", "A5", "A9"):
            hives[place].font = Font(strike=True)

    read = read_book(tmp_path, [HEAD, *map(look, ("1", "2", "3", "4"))], shape)
    assert len(hives_of(read)) == 4
    assert "row 3: 2 rows are struck out, and read all the same (also row 5)" in said(read)


def test_formulas_never_worked_out_and_fault_cells(tmp_path: Path) -> None:
    def shape(hives: Worksheet) -> None:
        hives["E2"] = "=D2-5"
        hives["E3"] = "#REF!"
        hives["E3"].data_type = "e"

    read = read_book(tmp_path, [HEAD, look("1"), look("2"), look("3")], shape)
    assert places(read, "error") == [("bees.xlsx, hives", 2, "brood"), ("bees.xlsx, hives", 3, "brood")]
    assert "This cell has a formula but no saved value (E2)." in said(read, "error")
    assert "“#REF!” is a fault of the spreadsheet's own" in said(read, "error")


def test_a_fraction_that_became_a_date_is_said(tmp_path: Path) -> None:
    read = read_book(tmp_path, [HEAD, look("1", brood=date(2026, 2, 1))])
    assert "is a date: spreadsheets make one of 1/2 or 4-5" in said(read, "error")


@pytest.mark.parametrize("suffix", [".xls", ".xlsb", ".numbers"])
def test_a_kind_of_workbook_that_is_not_read_is_named(tmp_path: Path, suffix: str) -> None:
    read_book(tmp_path, [HEAD, look("1")])
    (tmp_path / f"old{suffix}").write_bytes(b"x")
    (tmp_path / "~$bees.xlsx").write_bytes(b"x")
    read = read_operation(tmp_path)
    assert [t for t, _, _ in places(read, "warning") if t != "bees.xlsx, hives"].count(f"old{suffix}") == 1
    assert "~$" not in said(read)


def test_an_open_document_sheet_with_a_formula_and_a_hidden_row(tmp_path: Path) -> None:
    book = OpenDocumentSpreadsheet()
    sheets = {name: table(PLAIN[f"{name}.csv"]) for name in ("yards", "splits")}
    sheets["hives"] = [list(map(str, row)) for row in (HEAD, look("1"), look("2"), look("3"))]
    for name, rows in sheets.items():
        sheet = Table(name=name)
        for number, cells in enumerate(rows, 1):
            hidden = {"visibility": "collapse"} if (name, number) == ("hives", 3) else {}
            line = TableRow(**hidden)
            for text in cells:
                cell = TableCell(valuetype="string")
                cell.addElement(P(text=text))
                formula = (name, number, text) == ("hives", 4, "7")
                line.addElement(TableCell(formula="of:=[.D4]-5") if formula else cell)
            sheet.addElement(line)
        sheet.addElement(TableRow(numberrowsrepeated="1048000"))
        book.spreadsheet.addElement(sheet)
    book.save(str(tmp_path / "bees.ods"))
    (tmp_path / "settings.toml").write_text(PLAIN["settings.toml"])
    read = read_operation(tmp_path)
    assert places(read, "error") == [("bees.ods, hives", 4, "brood")]
    assert "no saved value (E4)" in said(read, "error")
    assert "1 hidden row is included" in said(read)


def test_per_cent_is_read_as_it_is_shown(tmp_path: Path) -> None:
    """3 % of mites is stored as 0.03; read as stored, the hive would seem clean."""

    def shape(hives: Worksheet) -> None:
        hives["H2"].number_format = "0.0%"
        hives["H3"].number_format = "0%"

    rows = [[*HEAD, "mites"], [*look("1"), 0.035], [*look("2"), 1], [*look("3"), "3 %"], [*look("4"), 2]]
    hives = hives_of(read_book(tmp_path, rows, shape))
    assert [hive.count.mites_per_100 for hive in hives.values()] == [3.5, 100, 3, 2]
    rows[1][4] = "50%"
    assert "is a share in per cent" in said(read_book(tmp_path / "brood", rows, shape), "error")


def test_hidden_columns_are_read_and_said(tmp_path: Path) -> None:
    read = read_book(tmp_path, [HEAD, look("1")], lambda h: setattr(h.column_dimensions["E"], "hidden", True))
    assert hives_of(read)["1"].count.brood == 7
    assert "The column brood is hidden, and read all the same." in said(read)


def test_a_hidden_list_is_not_taken_for_the_hives_and_blank_sheets_are_passed_over(tmp_path: Path) -> None:
    def shape(hives: Worksheet) -> None:
        book = hives.parent
        book["old"].sheet_state = "hidden"
        hives.title = "this year"

    read = read_book(tmp_path, [HEAD, look("1")], shape, old=[HEAD, look("9")], Sheet4=[])
    assert list(hives_of(read)) == ["1"]
    assert "bees.xlsx, this year: is read as the table hives, by its columns." in said(read)
    assert "Sheet4" not in said(read)
