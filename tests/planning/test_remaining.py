"""Bounds of what remains: never above the exact answers, whatever the multipliers and memory."""

import numpy as np
import pytest

from routeplan.planning.prices import taken_back
from routeplan.planning.remaining import INF, Ground, Ints, Memory, memory_of, remaining
from tests.planning.proved import DAYS, Day, attempt_of, best_order, proved_days, search_of

NEAR = range(6)
"""How many near yards a table remembers."""


def multipliers(rng: np.random.Generator, due: Ints) -> Ints:
    """Random multipliers by yard, below nothing only where something is due."""
    return np.asarray(rng.integers(np.where(due > 0, -900, 0), 900) * rng.integers(0, 2, len(due)))


def root(ground: Ground, memory: Memory, made: Ints | None = None, placed: Ints | None = None) -> int:
    """The bound of the whole day."""
    return remaining(ground, made, placed, memory).root(ground)


def test_enough_days_are_proved() -> None:
    assert len(proved_days()) >= 40


@pytest.mark.parametrize("k", NEAR)
def test_root_is_never_above_the_least_paid_time(k: int) -> None:
    wrong = []
    for day, case, paid_s in proved_days():
        rng = np.random.default_rng([day[0], int(day[1]), k])
        ground = case.ground()
        memory = memory_of(ground, k)
        bounds = {"plain": root(ground, memory)}
        for i in range(4):
            made, placed = multipliers(rng, ground.due_from), multipliers(rng, ground.due_to)
            bounds[f"multipliers {i}"] = root(ground, memory, made, placed)
            prices = rng.integers(-500, 1500, len(case.demand.lines))
            priced = case.ground(prices)
            bounds[f"prices {i}"] = root(priced, memory_of(priced, k), made, placed) + taken_back(
                case, prices
            )
        wrong += [f"{day}: {what} {bound} > {paid_s}" for what, bound in bounds.items() if bound > paid_s]
    assert wrong == []


def test_something_is_due_in_some_days() -> None:
    """Multipliers below nothing are tried: some days have yards that fixed rows or scarcity need."""
    grounds = [case.ground() for _, case, _ in proved_days()]
    assert sum(bool(g.due_from.any()) for g in grounds) >= 5
    assert sum(bool(g.due_to.any()) for g in grounds) >= 3


def test_more_memory_never_lowers_the_bound() -> None:
    raised = 0
    for day, case, _ in proved_days():
        ground = case.ground()
        rng = np.random.default_rng(day[0])
        made, placed = multipliers(rng, ground.due_from), multipliers(rng, ground.due_to)
        for prices in ((None, None), (made, placed)):
            bounds = [root(ground, memory_of(ground, k), *prices) for k in NEAR]
            assert bounds == sorted(bounds), (day, bounds)
            raised += bounds[-1] > bounds[0]
    assert raised >= 1


def test_the_bound_is_near_the_truth() -> None:
    """A bound that is always valid could still be worthless: here it is mostly within a tenth."""
    shares = [
        (paid_s - attempt.bound_s) / paid_s
        for _, case, paid_s in proved_days()
        for attempt in [attempt_of(case)]
    ]
    assert min(shares) >= 0
    assert sorted(shares)[len(shares) // 2] < 0.1


def test_by_hand_one_donor_and_one_new_yard() -> None:
    """Home - donor 100 s, donor - new yard 50 s, new yard - home 70 s; opening 10, placing 5 s, 2 splits."""
    ground = Ground(
        drive=np.array([[0, 100, 70], [100, 0, 50], [70, 50, 0]]),
        least=np.array([[0, 40, 65], [0, INF, INF]]),
        room=np.array([0, 2]),
        carry=np.array([0, 3]),
        far=np.array([[False, True], [True, False]]),
        due_from=np.array([2, 0]),
        due_to=np.array([0, 2]),
        opening=10,
        placing=5,
    )
    for k in range(3):
        table = remaining(ground, memory=memory_of(ground, k))
        assert table.root(ground) == 100 + 10 + 65 + 50 + 5 + 2 * 3 + 70
    made, placed = np.array([-30, 0]), np.array([0, 25])  # given back exactly, as exactly two are due
    assert remaining(ground, made, placed).root(ground) == 306
    assert remaining(ground, np.array([20, 0])).root(ground) == 306


@pytest.mark.parametrize("way", ["plain", "once", "free"])
def test_no_beginning_of_the_best_round_is_cut_or_overrated(way: str) -> None:
    walked = 0
    for day, case, paid_s in proved_days():
        order, found_s = best_order(day)
        assert found_s == paid_s, day
        if not fits(way, order):
            continue
        walked += 1
        search = search_of(attempt_of(case), way, paid_s + 1)
        part = search.start()
        assert search.bound(part) <= paid_s, day
        for visit in order:
            offered = {v: bound for bound, v in search.children(part)}
            assert visit in offered, (day, part.order, visit)
            assert offered[visit] <= paid_s, (day, part.order, visit)
            grown = search.extend(part, visit)
            assert grown is not None, (day, part.order, visit)
            part = grown
            assert search.bound(part) <= paid_s, (day, part.order)
        assert search.least_paid(part) <= paid_s, (day, order)
    assert walked >= 35


def fits(way: str, order: tuple) -> bool:  # type: ignore[type-arg]
    """Whether a search of that way walks such an order: hives opened once a yard; and at the first visit."""
    opened: dict[int, list[bool]] = {}
    for visit in order:
        opened.setdefault(visit.yard, []).append(visit.opens)
    if way == "free":
        return True
    once = all(sum(visits) <= 1 for visits in opened.values())
    return once and (way == "once" or all(not any(v[1:]) and (len(v) == 1 or v[0]) for v in opened.values()))


@pytest.mark.parametrize("k", NEAR)
def test_random_multipliers_on_every_beginning(k: int) -> None:
    for day, case, paid_s in proved_days(DAYS[::3]):
        order, _ = best_order(day)
        attempt = attempt_of(case)
        rng = np.random.default_rng([day[0], k])
        search = search_of(attempt, "free", paid_s + 1)
        made = multipliers(rng, attempt.ground.due_from)
        placed = multipliers(rng, attempt.ground.due_to)
        search.tables = [remaining(attempt.ground, made, placed)]
        if fits("once", order):  # tables that remember where splits were made hold for hives opened once
            search = search_of(attempt, "once", paid_s + 1)
            memory = memory_of(attempt.ground, k)
            search.tables = [remaining(attempt.ground, made, placed, memory)]
        part = search.start()
        for visit in order:
            grown = search.extend(part, visit)
            assert grown is not None
            part = grown
            assert search.bound(part) <= paid_s, (day, part.order)


def test_days_are_of_both_sizes() -> None:
    sizes: list[Day] = [day for day, _, _ in proved_days()]
    assert sum(tiny for _, tiny in sizes) >= 20
    assert sum(not tiny for _, tiny in sizes) >= 8
