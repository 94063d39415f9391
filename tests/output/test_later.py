"""The weeks after: trips, and what counts against a yard."""

from dataclasses import replace

from routeplan.output.day import day_of
from routeplan.output.later import after_line, against, weeks_after
from tests.output import rich, sample

DAY = day_of(rich.OPERATION, rich.rich_plan())
YARDS = {y.yard: y for y in weeks_after(DAY)}


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_trips_of_each_yard_that_gets_splits() -> None:
    assert list(YARDS) == ["Birch", "Gorse", "Heath", "Alder"]
    assert YARDS["Birch"].lines == ("Somebody comes by every week anyway: no trip counted.",)
    row = next(a for a in DAY.plan.after if a.yard == "Gorse")
    assert (row.trips, row.feeding_trips, row.cell_trips) == (3, 2, 0)
    minutes = round(row.trip_s / 60)
    assert plain(YARDS["Gorse"].lines[0]).startswith(
        f"3 trips to look and 2 to feed: {minutes} min and {row.trip_m / 1000:.1f} km there and back each, "
    )
    assert YARDS["Heath"].lines[0].startswith("3 trips to look and cells in on Sun 10 May: ")
    assert YARDS["Alder"].lines == ()


def test_cells_are_brought_to_a_yard_that_is_looked_after() -> None:
    yards = tuple(replace(y, looked_after=True) for y in rich.YARDS)
    rows = tuple(replace(a, trips=0, feeding_trips=0) for a in DAY.plan.after)
    day = day_of(replace(rich.OPERATION, yards=yards), replace(DAY.plan, after=rows))
    heath = next(y for y in weeks_after(day) if y.yard == "Heath")
    assert heath.lines[0].startswith(
        "Somebody comes by every week anyway: no trip counted but the one with cells. Cells in on Sun 10 May"
    )


def test_few_splits_robbing_many_yards_and_swaps_are_said_in_sentences() -> None:
    """Case A21: in a dearth strong hives beside the splits count against a yard; the reason is printed."""
    gorse = [plain(line) for line in YARDS["Gorse"].lines]
    assert gorse[1] == "Few splits here (3 splits; a trip is worth it from 4): 10 min counted against it."
    assert gorse[2].startswith(
        "No flow here: in this dearth 2 strong hives beside the splits may rob them: 6 min"
    )
    assert len([line for line in YARDS["Heath"].lines if "fall on" not in line]) == 2
    assert [plain(line) for line in against(DAY)] == [
        "Splits go to 2 yards that nobody looks after; more than 1 on one day count 20 min against the plan.",
        "3 swaps for frames that are short: 45 min counted against the plan.",
    ]
    said = sum(a.few_s + a.robbing_s for a in DAY.plan.after) + 60 * (20 + 45)
    assert said == DAY.plan.totals.against_s


def test_nothing_is_said_where_nothing_counts() -> None:
    day = day_of(sample.OPERATION, sample.plan_of())
    assert against(day) == ()
    assert [y.lines for y in weeks_after(day) if y.yard in ("Birch", "Heath")] == [("No trip counted.",)] * 2
    gorse = next(y for y in weeks_after(day) if y.yard == "Gorse")
    assert plain(gorse.lines[0]) == "Cells in on Sun 10 May: 30 min and 18.5 km there and back."
    assert plain(after_line(day)) == "In the weeks after: 1 trip, 30 min in all"
    assert after_line(day_of(sample.OPERATION, sample.no_plan())) == ""
    assert weeks_after(day_of(sample.OPERATION, sample.no_plan())) == ()
