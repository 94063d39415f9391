"""The most splits that the hours for opening hives leave room for, proved.

Between the first hives opened and the last closed a crew works on hives, packs up, drives and sets up. Here
is the shortest such walk over donor yards, each at most once, by CP-SAT: every yard makes one of its mixes,
in its own hours. What the truck does not hold at once takes more stops, and is placed between. All else is
left out and can only make fewer possible. What a yard makes at two visits is made at one here: that is no
longer, but the hours of yards in between may then be missed, so such walks pay one more set-up each time and
keep no yard's hours.

Where boxes filled one by one take longer than their frames counted together, the walk found is told so and
looked for again.
"""

from dataclasses import dataclass, field

import numpy as np
from ortools.sat.python import cp_model

from routeplan.planning.boxes import LEAST, NEVER, Within, fill_boxes, solver_for
from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.remaining import INF, Ints
from routeplan.planning.track import pace_of
from routeplan.planning.yields import YardYield

WORK = 6.0
"""Most work for one walk, in the solver's repeatable unit (about a second)."""
MOST_ROWS = 60
"""Mixes of one yard and format told apart; of more only how many splits of each priority they are."""
TIMES = 20
"""Times a walk is looked for again when boxes turned out dearer."""
TO_SPARE = 0.5
"""Part of the hours in which it is hardly them that sets a limit."""
FILL_S = 1.0
"""Most seconds for filling the boxes of one yard."""
TWICE = -1
"""In place of a format: a mix of hives that may be opened at two visits."""

Bool = cp_model.IntVar
Expr = cp_model.LinearExpr | int


def most_by_hours(case: Case, fixed: dict[int, int], wanted: tuple[int, ...], most: int, clock: Clock) -> int:
    """Return an upper limit on the splits of the priorities wanted beside those fixed, at most `most`.

    Parameters
    ----------
    fixed : splits of other priorities that are made, no fewer and no more.
    clock : a limit found in less time may be higher, never too low.

    Where there is time to spare for `most` it is not asked whether hours allow it, nor with boxes aboard:
    then `most` itself.
    """
    if case.aboard or most <= 0 or _to_spare(case, most + sum(fixed.values())):
        return most
    mixes = _Mixes(case.by_the_clock(), fixed, wanted)
    for _ in range(TIMES):
        walk = _Walk(mixes, most)
        most, chosen = walk.solve(clock)
        if clock.over() or not mixes.learn(chosen, clock):
            break
    return most


def _to_spare(case: Case, splits: int) -> bool:
    """Whether so many splits, made at the yards that make most, take a small part of the hours: a guess."""
    ground = case.clock_ground()
    hive_s, most = pace_of(case, ground).hive_s, ground.most
    left, spent_s, yards = splits, 0, list[int]()
    for y in np.argsort(-most, kind="stable").tolist():
        if left and most[y]:
            n = min(left, int(most[y]))
            left, spent_s = left - n, spent_s + int(hive_s[y, n])
            yards.append(y)
    nearest = ground.drive[1:, 1:] + np.diag(np.full(ground.yards, INF))
    on_s = int(np.median(nearest[:, yards].min(axis=0))) + ground.opening if len(yards) > 1 else 0
    spent_s += on_s * (len(yards) - 1)
    return not left and spent_s < TO_SPARE * (case.hives_until - case.hives_from)


def stops_for(case: Case, splits: int) -> int | None:
    """Fewest stops at which so many splits are made if the truck is empty of full boxes before each; None
    where it does not hold the empties."""
    holds, left, stops = case.holds, splits, 0
    while left and holds is not None:
        most = max((q for q in range(1, left + 1) if holds[left - q, left]), default=0)
        if not most or not holds[left, left]:
            return None
        left, stops = left - most, stops + 1
    return stops if holds is not None else min(1, splits)


@dataclass(frozen=True)
class _Row:
    """One of a yard's mixes in a format: which one, the splits by key, seconds of hive work."""

    mix: int
    splits: tuple[int, ...]
    seconds: int


@dataclass
class _Mixes:
    """What each yard can make of the priorities wanted, with the seconds of opening hives as far as known.

    `key_of`, `batch_of`, `priority_of`: splits are counted by key: by line where stock is short, else by
    batch. `early`, `late`: (yards,) when hives may be opened at the earliest and are closed at the latest.
    """

    case: Case
    fixed: dict[int, int]
    wanted: tuple[int, ...]
    opening: dict[tuple[int, int], Ints] = field(default_factory=dict)
    told: set[tuple[int, int, int]] = field(default_factory=set)

    def __post_init__(self) -> None:
        demand = self.case.demand
        of_lines = [line.batch for line in demand.lines]
        self.key_of = list(range(len(of_lines))) if demand.limits else of_lines
        self.batch_of = of_lines if demand.limits else list(range(len(demand.batches)))
        self.priority_of = [demand.batches[b].priority for b in self.batch_of]
        self.priorities = sorted({p for p in self.priority_of if p in self.wanted or self.fixed.get(p)})
        for y, of_yard in enumerate(self.case.clock_yields):
            for f, one in enumerate(of_yard):
                self.opening[y, f] = one.opening.astype(np.int64)
        case, (set_up, leaving) = self.case, self.case.opening
        there = np.maximum(case.start + case.travel.quick_s[0, 1:], case.opens)
        self.early = np.maximum(case.hives_from, there + set_up)
        leaves = np.minimum(case.closes, case.end - self._home_s())
        self.late = np.minimum(leaves - leaving, case.hives_until)

    def _home_s(self) -> Ints:
        """Least seconds from leaving each yard to being home, the splits made there placed on the way."""
        case, drive = self.case, self.case.travel.quick_s
        place_s = case.place_s.min(axis=1, initial=INF)
        on = drive[1:, 1:] + (sum(case.quick_placing) + place_s + drive[1:, 0])[None, :]
        on = np.where(case.reach & (case.room > 0)[None, :], on, INF)
        return np.asarray(on.min(axis=1, initial=INF))

    def rows(self, yard: int, one: YardYield, opening: Ints) -> list[_Row]:
        """The mixes of one format that make something: counted by key, by priority where those are too many,
        all alike where the yield does not tell."""
        case, lines = self.case, list(one.lines)
        by_split = case.fill_s[lines] + case.make_s[yard, lines]
        most_s = int(self.late[yard] - self.early[yard])
        if one.merged:
            return _least_of(one.mixes[:, :1], opening + one.mixes[:, 0] * int(by_split.min()), most_s)
        keys = np.zeros((len(one.mixes), len(self.batch_of)), dtype=np.int64)
        for column, k in enumerate(one.lines):
            keys[:, self.key_of[k]] += one.mixes[:, column]
        unwanted = [p not in self.priorities for p in self.priority_of]
        work = np.where(keys[:, unwanted].any(axis=1), INF, opening + one.mixes @ by_split)
        rows = _least_of(keys, work, most_s)
        if len(rows) > MOST_ROWS:
            of = np.array([[p == q for q in self.priorities] for p in self.priority_of], dtype=np.int64)
            rows = _least_of(keys @ of, work, most_s)
        return rows

    def learn(self, chosen: list[tuple[int, int, int]], clock: Clock) -> bool:
        """Fill the boxes of mixes (yard, format, mix); return whether some take longer than was counted."""
        dearer = False
        for y, f, mix in chosen:
            one = self.case.clock_yields[y][f]
            if len(self.case.clock_yields[y]) > 1 or one.merged or (y, f, mix) in self.told or clock.over():
                continue
            self.told.add((y, f, mix))
            opening_s = self._filled_s(y, one, mix, clock)
            if opening_s > self.opening[y, f][mix]:
                self.opening[y, f][mix], dearer = opening_s, True
        return dearer

    def _filled_s(self, yard: int, one: YardYield, mix: int, clock: Clock) -> int:
        """Least seconds of opening hives for boxes filled one by one: INF where they cannot be filled, 0
        where that cannot be told in time."""
        made = [0] * len(self.case.demand.lines)
        for line, n in zip(one.lines, one.mixes[mix].tolist(), strict=True):
            made[line] = n
        anything = Within((NEVER,), NEVER, (NEVER,), ())
        try:
            boxes = fill_boxes(self.case, yard, (tuple(made),), anything, clock.share(FILL_S), LEAST)
        except TimeoutError:
            return 0
        return INF if boxes is None else boxes.at_least_s


def _least_of(splits: Ints, work: Ints, most_s: int) -> list[_Row]:
    """Of the mixes of alike splits one of least work, at most so many seconds."""
    least: dict[tuple[int, ...], _Row] = {}
    for mix in np.flatnonzero((work <= most_s) & splits.any(axis=1)).tolist():
        key = tuple(splits[mix].tolist())
        if key not in least or work[mix] < least[key].seconds:
            least[key] = _Row(mix, key, int(work[mix]))
    return list(least.values())


class _Walk:
    """The model of a walk that makes as much of the priorities wanted as can be."""

    def __init__(self, mixes: _Mixes, most: int) -> None:
        self.mixes, self.case, self.m = mixes, mixes.case, cp_model.CpModel()
        self.most = most
        self.chosen: list[tuple[tuple[int, int, int], Bool]] = []
        self.by_key: list[Expr] = [0] * len(mixes.batch_of)
        self.by_priority: dict[int, Expr] = dict.fromkeys(mixes.priorities, 0)
        self.again = self.m.new_bool_var("")  # hives of some yard are opened at two visits
        if self.case.operation.settings.limits.visits_per_yard < 2:
            self.m.add(self.again == 0)
        self.visited: dict[int, Bool] = {}
        self.work: dict[int, Expr] = {}
        for y in range(len(self.case.room)):
            self._make(y)
        self.more = self.m.new_int_var(0, self.case.size, "")  # times hives are opened at a yard again
        self.m.add(self.more >= self.again)
        self.m.add(self.more <= self.case.size * self.again)
        self._totals()
        self._drive()

    # --- what is made ---------------------------------------------------------------------------------------

    def _make(self, y: int) -> None:
        """At most one mix of each format."""
        case = self.case
        formats: dict[str, list[tuple[int, YardYield, Ints]]] = {}
        for f, one in enumerate(case.clock_yields[y]):
            formats.setdefault(case.demand.lines[one.lines[0]].frame, []).append(
                (f, one, self.mixes.opening[y, f])
            )
        for one in case.clock_twice[y] if y in case.twice_yards else ():
            formats.setdefault(case.demand.lines[one.lines[0]].frame, []).append((TWICE, one, one.opening))
        work: list[Expr] = []
        flags: list[list[Bool]] = []
        for of_format in formats.values():
            flags.append([])
            for f, one, opening in of_format:
                rows = self.mixes.rows(y, one, opening)
                new = [self.m.new_bool_var("") for _ in rows]
                self._count(one, rows, new)
                work.append(cp_model.LinearExpr.weighted_sum(new, [row.seconds for row in rows]))
                flags[-1] += new
                if f == TWICE:
                    self.m.add(sum(new) <= self.again)
                else:
                    self.chosen += [((y, f, row.mix), flag) for row, flag in zip(rows, new, strict=True)]
        if any(flags):
            self.visited[y], self.work[y] = self.m.new_bool_var(""), sum(work)
            for of_one in flags:
                self.m.add(sum(of_one) <= self.visited[y])

    def _count(self, one: YardYield, rows: list[_Row], flags: list[Bool]) -> None:
        """Count the splits of the mixes chosen."""

        def splits(column: int) -> Expr:
            return cp_model.LinearExpr.weighted_sum(flags, [row.splits[column] for row in rows])

        priorities = self.mixes.priorities
        if not rows:
            return
        if one.merged:
            some = [self.m.new_int_var(0, self.case.demand.size, "") for _ in priorities]
            self.m.add(sum(some) == splits(0))
            for p, n in zip(priorities, some, strict=True):
                self.by_priority[p] = self.by_priority[p] + n
        elif len(rows[0].splits) == len(self.by_key):
            for key, p in enumerate(self.mixes.priority_of):
                if p in priorities:
                    self.by_key[key] = self.by_key[key] + splits(key)
                    self.by_priority[p] = self.by_priority[p] + splits(key)
        else:
            for column, p in enumerate(priorities):
                self.by_priority[p] = self.by_priority[p] + splits(column)

    def _totals(self) -> None:
        """No more of a batch than asked for, nor of things in stock; as much of other priorities as fixed."""
        demand, mixes = self.case.demand, self.mixes
        for b, batch in enumerate(demand.batches):
            self.m.add(
                sum(n for n, of in zip(self.by_key, mixes.batch_of, strict=True) if of == b) <= batch.count
            )
        for limit in demand.limits:  # then splits are counted by line
            uses = zip(limit.uses, self.by_key, strict=True)
            self.m.add(sum(use * n for use, n in uses if use) <= limit.most)
        for p, n in self.by_priority.items():
            if p not in mixes.wanted:
                self.m.add(n == mixes.fixed[p])
        wanted: Expr = sum(n for p, n in self.by_priority.items() if p in mixes.wanted)
        self.m.add(wanted <= self.most)
        self.m.maximize(wanted)

    # --- when -----------------------------------------------------------------------------------------------

    def _drive(self) -> None:
        """From one yard to the next, the first and the last any, all within the hours for opening hives."""
        case, m = self.case, self.m
        set_up, leaving = case.opening
        yards = list(self.visited)
        spent: list[Expr] = [*self.work.values(), (set_up + leaving) * self.more, self._load()]
        self._begin()
        nodes: list[tuple[int, int, Bool]] = [(0, 0, m.new_bool_var(""))]
        for i, y in enumerate(yards, 1):
            nodes.append((i, i, ~self.visited[y]))  # type: ignore[arg-type]
            nodes += [(0, i, m.new_bool_var("")), (i, 0, m.new_bool_var(""))]
            for j, z in enumerate(yards, 1):
                if i != j:
                    leg_s = leaving + case.drive(y + 1, z + 1) + set_up
                    leg = m.new_bool_var("")
                    nodes.append((i, j, leg))
                    spent.append(leg_s * leg)
                    if self.begun:
                        done = self.begun[y] + self.work[y]
                        m.add(self.begun[z] >= done + leg_s).only_enforce_if(leg, ~self.again)
        m.add_circuit(nodes)
        m.add(sum(spent) <= max(0, case.hives_until - case.hives_from))

    def _load(self) -> Expr:
        """Splits the truck does not hold at once are made at several stops; return the seconds of placing
        those it does not hold after the last."""
        case, m = self.case, self.m
        if case.places is None:
            return 0
        splits: Expr = sum(self.by_priority.values())
        stops = 1
        for n in range(1, case.size + 1):
            needed = stops_for(case, n)
            if needed is None:
                m.add(splits <= n - 1)
                break
            if needed > stops:
                stops, as_many = needed, m.new_bool_var("")
                m.add(splits <= n - 1).only_enforce_if(~as_many)
                m.add(sum(self.visited.values()) + self.more >= stops).only_enforce_if(as_many)
        early = m.new_int_var(0, case.size, "")
        m.add(early >= splits - case.places)
        return int(case.place_s.min(initial=INF)) * early if case.size > case.places else 0

    def _begin(self) -> None:
        """When hives are opened at each yard, where the hours of some yard matter."""
        case, m = self.case, self.m
        self.begun: dict[int, Bool] = {}
        yards, early, late = list(self.visited), self.mixes.early, self.mixes.late
        if (early[yards] > case.hives_from).any() or (late[yards] < case.hives_until).any():
            for y in yards:
                self.begun[y] = m.new_int_var(case.hives_from, max(case.hives_from, case.hives_until), "")
                kept = (self.visited[y], ~self.again)
                m.add(self.begun[y] >= int(early[y])).only_enforce_if(*kept)
                m.add(self.begun[y] + self.work[y] <= int(late[y])).only_enforce_if(*kept)

    def solve(self, clock: Clock) -> tuple[int, list[tuple[int, int, int]]]:
        """Return (proved limit, mixes of the walk found as (yard, format, mix); none if it is not proved the
        longest)."""
        solver = solver_for(clock.left())
        solver.parameters.max_deterministic_time = WORK
        solver.parameters.linearization_level = 2
        status = solver.solve(self.m)
        if status == cp_model.INFEASIBLE:
            return 0, []
        limit = self.most if status == cp_model.UNKNOWN else int(solver.best_objective_bound + 1e-6)
        found = [mix for mix, flag in self.chosen if status == cp_model.OPTIMAL and solver.value(flag)]
        return min(self.most, limit), found
