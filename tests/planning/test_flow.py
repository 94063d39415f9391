"""Splits followed visit by visit: never more than the least round counts, on small grounds tried in full."""

import numpy as np

from routeplan.planning.flow import Flow, Flows
from routeplan.planning.order import Visit
from routeplan.planning.remaining import INF, Ground, remaining
from tests.planning.rounds_tried import Rounds
from tests.planning.rounds_tried import Visit as Tried
from tests.planning.test_grounds import SEEDS, ground, holds_of, multipliers


def along(flows: Flows, here: Ground, walk: list[Tried]) -> list[tuple[int, int]]:
    """Bounds of a walk's beginnings, from home on: by what is to come, and by the visit that comes next."""
    flow, spent, at = flows.start(), 0, 0
    made_at, been_at = np.zeros((2, here.yards), dtype=bool)
    bounds = []
    for z, q, _ in walk:
        states = flows.table.memory.of(made_at, been_at)
        state = int(states[at - 1]) if at else 0
        to_come = flows.to_come(flow, state)
        after = flows.next(flow, states if at else np.zeros_like(states))[0 if q else 1]
        bounds.append((spent + to_come, spent + int(here.drive[at, z + 1]) + int(after[z])))
        spent += int(here.drive[at, z + 1]) + (here.opening if q else here.placing)
        flow = flows.extend(flow, Visit(z, q > 0), int(here.room[z]), None)
        been_at[z], made_at[z], at = True, made_at[z] or q > 0, z + 1
        least_s = int(flow.seconds.min())
        assert least_s < INF, "the walk itself is left out"
    return bounds


def flows_of(seed: int, rng: np.random.Generator | None) -> tuple[Flows, Ground]:
    """Flows on a seed's ground with a truck, with multipliers drawn at random or none."""
    parts, holds = ground(seed).in_parts(), holds_of(seed)
    prices = () if rng is None else (multipliers(rng, parts.due_from), multipliers(rng, parts.due_to))
    return Flows(parts, remaining(parts, *prices, holds=holds), holds), parts


def test_no_beginning_of_the_least_round_is_overrated() -> None:
    begun = strained = 0
    for seed in SEEDS:
        rounds = Rounds(ground(seed), holds_of(seed))
        least = rounds.least_s()
        if least >= INF:
            continue
        strained += least > Rounds(ground(seed)).least_s()
        for rng in (None, np.random.default_rng([seed, 5]), np.random.default_rng([seed, 6])):
            flows, here = flows_of(seed, rng)
            for to_come, after in along(flows, here, rounds.best_walk):
                assert max(to_come, after) <= least, (seed, rounds.best_walk)
                begun += 1
    assert begun >= 600
    assert strained >= 8


def test_a_bound_never_falls_from_one_visit_to_the_next() -> None:
    compared = 0
    for seed in SEEDS:
        rounds = Rounds(ground(seed), holds_of(seed))
        if ground(seed).cells or rounds.least_s() >= INF:
            continue
        flows, here = flows_of(seed, np.random.default_rng([seed, 7]))
        bounds = [to_come for to_come, _ in along(flows, here, rounds.best_walk)]
        assert bounds == sorted(bounds), (seed, bounds)
        assert bounds[0] == flows.table.root(here)
        compared += len(bounds)
    assert compared >= 100


def test_what_the_truck_does_not_hold_is_left_out() -> None:
    left_out = 0
    for seed in SEEDS:
        here, holds = ground(seed), holds_of(seed)
        with_truck, without = (Flows(here, remaining(here), limit) for limit in (holds, None))
        for y in np.flatnonzero(here.most >= 1).tolist():
            flow, free = (f.extend(f.start(), Visit(y, True), 0, None) for f in (with_truck, without))
            held = reached(flow)
            assert held == {(q, 0) for q, _ in reached(free) if holds[here.size - q, here.size]}
            left_out += len(reached(free)) - len(held)
    assert left_out >= 50


def reached(flow: Flow) -> set[tuple[int, int]]:
    """Numbers of splits made and placed that a flow knows of."""
    return {(int(j), int(d)) for j, d in np.argwhere(flow.seconds.min(axis=0) < INF)}
