"""Visits that do nothing fall away, and hives count as opened only where some are."""

from dataclasses import replace

import pytest

from routeplan.audit import audit
from routeplan.operation.settings import WorkMinutes
from routeplan.operation.world import Operation, Order, Stock
from routeplan.planning.attempt import Attempt
from routeplan.planning.case import Case, case_of
from routeplan.planning.drive import driven_from
from routeplan.planning.idle import needed, shortened
from routeplan.planning.judge import Judge
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order as Visits
from routeplan.planning.order import Round, Visit
from routeplan.planning.solve import plan_day
from tests.oracle import exact
from tests.planning.make import DAY_ALONE, ONE, one_kit_hive, operation, yard
from tests.planning.proved import judged
from tests.seeded import small_operation

YARDS = (yard("N", 15.0), yard("Y", 10.0, room=0), yard("Z", 20.0))
N, Y, Z = range(3)


def day(**minutes: float) -> Operation:
    settings = replace(DAY_ALONE, minutes=replace(WorkMinutes(), **minutes))
    hives = (one_kit_hive("A1", "Y"), one_kit_hive("B1", "N"))
    return operation(YARDS, hives, (Order("A", 1, ONE.name, "mated"),), settings=settings)


@pytest.fixture(scope="module")
def straight() -> tuple[Case, Round]:
    case = case_of(day())
    found = Judge(case, Clock(20.0)).rough((Visit(Y, True), Visit(Z, False)), 10**6)
    assert found is not None
    return case, found


def with_idle(case: Case, found: Round, idle: Visit) -> Round:
    """The same round with a visit between that does nothing."""
    order: Visits = (found.order[0], idle, found.order[1])
    made = (found.counts.made[0], tuple(0 for _ in found.counts.made[0]), found.counts.made[1])
    counts = replace(
        found.counts,
        made=made,
        moved=tuple((0, 2, k, n) for _, _, k, n in found.counts.moved),
        opening=(found.counts.opening[0], 0, 0),
        beside=(found.counts.beside[0], 0, 0),
        first=(0, 0, 0),
    )
    times = driven_from(case, order, counts, found.times.leave_home)
    assert times is not None
    return replace(found, order=order, counts=counts, times=times)


@pytest.mark.parametrize("idle", [Visit(N, False), Visit(N, True)])
def test_a_visit_that_does_nothing_falls_away(straight: tuple[Case, Round], idle: Visit) -> None:
    case, found = straight
    longer = with_idle(case, found, idle)
    assert longer.paid_s > found.paid_s
    shorter = shortened(case, longer)
    assert shorter is not None
    assert (shorter.order, shorter.paid_s, shorter.boxes) == (found.order, found.paid_s, found.boxes)
    assert (shorter.counts.made, shorter.counts.moved) == (found.counts.made, found.counts.moved)


def test_a_visit_that_only_places_opens_no_hives(straight: tuple[Case, Round]) -> None:
    found = straight[1]
    kept, order = needed(replace(found, order=(found.order[0], Visit(Z, True))))
    assert (kept, order) == ([0, 1], found.order)


def test_nothing_falls_away_where_all_is_needed(straight: tuple[Case, Round]) -> None:
    assert needed(straight[1]) == ([0, 1], straight[1].order)


def test_placing_is_not_called_opening_hives_where_that_takes_less() -> None:
    """Set-up 10 min for placing and none for hives: 10 at Z all the same (Y 10 km from home and Z 20)."""
    one = day(set_up_hives=0.0, leave_hives=0.0, set_up_placing=10.0)
    plan, truth = plan_day(one, 20.0), exact.best(one, 20.0)
    assert [v.sentence() for v in audit(one, plan)] == []
    assert isinstance(truth, exact.Answer)
    assert plan.totals.counted_s == truth.counted_s >= plan.proof.bound_s
    assert sum(s.set_up_s for s in plan.stops) == 600


def test_nothing_is_proved_too_high_where_hives_take_less_set_up() -> None:
    """A is opened twice and takes C's split the second time: no set-up, where placing alone takes 20 min."""
    yards = (yard("A", 10.0, room=1), yard("C", 16.0, room=1), yard("Z", 25.0, room=1))
    hives = (one_kit_hive("A1", "A"), one_kit_hive("A2", "A"), one_kit_hive("C1", "C"))
    minutes = replace(
        WorkMinutes(), set_up_hives=0.0, leave_hives=0.0, set_up_placing=20.0, leave_placing=0.0
    )
    settings = replace(DAY_ALONE, minutes=minutes)
    case = case_of(operation(yards, hives, (Order("A", 3, ONE.name, "mated"),), settings=settings))
    twice = (Visit(0, True), Visit(1, True), Visit(0, True), Visit(2, False))
    truth = judged(case, twice).found
    assert truth is not None
    found = Attempt(case, Clock(8.0), lambda stage, best, bound: None).settle(6.0)
    assert found.bound_s <= truth.counted_s


@pytest.mark.parametrize("seed", [4, 8, 12, 16])
def test_same_as_exact_where_hives_take_less_set_up(seed: int) -> None:
    small = small_operation(seed, tiny=True)
    minutes = replace(small.settings.minutes, set_up_hives=1.0, leave_hives=0.0, set_up_placing=9.0)
    one = replace(
        small, settings=replace(small.settings, minutes=minutes), stock=(Stock("nuc box", "deep", 9),)
    )
    truth, plan = exact.best(one, 20.0), plan_day(one, 20.0)
    assert isinstance(truth, exact.Answer)
    assert plan.totals.counted_s == truth.counted_s
    assert [v.sentence() for v in audit(one, plan)] == []
