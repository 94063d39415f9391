"""Bounds of what remains: never above the exact answers, whatever the multipliers and memory."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from routeplan.planning.case import case_of
from routeplan.planning.order import Order
from routeplan.planning.prices import taken_back
from routeplan.planning.remaining import INF, Ground, Ints, Memory, memory_of, remaining
from tests.planning.proved import DAYS, KINDS, attempt_of, best_order, proved_days, search_of
from tests.seeded import bench_operation

NEAR = range(6)
"""How many near yards a table remembers."""
KIND_NUMBER = {kind: n for n, kind in enumerate(KINDS)}


def multipliers(rng: np.random.Generator, due: Ints) -> Ints:
    """Random multipliers by yard, below nothing only where something is due."""
    return np.asarray(rng.integers(np.where(due > 0, -900, 0), 900) * rng.integers(0, 2, len(due)))


def root(ground: Ground, memory: Memory, made: Ints | None = None, placed: Ints | None = None) -> int:
    """The bound of the whole day, but for what is taken back in every plan."""
    return remaining(ground, made, placed, memory).root(ground)


def test_enough_days_are_proved() -> None:
    """Of all kinds, and most of the rich ones count more than the clock."""
    kinds = Counter(day[0] for day, _, _ in proved_days())
    assert kinds["tiny"] >= 25
    assert kinds["small"] >= 8
    assert kinds["tiny rich"] >= 25
    rich = [case for day, case, _ in proved_days() if day[0] == "tiny rich"]
    assert sum(not case.counts_only_the_clock for case in rich) >= 20
    assert sum(case.ground().cells for case in rich) >= 5
    assert sum(bool(case.receive_back_s) for case in rich) >= 5


def test_some_days_strain_the_truck_or_visit_a_yard_again() -> None:
    attempts = [attempt_of(case) for _, case, _ in proved_days()]
    assert sum(a.flows is not None for a in attempts) >= 2
    assert sum(not is_plain(best_order(day)[0]) for day, _, _ in proved_days()) >= 4


@pytest.mark.parametrize("k", NEAR)
def test_root_is_never_above_the_least_that_counts(k: int) -> None:
    wrong = []
    for day, case, least_s in proved_days():
        rng = np.random.default_rng([day[1], KIND_NUMBER[day[0]], k])
        ground, back_s = case.ground(), case.receive_back_s
        memory = memory_of(ground, k)
        bounds = {
            "plain": root(ground, memory),
            "once": root(ground, memory_of(ground, k, some(rng, ground))),
        }
        for i in range(4):
            made, placed = multipliers(rng, ground.due_from), multipliers(rng, ground.due_to)
            bounds[f"multipliers {i}"] = root(ground, memory, made, placed)
            prices = rng.integers(-500, 1500, len(case.demand.lines))
            priced = case.ground(prices)
            bounds[f"prices {i}"] = root(priced, memory_of(priced, k), made, placed) + taken_back(
                case, prices
            )
        wrong += [f"{day}: {what} {b} > {least_s}" for what, b in bounds.items() if b - back_s > least_s]
    assert wrong == []


def some(rng: np.random.Generator, ground: Ground) -> tuple[int, ...]:
    """Two or three yards that receive."""
    takers = np.flatnonzero(ground.room)
    return tuple(
        sorted(rng.choice(takers, min(len(takers), int(rng.integers(2, 4))), replace=False).tolist())
    )


def test_yards_that_receive_once_raise_the_bound_where_room_is_scarce() -> None:
    raised = 0
    for seed in range(1, 9):
        ground = case_of(bench_operation(8, 40, 10, seed, "small yards")).ground()
        scarce = replace(ground, receive=np.zeros_like(ground.receive), room=np.minimum(ground.room, 3))
        once = memory_of(scarce, 0, tuple(np.argsort(scarce.drive[0, 1:])[:3].tolist()))
        before, after = root(scarce, memory_of(scarce, 0)), root(scarce, once)
        assert after >= before
        raised += after > before
    assert raised >= 3


def test_something_is_due_in_some_days() -> None:
    """Multipliers below nothing are tried: some days have yards that fixed rows or scarcity need."""
    grounds = [case.ground() for _, case, _ in proved_days()]
    assert sum(bool(g.due_from.any()) for g in grounds) >= 5
    assert sum(bool(g.due_to.any()) for g in grounds) >= 3


def test_more_memory_never_lowers_the_bound() -> None:
    grounds = [case.ground() for _, case, _ in proved_days()]
    grounds += [case_of(bench_operation(8, 40, 10, seed, "small yards")).ground() for seed in (1, 2, 3)]
    raised = 0
    for seed, ground in enumerate(grounds):
        rng = np.random.default_rng(seed)
        made, placed = multipliers(rng, ground.due_from), multipliers(rng, ground.due_to)
        for prices in ((None, None), (made, placed)):
            bounds = [root(ground, memory_of(ground, k), *prices) for k in NEAR]
            assert bounds == sorted(bounds), (seed, bounds)
            raised += bounds[-1] > bounds[0]
    assert raised >= 3


def test_the_bound_is_near_the_truth() -> None:
    """A bound that is always valid could still be worthless: here it is mostly within a tenth."""
    shares = [
        (least_s - attempt.bound_s) / least_s
        for _, case, least_s in proved_days()
        for attempt in [attempt_of(case)]
    ]
    assert min(shares) >= 0
    assert sorted(shares)[len(shares) // 2] < 0.1


def by_hand(receive: list[int], cell: int = 0) -> Ground:
    """Home - donor 100 s, donor - new yard 50 s, new yard - home 70 s; opening 10, placing 5 s, 2 splits."""
    return Ground(
        drive=np.array([[0, 100, 70], [100, 0, 50], [70, 50, 0]]),
        least=np.array([[0, 40, 65], [0, INF, INF]]),
        room=np.array([0, 2]),
        carry=np.array([0, 3]),
        receive=np.array([[0, 0, 0], receive]),
        cell=np.array([0, cell]),
        far=np.array([[False, True], [True, False]]),
        due_from=np.array([2, 0]),
        due_to=np.array([0, 2]),
        opening=10,
        placing=5,
    )


def test_by_hand_one_donor_and_one_new_yard() -> None:
    bare_s = 100 + 10 + 65 + 50 + 5 + 2 * 3 + 70
    for receive, cell, beside_s in (([0, 0, 0], 0, 0), ([0, 900, 700], 0, 700), ([0, 90, 70], 400, 470)):
        ground = by_hand(receive, cell)
        for k in range(3):
            assert root(ground, memory_of(ground, k)) == bare_s + beside_s
        made, placed = np.array([-30, 0]), np.array([0, 25])  # given back exactly, as exactly two are due
        assert remaining(ground, made, placed).root(ground) == bare_s + beside_s
        assert remaining(ground, np.array([20, 0])).root(ground) == bare_s + beside_s


@pytest.mark.parametrize("way", ["plain", "free"])
def test_no_beginning_of_the_best_round_is_cut_or_overrated(way: str) -> None:
    walked = 0
    for day, case, least_s in proved_days():
        order, found_s = best_order(day)
        assert found_s == least_s, day
        if way == "plain" and not is_plain(order):
            continue
        walked += 1
        search = search_of(attempt_of(case), way, least_s + 1)
        part = search.start()
        assert search.bound(part) <= least_s, day
        for visit in order:
            offered = {v: bound for bound, v in search.children(part)}
            assert visit in offered, (day, part.order, visit)
            assert offered[visit] <= least_s, (day, part.order, visit)
            grown = search.extend(part, visit)
            assert grown is not None, (day, part.order, visit)
            part = grown
            assert search.bound(part) <= least_s, (day, part.order)
        assert search.least_paid(part) <= least_s, (day, order)
    assert walked >= 60


def is_plain(order: Order) -> bool:
    """Whether the plain way walks such an order: no yard again, but to place where hives were opened."""
    opened: dict[int, list[bool]] = {}
    for visit in order:
        opened.setdefault(visit.yard, []).append(visit.opens)
    return all(not any(v[1:]) and (len(v) == 1 or v[0]) for v in opened.values())


@pytest.mark.parametrize("k", NEAR)
def test_random_multipliers_on_every_beginning(k: int) -> None:
    """Tables that remember where splits were made hold for any visits."""
    for day, case, least_s in proved_days(DAYS[::3]):
        order, _ = best_order(day)
        attempt = attempt_of(case)
        rng = np.random.default_rng([day[1], KIND_NUMBER[day[0]], k])
        search = search_of(attempt, "free", least_s + 1)
        made = multipliers(rng, attempt.ground.due_from)
        placed = multipliers(rng, attempt.ground.due_to)
        once = memory_of(attempt.ground, k, some(rng, attempt.ground))
        search.tables = [
            remaining(attempt.ground, made, placed, memory) for memory in (memory_of(attempt.ground, k), once)
        ]
        part = search.start()
        for visit in order:
            grown = search.extend(part, visit)
            assert grown is not None
            part = grown
            assert search.bound(part) <= least_s, (day, part.order)
