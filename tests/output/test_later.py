"""The weeks after: trips, dated looks, what counts against a yard; days are common practice."""

from dataclasses import replace

from routeplan.operation.world import QUEEN_WAYS
from routeplan.output import words
from routeplan.output.day import day_of
from routeplan.output.later import LOOKS, after_line, against, first_look, looks, weeks_after, when
from tests.output import rich, sample

DAY = day_of(rich.OPERATION, rich.rich_plan())
YARDS = {y.yard: y for y in weeks_after(DAY)}


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


def test_every_way_to_a_queen_has_later_looks() -> None:
    assert set(LOOKS) == set(words.QUEEN_WAY) == set(QUEEN_WAYS)


def test_looks_are_dated() -> None:
    """Days after the split from the table of checks: common practice."""
    day = day_of(sample.OPERATION, sample.plan_of())
    said = [(when(day, k), k.yard, k.who, k.what) for k in looks(day)]
    assert said[0] == ("Sun 10 May", "Gorse", "box 3", "ripe cell in")
    assert ("Sat 16 May", "Birch", "box 1", "count the queen cells, then close") in said
    assert ("Sun 24 May to Wed 3 June", "Gorse", "box 2", "leave closed: the queen flies to mate") in said
    assert ("Sat 6 June", "Gorse", "box 2", "eggs? if none, give a test frame") in said
    assert [k.first for k in looks(day)] == sorted(k.first for k in looks(day))


def test_looks_by_way_to_a_queen() -> None:
    """Caged 4 and 10 days; cell the next day, eggs 18 to 21; parent's queen 7; own cells 18 to 21."""
    by_way = {queen: [(a, b) for a, b, _ in plan] for queen, plan in LOOKS.items()}
    assert by_way["mated"][:2] == [(4, 4), (10, 10)]
    assert by_way["ripe cell"][:2] == [(1, 1), (18, 21)]
    assert by_way["parent's"] == [(7, 7)]
    assert by_way["own cells"][-1] == (18, 21)
    assert by_way["raise own"][:4] == [(7, 7), (14, 14), (15, 25), (28, 28)]


def test_a_donor_whose_queen_left_is_looked_at_like_a_split_that_raises_its_own() -> None:
    alder = YARDS["Alder"].looks
    assert alder == (
        ("Thu 14 May to Sat 16 May", "hives A5, A1, A6 and A3", "eggs? if none, look for queen cells"),
        ("Sat 16 May", "hive A2", "count the queen cells, then close"),
        ("Sat 6 June", "hive A2", "eggs? if none, give a test frame"),
    )
    hives = tuple(replace(h, queen="queenless") if h.id == "A5" else h for h in rich.HIVES)
    broken_up = day_of(replace(rich.OPERATION, hives=hives), rich.rich_plan())
    assert ("hives A5 and A2") in {k.who for k in looks(broken_up)}


def test_the_next_look_is_never_to_leave_it_closed() -> None:
    assert first_look(DAY, "own cells") == "Wed 27 May to Sat 30 May: eggs? if none, give a test frame"
    assert first_look(DAY, "raise own") == "Sat 16 May: count the queen cells, then close"


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
    assert len(YARDS["Heath"].lines) == 2
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
