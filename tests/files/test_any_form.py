"""Property: what is written comes back the same in whichever form, and nothing whatever gives a trace."""

import random
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from routeplan.operation.build import build_operation
from routeplan.operation.check import check
from routeplan.operation.csv_files import read_bytes_of_csv
from routeplan.operation.findings import Finding, errors
from routeplan.operation.pick import pick_tables
from routeplan.operation.read import read_grids, read_operation
from routeplan.operation.settings import Settings
from routeplan.operation.tables import Source
from routeplan.operation.toml_settings import read_settings
from routeplan.operation.world import Operation
from tests.files.forms import DAY, FORMS, LETTERS, SIGNS, WIDE, Form, Table, plain, tables, write
from tests.operation.sound import SOUND

SHORT = 60
SLOW = (HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.function_scoped_fixture)
DEFAULT = settings(max_examples=SHORT, deadline=None, suppress_health_check=SLOW)
WIDELY = settings(deadline=None, suppress_health_check=SLOW)


def read(files: dict[str, bytes], date_order: str = "") -> tuple[Operation | None, list[Finding]]:
    """Read an operation from the bytes of its CSV files, as read_operation does from a folder."""
    chosen, findings, grids = Settings(date_order=date_order), [], []
    for name, data in files.items():
        grid, faults = read_bytes_of_csv(data, name, f"{name}.csv")
        findings += faults
        grids += [grid] if grid else []
    picked, faults = pick_tables(Source(tuple(grids), None, tuple(findings), "here", ".csv"), chosen.words)
    draft, more = read_grids(picked, chosen, DAY)
    findings += [*faults, *more, *check(draft)]
    return (None if errors(findings) else build_operation(draft)), findings


def same_in_a_form(files: dict[str, Table], form: Form) -> None:
    first, findings = read({name: plain(table) for name, table in files.items()})
    other, faults = read(
        {name: write(name, table, form) for name, table in files.items()},
        form.dates if form.dates.endswith("first") else "",
    )
    assert (first is None) == (other is None), [f.sentence() for f in errors(findings + faults)]
    if first is None or other is None:
        assert {f.message for f in errors(findings)} == {f.message for f in errors(faults)}
    else:
        assert replace(other, settings=first.settings) == first


@st.composite
def formed(draw: st.DrawFn) -> tuple[dict[str, Table], Form]:
    form = draw(FORMS)
    letters = draw(st.sampled_from([LETTERS, SIGNS] if form.encoding == "cp1252" else [SIGNS, WIDE]))
    return draw(tables(letters)), form


def any_bytes(data: bytes, name: str) -> None:
    """Bytes in place of one table: read, or refused with sentences."""
    files = {n.removesuffix(".csv"): t.encode() for n, t in SOUND.items() if n.endswith(".csv")}
    operation, findings = read(files | {name: data})
    assert all(f.sentence() and f.message.endswith((".", "?")) for f in findings)
    assert operation is not None or errors(findings)


def broken(text: bytes, seed: int, times: int) -> bytes:
    """Text with a few bytes changed, lost, doubled or put elsewhere."""
    chance, data = random.Random(seed), bytearray(text)
    for _ in range(times):
        at = chance.randrange(len(data) or 1)
        what = chance.randrange(4)
        if what == 0:
            data[at : at + 1] = bytes([chance.choice(b"\",;\n\r\t\x00\xff 0179-/#'=")])
        elif what == 1:
            del data[at : at + chance.randint(1, 9)]
        elif what == 2:
            data[at:at] = data[at : at + chance.randint(1, 30)]
        else:
            data[at:at] = chance.randbytes(2)
    return bytes(data)


NAMES = st.sampled_from([name.removesuffix(".csv") for name in SOUND if name.endswith(".csv")])
BREAKS = (NAMES, st.integers(0, 2**32), st.integers(1, 6))


def test_an_operation_of_any_figures_is_mostly_sound() -> None:
    """So that the property below compares operations, and not only faults."""
    sound = 0

    @settings(max_examples=60, deadline=None, database=None, derandomize=True)
    @given(tables())
    def count(files: dict[str, Table]) -> None:
        nonlocal sound
        sound += read({name: plain(table) for name, table in files.items()})[0] is not None

    count()
    assert sound > 40


@DEFAULT
@given(formed())
def test_the_same_operation_in_any_form(case: tuple[dict[str, Table], Form]) -> None:
    same_in_a_form(*case)


@DEFAULT
@given(NAMES, st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(name: str, data: bytes) -> None:
    any_bytes(data, name)


@DEFAULT
@given(*BREAKS)
def test_broken_tables_are_read_or_refused(name: str, seed: int, times: int) -> None:
    any_bytes(broken(SOUND[f"{name}.csv"].encode(), seed, times), name)


@settings(DEFAULT, max_examples=20)
@given(tables(WIDE))
def test_a_workbook_reads_as_the_tables_written_into_it(
    tmp_path_factory: pytest.TempPathFactory, files: dict[str, Table]
) -> None:
    same_in_a_workbook(tmp_path_factory.mktemp("book"), files)


@settings(DEFAULT, max_examples=20)
@given(st.integers(0, 2**32), st.integers(1, 6))
def test_a_broken_workbook_is_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, seed: int, times: int
) -> None:
    broken_workbook(tmp_path_factory.mktemp("broken"), seed, times)


@DEFAULT
@given(st.integers(0, 2**32), st.integers(1, 6))
def test_broken_settings_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, seed: int, times: int
) -> None:
    path = tmp_path_factory.mktemp("settings") / "settings.toml"
    text = 'day = 2027-05-15\n[keep_back]\nbees = 8.0\n[headers.hives]\n"a" = { column = "bees", each = 2 }\n'
    path.write_bytes(broken(text.encode(), seed, times))
    _, findings = read_settings(path)
    assert all(f.sentence() for f in findings)


def same_in_a_workbook(folder: Path, files: dict[str, Table]) -> None:
    """Typed cells of a workbook read as the plain CSV does."""
    first, _ = read({name: plain(table) for name, table in files.items()})
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, table in files.items():
        sheet = book.create_sheet(name)
        sheet.append(list(table[0]))
        for row in table:
            sheet.append(list(row.values()))
    book.save(folder / "bees.xlsx")
    other, findings = read_operation(folder / "bees.xlsx", DAY)
    assert (first is None) == (other is None), [f.sentence() for f in errors(findings)]
    if first is not None and other is not None:
        assert replace(other, settings=first.settings) == first


def broken_workbook(folder: Path, seed: int, times: int) -> None:
    book, data = openpyxl.Workbook(), BytesIO()
    book.active.title = "hives"
    book.active.append(["hive", "yard", "inspected", "bees"])
    book.active.append(["1", "Alder", date(2027, 5, 12), 12.5])
    book.save(data)
    (folder / "bees.xlsx").write_bytes(broken(data.getvalue(), seed, times))
    operation, findings = read_operation(folder / "bees.xlsx", DAY)
    assert operation is None
    assert errors(findings)
    assert all(f.sentence() for f in findings)


@pytest.mark.long
@settings(WIDELY, max_examples=3_000)
@given(formed())
def test_widely_the_same_operation_in_any_form(case: tuple[dict[str, Table], Form]) -> None:
    same_in_a_form(*case)


@pytest.mark.long
@settings(WIDELY, max_examples=7_000)
@given(NAMES, st.binary(max_size=300))
def test_widely_any_bytes(name: str, data: bytes) -> None:
    any_bytes(data, name)


@pytest.mark.long
@settings(WIDELY, max_examples=8_000)
@given(*BREAKS)
def test_widely_broken_tables(name: str, seed: int, times: int) -> None:
    any_bytes(broken(SOUND[f"{name}.csv"].encode(), seed, times), name)


@pytest.mark.long
@settings(WIDELY, max_examples=1_000)
@given(tables(WIDE))
def test_widely_workbooks(tmp_path_factory: pytest.TempPathFactory, files: dict[str, Table]) -> None:
    same_in_a_workbook(tmp_path_factory.mktemp("book"), files)


@pytest.mark.long
@settings(WIDELY, max_examples=1_000)
@given(st.integers(0, 2**32), st.integers(1, 6))
def test_widely_broken_workbooks(tmp_path_factory: pytest.TempPathFactory, seed: int, times: int) -> None:
    broken_workbook(tmp_path_factory.mktemp("broken"), seed, times)
