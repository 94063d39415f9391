"""Splits that come too early or too late for drones, frost, the last day to split and the flow."""

from dataclasses import replace
from datetime import date

import pytest

from routeplan.colony.season import flow_over, late_orders, missed
from routeplan.colony.timeline import timeline
from routeplan.operation.settings import Queens, Settings, Year
from routeplan.operation.world import Order
from tests.output import sample

DAY = date(2026, 5, 9)
OWN = timeline("raise own", Queens())
MATED = timeline("mated", Queens())


def said(year: Year, way: str = "raise own", day: date = DAY) -> list[str]:
    return list(missed(Settings(year=year), day, timeline(way, Queens())))


def test_nothing_is_said_of_dates_that_are_not_known() -> None:
    assert said(Year()) == []


def test_drones_must_fly_when_she_flies_to_mate() -> None:
    """Raised from an egg or a young larva she flies from day 17 to day 23: 26 May to 1 June."""
    assert said(Year(drones_from="2026-05-26")) == []
    (early,) = said(Year(drones_from="2026-05-27"))
    assert early.startswith(
        "too early: drones fly from 2026-05-27 and a young queen flies to mate from 2026-05-26"
    )
    assert said(Year(drones_until="2026-06-01")) == []
    (late,) = said(Year(drones_until="2026-05-31"))
    assert late == "too late: drones fly until 2026-05-31 and a young queen still flies to mate on 2026-06-01"
    assert said(Year(drones_from="2026-07-01", drones_until="2026-05-01"), "mated") == []


def test_its_own_bees_come_before_the_frost() -> None:
    """Own bees by day 54 at the latest: 2 July."""
    assert said(Year(first_frost="2026-07-03")) == []
    (late,) = said(Year(first_frost="2026-07-02"))
    assert "first frost comes on 2026-07-02" in late
    assert "2026-07-02" in late.split("own bees only")[1]


def test_a_mated_queen_is_in_time_where_raising_one_is_not() -> None:
    year = Year(first_frost="2026-06-20")
    assert len(said(year)) == 1
    assert said(year, "mated") == []


def test_the_last_day_to_split() -> None:
    assert said(Year(last_split="2026-05-09")) == []
    assert said(Year(last_split="2026-05-08")) == ["too late: the last day to split is 2026-05-08"]


def test_where_there_is_no_winter_nothing_is_too_late_but_drones_are_needed() -> None:
    year = Year(last_split="2026-05-01", first_frost="2026-06-01", winter=False)
    assert said(year) == []
    assert len(said(replace(year, drones_from="2026-07-01"))) == 1


def test_a_flow_that_ends_before_its_own_bees() -> None:
    yard = replace(sample.YARDS[2], flow_until=date(2026, 6, 19))
    assert "ends on 2026-06-19" in flow_over(DAY, yard, OWN)
    assert flow_over(DAY, replace(yard, flow_until=date(2026, 7, 5)), OWN) == ""
    assert flow_over(DAY, replace(yard, flow_until=None), OWN) == ""
    assert flow_over(DAY, yard, MATED) == ""


@pytest.mark.parametrize("winter", [True, False])
def test_each_order_that_is_late_is_a_finding(winter: bool) -> None:
    year = Year(first_frost="2026-06-25", winter=winter)
    yards = tuple(replace(y, flow_until=date(2026, 5, 20)) if y.id == "Gorse" else y for y in sample.YARDS)
    operation = replace(
        sample.OPERATION,
        yards=yards,
        orders=(Order("own", 2, "three-frame"), Order("q", 1, "four-frame", "mated", to_yard="Gorse", row=3)),
        settings=replace(sample.OPERATION.settings, year=year),
    )
    found = late_orders(operation)
    assert [(f.level, f.table, f.row) for f in found] == (
        [("warning", "splits", None), ("warning", "splits", 3)] if winter else []
    )
    if winter:
        assert "first frost" in found[0].message
        assert "flow at Gorse" in found[1].message
        assert found[1].cure.startswith("Feed it")


@pytest.mark.parametrize(
    ("way", "by", "cure"),
    [
        # own queen 42 days, cell 30, mated 21 (common practice); the day is 9 May
        ("raise own", date(2026, 6, 20), None),
        ("raise own", date(2026, 6, 19), "Try another way to a queen: ripe cell or mated."),
        ("raise own", date(2026, 6, 7), "Try another way to a queen: mated."),
        ("ripe cell", date(2026, 6, 8), None),
        ("ripe cell", date(2026, 6, 7), "Try another way to a queen: mated."),
        ("mated", date(2026, 5, 30), None),
        ("mated", date(2026, 5, 29), "No way to a queen is that quick."),
    ],
)
def test_a_split_that_is_not_ready_to_sell_in_time(way: str, by: date, cure: str | None) -> None:
    order = Order("A", 1, "four-frame", way, ready_by=by)
    found = late_orders(replace(sample.OPERATION, orders=(order,)))
    assert [f.cure for f in found] == ([cure] if cure else [])
    assert all(f"not by {by}" in f.message for f in found)
