"""How numbers, days and qualities are written."""

import re
from dataclasses import replace
from datetime import date

import pytest

from routeplan.audit import audit
from routeplan.colony.surplus import surplus_of
from routeplan.operation.settings import Settings, ShutIn
from routeplan.operation.world import Operation, Order, Place, Weather
from routeplan.output import day as days
from routeplan.output import measures
from routeplan.output.before import before
from routeplan.output.cards import cards
from routeplan.output.day import day_of
from routeplan.output.good import per_cent, quality
from routeplan.output.marks import bearing_deg, drawing
from routeplan.output.page import day_page
from routeplan.output.results import missing, split_lines, yard_whys
from routeplan.output.taking import keep_rule
from routeplan.plan import Plan, Proof
from routeplan.planning.alternatives import counted
from routeplan.planning.cost import cost_of
from routeplan.planning.standby import standbys_of, take_rules_of
from tests.output import rich
from tests.output.sample import DAY, OPERATION, YARDS, plan_of

PLAN = plan_of()


def with_proof(**change: object) -> object:
    return replace(PLAN, proof=replace(PLAN.proof, **change))


def plain(text: str) -> str:
    return text.replace(measures.HARD, " ")


def test_the_sample_is_a_sound_plan() -> None:
    assert audit(OPERATION, PLAN) == []


@pytest.mark.parametrize(
    ("operation", "plan"), [(OPERATION, PLAN), (rich.OPERATION, rich.rich_plan())], ids=["small", "rich"]
)
def test_what_is_written_down_is_what_planning_would_write(operation: Operation, plan: Plan) -> None:
    """Standbys, take rules, money and the sums of the weeks after, worked out by the planning room."""
    standbys = standbys_of(operation, surplus_of(operation), plan)
    assert plan.standbys == standbys
    assert plan.take_rules == take_rules_of(operation, plan, standbys)
    assert plan.cost == cost_of(operation, plan)
    assert plan.totals == counted(operation, plan)


@pytest.mark.parametrize(
    ("seconds", "written"),
    [(0, "0 min"), (29, "0 min"), (30, "1 min"), (2520, "42 min"), (3600, "1 h"), (24900, "6 h 55 min")],
)
def test_span(seconds: int, written: str) -> None:
    assert plain(measures.span(seconds)) == written


@pytest.mark.parametrize(
    ("seconds", "written"), [(0, "00:00"), (32580, "09:03"), (32609, "09:03"), (32610, "09:04")]
)
def test_clock(seconds: int, written: str) -> None:
    assert measures.clock(seconds) == written


def test_distance_says_its_unit() -> None:
    # The international mile is 1,609.344 m exactly (international yard and pound agreement of 1959).
    assert plain(measures.distance(1609.344, "mi", 2)) == "1.00 mi"
    assert plain(measures.distance(4828.032, "km", 2)) == "4.83 km"


@pytest.mark.parametrize(("numbers", "written"), [([3, 1, 2, 5], "1–3, 5"), ([7], "7"), ([], "")])
def test_runs(numbers: list[int], written: str) -> None:
    assert measures.runs(numbers) == written


def test_days() -> None:
    # 29 February 2028 is a Tuesday (Gregorian calendar, ISO 8601).
    assert measures.day_words(date(2028, 2, 29), year=True) == "Tuesday 29 February 2028"
    assert measures.days_after(date(2028, 2, 28), 1, 2) == "Tue 29 February to Wed 1 March"


@pytest.mark.parametrize(
    ("share", "written"), [(0, "0.0 %"), (0.014, "1.4 %"), (0.01401, "1.5 %"), (1e-5, "0.1 %")]
)
def test_a_gap_is_never_written_smaller_than_it_is(share: float, written: str) -> None:
    assert plain(per_cent(share)) == written


@pytest.mark.parametrize(
    ("status", "count_status", "says_best"),
    [
        ("optimal", "optimal", True),
        ("feasible", "optimal", False),
        ("optimal", "feasible", False),
        ("feasible", "feasible", False),
    ],
)
def test_best_possible_only_when_both_are_proved(status: str, count_status: str, says_best: bool) -> None:
    assert (quality(with_proof(status=status, count_status=count_status)) == "best possible") is says_best


def test_no_stops_is_no_plan() -> None:
    assert quality(replace(PLAN, stops=(), proof=Proof("none", "optimal", 0, 0, 0, 0))) == "no plan"


def test_boxes_are_numbered_in_the_order_they_are_made() -> None:
    assert day_of(OPERATION, PLAN).boxes == {"s1": 1, "s2": 2, "s3": 3, "s4": 4, "s5": 5}
    turned = replace(PLAN, splits=PLAN.splits[::-1])
    assert day_of(OPERATION, turned).boxes == day_of(OPERATION, PLAN).boxes


def test_what_each_yard_does() -> None:
    day = day_of(OPERATION, PLAN)
    jobs = {y.id: days.job(day, y) for y in YARDS}
    assert jobs == {
        "Alder": "takes",
        "Birch": "both",
        "Gorse": "receives",
        "Heath": "receives",
        "Mill": "closed",
        "Quarry": "health",
        "Thorn": "idle",
    }


def test_a_yard_opens_again_on_the_day_it_is_closed_until() -> None:
    closed = replace(OPERATION, yards=(replace(YARDS[6], closed_until=DAY),))
    assert not days.is_closed(closed, closed.yards[0])
    assert days.is_closed(replace(closed, day=date(2026, 5, 8)), closed.yards[0])


@pytest.mark.parametrize(
    ("warmest", "screened", "minutes"),
    [
        (None, True, 240),
        (19.9, True, 360),
        (20, True, 240),
        (29.9, True, 120),
        (34.9, True, 45),
        (35, True, 0),
        (26.9, False, 30),
        (27, False, 0),
    ],
)
def test_shut_in_limit(warmest: float | None, screened: bool, minutes: float) -> None:
    """Limits of common practice, from memory: the settings' defaults."""
    settings = Settings(shut_in=ShutIn(screened=screened, warmest_c=warmest))
    assert days.shut_in_limit_min(replace(OPERATION, weather=(), settings=settings)) == minutes


def test_weather_of_the_day_wins_over_the_setting() -> None:
    weather = (Weather(DAY, None, 18.0), Weather(DAY, "Birch", 31.0), Weather(date(2026, 5, 10), None, 40.0))
    assert days.warmest(replace(OPERATION, weather=weather)) == 31.0


def test_a_card_says_which_frames_go_into_which_box() -> None:
    card = cards(day_of(OPERATION, PLAN))[0]
    assert [(o.kinds, o.box, len(o.ticks)) for o in card.hives[0].outs] == [
        ("1 capped + 1 open with eggs", "box 1", 2),
        ("1 open with eggs + 1 food + 2 shakes", "box 2", 3),
    ]
    assert [h.back for h in card.hives] == [4, 2, 3]
    assert [(need.count, need.kind) for need in card.need] == [
        (3, "capped"),
        (1, "open"),
        (2, "open with eggs"),
        (3, "food"),
        (6, "shakes"),
    ]


def test_the_order_of_work() -> None:
    """Mothers first, one box before the next, bad tempers last: common practice."""
    first, last = cards(day_of(OPERATION, PLAN))[0], cards(day_of(OPERATION, PLAN))[3]
    assert [step for step in first.hive_steps if "A1" in step] == ["Queen mothers first: hive A1."]
    assert first.hive_steps[-1] == "Bad tempers last: hive A3."
    assert last.place_steps[-1].startswith("Open last, when all stand (about 13:11)")


def test_the_rule_on_sight_says_the_settings() -> None:
    rule = keep_rule(day_of(OPERATION, PLAN))
    assert (
        "Never more than 2 brood frames from one hive (3 from one with 10 or more), never over a third"
        in rule
    )
    early = replace(OPERATION, settings=Settings(season="early spring"))
    assert "(3 from" not in keep_rule(day_of(early, PLAN))


def test_splits_say_distance_and_minutes_with_their_limits() -> None:
    line = split_lines(day_of(OPERATION, PLAN))[1]
    assert plain(line.flying) == "8.16 km, at least 4.83 km"
    assert plain(line.shut_in) == "1 h 44 min, at most 4 h"


def test_a_close_distance_is_called_borderline() -> None:
    near = replace(PLAN, splits=tuple(replace(s, flying_m=4833) for s in PLAN.splits))
    assert split_lines(day_of(OPERATION, near))[0].flying.endswith("borderline")
    under = replace(PLAN, splits=tuple(replace(s, flying_m=4827) for s in PLAN.splits))
    assert split_lines(day_of(OPERATION, under))[0].flying.endswith("too near")
    just = replace(PLAN, splits=tuple(replace(s, flying_m=4828) for s in PLAN.splits))
    assert split_lines(day_of(OPERATION, just))[0].flying.endswith("borderline")


def test_map_cards_and_tables_call_the_same_distances_borderline() -> None:
    near = replace(PLAN, splits=tuple(replace(s, flying_m=4833) for s in PLAN.splits))
    day = day_of(OPERATION, near)
    said = "at least 4.83 km, borderline"
    assert all(said in plain(line.flying) for line in split_lines(day))
    flights = drawing(day).flights
    assert flights
    assert all(plain(flight.lines[-1]) == f"4.83 km apart, {said}" for flight in flights)
    page = plain(re.sub(r"<[^>]+>", "", day_page(OPERATION, near)))
    assert page.count(f"4.83 km away ({said})") == len(near.splits)
    assert "borderline" not in plain(day_page(OPERATION, PLAN))


def test_what_is_missing_names_the_rule_in_words() -> None:
    line = missing(day_of(OPERATION, PLAN))[0]
    assert (line.count, line.rule) == ("1 split", "what a hive must keep")
    assert line.order == "cells: three-frame, gets a ripe cell"


def test_hives_alike_share_a_line_and_none_is_lost() -> None:
    parts = yard_whys(day_of(OPERATION, PLAN))
    assert sum(p.hives for p in parts) == len(OPERATION.hives)
    again = replace(PLAN, hives=(*PLAN.hives, replace(PLAN.hives[-1], hive="T2")))
    assert yard_whys(day_of(OPERATION, again))[-1].lines[0].hive == "T1, T2"


def test_the_drawing_has_every_yard_and_every_flight() -> None:
    view = drawing(day_of(OPERATION, PLAN))
    assert [m.name for m in view.marks] == [*(y.id for y in YARDS), "Home"]
    assert [plain(f.label) for f in view.flights] == ["1: 6.53 km", "2–3: 8.16 km", "4–5: 6.99 km"]
    assert len(view.drive) == 6
    assert [r.radius_m for r in view.rings] == [pytest.approx(4828.032)] * 2


def test_a_yard_visited_twice_shows_both_numbers() -> None:
    twice = replace(PLAN, stops=(*PLAN.stops, replace(PLAN.stops[0], takes=(), makes=(), opens=())))
    mark = next(m for m in drawing(day_of(OPERATION, twice)).marks if m.name == "Alder")
    assert mark.figure == "1·5"


def test_arrows_point_along_the_flight() -> None:
    assert bearing_deg(Place(50, 0), Place(51, 0)) == pytest.approx(0)
    assert bearing_deg(Place(0, 0), Place(0, 1)) == pytest.approx(90)


def test_an_unplaced_order_that_is_gone_is_still_named() -> None:
    gone = replace(OPERATION, orders=(Order("own", 2, "three-frame"),))
    assert missing(day_of(gone, PLAN))[0].order == "cells"


def test_hours_are_named_before_leaving_only_when_they_are_near() -> None:
    def hours(opens: int | None, closes: int | None) -> list[str]:
        alder = replace(YARDS[0], opens_min=opens, closes_min=closes)
        day = day_of(replace(OPERATION, yards=(alder, *YARDS[1:])), PLAN)
        return [line for line in before(day) if "Alder" in line]

    arrive, depart = PLAN.stops[0].arrive // 60, PLAN.stops[0].depart / 60
    assert hours(arrive - 60, None) == []
    assert hours(arrive - 59, None) == ["Alder opens at 08:46."]
    assert hours(None, int(depart) + 61) == []
    assert hours(None, int(depart) + 59) == ["Leave Alder before it closes at 11:50."]
