"""What an order can have made and placed by when, against plans the judge finds for it: random orders of
visits on days short of hours."""

from functools import cache

import numpy as np
import pytest

from routeplan.planning.case import Case
from routeplan.planning.on_time import Times
from routeplan.planning.order import Order, Round
from routeplan.planning.soonest import Soonest, soonest_of
from routeplan.planning.track import Pace, pace_of
from tests.planning.proved import judged
from tests.planning.test_track import SEEDS, orders_of, some_day

KINDS = ("busy", "rich")


@cache
def tried() -> list[tuple[Case, list[tuple[Order, Round | None]]]]:
    """Days with orders and a round of each; None where the models prove that there is none."""
    days = []
    for kind in KINDS:
        for seed in SEEDS:
            case = some_day(kind, seed)
            if case is not None:
                verdicts = [(order, judged(case, order)) for order in orders_of(kind, seed, case)]
                assert all(verdict.sure for _, verdict in verdicts)
                days.append((case, [(order, verdict.found) for order, verdict in verdicts]))
    return days


def left(soonest: Soonest, order: Order) -> Times:
    """The earliest times after an order."""
    times = soonest.start()
    for visits in range(1, len(order) + 1):
        times = soonest.after(times, order[:visits])
    return times


def pace(case: Case) -> Pace:
    """The least times that a search goes by."""
    return pace_of(case, case.clock_ground())


def by_now(found: Round, visits: int) -> tuple[int, int]:
    """Splits made and placed in the first visits of a round."""
    made = sum(sum(row) for row in found.counts.made[:visits])
    return made, sum(n for _, j, _, n in found.counts.moved if j < visits)


def test_no_order_with_a_round_is_said_to_be_impossible() -> None:
    there = impossible = none = 0
    for case, orders in tried():
        soonest = soonest_of(case)
        for order, found in orders:
            cannot = soonest.cannot_end(left(soonest, order), order)
            assert not (cannot and found), order
            there += found is not None
            none += found is None
            impossible += cannot
    assert there >= 60
    assert impossible >= none // 2 >= 50


def test_every_round_comes_by_counts_that_may_be_reached() -> None:
    left_out = places = 0
    for case, orders in tried():
        soonest, next_s = soonest_of(case), pace(case).next_s
        for order, found in orders:
            for visits in range(1, len(order) + 1) if found else ():
                reached = soonest.reached(left(soonest, order[:visits]), order[:visits], next_s)
                if reached is None:
                    continue
                assert found is not None
                assert reached[by_now(found, visits)], (order, visits)
                able = np.tri(case.size + 1, dtype=bool)  # no more placed than made
                left_out += int((able & ~reached).sum())
                places += int(able.sum())
    assert places >= 300
    assert left_out >= places // 4


def test_yards_that_may_take_fewer_leave_fewer_counts() -> None:
    fewer = 0
    for case, orders in tried():
        soonest, next_s = soonest_of(case), pace(case).next_s
        none = soonest.within(np.zeros(len(case.room), dtype=np.int64))
        for order, _ in orders:
            some = soonest.reached(left(soonest, order), order, next_s)
            without = none.reached(left(none, order), order, next_s)
            if some is None or without is None:
                assert some is None
                assert without is None
                continue
            assert not (without & ~some).any()
            assert not without[:, 1:].any()
            fewer += int((some & ~without).any())
    assert fewer >= 50


@pytest.mark.parametrize(("late_s", "wrong"), [(0, False), (1800, True)])
def test_told_from_hours_that_end_too_early_a_round_is_lost(late_s: int, wrong: bool) -> None:
    """Half an hour less for opening hives: then the check above would find it out."""
    lost = False
    for case, orders in tried():
        soonest, next_s = soonest_of(case), pace(case).next_s + late_s
        for order, found in orders:
            for visits in range(1, len(order) + 1) if found else ():
                reached = soonest.reached(left(soonest, order[:visits]), order[:visits], next_s)
                assert found is not None
                lost = lost or (reached is not None and not reached[by_now(found, visits)])
    assert lost == wrong
