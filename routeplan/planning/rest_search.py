"""Which visits the rest of a day makes: the plan's own order first, then orders guessed to be better.

Of those that place as many and count about as much, the one that changes least is chosen.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import pairwise

import numpy as np
from ortools.sat.python import cp_model

from routeplan.planning.boxes import NEVER
from routeplan.planning.case import Case
from routeplan.planning.drive import as_early
from routeplan.planning.guess import Guesser
from routeplan.planning.judge import LEARNING, Judge
from routeplan.planning.limits import Clock
from routeplan.planning.mixture import mixture_of
from routeplan.planning.order import Order, Round, Visit, orderly
from routeplan.planning.order_model import Moves
from routeplan.planning.patched import Patcher, Planned
from routeplan.planning.rest import Rest
from routeplan.planning.rest_model import RestModel
from routeplan.planning.wander import wander

SAME_S = 300
"""Rests that count up to so many seconds more are as good, where they change less."""
WORK, NEAR_WORK = 0.3, 0.4
"""Work spent on weighing one order, and on keeping it near the plan before, in the solver's repeatable unit
(about a second)."""
FILL_S = 0.8
"""Most seconds for filling a yard's boxes where those planned do not serve."""
WANDER_SHARE = 0.3
"""Share of the time left for guessing orders."""
DETOURS = 4
"""Detours of the plan's own order weighed, where boxes are begun."""
JUDGED = 6
"""Guessed orders weighed at most."""


@dataclass(frozen=True)
class Before:
    """What the plan before wanted of the rest: its visits, and splits and boxes aboard by where they go."""

    order: Order
    moves: Moves
    brought: dict[tuple[int, int], int]
    planned: tuple[Planned, ...]


@dataclass(frozen=True)
class Weighed:
    """A round and what the splits it makes are worth."""

    found: Round
    worth: int

    @property
    def rank(self) -> tuple[int, int]:
        """Most splits first, then the least that counts."""
        return -self.worth, self.found.counted_s


def best_rest(rest: Rest, before: Before, clock: Clock) -> Round | None:
    """Return the rest of the day; None when no order was found that places all boxes aboard."""
    weigher = _Weigher(rest, clock, before.planned)
    weighed: dict[Order, Weighed] = {}
    for n, order in enumerate(weigher.orders(before.order)):
        if clock.over() and weighed and n > 1:  # the plan's own may make nothing any more
            break
        found = weigher.weigh(order)
        if found is not None:
            weighed.setdefault(found.found.order, found)
    if not weighed:
        return None
    best = min(weighed.values(), key=lambda w: w.rank)
    good = [w for w in weighed.values() if _as_good(w, best)]
    chosen = min(good, key=lambda w: (_moved(before.order, w.found.order), w.rank))
    most_s = best.found.counted_s + SAME_S
    return weigher.near(chosen, before, max(most_s, chosen.found.counted_s)) or chosen.found


def _as_good(one: Weighed, best: Weighed) -> bool:
    return one.worth == best.worth and one.found.counted_s <= best.found.counted_s + SAME_S


def _moved(before: Order, order: Order) -> int:
    """How many visits of two orders are not in both, in the same sequence."""
    same = sum(block.size for block in SequenceMatcher(None, before, order, False).get_matching_blocks())
    return len(before) + len(order) - 2 * same


class _Weigher:
    """Weighs orders of one rest exactly enough: counts, clock, load, boxes."""

    def __init__(self, rest: Rest, clock: Clock, planned: tuple[Planned, ...]) -> None:
        self.case, self.clock, self.patcher = rest.case, clock, Patcher(rest.case, planned, clock)
        self.plain = rest.plain
        self.caps: dict[int, tuple[int, ...]] = {}
        self.judge = Judge(rest.case, clock)

    def orders(self, before: Order):  # type: ignore[no-untyped-def]
        """Yield orders worth weighing: the plan's own first."""
        yield before
        yield from _detours(self.case, before)
        case = self.plain
        none = np.zeros(len(case.demand.lines), dtype=np.int64)
        guesser = Guesser(case, case.ground(none), mixture_of(case), none, 0, case.receive_back_s)
        most = case.operation.settings.limits.visits_per_yard
        met = wander(guesser, before, self.clock.part(WANDER_SHARE * self.clock.left()), most)
        yield from [order for _, order in met if order != before][:JUDGED]

    def weigh(self, order: Order) -> Weighed | None:
        """The best of one order, visits without work left out; None when it cannot be."""
        found = self._solved(order)
        if found is None:
            return None
        counts = found.found.counts
        used = {j for _, j, _, _ in counts.moved} | {j for _, j, _ in counts.brought}
        lean = tuple(
            Visit(v.yard, v.opens and any(counts.made[i]))
            for i, v in enumerate(order)
            if any(counts.made[i]) or i in used
        )
        lean = tuple(v for i, v in enumerate(lean) if not i or lean[i - 1].yard != v.yard)
        if lean == order:
            return found
        leaner = self._solved(lean)
        if leaner is not None and leaner.rank <= found.rank:
            return leaner
        idle = any(v.opens and not any(made) for v, made in zip(order, counts.made, strict=True))
        return self._solved(order, busy=True) if idle else found

    def near(self, chosen: Weighed, before: Before, most_s: int) -> Round | None:
        """The same order with as much as can be as it was planned, counting no more than that."""
        order = chosen.found.order
        for _ in range(LEARNING):
            model = RestModel(self.case, order, NEVER, self.judge.dearer, True, None, True, True)
            model.stay_near(before.moves, before.brought, chosen.worth, most_s)
            model.never_idle()
            known = self._learnt()
            made = self._read(model, order, NEAR_WORK)
            if made is not None or self._learnt() == known or self.clock.over():
                return None if made is None else made.found
        return None

    def _learnt(self) -> int:
        """How much is known of boxes that are dearer than their frames say."""
        return sum(map(len, self.judge.dearer.values()))

    def _solved(self, order: Order, busy: bool = False) -> Weighed | None:
        """The best of one order; `busy`: every visit to hives makes or begins something."""
        self.caps = {}
        for _ in range(LEARNING):
            model = RestModel(self.case, order, NEVER, self.judge.dearer, True, None, True, True)
            if busy:
                model.never_idle()
            for yard, most in self.caps.items():
                model.make_at_most(yard, most)
            known, capped = self._learnt(), dict(self.caps)
            found = self._read(model, order, WORK)
            if found is not None or (self.caps == capped and (self._learnt() == known or self.clock.over())):
                return found
        return None

    def _read(self, model: RestModel, order: Order, work: float) -> Weighed | None:
        status, _ = model.solve(max(0.2, self.clock.share(2.0)), work)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        counts, times, worth = model.counts(), model.times(), model.worth_found()
        found = self.patcher.patched(order, counts)
        if found is None:
            try:
                boxes = self.judge.certify(order, counts, FILL_S)
            except TimeoutError:
                self.caps |= self.patcher.most(order, counts)
                return None
            if boxes is None:
                return None
            found = counts, as_early(self.case, order, counts, times), boxes
        counted_s = self.judge.counted_s(order, found[0], found[1].paid_s)
        return Weighed(Round(order, *found, counted_s), worth)


def _detours(case: Case, before: Order) -> Iterator[Order]:
    """The plan's own order with a visit more, or one that opens hives too, where a begun box may be
    completed: the shortest first."""
    boxes = [fill for fill in case.fills if fill.first is None]
    frames = {case.demand.lines[fill.line].frame for fill in boxes}
    if not boxes:
        return
    ways: list[tuple[int, Order]] = []
    places = [0, *(v.yard + 1 for v in before), 0]
    for y, donors in enumerate(case.donors):
        if not any(d.frame in frames for d in donors) or not any(fill.reach[y].any() for fill in boxes):
            continue
        visit = Visit(y, True)
        for i, old in enumerate(before):
            if old.yard == y and not old.opens:
                ways.append((0, (*before[:i], visit, *before[i + 1 :])))
        for i, (a, b) in enumerate(pairwise(places)):
            if y + 1 not in (a, b):
                more = case.leg_s(a, y + 1) + case.leg_s(y + 1, b) - case.leg_s(a, b)
                ways.append((more, (*before[:i], visit, *before[i:])))
    most = case.operation.settings.limits.visits_per_yard
    ways = [way for way in ways if orderly(way[1], most)]
    yield from [order for _, order in sorted(ways, key=lambda way: way[0])[:DETOURS]]


def moves_of(
    rest: Rest, wanted: list[tuple[str, str, str]], aboard: list[tuple[str, str]]
) -> tuple[Moves, dict[tuple[int, int], int]]:
    """Count what the plan before wanted.

    Parameters
    ----------
    wanted : (order, yard made, yard placed) of each split still to make.
    aboard : (split, yard placed) of each box aboard.
    """
    case = rest.case
    index = {y.id: i for i, y in enumerate(case.operation.yards)}
    batch_of = {order: b for b, batch in enumerate(case.demand.batches) for order, _ in batch.orders}
    group_of = {split: g for g, group in enumerate(case.aboard) for split in group.ids}
    moves = Counter((index[y], index[z], batch_of[o]) for o, y, z in wanted if o in batch_of)
    brought = Counter((group_of[s], index[z]) for s, z in aboard if s in group_of)
    return dict(moves), dict(brought)
