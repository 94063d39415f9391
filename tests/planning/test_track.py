"""What the clock cuts on the way, against the judge: random orders of visits on days short of hours."""

from functools import cache
from random import Random

import numpy as np
import pytest

from routeplan.operation.world import Crew, Operation
from routeplan.operation.world import Order as Asked
from routeplan.planning.attempt import Attempt
from routeplan.planning.case import Case, case_of
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit
from routeplan.planning.possible import most_possible
from routeplan.planning.rounds import INF, Search
from routeplan.planning.soonest import Soonest
from routeplan.planning.track import Pace
from tests.planning.make import ONE, east, one_kit_hive, operation, yard
from tests.planning.proved import FAR, PLANNING_SECONDS, judged, search_of
from tests.planning.test_judge_exact import idle, sound
from tests.seeded import rich_operation

SEEDS = range(40)
ORDERS = 12
"""Orders tried a day."""


def busy_day(rng: Random) -> Operation:
    """Two or three donors' yards with two or three hives each, two new yards that may close early.

    Each hive makes one split. Hives are opened for an hour or so.
    """
    donors = [yard(f"D{i}", rng.uniform(2, 30), room=0) for i in range(rng.randint(2, 3))]
    closing = [600 + rng.choice((60, 90, 120, 180)) if rng.random() < 0.5 else None for _ in range(2)]
    takers = [yard(f"Z{i}", rng.uniform(2, 30), closes_min=c) for i, c in enumerate(closing)]
    hives = [
        one_kit_hive(f"H{n}", y.id, supers=rng.randint(0, 3))
        for y in donors
        for n in range(rng.randint(2, 3))
    ]
    crew = Crew("pair", east(0.0), hives_until_min=600 + rng.choice((40, 60, 80, 110, 150)))
    splits = (Asked("A", rng.randint(2, 4), ONE.name, "mated"),)
    return operation((*donors, *takers), tuple(hives), splits, crew=crew)


@cache
def some_day(kind: str, seed: int) -> Case | None:
    """A busy day, or a rich one that wants some of what is possible; None where nothing is."""
    rng = Random(f"track/{kind}/{seed}")
    case = case_of(busy_day(rng) if kind == "busy" else rich_operation(seed))
    if kind == "busy":
        return case
    totals = {p: rng.randint(1, n) for p, n in most_possible(case, 5.0).totals if n}
    return case.wanting(totals) if totals else None


def random_order(rng: Random, case: Case) -> Order:
    """Hives opened at some yards, one after the other, splits placed at the end and perhaps between."""
    makers = np.flatnonzero(case.ground().most).tolist()
    takers = np.flatnonzero(case.ground().room).tolist()
    visits = []
    for y in rng.sample(makers, rng.randint(1, min(3, len(makers)))):
        visits.append(Visit(y, True))
        if rng.random() < 0.3:
            visits.append(Visit(rng.choice(takers), False))
    return tuple(visits) if not visits[-1].opens else (*visits, Visit(rng.choice(takers), False))


def orders_of(kind: str, seed: int, case: Case) -> list[Order]:
    """Random orders that a search would walk."""
    rng = Random(f"orders/{kind}/{seed}")
    orders = {random_order(rng, case): None for _ in range(ORDERS)}
    return [order for order in orders if sound(case, order)]


def walked(search: Search, order: Order) -> int:
    """The highest bound on the way through an order, INF where it was cut."""
    part, highest = search.start(), 0
    for visit in order:
        grown = search.extend(part, visit)
        if grown is None:
            return INF
        part, highest = grown, max(highest, search.bound(grown))
    return max(highest, search.least_paid(part))


def search_for(case: Case) -> Search:
    """A search of any visits, cut by the clock."""
    return search_of(Attempt(case, Clock(PLANNING_SECONDS), lambda *told: None), "free", FAR)


@pytest.mark.parametrize("kind", ["busy", "rich"])
def test_no_order_that_can_be_driven_is_cut_or_overrated(kind: str) -> None:
    driven = cut = 0
    for seed in SEEDS:
        case = some_day(kind, seed)
        if case is None:
            continue
        search = search_for(case)
        for order in orders_of(kind, seed, case):
            verdict = judged(case, order)
            assert verdict.sure, (seed, order)
            least_s = walked(search, order)
            if verdict.found is None:
                cut += least_s >= FAR
            elif not idle(verdict.found):
                assert least_s <= verdict.found.counted_s, (seed, order)
                driven += 1
    assert driven >= 30
    assert cut >= 40


CUTS = {
    "_able": lambda pace, *told: np.ones(pace.ground.size + 1, dtype=bool),
    "_most_before": lambda pace, *told: pace.ground.size,
}


@pytest.mark.parametrize("name", CUTS)
def test_what_may_have_been_made_by_now_cuts_some_orders(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each by itself, without what earliest times cut too: else the test above would say nothing of it."""
    monkeypatch.setattr(Soonest, "reached", lambda self, left, order, next_s: None)
    monkeypatch.setattr(Soonest, "cannot_end", lambda self, left, order: False)
    days = [(seed, case) for seed in SEEDS if (case := some_day("busy", seed)) is not None]
    orders = [(search_for(case), order) for seed, case in days for order in orders_of("busy", seed, case)]
    for other in CUTS.keys() - {name}:
        monkeypatch.setattr(Pace, other, CUTS[other])
    with_cut = [walked(search, order) for search, order in orders]
    monkeypatch.setattr(Pace, name, CUTS[name])
    without = [walked(search, order) for search, order in orders]
    assert all(a >= b for a, b in zip(with_cut, without, strict=True))
    assert sum(a > b for a, b in zip(with_cut, without, strict=True)) >= 3
