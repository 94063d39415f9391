"""Which yards to visit, in what order: best-first search over visit orders, counts left open.

A partial order knows its visits, the least work of its donors for every number of splits, and how many splits
can be down already at most; the table of what remains bounds every continuation. Complete orders go to the
exact judge. The smallest open bound is a proven bound at any moment.

Two ways of walking. Were there no limits on places, hours and minutes shut in, making at a yard's first visit
and placing at its last would lose nothing: the PLAIN way walks such orders only and cuts none by the clock,
so its bound, the bare seconds, holds for every plan. Where the best bare order obeys all limits, that is the
proof. Where an order is dearer than its bare seconds (strained), any visits are walked, with all limits on
the clock (FREE). There too the table bounds what is to come by bare seconds: what a plan makes or places at a
yard's second visit may for the bound be made at its first, or all be placed at its last.

Where hives may be worked in two passes (two_visits.py), a yard may have its hives opened at two visits in the
PLAIN way too, also in a row: what is collected at the second cannot be made at the first.
"""

import heapq
import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from routeplan.planning.case import Case
from routeplan.planning.dominance import Dominance
from routeplan.planning.drive import counted, one_line
from routeplan.planning.flow import Flow, Flows
from routeplan.planning.judge import Judge
from routeplan.planning.limits import Clock
from routeplan.planning.on_time import Times
from routeplan.planning.openings import Ints
from routeplan.planning.order import Order, Round, Visit
from routeplan.planning.placed import Down, Placed
from routeplan.planning.remaining import INF, Ground, Remaining
from routeplan.planning.track import Pace, Track
from routeplan.planning.ways import Living
from routeplan.planning.yields import convolve

Progress = Callable[[str, int | None, int | None], None]
"""Called with (stage, best counted seconds or None, proven bound or None)."""

PLAIN, FREE = "plain", "free"
BEAM = 24
JUDGED_A_LEVEL = 4


@dataclass(frozen=True)
class Found:
    """The outcome of a search: the best round, a proven bound of the paid seconds, whether it is proved."""

    best: Round | None
    bound_s: int
    proved: bool


@dataclass(frozen=True)
class Part:
    """A partial order. `spent`: seconds of drive and set-up so far; `work[j]`: least seconds for j splits.

    `down`: what may have been placed by now, and the least that costs; `reach`: yards far enough from some
    visited donor; `left`: earliest times by splits made and placed; `spare`: for each table, multipliers that
    continuations may still use; `made_at`, `been_at`: yards that made splits, and that were visited at all;
    `flow`: what may be made and placed visit by visit, where the search follows that; `living_s`: what ways
    to a queen count more than anyway.
    """

    order: Order
    spent: int
    work: Ints
    down: Down
    reach: np.ndarray
    made_at: np.ndarray
    been_at: np.ndarray
    track: Track
    left: Times
    spare: tuple[int, ...]
    flow: Flow | None = None
    living_s: int = 0

    @property
    def last(self) -> int:
        """Index of the last place, 0 = home."""
        return self.order[-1].yard + 1 if self.order else 0


@dataclass(frozen=True)
class _Offers:
    """Visits that a partial order may go on to, the least `bounds` first, as numbers; `at`: the next one."""

    part: Part
    bounds: Ints
    visits: Ints
    at: int = 0

    def past(self) -> "_Offers":
        """The same with the next one taken."""
        return _Offers(self.part, self.bounds, self.visits, self.at + 1)


@dataclass
class Search:
    """One search for a fixed number of splits.

    `constant`: what prices on batches take back; `back_s`: what receiving was charged too much in every
    plan. A hasty search looks for plans only: it proves nothing. `flows`: follows splits visit by visit,
    for the FREE way.
    """

    case: Case
    ground: Ground
    tables: list[Remaining]
    judge: Judge
    clock: Clock
    pace: Pace
    constant: int = 0
    back_s: int = 0
    below_s: int = INF
    flows: Flows | None = None
    living: Living | None = None
    way: str = PLAIN
    hasty: bool = False
    progress: Progress = lambda stage, best, bound: None
    best: Round | None = None
    strained_s: int = INF
    unsure_s: int = INF
    nodes: int = 0
    heap: list[tuple[int, int, str, object]] = field(default_factory=list)
    _ties: Iterator[int] = field(default_factory=itertools.count)

    def __post_init__(self) -> None:
        self.simple = one_line(self.case)
        self.most = self.ground.most
        self._all_room, self._all_made = int(self.ground.room.sum()), int(self.most.sum())
        self.mixture = self.judge.mixture
        self.placed = Placed(self.ground)
        self.dominance = Dominance(self.ground)
        self.timed = self.way != PLAIN or self.hasty
        self.soonest = self.judge.soonest.within(self.ground.room)
        self.twice = self.case.operation.settings.limits.visits_per_yard
        self.twice_yards = self.case.twice_yards
        self._works: dict[tuple[tuple[int, str, int], ...], Ints] = {}

    # --- partial orders -------------------------------------------------------------------------------------

    def start(self) -> Part:
        """Return the empty order at home."""
        work = np.full(self.ground.size + 1, INF, dtype=np.int64)
        work[0] = 0
        spare = tuple(int(t.leave[0, 0, -1, -1]) - t.root(self.ground) for t in self.tables)
        nowhere = np.zeros(self.ground.yards, dtype=bool)
        return Part(
            (),
            0,
            work,
            self.placed.by_now(()),
            nowhere,
            nowhere,
            nowhere,
            self.pace.start(),
            self.soonest.start(),
            spare,
            self.flows.start() if self.flows else None,
        )

    def extend(self, part: Part, visit: Visit) -> Part | None:
        """Return the order with one more visit, None when it cannot become a plan for sure."""
        y = visit.yard
        order = (*part.order, visit)
        track = self.pace.extend(part.track, part.order, visit) if self.timed else part.track
        if track is None or (self.timed and self.pace.stranded(track, order)):
            return None
        down = self._down(order, track)
        if self._wasted(order, down):
            return None
        leg = int(self.ground.drive[part.last, y + 1])
        spent = part.spent + leg + (self.ground.opening if visit.opens else self.ground.placing)
        work, reach, made_at = part.work, part.reach, part.made_at
        if visit.opens:
            work = convolve(work, _some(self.ground.least[y]))
            reach = reach | self.ground.far[y]
            made_at = made_at.copy()
            made_at[y] = True
        if self.twice_yards and any(v.opens and v.yard in self.twice_yards for v in order):
            work = self._work(order)
        left, reached = part.left, None
        if self.timed:
            left = self.soonest.after(part.left, order)
            reached = self.soonest.reached(left, order, self.pace.next_s)
        if reached is not None and not reached.any():
            return None
        able = None
        if self.timed:
            able = track.able[:, None] if reached is None else track.able[:, None] & reached
            made = np.asarray(able.any(axis=1))
            work = np.where(self._counted_by_now(made, order), work, INF)
        spare = tuple(
            s - self._spare(t, part.order, y) + self._spare(t, order, y)
            for s, t in zip(part.spare, self.tables, strict=True)
        )
        been_at = part.been_at.copy()
        been_at[y] = True
        places = tuple(
            (z, most, self._closed(order, z) and any(v.yard == z and not v.opens for v in order))
            for z, most in sorted(down.items())
        )
        if any(forced and not most for _, most, forced in places):
            return None
        down_by_now = self.placed.by_now(places)
        flow = None
        if self.flows and part.flow:
            flow = self.flows.extend(part.flow, visit, down.get(y, 0), able)
        living_s = 0
        if self.living:
            living_s = self.living.more_s({z: n for z, n in down.items() if self._closed(order, z)})
        parts = (order, spent, work, down_by_now, reach, made_at, been_at, track, left, spare)
        return Part(*parts, flow, living_s)

    def _counted_by_now(self, made: NDArray[np.bool_], order: Order) -> NDArray[np.bool_]:
        """How many splits may be counted as made by now, from how many can have been: what a yard makes at a
        second visit is counted at its first."""
        ended = all(self._closed(order, v.yard) for v in order if v.opens)
        return made if ended else np.logical_or.accumulate(made)

    def _work(self, order: Order) -> Ints:
        """Least seconds for each number of splits, by how often the hives of each yard are opened.

        What is made at a second visit is counted as made by now, as soon as the first is there.
        """
        parts = []
        for y in sorted({v.yard for v in order if v.opens}):
            times = sum(1 for v in order if v.yard == y and v.opens)
            if y not in self.twice_yards:
                parts += [(y, "least", i) for i in range(times)]
            elif times > 1:
                parts.append((y, "opened_twice", 0))
            else:
                parts.append((y, "opened_once" if self._closed(order, y) else "least", 0))
        key = tuple(parts)
        if key not in self._works:
            work = np.where(np.arange(self.ground.size + 1) == 0, 0, INF)
            for y, which, _ in parts:
                work = convolve(work, _some(getattr(self.ground, which)[y]))
            self._works[key] = work
        return self._works[key]

    def _spare(self, table: Remaining, order: Order, y: int) -> int:
        """The most of yard y's multipliers that continuations of an order may contain."""
        been = [v for v in order if v.yard == y]
        opened = sum(1 for v in been if v.opens)
        closed = self._closed(order, y)
        counted = opened and not table.held  # what is made at a second visit may be moved to the first
        most = 0 if closed or counted else int(self.most[y])
        room = 0 if closed else int(self.ground.room[y])
        made, placed = int(table.made_price[y]), int(table.placed_price[y])
        least_made = 0 if opened else int(self.ground.due_from[y])
        least_placed = 0 if been else int(self.ground.due_to[y])
        return made * (most if made > 0 else least_made) + placed * (room if placed > 0 else least_placed)

    def _closed(self, order: Order, y: int) -> bool:
        """Whether a yard of an order can have no further visit."""
        been = [v for v in order if v.yard == y]
        return len(been) >= self.twice or (self.way == PLAIN and bool(been) and not been[-1].opens)

    def _down(self, order: Order, track: Track) -> dict[int, int]:
        """Most splits that can be placed at each visited yard by now: never less than the truth."""
        down = {}
        for y in {v.yard for v in order}:
            if self.ground.room[y]:
                visits = [j for j, v in enumerate(order) if v.yard == y]
                made = sum(
                    int(self.most[v.yard])
                    for i, v in enumerate(order)
                    if v.opens
                    and self.ground.far[v.yard, y]
                    and any(j > i and (not self.timed or self.pace.in_time(track, i, j)) for j in visits)
                )
                if self.timed:
                    made = min(made, max(track.before[j] for j in visits))
                down[y] = min(int(self.ground.room[y]), made)
        return down

    def _wasted(self, order: Order, down: dict[int, int]) -> bool:
        """Whether yards that can have no further visit leave too little room, or too few splits to make."""
        room, made = self._all_room, self._all_made
        for y in {v.yard for v in order}:
            if self._closed(order, y):
                room -= int(self.ground.room[y]) - down.get(y, 0)
                if not any(v.opens for v in order if v.yard == y):
                    made -= int(self.most[y])
        return min(room, made) < self.ground.size

    def bound(self, part: Part) -> int:
        """Least paid seconds of any completion of a partial order."""
        work, m, p, cells = self._by_now(part, part.down)
        if not len(work):
            return INF
        best = -INF
        for table, spare in zip(self.tables, part.spare, strict=True):
            state = int(table.memory.of(part.made_at, part.been_at)[part.last - 1]) if part.order else 0
            to_come = table.leave[part.last, state | cells << table.memory.bits, m, p]
            best = max(best, int((work + to_come).min()) - spare)
        if self.flows and part.flow and part.order:
            state = int(self.flows.table.memory.of(part.made_at, part.been_at)[part.last - 1])
            best = max(best, self.flows.to_come(part.flow, state))
        return min(INF, part.spent + best + self.constant - self.back_s + part.living_s)

    def _by_now(self, part: Part, down: Down) -> tuple[Ints, Ints, Ints, Ints]:
        """All that may have been done by now: least seconds, splits still to make and to place, and whether
        ripe cells were placed."""
        n = self.ground.size
        j = np.flatnonzero(part.work < INF)
        seconds = (part.work[j][:, None] + down.seconds[None, :]).ravel()
        placed = np.minimum(j[:, None], down.splits[None, :]).ravel()
        cells = np.broadcast_to(down.cells[None, :], (len(j), len(down.cells))).ravel()
        return seconds, n - np.repeat(j, len(down.splits)), n - placed, cells

    def children(self, part: Part) -> Iterator[tuple[int, Visit]]:
        """Yield (bound, next visit) for every visit that may lead to a plan under the best one, the least
        bound first."""
        bounds, visits = self._offers(part)
        for bound, visit in zip(bounds.tolist(), visits.tolist(), strict=True):
            yield bound, self._visit(visit)

    def _visit(self, number: int) -> Visit:
        """The visit of a number: to hives of each yard, then to each without."""
        return Visit(number % self.ground.yards, number < self.ground.yards)

    def _offers(self, part: Part) -> tuple[Ints, Ints]:
        """The least bounds with every next visit under the best plan, in order, and the visits' numbers."""
        work, m, p, cells = (a[:, None] for a in self._by_now(part, part.down))
        legs = self.ground.drive[part.last, 1:] + part.spent + self.constant - self.back_s + part.living_s
        with_hives = np.full(self.ground.yards, -INF, dtype=np.int64)
        without = with_hives.copy()
        again_s = np.full(self.ground.yards, self.ground.opening - self.ground.placing)
        if self.ground.again_s is not None:  # counted with that work, and with this visit
            again_s -= self.ground.again_s
        z = np.arange(self.ground.yards)[None, :]
        for table, spare in zip(self.tables, part.spare, strict=True):
            state = table.memory.of(part.made_at, part.been_at)[None, :] | cells << table.memory.bits
            opened = (work + table.making[m, p, z, state]).min(axis=0, initial=INF) + legs - spare
            placed = (work + table.placing[m, p, z, state]).min(axis=0, initial=INF) + legs - spare
            if not table.held:  # what is made at a second visit is in the work done by now
                opened = np.where(part.made_at, placed + again_s, opened)
            with_hives, without = np.maximum(with_hives, opened), np.maximum(without, placed)
        if self.flows and part.flow and part.order:  # a flow counts what is made where it is made
            states = self.flows.table.memory.of(part.made_at, part.been_at)
            opened, placed = self.flows.next(part.flow, states)
            with_hives, without = np.maximum(with_hives, opened + legs), np.maximum(without, placed + legs)
        with_hives[self.most == 0] = INF
        without[(self.ground.room == 0) | ~part.reach] = INF
        for v in part.order:
            self._forbid(part, v, with_hives, without)
        if part.order:
            last = part.order[-1]
            without[last.yard] = INF
            if not (last.opens and last.yard in self.twice_yards):
                with_hives[last.yard] = INF
        bounds = np.concatenate([with_hives, without])
        visits = np.flatnonzero(bounds < self.limit())
        visits = visits[np.argsort(bounds[visits], kind="stable")]
        return bounds[visits], visits

    def _forbid(self, part: Part, v: Visit, with_hives: Ints, without: Ints) -> None:
        """Leave out visits of a yard that was visited before where they cannot be better."""
        been = [w for w in part.order if w.yard == v.yard]
        opened = any(w.opens for w in been)
        if len(been) >= self.twice or (self.way == PLAIN and not opened):
            with_hives[v.yard] = without[v.yard] = INF
        elif self.way == PLAIN and v.yard not in self.twice_yards:
            with_hives[v.yard] = INF

    # --- complete orders ------------------------------------------------------------------------------------

    def limit(self) -> int:
        """Counted seconds that a plan must stay under."""
        return min(self.below_s, self.best.counted_s if self.best else INF)

    def least_paid(self, part: Part) -> int:
        """Least paid seconds of an order that ends here, INF when it cannot hold all splits."""
        if part.down.all_s >= INF or part.work[-1] >= INF:
            return INF
        if self.timed and part.order and self.soonest.cannot_end(part.left, part.order):
            return INF
        if (self.ground.due_from[~part.made_at]).any() or (self.ground.due_to[~part.been_at]).any():
            return INF
        other = part.spent + part.down.all_s - self.back_s + int(self.ground.drive[part.last, 0])
        work = int(part.work[-1]) + self.constant
        if other + work < self.limit():
            work = max(work, self.mixture.least_work(part.order))
        least_s = int(other + work)
        if self.flows and part.flow:
            flow_s = int(part.flow.seconds[:, -1, -1].min()) - self.flows.back_s
            home_s = int(self.ground.drive[part.last, 0])
            least_s = max(least_s, part.spent + flow_s + home_s + self.constant - self.back_s)
        if self.living and least_s < self.limit():
            least_s += self.living.whole_s(self._down(part.order, part.track))
        return least_s

    def look(self, part: Part, least_s: int) -> None:
        """Judge a complete order; keep it if it is the best so far."""
        if self.hasty:
            found = self.judge.rough(part.order, self.limit())
            if found is not None and found.counted_s < self.limit():
                self.best = found
                self.report()
            return
        counts = counted(self.case, part.order, self.ground.opened_once) if self.simple else None
        spent_s = part.spent + int(self.ground.drive[part.last, 0])
        verdict = self.judge.judge(part.order, spent_s, self.limit(), counts)
        bare_s = max(least_s, verdict.bare_s)
        if not verdict.sure:
            self.unsure_s = min(self.unsure_s, max(bare_s, verdict.at_least_s))
        if bare_s < self.limit() and (verdict.found is None or verdict.found.counted_s > bare_s):
            self.strained_s = min(self.strained_s, bare_s)
        if verdict.found is not None and verdict.found.counted_s < self.limit():
            self.best = verdict.found
            self.report()

    # --- the search -----------------------------------------------------------------------------------------

    def beam(self, width: int = BEAM) -> None:
        """Walk level by level with the most promising orders only, for a first plan."""
        level = [self.start()]
        while level and not self.clock.over():
            offers = [(b, k, v) for k, part in enumerate(level) for b, v in self.children(part)]
            offers.sort(key=lambda o: (o[0], o[1], o[2].yard, o[2].opens))
            grown = (self.extend(level[k], v) for _, k, v in offers[: 3 * width])
            parts = [p for p in grown if p is not None]
            rated = [(self.bound(p), i, p) for i, p in enumerate(parts)]
            level = [p for b, _, p in sorted(rated, key=lambda r: r[:2]) if b < self.limit()][:width]
            ends = [(self.least_paid(p), i) for i, p in enumerate(level)]
            for least_s, i in sorted(ends)[:JUDGED_A_LEVEL]:
                if least_s < self.limit() and not self.clock.over():
                    self.look(level[i], least_s)

    def run(self, first_only: bool = False, most_nodes: int | None = None) -> Found:
        """Search until the best plan is proved, clock or `most_nodes` is over, or (first_only) one is there.

        The bound holds for all orders, also those this search does not walk.
        """
        if not self.heap and not self.nodes:
            self._push(self.root(), "open", self.start())
        share = self.clock.part(self.clock.left() / 3)
        while self.heap and self.heap[0][0] < self._goal():
            if self.clock.over() or (first_only and self.best) or self.nodes == most_nodes:
                break
            if self.way == PLAIN and self.strained_s < self.limit() and share.over():
                break
            bound, _, what, item = heapq.heappop(self.heap)
            self._step(bound, what, item)
        bound_s = min(self.heap[0][0] if self.heap else INF, self.unsure_s, self._goal())
        return Found(self.best, bound_s, bound_s >= self.limit())

    def root(self) -> int:
        """The bound of the empty order."""
        return self.bound(self.start())

    @property
    def exhausted(self) -> bool:
        """Whether all partial orders were walked that could be better."""
        return self.nodes > 0 and not (self.heap and self.heap[0][0] < self._goal())

    def _goal(self) -> int:
        """The bound at which this search has nothing more to find."""
        return min(self.limit(), self.strained_s) if self.way == PLAIN else self.limit()

    def _step(self, bound: int, what: str, item: object) -> None:
        if what == "end":
            part: Part = item  # type: ignore[assignment]
            self.look(part, bound)
            return
        if what == "next":
            offers: _Offers = item  # type: ignore[assignment]
            self._push_next(offers.past())
            grown = self.extend(offers.part, self._visit(int(offers.visits[offers.at])))
            if grown is None:
                return
            part = grown
            if self.way == PLAIN and self.dominance.needless(part.order, part.spent):
                return
            bound = max(bound, self.bound(part))
            if bound < self.limit():
                self._push(bound, "open", part)
            return
        part = item  # type: ignore[assignment]
        self.nodes += 1
        if self.nodes % 200 == 0:
            self.report(bound)
        least_s = self.least_paid(part)
        if least_s < self.limit():
            self._push(least_s, "end", part)
        bounds, visits = self._offers(part)
        self._push_next(_Offers(part, np.maximum(bounds, bound), visits))

    def _push_next(self, offers: _Offers) -> None:
        """Push the next visit that a partial order may go on to; the others follow when it is their turn."""
        if offers.at < len(offers.visits):
            self._push(int(offers.bounds[offers.at]), "next", offers)

    def _push(self, bound: int, what: str, item: object) -> None:
        heapq.heappush(self.heap, (bound, next(self._ties), what, item))

    def report(self, bound: int | None = None) -> None:
        """Tell the progress."""
        self.progress("search", self.best.counted_s if self.best else None, bound)


def _some(least: Ints) -> Ints:
    """Least seconds by splits made, at least one."""
    some = least.copy()
    some[0] = INF
    return some
