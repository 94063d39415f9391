"""Orders of stops whose receiving yards are chosen: shared out as every way would, never below the least."""

from dataclasses import replace
from random import Random

import pytest

from routeplan.audit import audit
from routeplan.operation.settings import Later, Settings
from routeplan.operation.world import Operation
from routeplan.operation.world import Order as Asked
from routeplan.planning.attempt import Attempt
from routeplan.planning.case import Case, case_of
from routeplan.planning.judge import Judge
from routeplan.planning.less import FAR, NEAR, StopChanges, count_less, stops_of
from routeplan.planning.limits import Clock
from routeplan.planning.most import Most
from routeplan.planning.order import Round, Visit, orderly
from routeplan.planning.solve import plan_day
from routeplan.planning.stop_guess import Stop, StopGuesser, Stops
from routeplan.planning.wander import walk
from tests.planning.make import DAY_ALONE, ONE, one_kit_hive, operation, yard
from tests.planning.proved import PLANNING_SECONDS, RICH, proved_days
from tests.planning.test_most import on_time, short_day, ways

QUIET = lambda stage, best, bound: None  # noqa: E731


def guesser_of(case: Case) -> StopGuesser:
    """Guesses under the prices of an attempt."""
    attempt = Attempt(case, Clock(20.0), QUIET)
    return StopGuesser(case, attempt.judge.mixture, attempt.prices)


def some_stops(rng: Random, yards: int) -> Stops:
    """Up to four stops at different yards, hives opened at the first."""
    drawn = rng.sample(range(yards), min(4, yards))
    kinds = [rng.choice(((True, False), (True, True), (False, True))) for _ in drawn]
    kinds[0] = (True, kinds[0][1])
    return tuple(Stop(y, opens, receives) for y, (opens, receives) in zip(drawn, kinds, strict=True))


@pytest.mark.parametrize("seed", range(16))
def test_as_many_are_shared_out_on_time_as_the_best_way_brings_to_the_yards_that_receive(seed: int) -> None:
    case, rng = case_of(short_day(seed)).by_the_clock(), Random(seed)
    table, seen = guesser_of(case).timed, set()
    as_told = {y: {(q, 0): s for (q,), s in of.items()} for y, of in enumerate(table.mixes)}
    for _ in range(6):
        stops = some_stops(rng, len(case.room))
        table_of = _Told(as_told, table.most, table.room, table.place_s, case)
        possible = [
            sum(made)
            for made, placed in ways(table_of, stops)  # type: ignore[arg-type]
            if all(s.receives or not n for s, n in zip(stops, placed, strict=True))
            and on_time(case, stops, made, placed, table_of)  # type: ignore[arg-type]
        ]
        most = min(case.size, max(possible, default=0))
        missing, visited = table.shared(stops, float("inf"))
        assert missing == case.size - most
        assert sum(v.made for v in visited) == most
        assert not any(v.placed for s, v in zip(stops, visited, strict=False) if not s.receives)
        seen.add(most)
    assert seen


class _Told:
    """What tests of guesses on time ask of one."""

    def __init__(self, mixes, most, room, place_s, case) -> None:  # type: ignore[no-untyped-def]
        self.mixes, self.most, self.room, self.place_s, self.case = mixes, most, room, place_s, case


def dear_yards(seed: int) -> Operation:
    """Five yards in a row; receiving costs each but one trips in the weeks after, the farther the dearer."""
    rng = Random(f"dear/{seed}")
    names = "VWXYZ"
    free = rng.choice(names)
    yards = tuple(
        yard(n, 8.0 * (i + 1) + rng.random(), room=rng.randint(2, 3), looked_after=n == free)
        for i, n in enumerate(names)
    )
    hives = tuple(one_kit_hive(f"{n}{i}", n) for n in names for i in range(rng.randint(1, 2)))
    settings = Settings(minimum_distance_m=5000.0, later=Later())
    return operation(yards, hives, (Asked("A", 4, ONE.name, "mated"),), settings=settings)


def test_with_one_kit_and_no_hours_in_the_way_the_judge_counts_what_is_guessed() -> None:
    equal = judged = 0
    for seed in range(12):
        case = case_of(dear_yards(seed))
        guesser = guesser_of(case)
        guess, stops = walk(guesser, StopChanges(guesser, 0.5), (), Clock(20.0), 2, seed, FAR)[0]
        found = Judge(case, Clock(20.0)).rough(tuple(Visit(s.yard, s.opens) for s in stops), 10**7)
        if found is not None:
            judged += 1
            equal += found.counted_s == guess.score
            assert found.counted_s <= guess.score  # the judge may let other yards of the order receive
    assert judged >= 10
    assert equal >= judged / 2


@pytest.mark.parametrize("seed", range(6))
def test_a_walk_over_stops_is_orderly_and_the_same_again(seed: int) -> None:
    guesser = guesser_of(case_of(dear_yards(seed)))
    met = walk(guesser, StopChanges(guesser, 0.5), (), Clock(20.0), 2, seed, NEAR)
    assert met == walk(guesser, StopChanges(guesser, 0.5), (), Clock(20.0), 2, seed, NEAR)
    assert all(orderly(stops, 2) for _, stops in met)
    assert [guess.score for guess, _ in met] == sorted(guess.score for guess, _ in met)


def test_found_from_nothing_it_is_never_below_the_least_and_mostly_the_least() -> None:
    least = found_any = 0
    days = proved_days(tuple(("tiny rich", seed) for seed in RICH[:24]))
    for day, case, least_s in days:
        attempt = Attempt(case, Clock(PLANNING_SECONDS), QUIET)
        told: list[Round] = []
        found = count_less(attempt.judge, attempt.prices, None, Clock(PLANNING_SECONDS), told.append)
        assert [r.counted_s for r in told] == sorted({r.counted_s for r in told}, reverse=True)
        if found is not None:
            assert found.counted_s >= least_s, day
            assert found is told[-1]
            found_any += 1
            least += found.counted_s == least_s
    assert found_any >= len(days) * 0.8
    assert least >= len(days) * 0.6


def test_from_a_plan_that_receives_at_dear_yards_a_walk_finds_cheap_ones() -> None:
    """Begun with all receiving yards but the free one, it ends with what the proof says is the least."""
    better = 0
    for seed in range(6):
        day = dear_yards(seed)
        case = case_of(day)
        plan = plan_day(day, 20.0)
        assert plan.proof.status == "optimal"
        assert not audit(day, plan)
        judge = Judge(case, Clock(30.0))
        free = next(z for z, y in enumerate(day.yards) if y.looked_after)
        others = [z for z in range(len(day.yards)) if z != free]
        order = (*(Visit(z, True) for z in others), *(Visit(z, False) for z in others))
        begun = judge.rough(order, 10**7)
        assert begun is not None
        assert free not in {s.yard for s in stops_of(begun) if s.receives}
        attempt = Attempt(case, Clock(30.0), QUIET)
        found = count_less(judge, attempt.prices, begun, Clock(20.0), lambda r: None)
        assert found is not None
        assert plan.totals.counted_s <= found.counted_s <= begun.counted_s
        better += found.counted_s < begun.counted_s
    assert better >= 4


def test_walks_are_made_where_receiving_is_dear_and_take_all_the_time_where_the_plan_is_far_off(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    walked: list[float] = []
    monkeypatch.setattr(
        "routeplan.planning.attempt.count_less",
        lambda judge, prices, best, clock, told: walked.append(clock.seconds) or best,
    )
    wandered: list[str] = []
    monkeypatch.setattr(Attempt, "wander", lambda self, *told: wandered.append("wandered"))
    far, near = 0.9, 100.0
    for day, dear in ((dear_yards(0), True), (replace(dear_yards(0), settings=DAY_ALONE), False)):
        quick = plan_of_all(day)
        for limit in (far, near):
            walked.clear()
            wandered.clear()
            monkeypatch.setattr("routeplan.planning.attempt.FAR", limit)
            Attempt(case_of(day), Clock(20.0), QUIET).begin_with(quick, Clock(100.0))
            assert len(walked) == (1 if dear else 0)
            assert [seconds > 20.0 for seconds in walked] == [limit == far] * dear
            assert bool(wandered) is (limit == near or not dear)


def plan_of_all(day: Operation) -> Round:
    """Some round with all splits asked for."""
    quick = Most(case_of(day).by_the_clock(), Clock(20.0), QUIET).begin(Clock(10.0))
    assert quick is not None
    return quick
