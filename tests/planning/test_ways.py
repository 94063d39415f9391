"""What ways to a queen count at least, against every way to share the splits out over yards."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from random import Random

import numpy as np
import pytest

from routeplan.operation.settings import NO_LATER
from routeplan.operation.world import Order
from routeplan.planning import ways as ways_file
from routeplan.planning.case import Case, case_of
from routeplan.planning.ways import ways_at_yards
from tests.planning.make import DAY_ALONE, ONE, hive, operation, yard

NEVER = 10**9
WAYS = ("raise own", "ripe cell", "mated", "parent's", "own cells")


def shared(count: int, places: int) -> Iterator[tuple[int, ...]]:
    """Every way to share so many out over so many places."""
    if places == 1:
        yield (count,)
        return
    for n in range(count + 1):
        yield from ((n, *rest) for rest in shared(count - n, places - 1))


def wanted_of(case: Case) -> set[tuple[tuple[str, int], ...]]:
    """Every choice of splits by way to a queen that is as many of each priority as are wanted."""
    batches, totals = case.demand.batches, dict(case.demand.totals)
    found = set()
    for counts in product(*(range(b.count + 1) for b in batches)):
        by_priority, by_way = (
            dict.fromkeys(case.demand.asked, 0),
            dict.fromkeys((b.queen for b in batches), 0),
        )
        for batch, n in zip(batches, counts, strict=True):
            by_priority[batch.priority] += n
            by_way[batch.queen] += n
        if all(n == totals.get(p, 0) for p, n in by_priority.items()):
            found.add(tuple(sorted(by_way.items())))
    return found


def least_shared_out(case: Case, yards: tuple[int, ...], free: int, cells: bool) -> int:
    """Least that the ways to a queen count at these yards, one split at each at least, with so much room
    elsewhere (for ripe cells with `cells` only); NEVER where they cannot be shared out."""
    rooms, must = (
        [min(int(case.room[z]), case.total) for z in yards],
        ways_at_yards(case.demand, case.after).must,
    )
    words = sorted({b.queen for b in case.demand.batches})
    least_s = NEVER
    for wanted in wanted_of(case):
        for shares in product(*(list(shared(n, len(yards) + 1)) for _, n in wanted)):
            by_place = [
                [(way, share[i]) for (way, _), share in zip(wanted, shares, strict=True)]
                for i in range(len(yards) + 1)
            ]
            there = [{way for way, n in place if n} for place in by_place]
            into = [sum(n for _, n in place) for place in by_place]
            if into[-1] > free or ("ripe cell" in there[-1] and not cells) or not all(into[:-1]):
                continue
            if any(n > room for n, room in zip(into[:-1], rooms, strict=True)):
                continue
            if any(
                words[i] not in here
                for z, here in zip(yards, there, strict=False)
                for i in range(len(words))
                if must[z] >> i & 1
            ):
                continue
            counted_s = sum(case.after.more_s(z, here) for z, here in zip(yards, there, strict=False))
            counted_s += sum(
                int(case.after.cell_s[z])
                for z, here in zip(yards, there, strict=False)
                if "ripe cell" in here
            )
            least_s = min(least_s, counted_s)
    return least_s


def drawn(seed: int) -> tuple[Case, tuple[int, ...]]:
    """A day of three yards with some room each and a few orders, drawn by a seed; the yards."""
    rng = Random(seed)
    later = replace(NO_LATER, trips_by_queen=rng.random() < 0.8)
    yards = tuple(yard(f"Z{n}", 8.0 + 9.0 * n * rng.random(), room=rng.randint(2, 5)) for n in range(3))
    some = rng.sample(WAYS, rng.randint(2, 3))
    orders = tuple(
        Order(
            way,
            rng.randint(1, 3),
            ONE.name,
            way,
            priority=rng.randint(1, 2),
            to_yard=rng.choice((*[None] * 7, "Z0")),
        )
        for way in some
    )
    case = case_of(operation(yards, (hive("H", "Z0"),), orders, settings=replace(DAY_ALONE, later=later)))
    asked = case.demand.asked
    totals = {p: max(1, n - rng.randint(0, 1)) for p, n in asked.items()}
    case = replace(case, demand=case.demand.with_totals(totals), room=np.array([y.room for y in yards]))
    return case, tuple(range(rng.randint(1, 3)))


@pytest.mark.parametrize("seed", range(60))
def test_ways_count_no_more_than_shared_out_in_any_way(seed: int) -> None:
    case, yards = drawn(seed)
    ways, free = ways_at_yards(case.demand, case.after), seed % 4
    for cells in (False, True):
        truth = least_shared_out(case, yards, free, cells)
        told = ways.least_s({z: int(case.room[z]) for z in yards}, ways.free(free, cells), NEVER)
        assert told <= truth
        assert ways.least_s({z: int(case.room[z]) for z in yards}, ways.free(free, cells), told) == told


def test_where_all_is_wanted_they_are_told_exactly(monkeypatch: pytest.MonkeyPatch) -> None:
    """But where choices are told apart by groups only; then none is overrated either. (The difference:
    a yard may be open to ways of which no split is left for it.)"""
    differ, lower, possible = 0, 0, 0
    for seed in range(60):
        case, yards = drawn(seed)
        case = replace(case, demand=case.demand.with_totals(case.demand.asked))
        ways, rooms = ways_at_yards(case.demand, case.after), {z: int(case.room[z]) for z in yards}
        truth = least_shared_out(case, yards, 2, True)
        told = ways.least_s(rooms, ways.free(2, True), NEVER)
        with monkeypatch.context() as few:
            few.setattr(ways_file, "MOST_CHOICES", 1)
            roughly = ways.least_s(rooms, ways.free(2, True), NEVER)
        assert roughly <= told <= truth
        differ += told < truth < NEVER
        lower += roughly < told
        possible += truth < NEVER
    assert possible >= 40
    assert differ <= 5
    assert lower >= 5


def test_guess_in_a_row() -> None:
    """Side by side in rows is never less than the least, and most often it is the least."""
    same = seen = 0
    for seed in range(60):
        case, yards = drawn(seed)
        case = replace(case, demand=case.demand.with_totals(case.demand.asked))
        ways, size = ways_at_yards(case.demand, case.after), case.demand.size
        if len(yards) > size:
            continue
        cut = [size * i // len(yards) for i in range(len(yards) + 1)]
        rooms = {z: b - a for z, a, b in zip(yards, cut[:-1], cut[1:], strict=True)}
        least_s = ways.least_s(rooms, ways.free(0, False), NEVER)
        guessed_s = ways.about_s(tuple(sorted(rooms.items())))
        if not ways.must.any():
            assert guessed_s >= least_s
            seen, same = seen + 1, same + (guessed_s == least_s)
    assert same >= 0.9 * seen >= 20
    assert ways.about_s(()) == 0
