"""How many splits are possible whatever the time: frames, distances, room and stock alone.

An upper limit for the search, and, with one rule left out at a time, the reason why fewer are possible.
"""

from dataclasses import dataclass
from itertools import combinations
from math import comb

from ortools.sat.python import cp_model

from routeplan.planning.case import Case
from routeplan.planning.demand import KINDS, QUEEN
from routeplan.planning.parts import Ways, pools
from routeplan.planning.route import Route, Way

Makers = int | tuple[int, int, int, Way]
"""The yard that makes splits, or both yards of boxes of two, where they go and in what way."""
RULES = ("distance", "ride", "room", "stock", *KINDS)
"""What can be left out: the distance rule, hours and minutes shut in of a single straight ride, room at the
yards, stock at home, the need of one kind of frame."""

MOST_POOLED = 30_000
"""Most pairs of giving yards, each with a line and a yard to live in, that are asked about."""
POOLED_A_SECOND = 6_000
"""And no more of them for each second there is: writing them down takes as long as the answer."""


@dataclass(frozen=True)
class Possible:
    """Most splits by priority (the first priorities first), proved or only an upper limit."""

    totals: tuple[tuple[int, int], ...]
    sure: bool

    @property
    def size(self) -> int:
        """Splits in all."""
        return sum(n for _, n in self.totals)


def most_possible(case: Case, seconds: float, without: frozenset[str] = frozenset()) -> Possible:
    """Return the most splits of each priority when the rules named in `without` are left out.

    Where boxes may be of two yards and there are too many pairs to ask about, all that is asked for.
    """
    if pools(case) and _pooled_ways(case) > min(MOST_POOLED, POOLED_A_SECOND * seconds):
        return Possible(tuple(sorted(case.demand.asked.items())), False)
    model = _Model(case, without)
    totals: list[tuple[int, int]] = []
    sure = True
    for priority, asked in sorted(case.demand.asked.items()):
        n, proved = model.most(priority, asked, seconds)
        totals.append((priority, n))
        sure = sure and proved
    return Possible(tuple(totals), sure)


def can_be_made(case: Case) -> bool:
    """Whether all yards together can make as many of each batch as the totals need, by their yields alone: a
    table that counts splits alike does not know. False is sure, also where boxes are told apart."""
    demand = case.demand
    most = [0] * len(demand.batches)
    for one in (one for of_yard in case.twice for one in of_yard):
        of = [demand.lines[k].batch for k in one.lines]
        for b in set(of):
            columns = [i for i, batch in enumerate(of) if batch == b or one.merged]
            most[b] += int(one.mixes[:, columns].sum(axis=1).max(initial=0))
    return all(
        sum(
            min(demand.cap(b), most[b])
            for b, batch in enumerate(demand.batches)
            if batch.priority == priority
        )
        >= wanted
        for priority, wanted in demand.totals
    )


def _pooled_ways(case: Case) -> int:
    """How many pairs of giving yards there are, for every line and every yard with room."""
    givers = sum(bool(of_yard) for of_yard in case.donors)
    return comb(givers, 2) * int((case.room > 0).sum()) * len(case.demand.lines)


class _Model:
    """Splits by yard made, line and yard placed; donors counted by kind."""

    def __init__(self, case: Case, without: frozenset[str]) -> None:
        self.case, self.m = case, cp_model.CpModel()
        self.made: dict[tuple[Makers, int], cp_model.IntVar] = {}
        self.moved: dict[tuple[Makers, int, int], cp_model.IntVar] = {}
        self.without = without
        self.shared: dict[tuple[int, str, int], list[cp_model.LinearExpr | int]] = {}
        receivers = [z for z in range(len(case.room)) if case.room[z] or "room" in without]
        receivers = [z for z in receivers if case.operation.yards[z].takes_splits]
        if pools(case):
            self._pool(receivers)
        for y in range(len(case.room)):
            if case.donors[y]:
                self._make(y)
                self._move(y, receivers)
        for z in receivers:
            into = [x for (_, w, _), x in self.moved.items() if w == z]
            if into and "room" not in without:
                self.m.add(sum(into) <= int(case.room[z]))
        self._fences(receivers)
        for b, batch in enumerate(case.demand.batches):
            of_batch = [x for (_, k), x in self.made.items() if case.demand.lines[k].batch == b]
            self.m.add(sum(of_batch) <= batch.count)
        if "stock" not in without:
            self._stock()

    def _fences(self, receivers: list[int]) -> None:
        """Yards that need a fence take splits only as far as there are fence kits."""
        fenced = [z for z in receivers if self.case.fence_s[z]]
        if len(fenced) > self.case.fences and "room" not in self.without:
            used = []
            for z in fenced:
                flag = self.m.new_bool_var("")
                into = [x for (_, w, _), x in self.moved.items() if w == z]
                self.m.add(sum(into) <= self.case.demand.size * flag)
                used.append(flag)
            self.m.add(sum(used) <= self.case.fences)

    def _make(self, y: int) -> None:
        case = self.case
        donors = case.donors[y]
        for k, line in enumerate(case.demand.lines):
            batch = case.demand.of(k)
            if batch.from_yard in (None, y) and any(d.frame == line.frame for d in donors):
                self.made[y, k] = self.m.new_int_var(0, batch.count, "")
        for frame in sorted({d.frame for d in donors}):
            uses = [
                (o.give, self.m.new_int_var(0, len(d.hives), ""), n)
                for n, d in enumerate(donors)
                if d.frame == frame
                for o in d.options
            ]
            for n, d in enumerate(donors):
                self.m.add(sum(u for _, u, of in uses if of == n) <= len(d.hives))
            for kind in range(case.demand.width):
                needed: list[cp_model.LinearExpr | int] = [
                    case.demand.need(k)[kind] * x
                    for (at, k), x in self.made.items()
                    if at == y and case.demand.lines[k].frame == frame
                ]
                needed += self.shared.get((y, frame, kind), [])
                if needed and not (kind < len(KINDS) and KINDS[kind] in self.without):
                    given = sum(g[kind] * u for g, u, _ in uses)
                    self.m.add(given == sum(needed) if kind >= QUEEN else given >= sum(needed))

    def _pool(self, receivers: list[int]) -> None:
        """Boxes of two yards, each pair of yards once; what each side gives is shared out freely."""
        case, ways = self.case, Ways(self.case)
        for k, line in enumerate(case.demand.lines):
            batch = case.demand.of(k)
            givers = [
                y for y, of_yard in enumerate(case.donors) if any(d.frame == line.frame for d in of_yard)
            ]
            for a, y in combinations(givers, 2):
                for z in receivers:
                    if batch.to_yard not in (None, z):
                        continue
                    free = "distance" in self.without and z not in (a, y)
                    for way in ways.both[k] if free else ways.ways(k, a, y, z, timed=False):
                        self._share(k, a, y, z, way)

    def _share(self, k: int, a: int, y: int, z: int, way: Way) -> None:
        """Splits of a line for z made of what a and y give, in one way."""
        line, need = self.case.demand.lines[k], self.case.demand.need(k)
        n = self.m.new_int_var(0, self.case.demand.of(k).count, "")
        self.made[(a, y, z, way), k] = self.moved[(a, y, z, way), z, k] = n
        low, high = Route(k, 0, 1, 2, way).bounds(0, need)
        for kind, whole in enumerate(need):
            if not whole:
                continue
            first: cp_model.LinearExpr | int = low[kind] * n
            if low[kind] < high[kind]:
                first = self.m.new_int_var(0, high[kind] * self.case.demand.of(k).count, "")
                self.m.add(first <= high[kind] * n)
            self.shared.setdefault((a, line.frame, kind), []).append(first)
            self.shared.setdefault((y, line.frame, kind), []).append(whole * n - first)

    def _move(self, y: int, receivers: list[int]) -> None:
        case = self.case
        for (at, k), made in list(self.made.items()):
            if at != y:
                continue
            batch = case.demand.of(k)
            out = []
            for z in receivers:
                far = case.travel.far[y, z] or ("distance" in self.without and z != y)
                in_time = case.in_time[y, z] or "ride" in self.without
                if far and in_time and batch.to_yard in (None, z):
                    self.moved[y, z, k] = self.m.new_int_var(0, batch.count, "")
                    out.append(self.moved[y, z, k])
            self.m.add(sum(out) == made)

    def _stock(self) -> None:
        for limit in self.case.demand.limits:
            self.m.add(
                sum(limit.uses[k] * x for (_, k), x in self.made.items() if limit.uses[k]) <= limit.most
            )

    def most(self, priority: int, asked: int, seconds: float) -> tuple[int, bool]:
        """Return the most splits of one priority and fix it for the next ones."""
        of = [x for (_, k), x in self.made.items() if self.case.demand.of(k).priority == priority]
        if not of:
            return 0, True
        self.m.maximize(sum(of))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 0
        solver.parameters.max_time_in_seconds = max(0.01, seconds)
        solver.parameters.catch_sigint_signal = False
        status = solver.solve(self.m)
        if status == cp_model.OPTIMAL:
            n = round(solver.objective_value)
        else:
            n = min(asked, int(solver.best_objective_bound + 1e-6)) if status != cp_model.UNKNOWN else asked
        self.m.add(sum(of) <= n)
        if status == cp_model.OPTIMAL:
            self.m.add(sum(of) == n)
        return n, status == cp_model.OPTIMAL
