"""Both sides of every limit: what just holds passes, one step further is said with its amount."""

from dataclasses import replace
from datetime import date

import pytest

from routeplan.audit import audit
from routeplan.audit.times import shut_in_limit_s
from routeplan.operation.world import Operation, Pair, Weather
from routeplan.plan import Plan
from tests.audit.edit import (
    ruled,
    settled,
    with_count,
    with_crew,
    with_settings,
    with_split,
    with_stock,
    with_stop,
    with_yard,
)
from tests.tiny import DAY, tiny_operation, tiny_plan

OP, PLAN = tiny_operation(), tiny_plan()
NONE = None


def _flying(metres: float) -> Operation:
    return replace(OP, pairs=(Pair("Cedar", "Borehole", flying_m=metres, drive_min=25.0),))


AT_4828 = with_split(PLAN, "S3", flying_m=4828)
LEAVES_LATER = settled(PLAN, leave_home=PLAN.totals.leave_home + 3600)
WAITS_AT_ACACIA = settled(with_stop(PLAN, 1, early_s=300), leave_home=PLAN.totals.leave_home - 300)

EDGES = [
    # R1: A2 keeps exactly 8 frames of bees; a count of 14 days is the last that is trusted
    ("bees", with_count(OP, "A2", bees=12.1), PLAN, NONE),
    ("bees", with_count(OP, "A2", bees=12.09), PLAN, ("R1", 0.01)),
    ("last count", with_count(OP, "A2", inspected=date(2027, 5, 1)), PLAN, NONE),
    # with nothing asked to stay, the mixed rest of a comb is not missed: 1 - 1 - 0.2 of open, of food
    (
        "no open asked",
        with_settings(with_count(OP, "A1", inspected=DAY, capped=6, open=1), "keep_back", open=0.0),
        PLAN,
        NONE,
    ),
    ("no food asked", with_settings(with_count(OP, "A1", food=1), "keep_back", food=0.0), PLAN, NONE),
    (
        "no whole frame of eggs",
        with_settings(with_count(OP, "B1", inspected=DAY, capped=6.5, open=0.9), "keep_back", open=0.0),
        PLAN,
        ("R1", 1),
    ),
    (
        "food unknown and none asked to stay",
        with_settings(with_count(OP, "A1", food=None), "keep_back", food=0.0),
        PLAN,
        ("R1", 1),
    ),
    # R2: eggs seen 3 days ago
    ("eggs", with_settings(OP, "limits", eggs_days=3), PLAN, NONE),
    ("eggs", with_settings(OP, "limits", eggs_days=2), PLAN, ("R2", 1)),
    # R3: two brood frames of seven
    ("share", with_settings(OP, "limits", brood_share=2 / 7), PLAN, NONE),
    ("donors", with_settings(OP, "limits", donors_per_split=1), PLAN, NONE),
    # R4: three mites per 100 bees are the threshold; treated until the day before
    ("mites", with_count(OP, "A1", mites_per_100=3.0), PLAN, NONE),
    ("treated", with_count(OP, "A1", treated_until=date(2027, 5, 14)), PLAN, NONE),
    # R5: equality is allowed, a centimetre less is not
    ("distance", _flying(4828.032), AT_4828, NONE),
    ("distance", _flying(4828.022), AT_4828, ("R5", 0.01)),
    ("distance", with_settings(OP, "", minimum_distance_m=5565.9745), PLAN, NONE),
    ("distance", with_settings(OP, "", minimum_distance_m=5566.0), PLAN, ("R5", 0.0254603)),
    # R6
    ("room", with_yard(OP, "Cedar", room=1), PLAN, NONE),
    ("no limit", with_yard(OP, "Cedar", room=None), PLAN, NONE),
    ("room", with_yard(OP, "Cedar", room=0), PLAN, ("R6", 1)),
    # R7: two full boxes and one empty
    ("places", with_crew(OP, places=3), PLAN, NONE),
    ("places", with_crew(OP, places=None), PLAN, NONE),
    ("empties", with_crew(OP, places=3, empties_per_place=1), PLAN, NONE),
    ("places", with_crew(OP, places=2), PLAN, ("R7", 1)),
    # R8: minutes on the clock of the plan
    ("hives from", with_crew(OP, hives_from_min=600), PLAN, NONE),
    ("opens", with_yard(OP, "Cedar", opens_min=707), PLAN, NONE),
    ("closes", with_yard(OP, "Cedar", closes_min=719), PLAN, NONE),
    # waiting for a yard to open: at Acacia from 09:45 to 09:50; at Cedar from 11:47:06 to 12:00
    ("waits at Acacia", with_yard(OP, "Acacia", opens_min=590), WAITS_AT_ACACIA, NONE),
    ("waits at Cedar", with_yard(OP, "Cedar", opens_min=720), settled(with_stop(PLAN, 3, early_s=774)), NONE),
    (
        "a second less",
        with_yard(OP, "Cedar", opens_min=720),
        settled(with_stop(PLAN, 3, early_s=773)),
        ("R8", 1),
    ),
    # 54 s later the crew leaves Cedar at 11:59:00
    ("closes as they leave", with_yard(OP, "Cedar", closes_min=719), settled(PLAN, leave_home=34753), NONE),
    ("a second late", with_yard(OP, "Cedar", closes_min=719), settled(PLAN, leave_home=34754), ("R8", 1)),
    ("open again today", with_yard(OP, "Cedar", closed_until=DAY), PLAN, NONE),
    ("open again tomorrow", with_yard(OP, "Cedar", closed_until=date(2027, 5, 16)), PLAN, ("R8", 1)),
    ("closed on Fridays", with_yard(OP, "Cedar", closed_days=(5,)), PLAN, NONE),
    ("leaving later is free", OP, LEAVES_LATER, NONE),
    ("a drive 1 s short", OP, settled(with_stop(PLAN, 3, drive_s=1314)), NONE),
    ("a drive 2 s short", OP, settled(with_stop(PLAN, 3, drive_s=1313)), ("R8", 2)),
    ("a longer road", OP, settled(with_stop(PLAN, 3, drive_s=1500, drive_m=7236)), NONE),
    # R9: S3 is shut in 1975 s
    ("shut in", with_settings(OP, "shut_in", screened_min=(0, 1975 / 60, 0, 0)), PLAN, NONE),
    ("shut in", with_settings(OP, "shut_in", screened_min=(0, 1974 / 60, 0, 0)), PLAN, ("R9", 1)),
    # R11: three boxes of five combs
    ("stock", with_stock(OP, "foundation", 9), PLAN, NONE),
    ("last comb", with_stock(OP, "foundation", 8), PLAN, ("R11", 1)),
    ("boxes", with_stock(OP, "nuc box", 2), PLAN, ("R11", 1)),
    ("no stock listed", replace(OP, stock=()), PLAN, NONE),
    ("only boxes listed", replace(OP, stock=OP.stock[2:]), PLAN, NONE),
]


@pytest.mark.parametrize(("_what", "operation", "plan", "broken"), EDGES)
def test_edge(  # type: ignore[no-untyped-def]
    _what, operation: Operation, plan: Plan, broken: tuple[str, float] | None
) -> None:
    found = [(v.rule, v.amount) for v in audit(operation, ruled(operation, plan)) if not _is_could(v.what)]
    assert found == ([] if broken is None else [(broken[0], pytest.approx(broken[1], abs=1e-6))])


def _is_could(what: str) -> bool:
    """What hives could give alone changes with their counts; tried by itself elsewhere."""
    return "could give" in what


@pytest.mark.parametrize(
    ("warmest", "screened", "minutes"),
    [
        (None, True, 240),
        (None, False, 60),
        (19.9, True, 360),
        (20.0, True, 240),
        (24.9, True, 240),
        (25.0, True, 120),
        (30.0, True, 45),
        (34.9, True, 45),
        (35.0, True, 0),
        (19.0, False, 90),
        (26.9, False, 30),
        (27.0, False, 0),
    ],
)
def test_minutes_shut_in_by_heat(warmest: float | None, screened: bool, minutes: float) -> None:
    """Common practice: 360, 240, 120, 45 min by heat; unscreened a quarter, none from 27 C."""
    operation = with_settings(replace(OP, weather=()), "shut_in", warmest_c=warmest, screened=screened)
    assert shut_in_limit_s(operation) == minutes * 60


def test_warmest_forecast_of_the_day_counts() -> None:
    rows = (Weather(DAY, "Cedar", 24.0), Weather(DAY, "Acacia", 31.0), Weather(date(2027, 5, 16), None, 40.0))
    operation = with_settings(replace(OP, weather=rows), "shut_in", warmest_c=10.0)
    assert shut_in_limit_s(operation) == 45 * 60


@pytest.mark.parametrize(("drawn", "extra", "over"), [(0, 2, 0), (0, 3, 1), (1, 1, 0), (1, 2, 1)])
def test_more_than_the_kit_up_to_the_box(drawn: int, extra: int, over: int) -> None:
    """Five combs in the box: beside the kit's three two more fit; one less when a drawn comb must stay."""
    kits = tuple(replace(k, drawn=drawn, fill=2 - drawn) if k.name == "three-frame" else k for k in OP.kits)
    takes = tuple(
        replace(t, frames=1 + extra) if (t.hive, t.kind) == ("A1", "food") else t for t in PLAN.stops[0].takes
    )
    found = audit(replace(OP, kits=kits), with_stop(PLAN, 1, takes=takes))
    assert [v.amount for v in found if v.rule == "R2"] == ([over] if over else [])


def test_made_and_placed_at_the_same_stop() -> None:
    plan = with_stop(with_stop(PLAN, 3, places=()), 2, places=("S1", "S2", "S3"))
    (found,) = (v for v in audit(OP, plan) if v.rule == "R7")
    assert found.what == "split S3 is placed at stop 2 and made at stop 2, not before"
    assert found.amount == 1


def test_a_hive_opened_at_two_stops_is_caught() -> None:
    operation, plan = tiny_operation(), tiny_plan()
    making = next(stop for stop in plan.stops if stop.opens)
    twice = replace(plan, stops=(*plan.stops, making))
    found = [v for v in audit(operation, twice) if v.rule == "R3" and v.unit == "stops"]
    assert sorted((v.where, v.amount) for v in found) == sorted(((making.yard, h), 1) for h in making.opens)
    assert not [v for v in audit(operation, plan) if v.unit == "stops"]
