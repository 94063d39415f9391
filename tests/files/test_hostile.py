"""What no beekeeper's table comes near is refused quickly, with one clear error, and stays unopened."""

import os
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from routeplan.operation.findings import Finding, errors
from routeplan.operation.read import read_operation
from routeplan.operation.tables import open_source
from tests.files.bring import PLAIN, read_book, read_hives, said
from tests.operation.sound import write_operation

HEAD = "hive,yard,inspected,bees,brood,food,health\n"
CELL = '<c r="{place}"><v>1</v></c>'
CONTENT = (
    '<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"'
    ' xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"><office:body><office:spreadsheet>'
    '<table:table table:name="hives">{rows}</table:table>'
    "</office:spreadsheet></office:body></office:document-content>"
)


@pytest.fixture(autouse=True)
def _quickly() -> Iterator[None]:
    start = time.process_time()
    yield
    assert time.process_time() - start < 5


def refused(source: Path) -> str:
    """The sentences of the errors; nothing is read from a file that is refused."""
    operation, findings = read_operation(source)
    assert operation is None
    return "\n".join(f.sentence() for f in errors(findings))


def with_part(folder: Path, part: str, data: bytes) -> Path:
    """The plain workbook with one part of its zip put in another's place."""
    read_book(folder, [["hive", "yard"], ["1", "Creek"]])
    made = folder / "made.xlsx"
    with (
        zipfile.ZipFile(folder / "bees.xlsx") as old,
        zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, data if name == part else old.read(name))
        if part not in old.namelist():
            new.writestr(part, data)
    return made


def sheet(cells: str) -> bytes:
    head = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
    return f"{head}{cells}</sheetData></worksheet>".encode()


def test_a_workbook_that_unpacks_without_end(tmp_path: Path) -> None:
    made = with_part(tmp_path, "xl/media/bees.bin", bytes(160_000_000))
    assert made.stat().st_size < 1_000_000
    assert "unpacks to more than 150 million bytes" in refused(made)


def test_a_workbook_whose_list_of_sizes_lies(tmp_path: Path) -> None:
    part = sheet("".join(f'<row r="{i}">{CELL.format(place=f"A{i}")}</row>' for i in range(1, 2000)))
    made = with_part(tmp_path, "xl/worksheets/sheet1.xml", part)
    data = made.read_bytes()
    told = len(part).to_bytes(4, "little")
    assert data.count(told) == 2, "once beside the part, once in the list"
    made.write_bytes(data.replace(told, (100).to_bytes(4, "little")))
    assert "cannot be opened as a workbook" in refused(made)


@pytest.mark.parametrize(
    ("place", "words"),
    [("XFD1048576", "100,000 rows"), ("A1048576", "100,000 rows"), ("XFD1", "256 columns")],
)
def test_a_cell_at_the_end_of_the_sheet(tmp_path: Path, place: str, words: str) -> None:
    row = place.lstrip("AXFD")
    made = with_part(
        tmp_path, "xl/worksheets/sheet1.xml", sheet(f'<row r="{row}">{CELL.format(place=place)}</row>')
    )
    assert words in refused(made)


@pytest.mark.parametrize(
    "rows",
    [
        '<table:table-row table:number-rows-repeated="1048576"><table:table-cell office:value-type="float"'
        ' office:value="1" table:number-columns-repeated="16384"/></table:table-row>',
        '<table:table-row><table:table-cell table:formula="of:=1" table:number-columns-repeated="999999999"/>'
        "</table:table-row>",
    ],
)
def test_a_cell_repeated_without_end(tmp_path: Path, rows: str) -> None:
    with zipfile.ZipFile(tmp_path / "bees.ods", "w") as made:
        made.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        made.writestr("content.xml", CONTENT.format(rows=rows))
    assert "has more than" in refused(tmp_path / "bees.ods")


def test_names_declared_in_names(tmp_path: Path) -> None:
    laughs = "".join(f'<!ENTITY e{i} "{f"&e{i - 1};" * 10}">' for i in range(1, 10))
    part = f'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e0 "bee">{laughs}]><worksheet>&e9;</worksheet>'
    assert "declares names of its own" in refused(
        with_part(tmp_path, "xl/worksheets/sheet1.xml", part.encode())
    )


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600)])
def test_what_is_no_workbook_or_locked_with_a_password(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "bees.xlsx").write_bytes(data)
    assert "cannot be opened as a workbook" in refused(tmp_path / "bees.xlsx")


def test_parts_that_are_missing_or_broken(tmp_path: Path) -> None:
    for part in ("workbook.xml", "_rels/workbook.xml.rels", "styles.xml", "worksheets/sheet1.xml"):
        for data in (b"", b"<a><b>", b"\xff\xfe<"):
            assert "cannot be opened as a workbook" in refused(with_part(tmp_path, f"xl/{part}", data))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a\n" * 1_000_000, "100,000 rows"),
        (HEAD + "\n" * 200_000, "100,000 rows"),
        (HEAD + "1,Creek,,,,,\n" * 100_000, "100,000 rows"),
        ("," * 300 + "\n", "256 columns"),
        ("hive," * 3_000_000, "256 columns"),
        (HEAD + "x" * 20_000_001, "larger than 20 million bytes"),
        (HEAD + '"' + "x" * 200_000, "cannot be read as CSV"),
    ],
)
def test_lists_without_end(tmp_path: Path, text: str, words: str) -> None:
    read = read_hives(tmp_path, text)
    assert read[0] is None
    assert words in said(read, "error")
    assert said(read, "error").count("hives.csv") == 1


def test_a_column_of_nothing_but_faults_is_told_in_a_hundred_lines(tmp_path: Path) -> None:
    rows = "".join(f"{i},Creek,2026-05-04,b{i},7,4,ok\n" for i in range(5_000))
    read = read_hives(tmp_path, HEAD + rows)
    assert len([f for f in read[1] if f.column == "bees"]) == 101
    assert "4900 more texts in this column cannot be read" in said(read, "error")


def test_a_folder_that_is_a_link(tmp_path: Path) -> None:
    real = write_operation(tmp_path / "real", PLAIN)
    (tmp_path / "link").symlink_to(real, target_is_directory=True)
    (tmp_path / "round").symlink_to(tmp_path / "round")
    assert "is a link, not the folder itself. Name the folder the link leads to." in refused(
        tmp_path / "link"
    )
    assert "is not there" in refused(tmp_path / "round")


def test_what_lies_in_the_folder_and_is_no_file(tmp_path: Path) -> None:
    """A pipe would wait for ever, a folder cannot be read: neither is taken for a table."""
    folder = write_operation(tmp_path, PLAIN)
    for name in ("hives.csv", "splits.csv"):
        (folder / name).unlink()
    os.mkfifo(folder / "hives.csv")
    (folder / "splits.csv").mkdir()
    assert {f.table for f in errors(list(open_source(folder).findings))} == set()
    assert "hives.csv: is missing" in refused(folder)


def test_a_file_that_another_program_keeps_to_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder, opened = write_operation(tmp_path, PLAIN), Path.open

    def locked(path: Path, *args: object, **kwargs: object) -> object:
        if path.name == "hives.csv":
            raise PermissionError(13, "Permission denied")
        return opened(path, *args, **kwargs)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", locked)
    faults = refused(folder)
    assert faults == (
        "hives.csv: cannot be opened: Permission denied. "
        "Close it in other programs, and see that you may read it."
    )


def test_a_workbook_that_another_program_keeps_to_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_book(tmp_path, [["hive", "yard"], ["1", "Creek"]])
    opened = Path.open

    def locked(path: Path, *args: object, **kwargs: object) -> object:
        if path.suffix == ".xlsx":
            raise PermissionError(13, "Permission denied")
        return opened(path, *args, **kwargs)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", locked)
    assert refused(tmp_path) == refused(tmp_path / "bees.xlsx")
    assert refused(tmp_path).startswith("bees.xlsx: cannot be opened: Permission denied. Close it in other")


def test_a_fault_in_a_refused_file_is_not_told_twice(tmp_path: Path) -> None:
    operation, findings = read_hives(tmp_path, b"hive\x00")
    assert operation is None
    assert [f.table for f in findings if f.level == "error"] == ["hives.csv"]
    assert all(isinstance(f, Finding) for f in findings)
