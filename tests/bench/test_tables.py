"""An operation written to tables is read back the same, so that the benchmark measures what it says."""

from dataclasses import replace
from pathlib import Path

import pytest

from routeplan.operation.findings import errors
from routeplan.operation.read import read_operation
from routeplan.operation.world import Operation
from tests.bench import practice_rows
from tests.bench.tables import write_tables
from tests.practice import PRACTICE_REGIMES, practice_operation
from tests.seeded import bench_operation, mixed_operation, rich_operation, small_operation


def plain(operation: Operation) -> Operation:
    """The operation without row numbers or kits that exist without a table, its stock in any order."""
    used = {o.kit for o in operation.orders}
    return replace(
        operation,
        yards=tuple(replace(y, row=0) for y in operation.yards),
        hives=tuple(replace(h, row=0) for h in operation.hives),
        orders=tuple(replace(o, row=0) for o in operation.orders),
        kits=tuple(k for k in operation.kits if k.name in used),
        stock=tuple(sorted((replace(s, row=0) for s in operation.stock), key=repr)),
        settings=replace(operation.settings, day=""),
    )


@pytest.mark.parametrize(
    "operation",
    [
        bench_operation(12, 150, 20),
        bench_operation(12, 150, 20, regime="no set-up"),
        mixed_operation(12, 150, 20),
        practice_operation(12, 150, 20),
        *(practice_operation(12, 60, 10, regime=regime) for regime in PRACTICE_REGIMES),
        *(day.operation() for day in practice_rows.days([12], False, 1, floors=practice_rows.FLOORS)),
        *(small_operation(seed) for seed in range(12)),
        *(
            rich_operation(seed) for seed in range(12) if seed != 5
        ),  # 5: a kit with too few bees to raise a queen
    ],
)
def test_tables_read_back_equal(operation: Operation, tmp_path: Path) -> None:
    write_tables(operation, tmp_path)
    read, findings = read_operation(tmp_path)
    assert errors(findings) == []
    assert read is not None
    assert plain(read) == plain(operation)
