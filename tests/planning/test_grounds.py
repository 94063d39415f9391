"""Tables, and what may have been placed, on small grounds at random: against all rounds and distributions."""

from dataclasses import replace
from functools import cache
from itertools import product

import numpy as np

from routeplan.planning.placed import Down, Place, Placed
from routeplan.planning.remaining import INF, Ground, Ints, Remaining, memory_of, remaining
from routeplan.planning.yields import convolve
from tests.planning.rounds_tried import Rounds, Visit, random_ground

SEEDS = range(240)
NEAR = range(4)


@cache
def ground(seed: int) -> Ground:
    """A ground of three or four yards for two or three splits; on some ripe cells or few splits cost more."""
    rng = np.random.default_rng(seed)
    return random_ground(rng, int(rng.integers(3, 5)), int(rng.integers(2, 4)), seed % 2 == 0, seed % 3 == 0)


def holds_of(seed: int) -> np.ndarray:
    """What a truck of a few places, with a few empties on each, holds; by splits to make and to place."""
    n, rng = ground(seed).size, np.random.default_rng([seed, 1])
    places, nest = int(rng.integers(1, 4)), int(rng.integers(1, 4))
    return np.array([[nest * (p - m) + m <= nest * places for p in range(n + 1)] for m in range(n + 1)])


def multipliers(rng: np.random.Generator, due: Ints) -> Ints:
    """Random multipliers by yard, below nothing only where something is due."""
    return np.asarray(rng.integers(np.where(due > 0, -900, 0), 900) * rng.integers(0, 2, len(due)))


# --- the table of what remains ------------------------------------------------------------------------------


def test_the_table_is_never_above_the_least_round() -> None:
    possible = exact = 0
    for seed in SEEDS:
        least, rng, here = Rounds(ground(seed)).least_s(), np.random.default_rng([seed, 2]), ground(seed)
        if least >= INF:
            continue
        possible += 1
        roots = [remaining(here, memory=memory_of(here, k)).root(here) for k in NEAR]
        exact += roots[-1] == least
        for k in NEAR:
            made, placed = multipliers(rng, here.due_from), multipliers(rng, here.due_to)
            roots.append(remaining(here, made, placed, memory_of(here, k)).root(here))
        assert max(roots) <= least, (seed, roots, least)
    assert possible >= 100
    assert exact >= possible // 2  # not only valid: mostly the truth itself


def test_the_table_that_knows_the_truck_is_never_above_the_least_round() -> None:
    dearer = better = 0
    for seed in SEEDS:
        holds, parts = holds_of(seed), ground(seed).in_parts()
        least = Rounds(ground(seed), holds).least_s()
        if least >= INF:
            continue
        root = remaining(parts, holds=holds).root(parts)
        assert root <= least, (seed, root, least)
        dearer += least > Rounds(ground(seed)).least_s()
        better += root > remaining(ground(seed)).root(ground(seed))
    assert dearer >= 8
    assert better >= 5


def test_costs_in_parts_add_up_to_no_more_than_the_yard_costs() -> None:
    some = 0
    for seed in SEEDS:
        here = ground(seed)
        parts = here.in_parts().receive
        for y, room in enumerate(here.room.tolist()):
            for visits in product(range(room + 1), repeat=3):
                if sum(visits) <= room:
                    assert sum(parts[y, r] for r in visits) <= here.receive[y, sum(visits)]
            some += bool(parts[y, : room + 1].any())
    assert some >= 100


# --- what may have been placed by now -----------------------------------------------------------------------

Point = tuple[int, int, int]
"""Splits placed, least seconds of receiving them, and whether ripe cells are among them."""


def visited(seed: int) -> tuple[Place, ...]:
    """Some yards visited: how much each can have received, whether it must have."""
    here, rng = ground(seed), np.random.default_rng([seed, 3])
    places = []
    for y in range(here.yards):
        most = int(rng.integers(0, here.room[y] + 1))
        if rng.random() < 0.7 and most:
            places.append((y, most, bool(rng.random() < 0.25)))
    return tuple(places)


def distributions(whole: Ground, places: tuple[Place, ...]) -> list[Point]:
    """All ways to have placed splits at the yards visited."""
    found = []
    for counts in product(*(range(int(forced), most + 1) for _, most, forced in places)):
        if sum(counts) <= whole.size:
            pairs = [(p, n) for p, n in zip(places, counts, strict=True) if n]
            cost = sum(int(whole.receive[y, n]) for (y, *_), n in pairs)
            found.append((sum(counts), cost, 0))
            if pairs and whole.cells:
                found.append((sum(counts), cost + min(int(whole.cell[y]) for (y, *_), _ in pairs), 1))
    return found


def kept(down: Down) -> list[Point]:
    """What is kept of it."""
    return list(zip(down.splits.tolist(), down.seconds.tolist(), down.cells.tolist(), strict=True))


def test_what_may_have_been_placed_is_never_above_the_truth() -> None:
    """Each is kept, or another with as many placed counts less even where a split fewer costs more."""
    left_out = 0
    for seed in SEEDS:
        whole, places = ground(seed), visited(seed)
        placed = Placed(whole)
        points, ours = distributions(whole, places), kept(placed.by_now(places))
        assert set(ours) <= set(points)
        for splits, seconds, cells in points:
            assert any(
                d >= splits and bit >= cells and s + placed.drop * (d - splits) <= seconds
                for d, s, bit in ours
            ), (seed, places, (splits, seconds, cells))
        left_out += len(set(points)) - len(ours)
        all_s = min((s for d, s, bit in points if d == whole.size and bit == whole.cells), default=INF)
        assert placed.by_now(places).all_s == all_s
    assert left_out >= len(SEEDS) // 2


def test_it_is_exact_where_fewer_splits_never_cost_more() -> None:
    compared = 0
    for seed in SEEDS:
        whole, places = ground(seed), visited(seed)
        whole = replace(whole, receive=np.maximum.accumulate(whole.receive, axis=1))
        points, ours = distributions(whole, places), kept(Placed(whole).by_now(places))
        for n, cells in product(range(whole.size + 1), (0, 1)):
            truth = min((s for d, s, bit in points if d >= n and bit >= cells), default=INF)
            assert min((s for d, s, bit in ours if d >= n and bit >= cells), default=INF) == truth
            compared += truth < INF
    assert compared >= 500


def test_no_beginning_of_the_least_round_is_overrated() -> None:
    """What was made and placed by now, each at its least, and the table's word on what is still to come."""
    begun = 0
    for seed in SEEDS:
        here, rounds = ground(seed), Rounds(ground(seed))
        least = rounds.least_s()
        table, placed = remaining(here), Placed(here)
        for i in range(1, len(rounds.best_walk)):
            bound = bound_of(here, table, placed, rounds.best_walk[:i])
            assert bound <= least, (seed, rounds.best_walk, i)
            begun += 1
    assert begun >= 200


def bound_of(here: Ground, table: Remaining, placed: Placed, walk: list[Visit]) -> int:
    """The least of any round that begins with a walk: splits made and placed so far are open."""
    n, spent, at = here.size, 0, 0
    work = np.where(np.arange(n + 1) == 0, 0, INF)
    made_at, been_at = np.zeros((2, here.yards), dtype=bool)
    for z, q, _ in walk:
        spent += int(here.drive[at, z + 1]) + (here.opening if q else here.placing)
        at = z + 1
        been_at[z], made_at[z] = True, made_at[z] or q > 0
    for z in np.flatnonzero(made_at):
        work = convolve(work, here.least[z])
    state = int(table.memory.of(made_at, been_at)[at - 1])
    places = tuple((z, int(here.room[z]), False) for z in sorted({z for z, _, r in walk if r}))
    return spent + min(
        int(work[j] + seconds + table.leave[at, state | bit << table.memory.bits, n - j, n - min(j, d)])
        for j in range(n + 1)
        for d, seconds, bit in kept(placed.by_now(places))
    )
