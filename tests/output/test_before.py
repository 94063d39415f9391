"""What must be known before leaving: dates that splits miss."""

from dataclasses import replace

from routeplan.operation.settings import Year
from routeplan.output.before import before
from routeplan.output.day import day_of
from tests.output import sample


def test_the_sheet_says_which_dates_its_splits_miss() -> None:
    settings = replace(sample.OPERATION.settings, year=Year(first_frost="2026-06-25"))
    operation = replace(sample.OPERATION, settings=settings)
    lines = before(day_of(operation, sample.plan_of()))
    late = [line for line in lines if "first frost" in line]
    assert len(late) == 1  # mated: own bees by 6 June; cells: by 18 June
    assert late[0].startswith("Order “own”: too late: the first frost comes on 2026-06-25")
    none = replace(sample.plan_of(), splits=())
    assert not [line for line in before(day_of(operation, none)) if "frost" in line]
