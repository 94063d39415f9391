"""The proof split up by receiving yards: no set is left out or charged too much, the least plan is found."""

from itertools import chain, combinations

import numpy as np
import pytest

from routeplan.planning import receivers
from routeplan.planning.attempt import Attempt
from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.order import Round
from routeplan.planning.receivers import Receivers, cheapest_receivers, dear, ground_of, receivers_under
from routeplan.planning.remaining import remaining
from routeplan.planning.ways import Living, ways_at_yards
from tests.planning.proved import Day, best_order, case_and_least, proved_days
from tests.planning.test_ways import least_shared_out

FOUND: tuple[Day, ...] = (
    *(("tiny rich", s) for s in (0, 3, 5, 8, 11, 14, 17, 21, 24, 27)),
    *(("tiny", s) for s in (2, 9, 16, 23, 30, 37)),
    *(("small", s) for s in (2, 6, 23)),
    *(("by queen", s) for s in (0, 3, 6, 12, 16, 18)),
)


def fixed_s(case: Case, yards: tuple[int, ...]) -> int:
    """Least that these yards count by receiving: trips, feeding, robbing, fences, few splits, many yards."""
    after = case.after
    one = sum(
        int((after.trips[z] + after.feeding[z]) * (after.trip_s[z] + after.trip_road_s[z]))
        + int(after.robbing_s[z] + case.fence_s[z])
        + (after.few_s * max(0, after.few_splits - int(case.room[z])) if after.alone[z] else 0)
        for z in yards
    )
    return one + after.over_s * max(0, sum(bool(after.alone[z]) for z in yards) - after.most_yards)


def test_every_set_with_room_is_there_once() -> None:
    """What ways count is told exactly but where a yard stands open to ways of which no split is left."""
    sets_seen = several = exactly = 0
    for day, case, least_s in proved_days():
        ground = case.ground()
        yards = np.flatnonzero(dear(case) & (ground.room > 0)).tolist()
        free = int(ground.room[~dear(case)].sum())
        wanted = {
            (frozenset(some), cells): own_s + living_s
            for some in chain.from_iterable(combinations(yards, n) for n in range(len(yards) + 1))
            if free + sum(int(ground.room[z]) for z in some) >= ground.size
            and (own_s := fixed_s(case, some)) < least_s
            and all(z in some for z in yards if ground.due_to[z])
            for cells in ((False, True) if free and ground.cells else (False,))
            if own_s + (living_s := least_shared_out(case, some, free, cells)) < least_s
        }
        sets = receivers_under(case, ground, least_s)
        assert sets is not None
        told = {(frozenset(of.yards), of.cells_free): of.fixed_s for of in sets}
        assert len(told) == len(sets)
        assert all(one in told and told[one] <= at_most_s for one, at_most_s in wanted.items()), day
        exactly += sum(wanted.get(one) == at_least_s for one, at_least_s in told.items())
        sets_seen += len(sets)
        several += len(sets) > 1
    assert sets_seen >= 100
    assert exactly >= 0.85 * sets_seen
    assert several >= 10


def test_where_there_are_too_many_sets_none_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(receivers, "MOST_SETS", 1)
    told = [receivers_under(case, case.ground(), least_s) for _, case, least_s in proved_days()]
    assert None in told
    assert all(sets is None or len(sets) <= 2 for sets in told)


def along_the_order(case: Case, best: Round, sets: list[Receivers]) -> None:
    """With no more room than it uses, at some of its yards or at all, its ways count no more than they do."""
    into: dict[int, int] = {}
    ways: dict[int, set[str]] = {}
    for _, j, k, n in best.counts.moved:
        z = best.order[j].yard
        into[z] = into.get(z, 0) + n
        ways.setdefault(z, set()).add(case.demand.of(k).queen)
    free = ~dear(case)
    cells_free = any(free[z] and "ripe cell" in of for z, of in ways.items())
    counted_s = sum(case.after.more_s(z, of) for z, of in ways.items() if not free[z])
    counted_s += sum(int(case.after.cell_s[z]) for z, of in ways.items() if not free[z] and "ripe cell" in of)
    for of in sets:
        if of.cells_free == (cells_free and any(s.cells_free for s in sets)):
            told = (of.yards, of.cells_free, of.living_s)
            living = Living(ways_at_yards(case.demand, case.after), *told, case.ground().room, free, 10**7)
            assert of.living_s + living.whole_s(into) <= counted_s
            assert all(living.more_s({z: n}) <= living.whole_s(into) for z, n in into.items())


def test_no_set_left_out_counts_less_than_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first set that has room, or the first three tried, and what all others count at least."""
    every = [
        (case, least_s, receivers_under(case, case.ground(), least_s)) for _, case, least_s in proved_days()
    ]
    left_out = 0
    for most, tried in ((1, 20_000), (400, 3)):
        monkeypatch.setattr(receivers, "MOST_SETS", most)
        monkeypatch.setattr(receivers, "MOST_TRIED", tried)
        for case, least_s, sets in every:
            told, rest_s = cheapest_receivers(case, case.ground(), least_s)
            assert sets is not None
            assert set(told) <= set(sets)
            others = set(sets) - set(told)
            assert min((of.fixed_s for of in others), default=least_s) >= rest_s
            left_out += len(others)
    assert left_out >= 20


def test_the_set_of_the_best_plan_is_not_overrated() -> None:
    """What its yards count, and the table where only they and those that count nothing may receive."""
    for day, case, least_s in proved_days():
        attempt = Attempt(case, Clock(20.0), lambda *told: None)
        attempt.glance()
        best = attempt.settle(20.0).best
        assert best is not None
        into = {best.order[j].yard for _, j, _, _ in best.counts.moved}
        yards = {z for z in into if dear(case)[z]}
        sets = [
            of for of in receivers_under(case, case.ground(), least_s + 1) or [] if set(of.yards) == yards
        ]
        grounds = [ground_of(case, case.ground(), of) for of in sets]
        roots = [remaining(ground, holds=case.holds).root(ground) for ground in grounds]
        assert best.counted_s == least_s == best_order(day)[1]
        assert min(root + of.fixed_s for root, of in zip(roots, sets, strict=True)) <= least_s, day
        along_the_order(case, best, sets)


def test_the_least_plan_is_found_and_proved_set_by_set() -> None:
    found = 0
    for day in FOUND:
        answer = case_and_least(day)
        if answer is None:
            continue
        case, least_s = answer
        attempt = Attempt(case, Clock(20.0), lambda *told: None)
        attempt.below_s = least_s + 1
        settled = attempt._by_sets(Clock(20.0), False)
        assert settled is not None
        assert settled.best is not None, day
        assert (settled.best.counted_s, settled.proved) == (least_s, True), day
        found += 1
    assert found >= 14
