"""The exact model of one visit order for CP-SAT: counts by line, donors, moves, clock, load, minutes shut in.

The order is fixed, so there is no routing in it. A yard that opens its hives at one visit chooses one of its
mixes; one that opens them twice shares its hives out between the visits.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import prod

import numpy as np
from ortools.sat.python import cp_model

from routeplan.colony.follow_ups import looks_apart
from routeplan.planning.boxes import Made, solver_for
from routeplan.planning.case import Case
from routeplan.planning.demand import QUEEN, Demand
from routeplan.planning.mixture import Kept
from routeplan.planning.order import Counts, Order, Times, Visit
from routeplan.planning.work import Work
from routeplan.planning.yields import Option

Var = cp_model.IntVar
Expr = cp_model.LinearExpr | int


@dataclass(frozen=True)
class Dearer:
    """Learnt box by box: making `made` or more takes over `over_s` on the clock at one of the visits or
    counts over `beside_s` beside it (or takes more hives in two passes than `passes`, or longer first passes
    than `first_s`), and counts `total_s` in all."""

    made: Made
    over_s: tuple[int, ...]
    beside_s: int
    total_s: int
    first_s: tuple[int, ...] = ()
    passes: tuple[tuple[int, int, int], ...] = ()


Learnt = dict[int, list[Dearer]]
Moves = dict[tuple[int, int, int], int]
WORTH_S = 10**6
"""What one more split is worth at least where as many as can be are wanted: more than any day counts."""


def worths(demand: Demand) -> dict[int, int]:
    """What one more split of each priority is worth where as many as can be are wanted: more than any day
    counts, and more than all splits of the priorities after it."""
    found, weight = {}, WORTH_S
    for priority, total in sorted(demand.totals, reverse=True):
        found[priority] = weight
        weight *= total + 1
    return found


def aboard_worth(demand: Demand) -> int:
    """What placing a box aboard is worth: more than all splits still to make."""
    return WORTH_S * prod(total + 1 for _, total in demand.totals)


class OrderModel:
    """One order's model; with `timed` False clock, load and minutes shut in are left out (least work).

    A rough one takes the hives that count least for granted: it may miss a better answer, or any. With `most`
    as many splits as can be are made, the first priorities first; only then the least that counts.
    """

    def __init__(
        self,
        case: Case,
        order: Order,
        below_s: int,
        learnt: Learnt,
        timed: bool,
        kept: Kept | None = None,
        rough: bool = False,
        most: bool = False,
    ) -> None:
        self.case, self.order, self.m = case, order, cp_model.CpModel()
        self.saved = Work(case.operation).saved_s
        self.timed, self.rough, self.kept = timed, rough, kept or {}
        self.made: list[dict[int, Var]] = []
        self.opening: list[Expr] = []
        self.used: list[dict[tuple[int, int], Var]] = []
        self.beside: list[Expr] = []
        self.asides: list[Expr] = []
        self.first: list[Expr] = []
        self.passes: dict[tuple[int, int], list[Var]] = {}
        self.moved: dict[tuple[int, int, int], Var] = {}
        self.brought: dict[tuple[int, int], Var] = {}
        self.most = most
        for visit in order:
            self._make(visit, learnt.get(visit.yard, []))
        self._share_hives(learnt)
        if not case.placing_is_shorter:
            self._work_on_hives()
        self._move()
        self._receive()
        self._totals()
        self._stock()
        extra = [int(case.extra_s[order[j].yard, k]) * x for (_, j, k), x in self.moved.items()]
        extra += [int(case.aboard[g].extra_s[order[j].yard]) * x for (g, j), x in self.brought.items()]
        self.asides.append(sum(extra))
        self.aside: Expr = sum(self.asides)
        if timed:
            self._clock(below_s)
            self._load()
            self._shut_in()
        else:
            work = sum(self._placing(i) + self._making(i) for i in range(len(order))) + self.aside
            self.m.add(work <= below_s - 1)
            self.m.minimize(work)

    # --- what is made ---------------------------------------------------------------------------------------

    def _make(self, visit: Visit, learnt: list[Dearer]) -> None:
        """Add one visit's splits, its opening seconds, and what counts beside the clock."""
        self.made.append({})
        self.used.append({})
        self.opening.append(0)
        self.beside.append(0)
        self.first.append(0)
        if not visit.opens:
            return
        once = sum(1 for v in self.order if v.yard == visit.yard and v.opens) == 1
        yields = self.case.yields[visit.yard]
        exact = all(y.exact for y in yields)
        plain = all(y.plain for y in yields) or (not learnt and (self.rough or not self.timed))
        plain = plain and not self.case.fills  # mixes know nothing of them
        if once and exact and plain:
            self._choose_mixes(visit, learnt)
        else:
            self._choose_hives(visit)

    def _choose_mixes(self, visit: Visit, learnt: list[Dearer]) -> None:
        """One mix of each format, at its least opening seconds as far as they are known."""
        known = [d for d in learnt if len(d.made) == 1]
        together = list(known)
        for of_format, one in enumerate(self.case.yields[visit.yard]):
            keep = self.kept.get((visit.yard, of_format), np.ones(len(one.mixes), dtype=bool))
            columns = list(one.lines)
            opening = one.opening.copy()
            for d in known:
                wanted = np.array(d.made[0])
                if wanted.sum() == wanted[columns].sum():
                    together = [other for other in together if other is not d]
                    at_least = max(d.total_s, d.over_s[0] + 1)
                    alike = (
                        (one.mixes == wanted[columns])
                        if self._may_save(visit.yard)
                        else (one.mixes >= wanted[columns])
                    )
                    opening = np.where(alike.all(axis=1), np.maximum(opening, at_least), opening)
            if not together:
                keep = keep & one.least_kits(opening, self.case.fill_s)
            mixes, opening, beside = one.mixes[keep], opening[keep], one.beside[keep]
            chosen = [self.m.new_bool_var("") for _ in opening]
            self.m.add_exactly_one(chosen)
            for column, k in enumerate(one.lines):
                n = self.m.new_int_var(0, self.case.demand.cap(self.case.demand.lines[k].batch), "")
                self.m.add(n == cp_model.LinearExpr.weighted_sum(chosen, mixes[:, column].tolist()))
                self.made[-1][k] = n
            self.opening[-1] += cp_model.LinearExpr.weighted_sum(chosen, opening.tolist())
            if beside.any():
                self.beside[-1] = self.beside[-1] + cp_model.LinearExpr.weighted_sum(chosen, beside.tolist())
        if together:  # boxes of several formats were dearer than their mixes: by how much is left open
            most_s = max(max(d.total_s, *d.over_s) for d in together)
            self.opening[-1] += self.m.new_int_var(0, most_s + 1, "")
        for d in together:
            self._learn([len(self.made) - 1], d)
        self.asides.append(self.beside[-1] + 0)

    def _may_save(self, yard: int) -> bool:
        """Whether more taken from a yard's hives may take less time: where a queen found saves time."""
        return any(d.found for d in self.case.donors[yard])

    def _choose_hives(self, visit: Visit) -> None:
        """Hives of every kind opened, giving enough of each kind of frame (keep-back is in their gives)."""
        donors, demand = self.case.donors[visit.yard], self.case.demand
        used, made = self.used[-1], self.made[-1]
        for k, line in enumerate(demand.lines):
            if any(d.frame == line.frame for d in donors) and demand.of(k).from_yard in (None, visit.yard):
                made[k] = self.m.new_int_var(0, demand.cap(line.batch), "")
        here = len(self.used) - 1
        earlier = [i for i in range(here) if self.order[i].yard == visit.yard and self.order[i].opens]
        for d, donor in enumerate(donors):
            for g, option in enumerate(donor.options):
                if earlier or not option.in_two_passes:
                    used[d, g] = self.m.new_int_var(0, len(donor.hives), "")
                if earlier and option.in_two_passes:
                    self._set_above(used[d, g], option, earlier, here)
        quick: list[Expr] = []
        for frame in sorted({d.frame for d in donors}):
            mine = [(k, n) for k, n in made.items() if demand.lines[k].frame == frame]
            for kind in range(demand.width) if mine else ():
                needed = sum(demand.need(k)[kind] * n for k, n in mine)
                options = [
                    (u, donors[d].options[g]) for (d, g), u in used.items() if donors[d].frame == frame
                ]
                given = sum(o.give[kind] * u for u, o in options)
                self.m.add(given == needed if kind >= QUEEN else given >= needed)
                if any(o.found for _, o in options) and kind < len(self.saved):
                    quick.append(self.saved[kind] * self._quickly(kind, needed, options))
        options = [(u, donors[d].options[g]) for (d, g), u in used.items()]
        self.opening[-1] = sum((o.open_s - o.first_s) * u for u, o in options) - sum(quick)
        self.beside[-1] = sum((o.against_s - o.off_s) * u for u, o in options)
        self.asides.append(self.beside[-1])

    def _set_above(self, used: Var, option: Option, earlier: list[int], here: int) -> None:
        """Each hive worked in two passes has its first at one of the earlier visits."""
        firsts = [self.m.new_int_var(0, self._most_of(used), "") for _ in earlier]
        self.m.add(used == sum(firsts))
        for i, n in zip(earlier, firsts, strict=True):
            self.opening[i] += option.first_s * n
            self.first[i] += option.first_s * n
            self.passes.setdefault((i, here), []).append(n)

    def _quickly(self, kind: int, needed: Expr, options: list[tuple[Var, Option]]) -> Var:
        """How many frames of a kind leave hives whose queen was found."""
        most = sum(o.give[kind] * o_most for o, o_most in ((o, self._most_of(u)) for u, o in options))
        quickly = self.m.new_int_var(0, max(0, most), "")
        self.m.add(quickly <= sum(o.give[kind] * u for u, o in options if o.found))
        self.m.add(quickly <= needed)
        return quickly

    def _most_of(self, var: Var) -> int:
        domain = self.m.proto.variables[var.index].domain
        return int(domain[len(domain) - 1])

    def _share_hives(self, learnt: Learnt) -> None:
        """A hive is opened for frames once, at one of a yard's visits; dearer mixes cost what was learnt."""
        for yard in sorted({v.yard for v in self.order}):
            visits = [i for i, v in enumerate(self.order) if v.yard == yard and self.used[i]]
            for d, donor in enumerate(self.case.donors[yard]) if visits else ():
                uses = [u for i in visits for (e, _), u in self.used[i].items() if e == d]
                self.m.add(sum(uses) <= len(donor.hives))
            self._one_visit(yard, visits)
            for known in learnt.get(yard, []) if visits else ():
                self._learn(visits, known)
        if self.passes:
            self.m.add(sum(n for row in self.passes.values() for n in row) <= self.case.excluders)

    def _one_visit(self, yard: int, visits: list[int]) -> None:
        """All splits of a hive split in its own right are made at one visit."""
        demand = self.case.demand
        for b in demand.own_right:
            lines = [k for k, line in enumerate(demand.lines) if line.batch in demand.together(b)]
            parts = [[self.made[i][k] for k in lines if k in self.made[i]] for i in visits]
            if b == demand.together(b)[0] and sum(map(bool, parts)) > 1:
                here = [self.m.new_bool_var("") for _ in parts]
                self.m.add(sum(here) <= 1)
                most = sum(demand.cap(other) for other in demand.together(b))
                for made, flag in zip(parts, here, strict=True):
                    self.m.add(sum(made) <= most * flag)

    def _learn(self, visits: list[int], known: Dearer) -> None:
        """Either fewer are made than what was found dearer, or it takes at least that long."""
        if len(known.made) == 1:
            groups = [visits]
        elif len(known.made) == len(visits):
            groups = [[i] for i in visits]
        else:
            return
        escape = []
        for group, row in zip(groups, known.made, strict=True):
            for k, n in enumerate(row):
                if n:
                    fewer = self.m.new_bool_var("")
                    self.m.add(sum(self.made[i].get(k, 0) for i in group) <= n - 1).only_enforce_if(fewer)
                    escape.append(fewer)
                if self._may_save(self.order[visits[0]].yard):
                    more = self.m.new_bool_var("")
                    self.m.add(sum(self.made[i].get(k, 0) for i in group) >= n + 1).only_enforce_if(more)
                    escape.append(more)
        escape += self._more_passes(visits, known)
        opening = [sum(self.opening[i] for i in group) for group in groups]
        beside = sum(self.beside[i] for i in visits)
        dear = self.m.new_bool_var("")
        self.m.add_bool_or([*escape, dear])
        self.m.add(sum(opening) + beside >= known.total_s).only_enforce_if(dear)
        slower = [self.m.new_bool_var("") for _ in groups]
        aside = self.m.new_bool_var("")
        self.m.add_bool_or([*escape, *slower, aside])
        self.m.add(beside >= known.beside_s + 1).only_enforce_if(aside)
        for spent, over, slow in zip(opening, known.over_s, slower, strict=True):
            self.m.add(spent >= over + 1).only_enforce_if(slow)

    def _work_on_hives(self) -> None:
        """A visit with hives opened makes splits or sets combs above: where set-up is shorter then, it would
        be chosen for placing too."""
        for i, visit in enumerate(self.order):
            if visit.opens:
                set_above = (n for (first, _), hives in self.passes.items() if first == i for n in hives)
                self.m.add(sum([*self.made[i].values(), *set_above]) >= 1)

    def _more_passes(self, visits: list[int], known: Dearer) -> list[Var]:
        """Flags for more hives in two passes, or longer first passes, than when it was found dearer."""
        flags = []
        most = {(visits[a], visits[b]): n for a, b, n in known.passes}
        for pair, hives in self.passes.items():
            if set(pair) <= set(visits):
                flags.append(self.m.new_bool_var(""))
                self.m.add(sum(hives) >= most.get(pair, 0) + 1).only_enforce_if(flags[-1])
        for i, first_s in zip(visits, known.first_s, strict=False):
            if not isinstance(self.first[i], int):
                flags.append(self.m.new_bool_var(""))
                self.m.add(self.first[i] >= first_s + 1).only_enforce_if(flags[-1])
        return flags

    # --- where it goes --------------------------------------------------------------------------------------

    def _move(self) -> None:
        """Splits go from where they are made to a later yard that is far enough and has room."""
        case = self.case
        for i, a in enumerate(self.order):
            for k in self.made[i]:
                batch = case.demand.of(k)
                if batch.apart:
                    continue
                out = []
                for j in range(i + 1, len(self.order)):
                    z = self.order[j].yard
                    if case.reach[a.yard, z] and case.room[z] and batch.to_yard in (None, z):
                        self.moved[i, j, k] = self.m.new_int_var(
                            0, case.demand.cap(case.demand.lines[k].batch), ""
                        )
                        out.append(self.moved[i, j, k])
                self.m.add(sum(out) == self.made[i][k])
        self._bring()
        for z in sorted({v.yard for v in self.order}):
            into = self._into(z)
            if into:
                self.m.add(sum(into) <= int(case.room[z]))

    def _bring(self) -> None:
        """Every box aboard at the start goes to a yard that is far enough from its parents and has room."""
        for g, group in enumerate(self.case.aboard):
            out = []
            for j, visit in enumerate(self.order):
                if group.reach[visit.yard] and self.case.room[visit.yard]:
                    self.brought[g, j] = self.m.new_int_var(0, group.count, "")
                    out.append(self.brought[g, j])
            if self.case.may_stay:
                self.m.add(sum(out) <= group.count)
            elif out:
                self.m.add(sum(out) == group.count)
            else:
                self.m.add_bool_or([])

    def _into(self, z: int) -> list[Var]:
        """Counts of all that is placed at a yard."""
        made = [x for (_, j, _), x in self.moved.items() if self.order[j].yard == z]
        return made + [x for (_, j), x in self.brought.items() if self.order[j].yard == z]

    def _totals(self) -> None:
        """As many splits of each priority as wanted, no more of a batch than asked for."""
        demand = self.case.demand
        for b, batch in enumerate(demand.batches):
            if not batch.apart:
                self.m.add(sum(self._of_batch(b)) <= demand.cap(b))
        for priority, total in demand.totals:
            made = sum(self._of_priority(priority))
            self.m.add(made <= total if self.most else made == total)

    def _of_batch(self, batch: int) -> list[Var]:
        """Counts of all splits of a batch that are made."""
        lines = self.case.demand.lines
        return [n for row in self.made for k, n in row.items() if lines[k].batch == batch]

    def _of_priority(self, priority: int) -> list[Var]:
        batches = enumerate(self.case.demand.batches)
        of = [b for b, batch in batches if batch.priority == priority and not batch.apart]
        return [n for b in of for n in self._of_batch(b)]

    def _worth(self) -> Expr:
        """What making splits is worth in the objective where as many as can be are wanted (see worths)."""
        if not self.most:
            return 0
        demand, worth = self.case.demand, []
        by_priority = worths(demand)
        for priority in by_priority:
            worth.append(by_priority[priority] * sum(self._of_priority(priority)))
        if self.case.may_stay:
            worth += [aboard_worth(demand) * x for x in self.brought.values()]
        return sum(worth)

    def _receive(self) -> None:
        """What yards cost by receiving: trips after, cells the next day, few splits, many yards, fences."""
        case, after = self.case, self.case.after
        alone, fenced = [], []
        self.fence: list[Expr] = [0] * len(self.order)
        visits = {j for _, j, _ in self.moved} | {j for _, j in self.brought}
        for z in sorted({self.order[j].yard for j in visits}):
            into = self._into(z)
            receives = self._any(into)
            self.asides.append(int(after.fixed_s[z]) * receives)
            by_way = self._by_way(z)
            if "ripe cell" in by_way:
                self.asides.append(int(after.cell_s[z]) * self._any(by_way["ripe cell"]))
            if after.by_ways and after.alone[z]:
                self._trips_by_way(z, receives, by_way)
            if after.alone[z]:
                alone.append(receives)
                if after.few_s:
                    few = self.m.new_int_var(0, after.few_splits, "")
                    self.m.add(few >= after.few_splits * receives - sum(into))
                    self.asides.append(after.few_s * few)
            if case.fence_s[z]:
                fenced.append(receives)
                self._fence(z)
        if after.over_s and len(alone) > after.most_yards:
            over = self.m.new_int_var(0, len(alone), "")
            self.m.add(over >= sum(alone) - after.most_yards)
            self.asides.append(after.over_s * over)
        if fenced:
            self.m.add(sum(fenced) <= case.fences)

    def _by_way(self, z: int) -> dict[str, list[Var]]:
        """Counts of all that is placed at a yard, by way to a queen."""
        found: dict[str, list[Var]] = {}
        for (_, j, k), x in self.moved.items():
            if self.order[j].yard == z:
                found.setdefault(self.case.demand.of(k).queen, []).append(x)
        for (g, j), x in self.brought.items():
            if self.order[j].yard == z:
                found.setdefault(self.case.aboard[g].queen, []).append(x)
        return found

    def _trips_by_way(self, z: int, receives: Var, by_way: dict[str, list[Var]]) -> None:
        """Trips for looks beyond the least, by the ways to a queen that are placed at a yard."""
        after, apart = self.case.after, looks_apart(tuple(by_way))
        most = after.more_trips(z, by_way)
        if most:
            more = self.m.new_int_var(0, most, "")
            flags = [self._any(counts) for counts in by_way.values()]
            for looks in apart:
                trips = sum(n * flag for n, flag in zip(looks, flags, strict=True))
                self.m.add(more >= trips - after.least_trips * receives)
            self.asides.append(int(after.cell_s[z]) * more)

    def _fence(self, z: int) -> None:
        """A yard that needs a fence is placed at at one visit, and the fence is set up there."""
        here = [(j, x) for (_, j, _), x in self.moved.items() if self.order[j].yard == z]
        here += [(j, x) for (_, j), x in self.brought.items() if self.order[j].yard == z]
        visits = sorted({j for j, _ in here})
        at = [self._any([x for j, x in here if j == visit]) for visit in visits]
        self.m.add(sum(at) <= 1)
        for visit, flag in zip(visits, at, strict=True):
            self.fence[visit] = int(self.case.fence_s[z]) * flag

    def _any(self, counts: list[Var]) -> Var:
        """Whether any of these counts is above zero."""
        flag = self.m.new_bool_var("")
        self.m.add(sum(counts) == 0).only_enforce_if(~flag)
        self.m.add(sum(counts) >= 1).only_enforce_if(flag)
        return flag

    def _stock(self) -> None:
        """What is used of things in stock is there."""
        for limit in self.case.demand.limits:
            uses = [limit.uses[k] * n for row in self.made for k, n in row.items() if limit.uses[k]]
            self.m.add(sum(uses) <= limit.most)

    # --- when -----------------------------------------------------------------------------------------------

    def _placing(self, i: int) -> Expr:
        """Seconds of placing at visit i, a fence included."""
        y = self.order[i].yard
        brought = [int(self.case.aboard[g].place_s[y]) * x for (g, j), x in self.brought.items() if j == i]
        made = [int(self.case.place_s[y, k]) * x for (_, j, k), x in self.moved.items() if j == i]
        return self.fence[i] + sum(made) + sum(brought)

    def _making(self, i: int) -> Expr:
        """Seconds of hive work and making at visit i."""
        y, case = self.order[i].yard, self.case
        made = sum((int(case.fill_s[k]) + int(case.make_s[y, k])) * n for k, n in self.made[i].items())
        return self.opening[i] + made

    def _moment(self, low: int, high: int) -> Var:
        return self.m.new_int_var(low, max(low, high), "")

    def _clock(self, below_s: int) -> None:
        """Drive, wait, place, open hives, make, leave; all within the hours of yards, crew and day."""
        case, m = self.case, self.m
        self.leave = self._moment(case.start, case.start if case.at_once else case.end)
        self.begin: list[Var] = []
        self.hives: list[Expr] = []
        self.opened: list[Expr] = []
        self.depart: list[Expr] = []
        before, at = self.leave, 0
        for i, visit in enumerate(self.order):
            y = visit.yard
            set_up, leaving = case.opening if visit.opens else case.placing
            begin = self._moment(max(case.start, int(case.opens[y])), case.end)
            m.add(begin >= before + case.drive(at, y + 1))
            opened = begin + set_up + self._placing(i)
            done, hives = opened, opened
            if visit.opens:
                hives = self._moment(case.hives_from, case.hives_until)
                m.add(hives >= opened)
                done = hives + self._making(i)
                m.add(done <= case.hives_until)
            depart = self._moment(case.start, min(case.end, int(case.closes[y])))
            m.add(depart == done + leaving)
            self.begin.append(begin)
            self.hives.append(hives)
            self.opened.append(opened)
            self.depart.append(depart)
            before, at = depart, y + 1
        self._above()
        back = before + case.drive(at, 0)
        m.add(back <= case.end)
        self.paid = self._moment(0, case.end - case.start)
        m.add(self.paid == back - self.leave)
        road = sum(
            int(case.leg_extra_s[a, b]) for a, b in pairwise((0, *(v.yard + 1 for v in self.order), 0))
        )
        m.add(self.paid + self.aside <= below_s - 1 - road)
        self.cost: Expr = self.paid + self.aside + road
        m.minimize(self.cost - self._worth())

    def _above(self) -> None:
        """Combs set above an excluder wait there as long as they must, and no longer than they may."""
        for (i, j), hives in self.passes.items():
            some = self.m.new_bool_var("")
            self.m.add(sum(hives) == 0).only_enforce_if(~some)
            least_s, most_s = self.case.above_s
            self.m.add(self.hives[j] >= self.hives[i] + self.first[i] + least_s).only_enforce_if(some)
            self.m.add(self.hives[j] <= self.hives[i] + most_s).only_enforce_if(some)

    def _load(self) -> None:
        """On every leg: full boxes and nested empties fit the truck."""
        places = self.case.places
        if places is None:
            return
        nest = self.case.operation.crew.empties_per_place
        full: Expr = self.case.total - self.case.size + self.case.carried
        visits = range(len(self.order))
        empty: Expr = sum(self._boxed(i) for i in visits) if self.most else self.case.size
        if self.case.size > nest * places and not self.most:
            self.m.add_bool_or([])
            return
        for i in visits:
            made = self._boxed(i)
            full = full + made - sum(x for (_, j, _), x in self.moved.items() if j == i)
            full = full - sum(x for (_, j), x in self.brought.items() if j == i)
            empty = empty - made
            self.m.add(nest * full + empty <= nest * places)

    def _boxed(self, i: int) -> Expr:
        """Empty boxes that get frames at visit i."""
        return sum(self.made[i].values())

    def _shut_in(self) -> None:
        """From leaving the yard where a split was made to its opening at its new yard."""
        limit = self.case.shut_in_s
        if limit >= self.case.end - self.case.start and not self.case.aboard:
            return
        for i, j in sorted({(i, j) for i, j, _ in self.moved}):
            moved = [x for (a, b, _), x in self.moved.items() if (a, b) == (i, j)]
            rides = self.m.new_bool_var("")
            self.m.add(sum(moved) == 0).only_enforce_if(~rides)
            self.m.add(self.opened[j] - self.depart[i] <= limit).only_enforce_if(rides)
        for (g, j), x in self.brought.items():
            rides = self._any([x])
            self.m.add(self.opened[j] - self.case.aboard[g].left_s <= limit).only_enforce_if(rides)

    def stay_near(self, before: Moves, brought: dict[tuple[int, int], int], worth: int, below_s: int) -> None:
        """Ask for as much as can be of what was planned before, making what is worth as much, below a cost.

        `before`: splits by (yard made, yard placed, batch); `brought`: boxes aboard by (group, yard placed).
        """
        kept: list[Var] = []
        for (y, z, b), n in before.items():
            same = [
                x
                for (i, j, k), x in self.moved.items()
                if (self.order[i].yard, self.order[j].yard, self.case.demand.lines[k].batch) == (y, z, b)
            ]
            kept += self._at_most(n, same)
        for (g, z), n in brought.items():
            kept += self._at_most(
                n, [x for (h, j), x in self.brought.items() if (h, self.order[j].yard) == (g, z)]
            )
        self.m.add(self._worth() >= worth)
        self.m.add(self.cost <= below_s)
        self.m.maximize(WORTH_S * sum(kept) - self.cost)

    def more_than(self, worth: int) -> None:
        """Ask for splits that are worth more than so much, and as much as can be, whatever they count."""
        self.m.add(self._worth() >= worth + 1)
        self.m.maximize(self._worth())

    def _at_most(self, n: int, counts: list[Var]) -> list[Var]:
        """A count of these, no more than n; nothing where there are none."""
        if not counts:
            return []
        kept = self.m.new_int_var(0, n, "")
        self.m.add(kept <= sum(counts))
        return [kept]

    # --- answers --------------------------------------------------------------------------------------------

    def any_within(self, seconds: float) -> cp_model.CpSolverStatus:
        """Return whether there is any answer under the limit (CP-SAT status)."""
        self.m.clear_objective()  # type: ignore[no-untyped-call]
        return self.solve(seconds)[0]

    def solve(self, seconds: float, work: float | None = None) -> tuple[cp_model.CpSolverStatus, int]:
        """Return (CP-SAT status, proven lower limit of the objective in seconds).

        `work` limits the solver in its repeatable unit.
        """
        self.solver = solver_for(seconds)
        if work is not None:
            self.solver.parameters.max_deterministic_time = work
        status = self.solver.solve(self.m)
        return status, int(np.ceil(self.solver.best_objective_bound - 1e-6))

    @property
    def work(self) -> float:
        """What the last answer took, in the solver's repeatable unit."""
        return float(self.solver.deterministic_time)

    def worth_found(self) -> int:
        """What the splits made are worth (see `_worth`)."""
        return self._at(self._worth())

    def _at(self, expr: Expr) -> int:
        return int(self.solver.value(expr))

    def counts(self) -> Counts:
        """Return the counts found."""
        lines = range(len(self.case.demand.lines))
        made = tuple(tuple(self._at(row[k]) if k in row else 0 for k in lines) for row in self.made)
        moved = tuple((i, j, k, self._at(x)) for (i, j, k), x in sorted(self.moved.items()) if self._at(x))
        rows = (self.opening, self.beside, self.first)
        opening, beside, first = (tuple(self._at(o) for o in row) for row in rows)
        passes = ((i, j, sum(map(self._at, hives))) for (i, j), hives in sorted(self.passes.items()))
        some = tuple(row for row in passes if row[2])
        brought = tuple((g, j, self._at(x)) for (g, j), x in sorted(self.brought.items()) if self._at(x))
        return Counts(made, moved, opening, beside, self._at(self.aside), first, some, brought)

    def times(self) -> Times:
        """Return the clock found."""
        begin, hives = tuple(map(self._at, self.begin)), tuple(map(self._at, self.hives))
        return Times(begin, hives, self._at(self.leave), self._at(self.paid))
