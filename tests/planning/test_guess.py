"""Guessed orders: counts by the dynamic program against every way of sharing out, the walk, tables reused."""

from dataclasses import replace
from itertools import product
from random import Random

import numpy as np
import pytest

from routeplan.operation.world import Order as Asked
from routeplan.planning.attempt import Attempt
from routeplan.planning.case import Case, case_of, with_yields
from routeplan.planning.guess import MISSING_S, Guesser
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit, orderly
from routeplan.planning.wander import KEPT, wander
from tests.planning.make import DAY_ALONE, ONE, one_kit_hive, operation, yard
from tests.seeded import rich_operation


def some_yards(seed: int) -> Case:
    """Two or three yards that give one to three splits each, and as many places; three splits wanted."""
    rng = Random(f"guess/{seed}")
    names = "WXYZ"[: rng.randint(3, 4)]
    yards = tuple(yard(n, 8.0 * i + rng.random(), room=rng.randint(1, 3)) for i, n in enumerate(names))
    hives = tuple(
        one_kit_hive(f"{n}{i}", n, supers=rng.randint(0, 2)) for n in names for i in range(rng.randint(0, 3))
    )
    asked = (Asked("A", rng.randint(2, 3), ONE.name, "mated"),)
    return case_of(operation(yards, hives, asked, settings=DAY_ALONE))


def guesser_of(case: Case) -> Guesser:
    """Guesses for all that is wanted."""
    attempt = Attempt(case, Clock(20.0), lambda stage, best, bound: None)
    prices, constant, back_s = attempt.prices, attempt.constant, attempt.back_s
    return Guesser(case, attempt.ground, attempt.judge.mixture, prices, constant, back_s)


def least_shared(guesser: Guesser, order: Order) -> int:
    """Least seconds of all ways to share making and placing out over an order, what is missing included."""
    n, ground = guesser.ground.size, guesser.ground
    makes = [range(int(guesser.most[v.yard]) + 1 if v.opens else 1) for v in order]
    places = [range(int(ground.room[v.yard]) + 1) for v in order]
    least = 2 * n * MISSING_S
    for made, placed in product(product(*makes), product(*places)):
        aboard = np.cumsum(made) - np.cumsum(placed)
        before = np.cumsum(made) - np.array(made) - np.cumsum(placed)
        if sum(made) > n or aboard.min(initial=0) < 0 or before.min(initial=0) < 0:
            continue
        spent = MISSING_S * (2 * n - sum(made) - sum(placed))
        spent += sum(int(guesser.values[0, v.yard, q]) for v, q in zip(order, made, strict=True))
        spent += sum(int(guesser.cost[v.yard, r]) for v, r in zip(order, placed, strict=True))
        least = min(least, spent)
    return least


@pytest.mark.parametrize("seed", range(25))
def test_counts_are_the_least_of_all_ways_to_share_out(seed: int) -> None:
    guesser, rng = guesser_of(some_yards(seed)), Random(seed)
    yards = range(guesser.ground.yards)
    for _ in range(6):
        order = tuple(Visit(rng.choice(yards), rng.random() < 0.5) for _ in range(rng.randint(1, 4)))
        last = guesser._stage(order, 0)[2] + guesser.missing
        assert int(last.min()) == least_shared(guesser, order)


@pytest.mark.parametrize("seed", range(25))
def test_a_walk_meets_only_orderly_orders_best_first_and_the_same_ones_again(seed: int) -> None:
    case = some_yards(seed)
    met = wander(guesser_of(case), (), Clock(20.0), 2, seed)
    assert met == wander(guesser_of(case), (), Clock(20.0), 2, seed)
    assert 0 < len(met) <= KEPT
    assert len({order for _, order in met}) == len(met)
    assert all(orderly(order, 2) for _, order in met)
    scores = [guess.score for guess, _ in met]
    assert scores == sorted(scores)


def test_what_the_judge_finds_for_a_guessed_order_is_near_the_guess() -> None:
    """With one kit and no hours in the way the guess of the best order is what the judge counts."""
    equal = judged = 0
    for seed in range(25):
        case = some_yards(seed)
        guesser = guesser_of(case)
        guess, order = wander(guesser, (), Clock(20.0), 2)[0]
        attempt = Attempt(case, Clock(20.0), lambda stage, best, bound: None)
        found = attempt.judge.rough(order, 10**7) if guess.placed == case.size else None
        if found is not None:
            judged += 1
            assert found.counted_s >= guess.score
            equal += found.counted_s == guess.score
    assert judged >= 10
    assert equal >= judged / 2


@pytest.mark.parametrize("seed", range(12))
def test_tables_for_fewer_splits_are_those_worked_out_anew(seed: int) -> None:
    case = case_of(rich_operation(seed, tiny=True))
    for totals in product(*(range(n + 1) for n in case.demand.asked.values())):
        wanted = dict(zip(case.demand.asked, totals, strict=True))
        reused, anew = (
            case.wanting(wanted),
            with_yields(replace(case, demand=case.demand.with_totals(wanted))),
        )
        for rows in ("yields", "clock_yields"):
            for kept, new in zip(getattr(reused, rows), getattr(anew, rows), strict=True):
                assert [of_table(one) for one in kept] == [of_table(one) for one in new]


def of_table(one: object) -> object:
    """What a yard can make, to compare."""
    mixes, seconds = one.mixes.tolist(), one.seconds.tolist()  # type: ignore[attr-defined]
    return one.lines, sorted(zip(map(tuple, mixes), seconds, strict=True))  # type: ignore[attr-defined]
