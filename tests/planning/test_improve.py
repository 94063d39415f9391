"""Plans looked for near a known one, or taken over from the clock alone: never worse, never told too good."""

from random import Random

from routeplan.planning.attempt import Attempt
from routeplan.planning.case import Case
from routeplan.planning.improve import improve
from routeplan.planning.judge import Judge
from routeplan.planning.limits import Clock
from routeplan.planning.order import Round
from routeplan.planning.rounds import FREE, Search
from tests.planning.proved import DAYS, FAR, PLANNING_SECONDS, attempt_of, judged, proved_days, search_of
from tests.planning.test_judge_exact import some_orders

SOME = DAYS[::2]


def attempted(case: Case) -> Attempt:
    """An attempt without closer bounds."""
    return Attempt(case, Clock(PLANNING_SECONDS), lambda stage, best, bound: None)


def hasty_search(case: Case, best: Round) -> Search:
    """A search for plans only that knows one."""
    search = search_of(attempted(case), FREE, FAR)
    search.hasty, search.best = True, best
    search.__post_init__()
    return search


def counted_again(case: Case, found: Round) -> int:
    """What a round counts by its own boxes, moves and clock."""
    judge = Judge(case, Clock(PLANNING_SECONDS))
    beside = sum(boxes.beside_s for boxes in found.boxes.values())
    return judge.counted_s(found.order, found.counts, found.paid_s) - sum(found.counts.beside) + beside


def test_what_is_found_near_a_plan_is_never_worse_and_never_below_the_least() -> None:
    better = tried = 0
    for day, case, least_s in proved_days(SOME):
        for order in some_orders(day, case):
            begun = judged(case, order).found
            if begun is None:
                continue
            search = hasty_search(case, begun)
            improve(search)
            found = search.best
            assert found is not None
            assert least_s <= found.counted_s <= begun.counted_s, (day, order)
            again = judged(case, found.order).found
            assert again is not None
            assert again.counted_s <= counted_again(case, found) <= found.counted_s, (day, order)
            tried += 1
            better += found.counted_s < begun.counted_s
    assert tried >= 45
    assert better >= 5


def test_a_round_weighed_once_more_is_never_worse() -> None:
    for day, case, least_s in proved_days(SOME):
        judge = Judge(case, Clock(PLANNING_SECONDS))
        for order in some_orders(day, case):
            rough = judge.rough(order, FAR)
            if rough is not None:
                finer = judge.finer(rough)
                assert least_s <= finer.counted_s <= rough.counted_s, (day, order)
                assert counted_again(case, rough) <= rough.counted_s, (day, order)


def test_a_plan_of_the_clock_alone_counts_at_most_what_is_said_of_it() -> None:
    """The hives are then opened in what may be a dearer way: what is said is enough, never too little."""
    taken = 0
    for day, case, least_s in proved_days():
        timed = case.by_the_clock()
        quick = attempted(timed)
        if timed is case or not quick.glance():
            continue
        assert quick.best is not None
        found = Judge(case, Clock(PLANNING_SECONDS)).as_it_is(quick.best)
        assert found.order == quick.best.order
        best = judged(case, found.order).found
        assert best is not None, day
        assert least_s <= best.counted_s <= found.counted_s, day
        taken += 1
    assert taken >= 20


def test_a_search_that_begins_with_a_plan_ends_with_none_worse() -> None:
    for day, case, least_s in proved_days(SOME):
        order = Random(f"begins/{day}").choice(some_orders(day, case))
        begun = judged(case, order).found
        if begun is None:
            continue
        attempt = attempt_of(case)
        attempt.best = begun
        found = attempt.settle(PLANNING_SECONDS)
        assert found.best is not None
        assert (found.best.counted_s, found.proved) == (least_s, True), day
