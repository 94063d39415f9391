"""What must be known before leaving: dates that splits miss, drones, flows that end."""

from dataclasses import replace
from datetime import date

from routeplan.operation.settings import Year
from routeplan.output.before import before
from routeplan.output.day import day_of
from tests.output import sample


def lines_with(words: str, **changed: object) -> list[str]:
    operation = replace(sample.OPERATION, **changed)  # type: ignore[arg-type]
    return [line for line in before(day_of(operation, sample.plan_of())) if words in line]


def test_the_sheet_says_which_dates_its_splits_miss() -> None:
    settings = replace(sample.OPERATION.settings, year=Year(first_frost="2026-06-25"))
    (late,) = lines_with("first frost", settings=settings)  # mated: own bees by 6 June; cells: by 18 June
    assert late.startswith("Order “own”: too late: the first frost comes on Thu 25 June")
    operation = replace(sample.OPERATION, settings=settings)
    none = replace(sample.plan_of(), splits=())
    assert not [line for line in before(day_of(operation, none)) if "frost" in line or "drones" in line]


def test_drones_must_fly_when_young_queens_do() -> None:
    """A cell's queen flies first on day 6, the last of those raised from an egg on day 23."""
    (line,) = lines_with("drones")
    assert (
        line == "Young queens fly to mate Fri 15 May to Mon 1 June (boxes 1–3): grown drones must fly then."
    )


def test_a_flow_that_ends_is_told_of_the_boxes_that_stand_there() -> None:
    yards = tuple(replace(y, flow_until=date(2026, 6, 1)) if y.id == "Gorse" else y for y in sample.YARDS)
    told = lines_with("flow at Gorse", yards=yards)
    assert [line.split(":")[0] for line in told] == ["Box 2", "Box 3"]
    assert "ends on Mon 1 June, before its own first bees" in told[0]
    assert lines_with("flow at") == []
