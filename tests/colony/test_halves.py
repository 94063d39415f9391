"""What leaves and what stays, how a donor comes back, what moves the trough."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from routeplan.colony.counts import DayCount
from routeplan.colony.forecast import NEVER, forecast
from routeplan.colony.halves import Taken, colonies_of, content_of, donor_half, laying_day, split_half
from routeplan.colony.recovery import at_the_flow, first_flow_day, swarm_pressure
from routeplan.colony.sensitivity import sensitivity
from routeplan.colony.strength import frame_holds
from routeplan.operation.colony_settings import Forecast
from routeplan.operation.settings import Settings
from routeplan.operation.world import Count, Hive, Place, Yard
from tests.colony.colonies import colonies

DAY = date(2027, 5, 15)
USUAL = Settings()
YARD = Yard("A", Place(52, -2.7))
HIVE = Hive("1", "A", "deep", Count(eggs_seen=True), queen="marked")
STRONG = DayCount(14.0, 5.0, 3.0, 4.0, 0, False)
KIT = Taken(capped=1, open=1, food=1, shakes=2)


def test_what_a_split_gets_is_what_its_donor_loses() -> None:
    split = split_half(KIT, "raise own", "deep", 5, YARD, USUAL).content
    donor = donor_half(HIVE, STRONG, [KIT], YARD, USUAL).content
    for kind in ("bees", "capped", "open", "food"):
        assert getattr(split, kind) + getattr(donor, kind) == pytest.approx(getattr(STRONG, kind))
    # one brood frame carries 1 frame of bees, a food frame half, a shake 0.8 (common practice)
    assert split.bees == pytest.approx(1 + 1 + 0.5 + 1.6)
    # a capped frame is 0.7 capped, 0.2 open, 0.1 food (common practice)
    assert content_of(Taken(capped=1), USUAL).capped == pytest.approx(0.7)
    assert content_of(Taken(capped=1), USUAL).open == pytest.approx(0.2)


def test_foragers_leave_with_the_frames_and_no_bee_twice() -> None:
    halves = [split_half(KIT, "mated", "deep", 5, YARD, USUAL), donor_half(HIVE, STRONG, [KIT], YARD, USUAL)]
    start = colonies_of(halves, DAY, USUAL, 30)
    bees = frame_holds("deep", USUAL.strength).bees * 14.0
    assert (start.house + start.foragers).sum() == pytest.approx(bees)
    assert (start.foragers >= 0).all()
    assert start.foragers[0] == pytest.approx(0.15 * (start.house + start.foragers)[0])


def test_a_yard_too_near_loses_bees_to_the_old_home() -> None:
    far = split_half(KIT, "mated", "deep", 5, YARD, USUAL)
    near = split_half(KIT, "mated", "deep", 5, YARD, USUAL, near=True)
    assert near.content.bees == pytest.approx(0.65 * far.content.bees)
    assert near.foragers == 0.0
    home = donor_half(HIVE, STRONG, [KIT], YARD, USUAL, flown_home=0.35 * far.content.bees)
    assert near.content.bees + home.content.bees == pytest.approx(14.0)
    troughs = forecast(colonies_of([near, far], DAY, USUAL, 60), USUAL.forecast, 60).trough
    assert troughs[0] < troughs[1]


def test_the_queen_lays_by_the_way_she_comes() -> None:
    days = [laying_day(way, USUAL) for way in ("parent's", "mated", "ripe cell", "raise own")]
    assert days == sorted(days)
    assert donor_half(HIVE, STRONG, [KIT], YARD, USUAL).laying_from == 0
    assert donor_half(HIVE, STRONG, [KIT], YARD, USUAL, queen_leaves=True).laying_from == days[-1]
    assert donor_half(replace(HIVE, queen="queenless"), STRONG, [], YARD, USUAL).laying_from == NEVER


def test_a_hive_not_counted_is_refused() -> None:
    with pytest.raises(ValueError, match="must be known"):
        donor_half(HIVE, replace(STRONG, bees=None), [], YARD, USUAL)


def test_the_flow_of_the_yard_is_met() -> None:
    yard = replace(YARD, id="B", flow_from=date(2027, 5, 25), flow_until=date(2027, 6, 20))
    start = colonies_of([donor_half(HIVE, STRONG, [KIT], y, USUAL) for y in (yard, YARD)], DAY, USUAL, 60)
    assert first_flow_day(start).tolist() == [10, 1]
    assert start.flow[0].sum() == 27
    course = forecast(start, USUAL.forecast, 60)
    meeting = at_the_flow(start, course)
    assert meeting.bees.tolist() == [course.adults[0, 10], course.adults[1, 1]]
    dry = colonies_of([donor_half(HIVE, STRONG, [KIT], YARD, USUAL)], DAY, replace(USUAL, dearth=True), 60)
    assert first_flow_day(dry).tolist() == [NEVER]
    assert np.isnan(at_the_flow(dry, forecast(dry, USUAL.forecast, 60)).bees).all()


def test_a_donor_comes_back_sooner_the_less_it_gave() -> None:
    gave = [[], [KIT], [KIT, KIT]]
    start = colonies_of([donor_half(HIVE, STRONG, g, YARD, USUAL) for g in gave], DAY, USUAL, 120)
    course = forecast(start, USUAL.forecast, 120)
    before = np.full(3, 14.0 * frame_holds("deep", USUAL.strength).bees)
    days = (course.adults >= before[:, None]).argmax(axis=1)
    assert days[0] == 0
    assert 0 < days[1] < days[2]
    assert course.adults[1, days[1]] >= before[1] > course.adults[1, days[1] - 1]


def test_swarm_pressure_by_its_two_signs() -> None:
    start = colonies(30, house=[4_000, 30_000, 30_000], foragers=0, laying_from=[0, 0, NEVER], room=50_000)
    course = forecast(start, Forecast(), 30)
    covering = np.full(3, 19_000.0)
    assert swarm_pressure(start, course, covering, Forecast(crowded_brood=0.9)).tolist() == [
        "low",
        "some",
        "low",
    ]
    assert swarm_pressure(start, course, covering, Forecast(crowded_brood=0.2)).tolist() == [
        "some",
        "high",
        "low",
    ]


def test_the_three_strongest_assumptions_come_first() -> None:
    start = colonies_of([split_half(KIT, "raise own", "deep", 5, YARD, USUAL)], DAY, USUAL, 120)
    moved = sensitivity(start, USUAL.forecast, 120)
    assert [m.by for m in moved] == sorted((m.by for m in moved), reverse=True)
    by_name = {m.name: m for m in moved}
    assert {m.name for m in moved[:3]} <= {"bees", "life_days", "queen", "brood"}
    assert by_name["life_days"].more > by_name["life_days"].less
    assert by_name["queen"].more < by_name["queen"].less
    # what the bees in hand and their life do, an assumption that only later brood needs does not
    assert by_name["young_queen_days"].by < by_name["bees"].by
