"""A visit that gives none of the units counted lies between two of another yard: the bounds allow for it.

Boxes may be of two yards. C's hive makes a split by itself, A's give food only and B's brood only: B is
opened between two visits of A, and where food is not counted (or brood is not) one of them gives nothing.
"""

from dataclasses import replace

import numpy as np
import pytest

from routeplan.operation.settings import Limits
from routeplan.operation.world import Crew
from routeplan.operation.world import Order as Asked
from routeplan.planning.case import Case, case_of
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit
from routeplan.planning.pooled_sets import PooledSets
from routeplan.planning.receivers import receivers_under
from routeplan.planning.two_yard_judge import TwoYardJudge
from routeplan.planning.unit_table import legs_of
from routeplan.planning.units import WEIGHTS, units_of_splits
from tests.planning.make import DAY_ALONE, ONE, east, hive, one_kit_hive, operation, yard

A, B, C, Z = range(4)
BETWEEN = (Visit(C, True), Visit(A, False), Visit(B, True), Visit(A, True), Visit(Z, False))


def day() -> Case:
    """Three splits; the truck holds two full boxes."""
    longer = replace(DAY_ALONE.shut_in, screened_min=(92.0,) * len(DAY_ALONE.shut_in.screened_min))
    limits = Limits(yards_per_split=2, bare_brood_min=0.0)
    yards = (yard("A", 40, room=1), yard("B", 60, room=0), yard("C", -10, room=0), yard("Z", 34, room=2))
    hives = (
        *(hive(f"A{n}", "A", food=2.3) for n in (1, 2)),
        *(hive(f"B{n}", "B", capped=3.0, open=2.0) for n in (1, 2)),
        one_kit_hive("C1", "C"),
    )
    crew = Crew("pair", east(0.0), places=2, empties_per_place=4, end_min=1400, hives_until_min=1300)
    settings = replace(DAY_ALONE, limits=limits, shut_in=longer)
    return case_of(operation(yards, hives, (Asked("S", 3, ONE.name, "mated"),), settings=settings, crew=crew))


def test_from_a_yard_to_itself_by_another() -> None:
    drive = np.array([[0, 5, 7, 9], [5, 0, 3, 8], [7, 4, 0, 6], [9, 8, 6, 0]])
    legs = legs_of(drive, 10)
    assert (legs[0] == drive[0, 1:]).all()
    assert legs[1:].tolist() == [[3 + 4 + 10, 3, 8], [4, 4 + 3 + 10, 6], [8, 6, 6 + 6 + 10]]


@pytest.mark.parametrize("weights", WEIGHTS)
def test_the_plan_is_not_proved_away(weights: tuple[int, ...]) -> None:
    case = day()
    if not units_of_splits(case, weights):
        pytest.skip("no split needs any of these units")
    judge = TwoYardJudge(case, Clock(60.0))
    truth = judge.weigh(BETWEEN, 10**6)
    assert truth.sure
    assert truth.found is not None
    limit = truth.found.counted_s + 1
    assert receivers_under(case, case.ground(), limit)
    looked: list[Order] = []

    def look(order: Order, spent_s: int, constant: int, check: str) -> tuple[int, bool]:
        looked.append(order)
        verdict = judge.weigh(order, limit)
        return (verdict.found.counted_s, True) if verdict.found else (limit, True)

    sets = PooledSets(case, case.ground(), [weights], look, lambda: limit, lambda bound: None)
    bound_s = sets.run(Clock(60.0))
    assert bound_s is not None
    assert bound_s < limit
