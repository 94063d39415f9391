"""What the search leaves out loses nothing: without each cut the answer is the same."""

from collections import Counter
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from routeplan.plan import Plan
from routeplan.planning import attempt, mixture, possible, rounds
from routeplan.planning.attempt import Attempt
from routeplan.planning.dominance import Dominance
from routeplan.planning.mixture import Mixture
from routeplan.planning.order import Order, Visit
from routeplan.planning.placed import Placed
from routeplan.planning.possible import Possible
from routeplan.planning.remaining import memory_of
from routeplan.planning.rounds import Search
from routeplan.planning.solve import plan_day
from routeplan.planning.track import Pace
from tests.planning.proved import (
    PLANNING_SECONDS,
    Day,
    best_order,
    case_and_least,
    operation_of,
    planned,
    proved_days,
    spent_s,
)

SHORT: tuple[Day, ...] = (
    *(("small", s) for s in (16, 60, 63, 99, 109)),
    *(("rich", s) for s in (16, 49, 67)),
)
"""Days on which every one of the cuts leaves something out, one or another."""

LONG: tuple[Day, ...] = (*(("small", s) for s in range(120)), *(("rich", s) for s in range(120)))


def no_dominance(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Dominance, "needless", lambda self, order, spent: False)


def no_mixture(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Mixture, "least_work", lambda self, order: 0)
    patch.setattr(Mixture, "kept", lambda self, order, below_s: None)


def no_clock(patch: pytest.MonkeyPatch) -> None:
    begin = Search.__post_init__

    def untimed(search: Search) -> None:
        begin(search)
        search.timed = False

    patch.setattr(Search, "__post_init__", untimed)


def no_track(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Pace, "stranded", lambda self, track, order: False)
    patch.setattr(Pace, "_able", lambda self, *told: np.ones(self.ground.size + 1, dtype=bool))
    patch.setattr(Pace, "_most_before", lambda self, *told: self.ground.size)


def no_waste(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Search, "_wasted", lambda self, order, down: False)


def no_prices(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(attempt, "line_prices", lambda case, clock, below_s: 0 * case.fill_s)


def no_multipliers(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(attempt, "multiplied", lambda ground, aim, clock: None)


def no_flows(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Attempt, "_in_parts", lambda self: None)


def no_sets(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Attempt, "_by_sets", lambda self, clock, first_only: None)


def no_fewer_down(patch: pytest.MonkeyPatch) -> None:
    kept = Placed._kept
    patch.setattr(Placed, "_kept", lambda self, tables, waits: kept(self, tables, True))


def no_memory(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(attempt, "memory_of", lambda ground, k: memory_of(ground, 0))


def no_narrow_walk(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Search, "beam", lambda self, width=0: None)
    patch.setattr(attempt, "improve", lambda search: None)


CUTS = [
    no_dominance,
    no_mixture,
    no_clock,
    no_track,
    no_waste,
    no_prices,
    no_multipliers,
    no_flows,
    no_sets,
    no_fewer_down,
    no_memory,
]


def told(plan: Plan) -> tuple[object, ...]:
    """What must be the same: splits counted over all, seconds that count, and what is proved."""
    return len(plan.splits), plan.totals.counted_s, plan.proof.status, plan.proof.count_status


def differences(days: tuple[Day, ...]) -> list[str]:
    """Days planned otherwise now, of those that were settled before."""
    wrong = []
    for day in days:
        mine = planned(day)
        if mine.proof.status == "feasible" or mine.proof.count_status == "feasible":
            continue
        other = plan_day(operation_of(day), PLANNING_SECONDS)
        short = other.proof.status == "feasible" or other.proof.count_status == "feasible"
        same = told(mine)[:2] == told(other)[:2] if short else told(mine) == told(other)
        if not same:
            wrong.append(f"{day}: {told(mine)}, without {told(other)}")
    return wrong


LEAVES_OUT: dict[str, tuple[type, Callable[[Any], bool]]] = {
    "needless": (Dominance, bool),
    "least_work": (Mixture, lambda seconds: seconds >= rounds.INF),
    "kept": (Mixture, lambda kept: kept is not None and not all(rows.all() for rows in kept.values())),
    "stranded": (Pace, bool),
    "extend": (Pace, lambda track: track is None),
    "_wasted": (Search, bool),
    "_by_sets": (Attempt, lambda found: found is not None),
}
"""What a cut answers where it leaves something out."""


def test_every_cut_leaves_something_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Else the comparisons below would prove nothing."""
    left_out: Counter[str] = Counter()
    for name, (of, says) in LEAVES_OUT.items():
        cut = getattr(of, name)

        def counting(self, *args, cut=cut, name=name, says=says):  # type: ignore[no-untyped-def]
            said = cut(self, *args)
            left_out[name] += bool(says(said))
            return said

        monkeypatch.setattr(of, name, counting)
    for day in SHORT:
        plan_day(operation_of(day), PLANNING_SECONDS)
    assert set(+left_out) == set(LEAVES_OUT)


@pytest.mark.parametrize("cut", CUTS)
def test_same_answer_without(cut, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    assert [s for s in SHORT if "feasible" in told(planned(s))] == []
    cut(monkeypatch)
    assert differences(SHORT) == []


@pytest.mark.long
@pytest.mark.parametrize("cut", [*CUTS, no_narrow_walk])
def test_same_answer_without_on_many(cut, monkeypatch: pytest.MonkeyPatch) -> None:  # type: ignore[no-untyped-def]
    cut(monkeypatch)
    assert differences(LONG) == []


def test_more_is_never_possible_than_said() -> None:
    """Splits placed stay within what frames, room, distances and stock allow, class by class."""
    for _, case, _ in proved_days():
        most = possible.most_possible(case.wanting(case.demand.asked), 5.0)
        assert most.sure
        first, n = case.demand.totals[0]
        assert n <= dict(most.totals)[first]
        assert case.size <= most.size or len(most.totals) > 1


def test_leaving_a_rule_out_never_makes_less_possible() -> None:
    for _, case, _ in proved_days()[::4]:
        everything = case.wanting(case.demand.asked)
        (first, n), *_ = possible.most_possible(everything, 5.0).totals
        for name in possible.RULES:
            freer: Possible = possible.most_possible(everything, 5.0, frozenset((name,)))
            assert freer.sure
            assert dict(freer.totals)[first] >= n, name


# --- the parts on their own ---------------------------------------------------------------------------------


def test_work_of_the_mixes_is_never_above_the_work_of_the_best_round() -> None:
    cut = 0
    for day, case, least_s in proved_days():
        order, _ = best_order(day)
        counted = mixture.mixture_of(case)
        assert counted.mixes is not None
        assert counted.least_work(order) <= least_s - spent_s(case, order), day
        assert counted.least_work(order[::-1]) >= 0
        cut += counted.least_work(tuple(v for v in order if not v.opens)) >= rounds.INF
    assert cut == len(proved_days())  # nobody opens hives: nothing can be made


def test_too_many_batches_are_not_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    answer = case_and_least(("small", 6))
    assert answer is not None
    monkeypatch.setattr(mixture, "MOST_STATES", 1)
    counted = mixture.mixture_of(answer[0])
    assert counted.mixes is None
    assert counted.least_work(()) == 0


def test_the_slower_of_two_orders_of_the_same_visits_is_needless() -> None:
    answer = case_and_least(("small", 6))
    assert answer is not None
    ground = answer[0].ground()
    known = Dominance(ground)
    one: Order = (Visit(0, True), Visit(1, True), Visit(2, False))
    other: Order = (Visit(1, True), Visit(0, True), Visit(2, False))
    assert not known.needless(one, 5000)
    assert known.needless(one, 5000)
    assert known.needless(one, 5001)
    assert not known.needless(one, 4999)
    assert not known.needless(other[:2], 9000)  # ends elsewhere
    assert known.needless(one, 6000)


def test_an_order_with_more_ways_to_move_is_never_needless() -> None:
    """Dearer, but a split of the first yard may be placed at a later one: that may be what is needed."""
    answer = case_and_least(("small", 6))
    assert answer is not None
    ground = answer[0].ground()
    far, room = ground.far, ground.room
    pairs = [(a, b) for a in range(ground.yards) for b in range(ground.yards) if far[a, b] and room[b]]
    a, b = pairs[0]
    c = next(y for y in range(ground.yards) if y not in (a, b))
    known = Dominance(ground)
    few: Order = (Visit(b, False), Visit(a, True), Visit(c, False))
    more: Order = (Visit(a, True), Visit(b, False), Visit(c, False))
    assert not known.needless(few, 3000)
    assert not known.needless(more, 4000)
    assert known.needless(few, 4000)
