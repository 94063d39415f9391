"""The exact answer for a small operation: one complete CP-SAT model, each stage solved to proved optimality.

Every split is a box of its own; every visit has a position; frames are whole numbers per hive and box.
Waiting is allowed at every stop before set-up and before the hives are opened (so making can be delayed), and
leaving home later costs nothing. Two visits in a row to one yard are one visit and are left out, but where
its hives may be opened at both, with combs above an excluder between. What hives give is in exact_hives, what
counts beside the day in exact_counted.
"""

import functools
import time
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from routeplan.operation.world import Operation
from tests.oracle import meanings
from tests.oracle.exact_counted import Counted
from tests.oracle.exact_hives import Hives

WORKERS = 8


@dataclass(frozen=True)
class Answer:
    """Splits placed per priority (lowest number first), the least that counts, and one such plan.

    `counted_s` is the objective, `paid_s` the paid seconds of the plan that `visits` tells.
    """

    placed: tuple[tuple[int, int], ...]
    paid_s: int
    counted_s: int
    visits: tuple[str, ...] = ()


@dataclass(frozen=True)
class Unproved:
    """No proved answer: the stage that was open when the time was up."""

    reason: str


class Day:
    """The model of one day; `solve` runs its stages."""

    visits_per_box = 2

    def __init__(self, operation: Operation) -> None:
        self.op = operation
        self.model = cp_model.CpModel()
        self.boxes = meanings.boxes(operation)
        self.yards = [y for y in operation.yards if meanings.usable(operation, y)]
        visits = operation.settings.limits.visits_per_yard * len(self.yards)
        above = bool(operation.counted("excluder")) and operation.settings.excluder.allowed
        self.positions = range(min(visits, max(self.visits_per_box, 3 if above else 2) * len(self.boxes)))
        self.in_a_row: list[list[cp_model.IntVar]] = [[] for _ in self.positions]
        self.above = above
        self.end = len(self.yards)
        self._route()
        self._boxes()
        self._queens()
        self.hives = Hives(self.op, self.model, self.boxes, self.yards, self.placed, self.givers)
        self._fences()
        self._load()
        self._clock()
        swapped = self.hives.swapped
        self.counted = Counted(self.op, self.model, self.boxes, self.yards, self.to, swapped)
        self._alike()

    def _bool(self, name: str) -> cp_model.IntVar:
        return self.model.new_bool_var(name)

    def _route(self) -> None:
        """A walk home - yards - home; the state `end` means that the crew is on its way home or there."""
        yards, end, last = range(self.end), self.end, len(self.positions)
        drives, worths = meanings.drives(self.op), meanings.worths(self.op)
        names = [y.id for y in self.yards] + [meanings.HOME]
        self.at = [[self._bool(f"at {v} {j}") for j in range(end + 1)] for v in self.positions]
        self.legs: list[cp_model.LinearExprT] = []
        self.road_s: cp_model.LinearExprT = 0
        for v in range(last + 1):
            froms = [end] if v == 0 else list(range(end + 1))
            tos = [end] if v == last else list(range(end + 1))
            arcs = {
                (i, j): self._bool(f"leg {v} {i} {j}")
                for i in froms
                for j in tos
                if i != j or i == end or self.above
            }
            if 0 < v < last:
                self.in_a_row[v] = [x for (i, j), x in arcs.items() if i == j != end]
            if v == 0:
                self.model.add_exactly_one(arcs.values())
            for i in froms if v > 0 else ():
                self.model.add(sum(x for (a, _), x in arcs.items() if a == i) == self.at[v - 1][i])
            for j in tos if v < last else ():
                self.model.add(sum(x for (_, b), x in arcs.items() if b == j) == self.at[v][j])
            if v > 0:
                self.model.add(sum(x for (a, b), x in arcs.items() if a == end and b != end) == 0)
            roads = {(i, j): x for (i, j), x in arcs.items() if i != j or i == end}
            self.legs.append(sum(drives[names[i], names[j]] * x for (i, j), x in roads.items()))
            self.road_s += sum(worths[names[i], names[j]] * x for (i, j), x in roads.items())
        for j in yards:
            most = self.op.settings.limits.visits_per_yard
            self.model.add(sum(self.at[v][j] for v in self.positions) <= most)

    def _boxes(self) -> None:
        """Each box is made at one visit and placed at a later one, in yards that are allowed."""
        op, model, yards = self.op, self.model, range(self.end)
        travels = meanings.shut_in_s(op) > 0
        self.placed = [self._bool(f"placed {b}") for b in range(len(self.boxes))]
        self.make, self.put, self.frm, self.to = [], [], [], []
        for b, box in enumerate(self.boxes):
            make = [[self._bool(f"make {b} {v} {j}") for j in yards] for v in self.positions]
            put = [[self._bool(f"put {b} {v} {j}") for j in yards] for v in self.positions]
            frm = [self._bool(f"from {b} {j}") for j in yards]
            to = [self._bool(f"to {b} {j}") for j in yards]
            for what, where in ((make, frm), (put, to)):
                for j in yards:
                    model.add(sum(what[v][j] for v in self.positions) == where[j])
                    for v in self.positions:
                        model.add_implication(what[v][j], self.at[v][j])
                model.add(sum(where) == self.placed[b])
            for v in self.positions:
                earlier = sum(make[w][j] for w in range(v) for j in yards)
                model.add(sum(put[v]) <= earlier)
            for i, one in enumerate(self.yards):
                if box.from_yard not in (None, one.id):
                    model.add(frm[i] == 0)
                if box.to_yard not in (None, one.id) or not one.takes_splits:
                    model.add(to[i] == 0)
                for j, other in enumerate(self.yards):
                    if not meanings.far_enough(op, one, other):
                        self._too_near(b, frm[i], to[j])
            if not travels:
                model.add(self.placed[b] == 0)
            self.make.append(make)
            self.put.append(put)
            self.frm.append(frm)
            self.to.append(to)
        self._givers()
        for j, yard in enumerate(self.yards):
            if yard.room is not None:
                model.add(sum(to[j] for to in self.to) <= yard.room)

    def _too_near(self, b: int, frm: cp_model.IntVar, to: cp_model.IntVar) -> None:
        """A box of bees of one yard does not stand at another that is too near."""
        self.model.add_bool_or(frm.negated(), to.negated())

    def _givers(self) -> None:
        """Yards whose hives give to a box, and when they do: where and when it is made."""
        self.givers, self.touch = self.frm, self.make

    def _queens(self) -> None:
        """Bought queens and cells are enough, where they are counted."""
        for way in {box.queen for box in self.boxes}:
            most = meanings.queens(self.op, way)
            if most is not None:
                ours = [x for x, box in zip(self.placed, self.boxes, strict=True) if box.queen == way]
                self.model.add(sum(ours) <= most)

    def _fences(self) -> None:
        """Where bears come and no fence stands, splits are placed at one stop, with a fence from home."""
        self.fenced: list[list[cp_model.IntVar]] = [[] for _ in self.positions]
        for j, yard in enumerate(self.yards):
            if meanings.needs_fence(yard):
                here = [self._bool(f"fence {v} {j}") for v in self.positions]
                self.model.add(sum(here) <= 1)
                for v in self.positions:
                    self.fenced[v].append(here[v])
                    for put in self.put:
                        self.model.add_implication(put[v][j], here[v])
        kits = self.op.counted("fence kit") or 0
        self.model.add(sum(x for here in self.fenced for x in here) <= kits)

    def _load(self) -> None:
        """Full boxes and nested empties fit the truck on every leg."""
        crew, total = self.op.crew, len(self.boxes)
        if crew.places is None:
            return
        for v in range(-1, len(self.positions)):
            made = self._filled_by(v)
            down = sum(x for put in self.put for w in range(v + 1) for x in put[w])
            nests = self.model.new_int_var(0, total, f"nests {v}")
            self.model.add(crew.empties_per_place * nests >= sum(self.placed) - made)
            self.model.add(made - down + nests <= crew.places)

    def _filled_by(self, v: int) -> cp_model.LinearExprT:
        """Boxes that are no longer empty after visit v."""
        return sum(x for make in self.make for w in range(v + 1) for x in make[w])

    def _clock(self) -> None:
        """Times at every stop: yard hours, hive hours, the day, and how long each box is shut in."""
        op, model, crew = self.op, self.model, self.op.crew
        first, last = 60 * crew.start_min, 60 * crew.end_min
        self.leave_home = model.new_int_var(first, last, "leave home")
        self.back_home = model.new_int_var(first, last, "back home")
        self.opened, self.depart, self.work = [], [], []
        opens: list[cp_model.IntVar] = []
        before: cp_model.LinearExprT = self.leave_home
        for v in self.positions:
            begin = model.new_int_var(first, last, f"begin {v}")
            work = model.new_int_var(first, last, f"work {v}")
            closed_up = model.new_int_var(first, last, f"closed up {v}")
            depart = model.new_int_var(first, last, f"depart {v}")
            opened = model.new_int_var(first, last, f"opened {v}")
            hives, used = self._bool(f"hives {v}"), 1 - self.at[v][self.end]
            made, put, lengths = self._work(v)
            above = [row[v] for row in self.hives.set_above]
            model.add_max_equality(hives, [*(x for touch in self.touch for x in touch[v]), *above])
            model.add(made + put + sum(above) >= used)
            opens.append(hives)
            for stay in self.in_a_row[v]:
                model.add_implication(stay, hives)
                model.add_implication(stay, opens[v - 1])
            placing = used - hives
            set_up = [meanings.set_up_s(op, False), meanings.set_up_s(op, True)]
            leave = [meanings.leave_s(op, False), meanings.leave_s(op, True)]
            model.add(begin >= before + self.legs[v])
            model.add(opened == begin + set_up[0] * placing + set_up[1] * hives + lengths["place"])
            model.add(work >= opened)
            model.add(closed_up == work + lengths["hive"] + lengths["make"])
            model.add(depart == closed_up + leave[0] * placing + leave[1] * hives)
            model.add(work >= 60 * crew.hives_from_min).only_enforce_if(hives)
            model.add(closed_up <= 60 * crew.hives_until_min).only_enforce_if(hives)
            for j, yard in enumerate(self.yards):
                if yard.opens_min is not None:
                    model.add(begin >= 60 * yard.opens_min).only_enforce_if(self.at[v][j])
                if yard.closes_min is not None:
                    model.add(depart <= 60 * yard.closes_min).only_enforce_if(self.at[v][j])
            self.opened.append(opened)
            self.depart.append(depart)
            self.work.append(work)
            before = depart
        model.add(self.back_home >= before + self.legs[len(self.positions)])
        self._shut_in()
        self.hives.once_a_day()
        self.hives.wait_above(self.work)

    def _work(
        self, v: int
    ) -> tuple[cp_model.LinearExprT, cp_model.LinearExprT, dict[str, cp_model.LinearExprT]]:
        """Boxes made and placed at visit v, and the seconds of placing, hive work and making there."""
        op = self.op
        made = put = make_s = place_s = 0
        for b, box in enumerate(self.boxes):
            for j, yard in enumerate(self.yards):
                made += self.touch[b][v][j]
                put += self.put[b][v][j]
                make_s += meanings.make_s(op, yard) * self.make[b][v][j]
                place_s += meanings.place_s(op, yard, box) * self.put[b][v][j]
        place_s += meanings.fence_s(op) * sum(self.fenced[v])
        make_s += self._beginning_s(v)
        return (
            made,
            put,
            {"hive": self.hives.spent_s(v, self.touch, self.at[v]), "make": make_s, "place": place_s},
        )

    def _beginning_s(self, v: int) -> cp_model.LinearExprT:
        """Seconds of loading boxes that are begun at visit v and completed elsewhere: there are none."""
        return 0

    def _shut_in(self) -> None:
        limit = meanings.shut_in_s(self.op)
        for b in range(len(self.boxes)):
            for v in self.positions:
                for w in self.positions[v + 1 :]:
                    pair = [self._bool(f"made {b} {v} {w}"), self._bool(f"set {b} {v} {w}")]
                    self.model.add(pair[0] == self._first_bees(b, v))
                    self.model.add(pair[1] == sum(self.put[b][w]))
                    self.model.add(self.opened[w] - self.depart[v] <= limit).only_enforce_if(pair)

    def _first_bees(self, b: int, v: int) -> cp_model.LinearExprT:
        """Whether the first bees come into a box at visit v."""
        return sum(self.make[b][v])

    def _alike(self) -> None:
        """Boxes that are asked for alike are placed first to last, in the order of their visits."""
        last_alike: dict[meanings.Box, int] = {}
        for b, box in enumerate(self.boxes):
            kind = replace(box, order=0)
            if (a := last_alike.get(kind)) is not None:
                self.model.add_implication(self.placed[b], self.placed[a])
                ranks = [self._rank(c) for c in (a, b)]
                self.model.add(ranks[0] <= ranks[1]).only_enforce_if(self.placed[b])
            last_alike[kind] = b

    def _rank(self, b: int) -> cp_model.LinearExprT:
        made = sum(v * x for v in self.positions for x in self.make[b][v])
        put = sum(v * x for v in self.positions for x in self.put[b][v])
        return len(self.positions) * made + put

    def solve(self, seconds: float) -> Answer | Unproved:
        """Place most splits class by class, then least that counts; each stage proved, or Unproved."""
        until = time.monotonic() + seconds
        placed = []
        for priority in sorted({box.priority for box in self.boxes}):
            ours = sum(x for x, box in zip(self.placed, self.boxes, strict=True) if box.priority == priority)
            self.model.maximize(ours)
            solver = self._stage(until)
            if solver is None:
                return Unproved(f"most splits of priority {priority}")
            most = round(solver.objective_value)
            self.model.add(ours == most)
            placed.append((priority, most))
        paid = self.back_home - self.leave_home
        beside = self.counted.seconds + self.hives.against_s - self.hives.due_s + self.road_s
        self.model.minimize(paid + beside)
        solver = self._stage(until)
        if solver is None:
            return Unproved(f"least that counts with {placed}")
        least = round(solver.objective_value)
        return Answer(tuple(placed), solver.value(paid), least, self._story(solver))

    def _stage(self, until: float) -> cp_model.CpSolver | None:
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = max(0.1, until - time.monotonic())
        solver.parameters.num_workers = WORKERS
        solver.parameters.random_seed = 1
        status = solver.solve(self.model)
        if status == cp_model.INFEASIBLE or status == cp_model.MODEL_INVALID:
            raise AssertionError("an empty day is always possible: the model is wrong")
        if status != cp_model.OPTIMAL:
            return None
        self.model.clear_hints()
        for i in range(len(self.model.proto.variables)):
            variable = self.model.get_int_var_from_proto_index(i)
            self.model.add_hint(variable, solver.value(variable))
        return solver

    def _story(self, solver: cp_model.CpSolver) -> tuple[str, ...]:
        lines = [f"leaves home {solver.value(self.leave_home)}"]
        for v in self.positions:
            for j, yard in enumerate(self.yards):
                if solver.value(self.at[v][j]):
                    makes = [b for b in range(len(self.boxes)) if solver.value(self.make[b][v][j])]
                    puts = [b for b in range(len(self.boxes)) if solver.value(self.put[b][v][j])]
                    times = f"opened {solver.value(self.opened[v])} departs {solver.value(self.depart[v])}"
                    lines.append(f"{yard.id}: places {puts}, makes {makes}, {times}")
        lines += self.hives.story(solver)
        beside = self.counted.seconds + self.hives.against_s + self.road_s
        counted = f"counted beside {solver.value(beside)}, due {solver.value(self.hives.due_s)}"
        return (*lines, f"back home {solver.value(self.back_home)}", counted)


@functools.cache
def best(operation: Operation, seconds: float = 60.0) -> Answer | Unproved:
    """Solve a small operation exactly.

    Parameters
    ----------
    operation : at most some 5 yards, 14 hives and 6 splits.
    seconds : wall-clock limit over all stages.

    Returns
    -------
    Answer, every stage proved optimal, or Unproved with the stage that was open.
    """
    return Day(operation).solve(seconds)
