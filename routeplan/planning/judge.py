"""The exact judge of a visit order: how many splits each visit makes and places, and when, at least paid time.

The order is fixed, all else is open: donors of every kind, splits by line from visit to visit, the clock, the
load, the minutes shut in. Solved by CP-SAT; what one yard makes is then checked box by box and, where the
donor limit makes it dearer, the judge learns that and solves again.
"""

from dataclasses import dataclass, field

import numpy as np
from ortools.sat.python import cp_model

from routeplan.planning.boxes import Boxes, Made, fill_boxes
from routeplan.planning.case import Case
from routeplan.planning.demand import KINDS
from routeplan.planning.limits import Clock

NEVER = 10**7
Var = cp_model.IntVar


@dataclass(frozen=True)
class Visit:
    """One stop of an order: yard index and whether hives are opened there."""

    yard: int
    opens: bool


Order = tuple[Visit, ...]


@dataclass(frozen=True)
class Round:
    """A complete round: what each visit makes (by line) and moves, its boxes, and the time of leaving home.

    `moved` holds (from visit, to visit, line, splits). `begin` and `hives` are the seconds after midnight when
    each visit's set-up begins and when its hives are opened (where they are).
    """

    order: Order
    made: tuple[tuple[int, ...], ...]
    moved: tuple[tuple[int, int, int, int], ...]
    boxes: dict[int, Boxes]
    begin: tuple[int, ...]
    hives: tuple[int, ...]
    leave_home: int
    paid_s: int


@dataclass(frozen=True)
class Verdict:
    """The judge's word: the best round below the limit, None if there is none; `sure` False when time ran out.

    `at_least_s` is a proven lower limit of the paid time of this order.
    """

    found: Round | None
    sure: bool
    at_least_s: int


@dataclass(frozen=True)
class Dearer:
    """Learnt box by box: making `made` or more takes over `over_s` at one of the visits, `total_s` in all."""

    made: Made
    over_s: tuple[int, ...]
    total_s: int


@dataclass
class Judge:
    """Judges orders of one case and remembers which mixes turned out dearer, box by box."""

    case: Case
    clock: Clock
    dearer: dict[int, list[Dearer]] = field(default_factory=dict)
    filled: dict[tuple[int, Made, tuple[int, ...]], Boxes | None] = field(default_factory=dict)
    worked: dict[object, int] = field(default_factory=dict)
    asked: int = 0

    def least_work(self, order: Order) -> int:
        """Least seconds of hive work, making and placing of an order, clock and load aside; never too large.

        NEVER when the splits cannot be made and moved at all in this order.
        """
        key = _signature(self.case, order)
        if key not in self.worked:
            model = _OrderModel(self.case, order, NEVER, self.dearer, timed=False)
            status, at_least = model.solve(self.clock.share(5.0))
            self.worked[key] = NEVER if status == cp_model.INFEASIBLE else max(0, at_least)
        return self.worked[key]

    def judge(self, order: Order, below_s: int) -> Verdict:
        """Return the best round of this order with a paid time under `below_s`."""
        at_least = 0
        while not self.clock.over():
            self.asked += 1
            model = _OrderModel(self.case, order, below_s, self.dearer)
            status, at_least = model.solve(self.clock.share(10.0))
            if status == cp_model.INFEASIBLE:
                return Verdict(None, True, below_s)
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                break
            try:
                boxes = self.certify(order, model)
            except TimeoutError:
                break
            if boxes is not None:
                return Verdict(model.round(boxes), status == cp_model.OPTIMAL, at_least)
        return Verdict(None, False, at_least)

    def certify(self, order: Order, model: "_OrderModel") -> dict[int, Boxes] | None:
        """Fill every yard's boxes in the time the model counted; None when a yard turned out dearer."""
        boxes: dict[int, Boxes] = {}
        for yard in sorted({v.yard for v in order if v.opens}):
            visits = [i for i, v in enumerate(order) if v.yard == yard and v.opens]
            made = tuple(model.made_at(i) for i in visits)
            if not any(map(any, made)):
                continue
            opening = tuple(model.opening_at(i) for i in visits)
            found = self.fill(yard, made, opening, model.opened_at(visits))
            if found is None:
                return None
            boxes[yard] = found
        return boxes

    def fill(
        self, yard: int, made: Made, opening_s: tuple[int, ...], hives: frozenset[tuple[str, str]] | None
    ) -> Boxes | None:
        """Fill one yard's boxes, with `hives` if they can, within these opening times; learn it if none can."""
        key = (yard, made, opening_s)
        if key not in self.filled:
            found = None
            if hives is not None:
                found = fill_boxes(self.case, yard, made, opening_s, self.clock.share(5.0), only=hives)
            if found is None:
                found = fill_boxes(self.case, yard, made, opening_s, self.clock.share(10.0))
            self.filled[key] = found
            if found is None:
                self.learn(yard, made, opening_s)
        return self.filled[key]

    def learn(self, yard: int, made: Made, opening_s: tuple[int, ...]) -> None:
        """Remember that these boxes cannot be filled in these opening times, and what they take at least."""
        free = (NEVER,) * len(made)
        best = fill_boxes(self.case, yard, made, free, self.clock.share(10.0))
        total = NEVER if best is None else best.total_s if best.proved else sum(opening_s)
        self.dearer.setdefault(yard, []).append(Dearer(made, opening_s, total))


def _signature(case: Case, order: Order) -> object:
    """What the least work of an order depends on: its making visits and from where to where splits may go."""
    pairs = [
        (i, b.yard)
        for i, a in enumerate(order)
        if a.opens
        for b in order[i + 1 :]
        if case.travel.far[a.yard, b.yard] and case.room[b.yard]
    ]
    opens = [(i, v.yard) for i, v in enumerate(order) if v.opens]
    rank = {i: n for n, (i, _) in enumerate(sorted(opens, key=lambda o: (o[1], o[0])))}
    made = tuple(sorted((yard, rank[i]) for i, yard in opens))
    return made, frozenset((rank[i], z) for i, z in pairs)


class _OrderModel:
    """The model of one visit order; with `timed` False the clock, the load and the minutes shut in are left out."""

    def __init__(
        self, case: Case, order: Order, below_s: int, dearer: dict[int, list[Dearer]], timed: bool = True
    ) -> None:
        self.case, self.order, self.m = case, order, cp_model.CpModel()
        self.made: list[dict[int, Var]] = []
        self.used: list[dict[tuple[int, int], Var]] = []
        self.opening: list[object] = []
        self.moved: dict[tuple[int, int, int], Var] = {}
        for visit in order:
            self._make(visit)
        self._share_hives()
        self._move()
        self._totals()
        self._stock()
        for yard, learnt in dearer.items():
            self._learn(yard, learnt)
        if timed:
            self._clock(below_s)
            self._load()
            self._shut_in()
        else:
            self.m.minimize(sum(self._work(i) for i in range(len(order))))

    def _make(self, visit: Visit) -> None:
        """What a visit makes is supplied by the donors it opens (keep-back is in their gives)."""
        made: dict[int, Var] = {}
        used: dict[tuple[int, int], Var] = {}
        donors = self.case.donors[visit.yard] if visit.opens else ()
        frames = {d.frame for d in donors}
        for k, line in enumerate(self.case.demand.lines):
            if line.frame in frames and self.case.demand.of(k).from_yard in (None, visit.yard):
                made[k] = self.m.new_int_var(0, self.case.demand.cap(line.batch), "")
        for d, donor in enumerate(donors):
            for g in range(len(donor.gives)):
                used[d, g] = self.m.new_int_var(0, len(donor.hives), "")
        for frame in frames:
            for kind in range(len(KINDS)):
                needed = sum(
                    self.case.demand.of(k).need[kind] * n
                    for k, n in made.items()
                    if self.case.demand.lines[k].frame == frame
                )
                given = sum(
                    donors[d].gives[g][kind] * u for (d, g), u in used.items() if donors[d].frame == frame
                )
                if not isinstance(needed, int):
                    self.m.add(given >= needed)
        self.made.append(made)
        self.used.append(used)
        self.opening.append(sum(donors[d].open_s * u for (d, _), u in used.items()))

    def _share_hives(self) -> None:
        """A hive is opened for frames once, at one of a yard's visits."""
        for yard in {v.yard for v in self.order}:
            visits = [i for i, v in enumerate(self.order) if v.yard == yard and v.opens]
            for d, donor in enumerate(self.case.donors[yard]) if visits else ():
                uses = [u for i in visits for (e, _), u in self.used[i].items() if e == d]
                self.m.add(sum(uses) <= len(donor.hives))

    def _move(self) -> None:
        """Splits go from where they are made to a later yard that is far enough and has room."""
        case = self.case
        for i, a in enumerate(self.order):
            for k in self.made[i]:
                to_yard = case.demand.of(k).to_yard
                for j in range(i + 1, len(self.order)):
                    z = self.order[j].yard
                    if case.travel.far[a.yard, z] and case.room[z] and to_yard in (None, z):
                        self.moved[i, j, k] = self.m.new_int_var(
                            0, case.demand.cap(case.demand.lines[k].batch), ""
                        )
                out = [x for (s, _, line), x in self.moved.items() if s == i and line == k]
                self.m.add(sum(out) == self.made[i][k])
        for z in {v.yard for v in self.order}:
            into = [x for (_, j, _), x in self.moved.items() if self.order[j].yard == z]
            if into:
                self.m.add(sum(into) <= int(case.room[z]))

    def _totals(self) -> None:
        """As many splits of each priority as wanted, no more of a batch than asked for."""
        demand = self.case.demand
        for b, batch in enumerate(demand.batches):
            made = [n for row in self.made for k, n in row.items() if demand.lines[k].batch == b]
            self.m.add(sum(made) <= min(batch.count, demand.cap(b)))
        for priority, total in demand.totals:
            made = [n for row in self.made for k, n in row.items() if demand.of(k).priority == priority]
            self.m.add(sum(made) == total)

    def _stock(self) -> None:
        """Combs and boxes of each format are there."""
        operation, demand = self.case.operation, self.case.demand
        for frame in {line.frame for line in demand.lines}:
            mine = [
                (demand.of(k).kit, n)
                for row in self.made
                for k, n in row.items()
                if demand.lines[k].frame == frame
            ]
            combs, boxes = operation.combs(frame), operation.nuc_boxes(frame)
            if combs is not None:
                self.m.add(sum(kit.combs * n for kit, n in mine) <= sum(combs))
                self.m.add(sum(kit.drawn * n for kit, n in mine) <= combs[0])
            if boxes is not None:
                self.m.add(sum(n for _, n in mine) <= boxes)

    def _learn(self, yard: int, learnt: list[Dearer]) -> None:
        """A mix known to be dearer, or a larger one, takes at least what was found box by box."""
        visits = [i for i, v in enumerate(self.order) if v.yard == yard and v.opens]
        for known in learnt:
            one = len(known.made) == 1
            if not visits or not (one or len(known.made) == len(visits)):
                continue
            groups = [visits] if one else [[i] for i in visits]
            escape = []
            for group, row in zip(groups, known.made, strict=True):
                for k, n in enumerate(row):
                    if n:
                        fewer = self.m.new_bool_var("")
                        have = sum(self.made[i].get(k, 0) for i in group)
                        self.m.add(have <= n - 1).only_enforce_if(fewer)
                        escape.append(fewer)
            dear = self.m.new_bool_var("")
            self.m.add_bool_or([*escape, dear])
            opening = [sum(self.opening[i] for i in group) for group in groups]
            self.m.add(sum(opening) >= known.total_s).only_enforce_if(dear)
            slower = [self.m.new_bool_var("") for _ in groups]
            self.m.add_bool_or([*escape, *slower])
            for spent, over, more in zip(opening, known.over_s, slower, strict=True):
                self.m.add(spent >= over + 1).only_enforce_if(more)

    def _placing(self, i: int) -> object:
        """Seconds of placing at visit i."""
        y = self.order[i].yard
        return sum(int(self.case.place_s[y, k]) * x for (_, j, k), x in self.moved.items() if j == i)

    def _making(self, i: int) -> object:
        """Seconds of hive work and making at visit i."""
        y = self.order[i].yard
        fill_and_make = sum(
            (int(self.case.fill_s[k]) + int(self.case.make_s[y, k])) * n for k, n in self.made[i].items()
        )
        return self.opening[i] + fill_and_make  # type: ignore[operator]

    def _work(self, i: int) -> object:
        return self._placing(i) + self._making(i)  # type: ignore[operator]

    def _clock(self, below_s: int) -> None:
        """Drive, wait, place, open hives, make, leave; all within the yards', the crew's and the day's hours."""
        case, m = self.case, self.m

        def moment(low: int, high: int) -> Var:
            return m.new_int_var(low, max(low, high), "")

        self.leave = moment(case.start, case.end)
        before, at = self.leave, 0
        self.begin: list[Var] = []
        self.hives: list[object] = []
        self.opened: list[object] = []
        self.depart: list[object] = []
        for i, visit in enumerate(self.order):
            y = visit.yard
            set_up, leaving = case.opening if visit.opens else case.placing
            begin = moment(max(case.start, int(case.opens[y])), case.end)
            m.add(begin >= before + int(case.drive(at, y + 1)))
            opened = begin + set_up + self._placing(i)
            done, hives = opened, opened
            if visit.opens:
                hives = moment(case.hives_from, case.hives_until)
                m.add(hives >= opened)
                done = hives + self._making(i)
                m.add(done <= case.hives_until)
            depart = moment(case.start, min(case.end, int(case.closes[y])))
            m.add(depart == done + leaving)
            self.begin.append(begin)
            self.hives.append(hives)
            self.opened.append(opened)
            self.depart.append(depart)
            before, at = depart, y + 1
        back = before + int(case.drive(at, 0))
        m.add(back <= case.end)
        self.paid = m.new_int_var(0, max(0, min(below_s - 1, case.end - case.start)), "")
        m.add(self.paid == back - self.leave)
        m.minimize(self.paid)

    def _load(self) -> None:
        """On every leg: full boxes and nested empties fit the truck."""
        places = self.case.places
        if places is None:
            return
        nest = self.case.operation.crew.empties_per_place
        full, empty = 0, self.case.size
        if empty > nest * places:
            self.m.add_bool_or([])
            return
        for i in range(len(self.order)):
            made = sum(self.made[i].values())
            full = full + made - sum(x for (_, j, _), x in self.moved.items() if j == i)
            empty = empty - made
            self.m.add(nest * full + empty <= nest * places)

    def _shut_in(self) -> None:
        """From leaving the yard where a split was made to its opening at its new yard."""
        limit = self.case.shut_in_s
        if limit >= self.case.end - self.case.start:
            return
        for i, j in sorted({(i, j) for i, j, _ in self.moved}):
            moved = [x for (a, b, _), x in self.moved.items() if (a, b) == (i, j)]
            rides = self.m.new_bool_var("")
            self.m.add(sum(moved) == 0).only_enforce_if(~rides)
            self.m.add(self.opened[j] - self.depart[i] <= limit).only_enforce_if(rides)

    def solve(self, seconds: float) -> tuple[int, int]:
        """Return (CP-SAT status, proven lower limit of the paid seconds)."""
        self.solver = cp_model.CpSolver()
        self.solver.parameters.num_workers = 1
        self.solver.parameters.random_seed = 0
        self.solver.parameters.max_time_in_seconds = max(0.01, seconds)
        self.solver.parameters.catch_sigint_signal = False
        status = self.solver.solve(self.m)
        return status, int(np.ceil(self.solver.best_objective_bound - 1e-6))

    def made_at(self, i: int) -> tuple[int, ...]:
        """Splits made at visit i, by line."""
        lines = range(len(self.case.demand.lines))
        return tuple(int(self.solver.value(self.made[i][k])) if k in self.made[i] else 0 for k in lines)

    def opening_at(self, i: int) -> int:
        """Opening seconds of visit i."""
        return int(self.solver.value(self.opening[i]))

    def opened_at(self, visits: list[int]) -> frozenset[tuple[str, str]]:
        """As many hives of each donor kind as these visits open."""
        yard = self.order[visits[0]].yard
        keys = []
        for d, donor in enumerate(self.case.donors[yard]):
            n = sum(int(self.solver.value(u)) for i in visits for (e, _), u in self.used[i].items() if e == d)
            keys += [h.key for h in donor.hives[:n]]
        return frozenset(keys)

    def round(self, boxes: dict[int, Boxes]) -> Round:
        """Return the round found."""
        moved = tuple(
            (i, j, k, int(self.solver.value(x)))
            for (i, j, k), x in self.moved.items()
            if self.solver.value(x)
        )
        made = tuple(self.made_at(i) for i in range(len(self.order)))
        begin = tuple(int(self.solver.value(x)) for x in self.begin)
        hives = tuple(int(self.solver.value(x)) for x in self.hives)
        leave, paid = int(self.solver.value(self.leave)), int(self.solver.value(self.paid))
        return Round(self.order, made, moved, boxes, begin, hives, leave, paid)
