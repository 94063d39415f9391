"""Feed on the load list and among the looks, summed by yard and trip."""

from dataclasses import replace

import pytest

from routeplan.colony.feed import THIN
from routeplan.output import measures
from routeplan.output.day import Day, day_of
from routeplan.output.feeding import by_trip, feedings, litre_words, of_one, what, who
from routeplan.output.forecast_page import forecast_page
from routeplan.output.forecast_sheet import what_is_fed
from routeplan.output.load import load
from routeplan.output.looks import looks
from routeplan.output.told import told
from tests.output import rich, sample

DEARTH = replace(sample.OPERATION, settings=replace(sample.OPERATION.settings, dearth=True))
DAY = day_of(DEARTH, sample.plan_of())


def syrup_items(day: Day) -> list[tuple[int | None, str]]:
    return [(i.count, i.remark) for part in load(day) for i in part.items if "syrup" in i.what]


def test_nothing_is_fed_in_a_flow() -> None:
    day = day_of(sample.OPERATION, sample.plan_of())
    assert feedings(day) == ()
    assert not [k for k in looks(day) if k.kind == "feed"]
    assert syrup_items(day) == []


def test_every_colony_without_supers_is_fed_in_a_dearth() -> None:
    fed = {one.named.name for one in feedings(DAY)}
    assert "box 1" in fed
    supers = {h.id for h in sample.HIVES if h.supers}
    assert supers == {"A2"}
    assert not [name for name in fed if "A2" in name]


def test_sums_by_yard_and_trip() -> None:
    for day, yard, ones in by_trip(feedings(DAY)):
        (feed,) = [
            k for k in looks(DAY) if (k.kind, k.first, k.yard) == ("feed", day, yard)
        ] or [None]  # fmt: skip
        if day == 0:
            assert feed is None
            continue
        litres = sum(one.litres for one in ones)
        assert feed is not None
        assert feed.who == who(DAY, ones)
        assert (
            f"{litre_words(litres)} in all ({measures.weight(THIN.sugar_kg(litres), 'kg')} sugar" in feed.what
        )
        assert litres == pytest.approx(sum(one.count * one.litres_each for one in ones))


def test_a_box_without_food_frames_is_fed_at_once() -> None:
    """Box 7 has a feeder instead of its food frame."""
    day = day_of(rich.OPERATION, rich.rich_plan())
    first = [one for one in feedings(day) if one.day == 0]
    assert "box 7" in {one.named.name for one in first}
    ((litres, remark),) = syrup_items(day)
    assert litres == max(1, round(sum(one.litres for one in first) + 0.49))
    assert "box 7 at Heath" in remark
    assert "by mass" in remark


def test_words() -> None:
    assert [litre_words(*n) for n in ((1.0,), (0.5,), (1.0, 2.5))] == [
        "1 litre",
        "0.5 litres",
        "1 to 2.5 litres",
    ]
    ones = [one for one in feedings(DAY) if one.day == 14 and one.yard == "Heath"]
    assert what(DAY, ones).startswith("feed 1 : 1 syrup, ")


def test_each_colony_s_feed_adds_up_to_the_trips() -> None:
    """On the page and in the workbook: litres of each colony and day are those of the looks and the load."""
    columns, rows = what_is_fed(DAY)
    assert len(rows) == len(feedings(DAY)) > 5
    for row, one in zip(rows, feedings(DAY), strict=True):
        cells = dict(zip(columns, row, strict=True))
        assert cells["in all, litres"] == one.count * cells["1 : 1 syrup each, litres"]
        # half of it by mass is sugar, 1.23 kg a litre
        assert cells["sugar, kg"] == pytest.approx(0.615 * one.litres, abs=0.05)
    page = forecast_page(told(DEARTH, sample.plan_of()))
    line = of_one(DAY, feedings(DAY), "box 1")
    assert line.startswith("1 : 1 syrup, ")
    assert line in page
    assert of_one(DAY, feedings(DAY), "no such box") == ""


def test_pounds_where_they_are_asked_for() -> None:
    pounds = replace(DEARTH, settings=replace(DEARTH.settings, weight="lb"))
    columns, rows = what_is_fed(day_of(pounds, sample.plan_of()))
    kilograms = what_is_fed(DAY)[1]
    at = columns.index("sugar, lb")
    for mine, theirs in zip(rows, kilograms, strict=True):
        assert mine[at] == pytest.approx(theirs[at] / 0.45359237, abs=0.2)  # type: ignore[operator]
