"""A bound where boxes may be of two yards: frames counted in units, whoever pools them.

Every kind of frame has a weight; every split needs at least so many units, wherever they come from, and a
yard can give so many units at such a least time. That leaves out which kinds go together, so it is never too
high. Weights are free: some are tried and the ones with the highest bounds kept.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from routeplan.planning.after import least_to_hold
from routeplan.planning.case import DAY_S, Case
from routeplan.planning.demand import KINDS, QUEEN
from routeplan.planning.limits import Clock
from routeplan.planning.openings import Ints
from routeplan.planning.order import Order
from routeplan.planning.parts import begin_s
from routeplan.planning.remaining import INF
from routeplan.planning.unit_table import legs_of
from routeplan.planning.work import Work
from routeplan.planning.yields import Option, convolve, opening_together, saved_s

MOST_UNITS = 400
"""Larger tables are not tried."""
MOST_STATES = 200_000
EGGS, FOOD, SHAKE = (KINDS.index(kind) for kind in ("eggs", "food", "shake"))


@dataclass(frozen=True)
class Costs:
    """What the bound counts, in one kind of seconds: of what counts, or of the clock alone.

    drive: (yards + 1, yards + 1); receive: (yards, size + 1) for r splits placed; constant: what making and
    placing takes wherever it is done, less what is charged too much, and less what finding queens first may
    save on frames (`saved_s`, 0 where that comes off the hives themselves).
    """

    drive: Ints
    receive: Ints
    constant: int
    saved_s: int
    opening: int
    placing: int
    by_clock: bool


@dataclass(frozen=True)
class Choice:
    """What one table counts: weights of the kinds of frames, and what is bounded apart from the road, each
    yard used once only: receiving splits, opening hives."""

    weights: tuple[int, ...]
    receive_apart: bool = False
    opening_apart: bool = False


@dataclass(frozen=True)
class Units:
    """Tables of one choice. least: (yards, all + 1) seconds to give so many units at least;
    leave[m, p, place]: least seconds to go, m units to take and p splits to place, from a place."""

    choice: Choice
    constant: int
    all: int
    of_split: int
    least: Ints
    leave: Ints

    @property
    def root(self) -> int:
        """The bound of every plan."""
        return int(self.leave[self.all, -1, 0]) + self.constant

    def bound(self, spent: int, given: Ints, placed: Ints, last: int) -> int:
        """The bound of a partial order: seconds spent, least for units given and for splits placed by now."""
        to_come = self.leave[::-1, ::-1, last]
        total = given[:, None] + placed[None, :] + to_come
        return min(INF, spent + int(total.min()) + self.constant)


def counted_costs(case: Case) -> Costs:
    """Costs in seconds that count."""
    ground = case.ground()
    splits = np.arange(case.size + 1)
    receive = ground.receive + ground.carry[:, None] * splits[None, :]
    making, saved = making_s(case, case.base_place_s)
    constant = making - saved - case.receive_back_s
    constant += least_to_hold(case.after.cell_s, ground.room, case.cells)
    return Costs(ground.drive, receive, min(INF, constant), saved, ground.opening, ground.placing, False)


def clock_costs(case: Case) -> Costs:
    """Costs in seconds of the clock."""
    ground = case.clock_ground()
    splits = np.arange(case.size + 1)
    receive = ground.receive + ground.carry[:, None] * splits[None, :]
    making, saved = making_s(case, case.place_s.min(axis=0, initial=DAY_S))
    return Costs(ground.drive, receive, making - saved, saved, ground.opening, ground.placing, True)


def making_s(case: Case, place_s: Ints) -> tuple[int, int]:
    """Least seconds of filling, making and placing all splits wherever that is done, and the most that frames
    handled quicker may save, where that does not come off the hives themselves."""
    work, demand = Work(case.operation), case.demand
    found = not case.rises and any(o.found for of_yard in case.donors for d in of_yard for o in d.options)
    least: dict[int, list[tuple[int, int]]] = {}
    saved: dict[int, list[tuple[int, int]]] = {}
    for b, batch in enumerate(demand.batches):
        lines = [k for k, line in enumerate(demand.lines) if line.batch == b]
        if not lines or not demand.cap(b):
            continue
        best = min(int(case.fill_s[k] + place_s[k] + case.make_s[:, k].min(initial=DAY_S)) for k in lines)
        quick = max(saved_s(work, demand.contents(k)) for k in lines) if found else 0
        least.setdefault(batch.priority, []).append((best, demand.cap(b)))
        saved.setdefault(batch.priority, []).append((-quick, demand.cap(b)))
    making = sum(_cheapest(least.get(priority, []), n) for priority, n in demand.totals)
    return making, -sum(_cheapest(saved.get(priority, []), n) for priority, n in demand.totals)


def _cheapest(offers: list[tuple[int, int]], n: int) -> int:
    """Least sum of n things out of (each, how many)."""
    total = 0
    for each, most in sorted(offers):
        taken = min(n, most)
        total, n = total + each * taken, n - taken
    return total


WEIGHTS = (
    (1, 0, 0, 0, 0, 0),
    (0, 1, 1, 0, 0, 0),
    (0, 0, 0, 1, 0, 0),
    (0, 0, 0, 0, 1, 0),
    (1, 1, 1, 0, 0, 0),
    (2, 1, 1, 0, 0, 0),
    (1, 2, 2, 0, 0, 0),
    (1, 1, 1, 1, 0, 0),
    (2, 2, 2, 1, 0, 0),
    (1, 1, 1, 1, 1, 0),
    (2, 2, 2, 1, 1, 0),
)
"""Weights tried: each kind of frame alone, and some sums of them, in the order of the kinds of a need."""


def units_of_splits(case: Case, weights: tuple[int, ...]) -> list[int]:
    """Units that the splits need at least, one by one, few first; empty where some need none.

    In any plan as many splits need as many or more, one by one: what they have beyond may be left out.
    """
    demand = case.demand
    by_batch: dict[int, int] = {}
    for k, line in enumerate(demand.lines):
        if demand.of(k).hive is None and demand.cap(line.batch):
            need = sum(w * n for w, n in zip(weights, demand.need(k), strict=False))
            by_batch[line.batch] = min(need, by_batch.get(line.batch, need))
    one = min(by_batch.values(), default=0)
    own = {b for b in demand.own_right if demand.cap(b)}
    least: dict[int, list[int]] = {}
    for b in [*by_batch, *own]:
        least.setdefault(demand.batches[b].priority, []).extend([by_batch.get(b, one)] * demand.cap(b))
    units = sorted(n for p, total in demand.totals for n in sorted(least.get(p, []))[:total])
    return units if units and units[0] else []


def givers(case: Case, weights: tuple[int, ...], units: list[int], by_clock: bool) -> Ints:
    """Least seconds to give at least so many units, by yard, (yards, units + 1); INF where it cannot.

    What carrying boxes takes at a yard beyond the least of any is in it by the unit: each side of a box
    carries it.
    """
    work, quick = Work(case.operation), case.rises

    def seconds(option: Option) -> int:
        spent = option.open_s if by_clock else option.open_s - option.off_s + option.against_s
        return spent - (saved_s(work, option.give) if quick and option.found else 0)

    least = worked(case, weights, units, seconds)
    carried = (_carried_s(case)[:, None] * np.arange(sum(units) + 1)[None, :]) // units[-1]
    return np.where(least < INF, least + carried, INF)


def worked(
    case: Case, weights: tuple[int, ...], units: list[int], seconds_of: Callable[[Option], int]
) -> Ints:
    """Least sum of such seconds over hives that give at least so many units together, by yard, (yards,
    units + 1); INF where they cannot."""
    one, most = units[0], sum(units)
    least = np.full((len(case.room), most + 1), INF, dtype=np.int64)
    full = np.array((*weights, *(one,) * (case.demand.width - len(KINDS))))  # own parts: one split each
    for y, of_yard in enumerate(case.donors):
        table = np.full(most + 1, INF, dtype=np.int64)
        table[0] = 0
        for donor in of_yard:
            given = np.minimum(most, np.array([o.give for o in donor.options]) @ full)
            offers: dict[int, int] = {}
            for n, option in zip(given.tolist(), donor.options, strict=True):
                if n:
                    offers[n] = min(seconds_of(option), offers.get(n, INF))
            for _ in range(min(len(donor.hives), most)) if offers else ():
                before = table
                table = before.copy()
                for n, seconds in offers.items():
                    shifted = np.concatenate([np.zeros(n, dtype=np.int64), before])[: most + 1]
                    np.minimum(table, shifted + seconds, out=table)
        table[0] = 0
        least[y] = np.minimum.accumulate(table[::-1])[::-1]
    return np.minimum(least, INF)


def _carried_s(case: Case) -> Ints:
    """Seconds that making a split, or beginning one, takes at a yard beyond making it where that is least."""
    lines = [k for k, line in enumerate(case.demand.lines) if case.demand.cap(line.batch)]
    more = (case.make_s - case.make_s.min(axis=0, initial=DAY_S))[:, lines].min(axis=1, initial=DAY_S)
    return np.asarray(np.minimum(more, [begin_s(case, y) for y in range(len(case.room))]))


def tables(case: Case, costs: Costs, choice: Choice) -> Units | None:
    """Fill the tables of one choice; None where they say nothing or are too large."""
    units = units_of_splits(case, choice.weights)
    every = sum(units)
    if not units or every > MOST_UNITS:
        return None
    if choice.receive_apart:
        costs = apart(case, costs)
    constant = costs.constant
    least = givers(case, choice.weights, units, costs.by_clock)
    if choice.opening_apart:
        together = nothing_yet(every)
        for row in least:
            together = with_given(together, row)
        constant += int(together[-1])
        least = np.where(least < INF, 0, INF)
    return Units(choice, constant, every, units[0], least, _leave(case, costs, least, every, units[0]))


def apart(case: Case, costs: Costs) -> Costs:
    """The same costs with what receiving costs counted apart: the least for all splits, each yard once."""
    received = nothing_yet(case.size)
    for z in range(len(case.room)):
        received = with_placed(case, costs, received, z)
    nothing = np.zeros_like(costs.receive)
    return replace(costs, receive=nothing, constant=min(INF, costs.constant + int(received[-1])))


def _leave(case: Case, costs: Costs, least: Ints, every: int, one: int) -> Ints:
    """Fill leave[m, p, place] from little to much to do."""
    yards, size = len(case.room), case.size
    leave = np.full((every + 1, size + 1, yards + 1), INF, dtype=np.int64)
    leave[0, 0] = costs.drive[:, 0]
    room = np.minimum(case.room, size)
    receive = np.where(np.arange(size + 1)[None, :] <= room[:, None], costs.receive, INF)
    between = legs_of(costs.drive, costs.opening)
    for m in range(every + 1):
        giving = np.full((size + 1, yards), INF, dtype=np.int64)
        if m:  # take q units, then leave
            offers = least[:, 1 : m + 1].T[:, None, :] + leave[m - 1 :: -1, :, 1:][:m]
            giving = offers.min(axis=0)
        down_by_now = (every - m) // one  # boxes that can be complete before this visit
        for p in range(size + 1):
            if size - p > down_by_now or not (m or p):
                continue
            most = min(p, down_by_now - (size - p))
            r = np.arange(most + 1)
            opened = (receive[:, : most + 1].T + giving[p - r]).min(axis=0) + costs.opening
            visit = opened
            if most:
                placed = (receive[:, 1 : most + 1].T + leave[m, p - r[1:], 1:]).min(axis=0)
                visit = np.minimum(opened, placed + costs.placing)
            leave[m, p] = np.minimum(INF, (between + visit[None, :]).min(axis=1))
    return leave


def best_choices(case: Case, costs: Costs, most: int, clock: Clock) -> list[Choice]:
    """Return the choices with the highest bounds, at most so many, the highest first."""
    joint = _rated(case, costs, [Choice(weights) for weights in WEIGHTS], clock)
    best = [choice.weights for _, choice in joint[:most]]
    parted = [Choice(w, True, opening) for w in best for opening in (False, True)]
    rated = joint[:most] + _rated(case, costs, parted, clock)
    return [choice for _, choice in sorted(rated, key=lambda r: r[0])[:most]]


def _rated(case: Case, costs: Costs, choices: list[Choice], clock: Clock) -> list[tuple[int, Choice]]:
    found: list[tuple[int, Choice]] = []
    for choice in choices:
        if found and clock.over():
            break
        if (units := tables(case, costs, choice)) is not None:
            found.append((-units.root, choice))
    return sorted(found, key=lambda r: r[0])


def least_needed(case: Case) -> Ints:
    """Least frames of each kind that all splits need together, (kinds,): each the least of its lines, or
    of all lines where it is open which splits are made."""
    demand = case.demand
    lines = [k for k, line in enumerate(demand.lines) if demand.cap(line.batch)]
    if not lines:
        return np.zeros(demand.width, dtype=np.int64)
    needs = demand.needs()
    if dict(demand.totals) != demand.asked:
        return np.asarray(case.size * needs[lines].min(axis=0))
    total = np.zeros(demand.width, dtype=np.int64)
    for b, batch in enumerate(demand.batches):
        total += batch.count * needs[[k for k in lines if demand.lines[k].batch == b]].min(axis=0)
    return total


class Together:
    """Least opening of hives where those of some yards give all there is to give, whoever gets it."""

    def __init__(self, case: Case) -> None:
        self.case, self.work = case, Work(case.operation)
        self.needed, self.held = least_needed(case), most_held(case)
        self.known: dict[frozenset[int], int | None] = {}
        self.counted = self.needed.copy()
        self.counted[len(KINDS) :] = 0
        for kind in (SHAKE, QUEEN, FOOD, EGGS):  # the scarcest kinds decide: others are left out first
            if np.prod(self.counted + 1.0) > MOST_STATES:
                self.counted[kind] = 0

    def least_s(self, order: Order) -> int | None:
        """Least counted seconds of opening at the yards of an order, less what finding queens saves;
        INF where they hold too little, None where it is not known."""
        yards = frozenset(v.yard for v in order if v.opens)
        if yards not in self.known:
            self.known[yards] = self._least_s(yards)
        return self.known[yards]

    def _least_s(self, yards: frozenset[int]) -> int | None:
        if not yards or not (self.held[sorted(yards)].sum(axis=0) >= self.needed).all():
            return INF
        if np.prod(self.counted + 1.0) > MOST_STATES:
            return None
        donors = [d for y in sorted(yards) for d in self.case.donors[y]]
        return opening_together(self.work, donors, self.counted)


def most_held(case: Case) -> Ints:
    """Most frames of each kind that the hives of each yard give, one kind at a time, (yards, kinds)."""
    held = np.zeros((len(case.room), case.demand.width), dtype=np.int64)
    for y, of_yard in enumerate(case.donors):
        for donor in of_yard:
            held[y] += len(donor.hives) * np.array([o.give for o in donor.options]).max(axis=0)
    return held


def with_placed(case: Case, costs: Costs, placed: Ints, z: int) -> Ints:
    """Least seconds of having placed r splits when yard z is among the yards, (size + 1,)."""
    most = min(int(case.room[z]), case.size)
    return convolve(placed, np.where(np.arange(case.size + 1) <= most, costs.receive[z], INF))


def with_given(given: Ints, least: Ints) -> Ints:
    """Least seconds of having taken so many units at least when one more yard gives (both tables rise)."""
    n = len(given)
    q = np.arange(n)
    left = q[:, None] - q[None, :]
    total = np.where(left >= 0, given[np.maximum(left, 0)], INF) + least[None, :]
    out = np.minimum(INF, total.min(axis=1))
    return np.minimum.accumulate(out[::-1])[::-1]


def nothing_yet(size: int) -> Ints:
    """Nothing given, or nothing placed: no seconds for none, not possible for more."""
    table = np.full(size + 1, INF, dtype=np.int64)
    table[0] = 0
    return table
