"""Whatever stands in a cell: it is read or it is named, and nothing is raised or made up."""

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from routeplan.operation import values
from routeplan.operation.build import build_operation
from routeplan.operation.cells import read_cell
from routeplan.operation.check import check
from routeplan.operation.columns import TABLES
from routeplan.operation.findings import errors
from routeplan.operation.grids import Sheet
from routeplan.operation.read import read_sheets
from routeplan.operation.settings import Settings
from routeplan.operation.unreadable import UnreadableError
from tests.operation.sound import SOUND

CELL = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        ["", "0", "-1", "1e9", "½", "yes", "24:00", "2027-05-12", "52.1, -2.7", "NA", "Alder", "?", "="]
    ),
)
FILLED = st.text(min_size=1, max_size=12).map(str.strip).filter(bool)


def _sheet(name: str, rows: list[list[str]]) -> Sheet:
    header = tuple(column.name for column in TABLES[name])
    return Sheet(name, f"{name}.csv", header, tuple(enumerate(rows, 2)))


@st.composite
def operations(draw: st.DrawFn) -> dict[str, Sheet]:
    """All tables full of anything, in the columns that are known."""
    sheets = {}
    for name, columns in TABLES.items():
        row = st.lists(CELL, min_size=len(columns), max_size=len(columns))
        sheets[name] = _sheet(name, draw(st.lists(row, min_size=1, max_size=3)))
    return sheets


@settings(max_examples=60, deadline=None)
@given(operations())
def test_any_cells_give_an_operation_or_errors(sheets: dict[str, Sheet]) -> None:
    draft, findings = read_sheets(sheets, Settings(), date(2027, 5, 15))
    findings += check(draft)
    assert all(finding.sentence() for finding in findings)
    if not errors(findings):
        assert build_operation(draft).yards


@settings(max_examples=300, deadline=None)
@given(st.sampled_from([c for columns in TABLES.values() for c in columns]), FILLED, st.booleans())
def test_any_filled_cell_is_read_or_named(column: object, text: str, decimal_comma: bool) -> None:
    try:
        read = read_cell(column, text, decimal_comma)  # type: ignore[arg-type]
    except UnreadableError as fault:
        read = fault
    if isinstance(read, UnreadableError):
        assert read.problem.endswith(".")
        assert read.cure.endswith(".")
    else:
        assert read is not None


@given(st.floats(0, 1000, allow_nan=False).map(lambda x: round(x, 3)))
def test_a_number_written_plainly_reads_as_itself(value: float) -> None:
    text = f"{value:.3f}"
    assert values.number(text) == value
    assert values.number(text.replace(".", ","), decimal_comma=True) == value


@given(st.dates())
def test_an_iso_date_reads_as_itself(day: date) -> None:
    assert values.iso_date(day.isoformat()) == day


@given(st.integers(0, 24 * 60))
def test_a_time_of_day_reads_as_itself(minutes: int) -> None:
    assert values.clock(f"{minutes // 60:02d}:{minutes % 60:02d}") == minutes


def test_the_sound_tables_use_only_columns_that_are_known() -> None:
    for name, text in SOUND.items():
        if name.endswith(".csv"):
            known = {column.name for column in TABLES[name.removesuffix(".csv")]}
            assert set(text.split("\n")[0].split(",")) <= known
