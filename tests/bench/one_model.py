"""One CP-SAT model of everything, as well aggregated as one order allows: 60 s, 8 workers.

Hives of a yard that may give the same and open equally fast are counted together; splits flow from yard to
yard as numbers; a circuit over the yards (each once, and once more for placing only) carries clock and load.
Donors of a split are seen to afterwards, when the frames are named. Most splits first, then least paid time,
by one weight.
"""

import sys
from collections import Counter
from dataclasses import dataclass

from ortools.sat.python import cp_model

from routeplan.operation.world import Hive, Operation, Yard
from tests.bench.rounds import Made, Round, RoundFaultError, fill, paid_s
from tests.bench.theirs import Outcome, run
from tests.oracle import meanings
from tests.oracle.meanings import HOME, Give

SECONDS = 60.0
WEIGHT = 10**5
"""Seconds one split is worth: more than a day has."""


@dataclass(frozen=True)
class Alike:
    """Hives of one yard that give alike: their fullest gives, and the seconds to open one."""

    hives: tuple[Hive, ...]
    gives: tuple[Give, ...]
    open_s: int


def alike(operation: Operation, yard: Yard) -> list[Alike]:
    """Group the hives of a yard that can give anything."""
    groups: dict[tuple[frozenset[Give], int], list[Hive]] = {}
    for hive in operation.hives:
        if hive.yard == yard.id and len(gives := meanings.gives(operation, hive)) > 1:
            groups.setdefault((frozenset(gives), meanings.open_s(operation, hive)), []).append(hive)
    return [Alike(tuple(h), _fullest(gives), open_s) for (gives, open_s), h in groups.items()]


def _fullest(gives: frozenset[Give]) -> tuple[Give, ...]:
    """Drop every give that another one covers."""

    def covered(give: Give) -> bool:
        return any(o != give and all(a >= b for a, b in zip(o, give, strict=True)) for o in gives)

    return tuple(sorted(g for g in gives if not covered(g)))


class OneModel:
    """Nodes: 0 home, 1..n first visits, n + 1..2n second visits (placing only)."""

    def __init__(self, operation: Operation) -> None:
        self.op, self.model = operation, cp_model.CpModel()
        self.box, self.asked = meanings.boxes(operation)[0], len(meanings.boxes(operation))
        self.yards = [y for y in operation.yards if meanings.usable(operation, y)]
        self.n = len(self.yards)
        drives = meanings.drives(operation)
        names = [HOME] + [y.id for y in self.yards] * 2
        self.drive = [[drives[a, b] for b in names] for a in names]
        self.nodes = range(1, 2 * self.n + 1)
        self._hives()
        self._flows()
        self._circuit()
        self._times()

    def _yard(self, node: int) -> int:
        return (node - 1) % self.n

    def _int(self, most: int, name: str) -> cp_model.IntVar:
        return self.model.new_int_var(0, most, name)

    def _hives(self) -> None:
        """How many hives of each kind give each fullest give, enough for the kits made in the yard."""
        self.groups = [alike(self.op, y) for y in self.yards]
        self.make = [self._int(self.asked, f"make {y.id}") for y in self.yards]
        self.hive_s: list[cp_model.LinearExprT] = []
        self.opened: list[list[tuple[Alike, list[cp_model.IntVar]]]] = []
        for y, groups in enumerate(self.groups):
            chosen = [(g, [self._int(len(g.hives), "") for _ in g.gives]) for g in groups]
            for g, counts in chosen:
                self.model.add(sum(counts) <= len(g.hives))
            for k, need in enumerate(self.box.needs):
                supply = sum(give[k] * x for g, xs in chosen for give, x in zip(g.gives, xs, strict=True))
                self.model.add(supply >= need * self.make[y])
            self.hive_s.append(sum(g.open_s * x for g, xs in chosen for x in xs))
            self.opened.append(chosen)

    def _flows(self) -> None:
        """Splits from yard to visit, where it is far enough and there is room."""
        self.flow: dict[tuple[int, int], tuple[cp_model.IntVar, cp_model.IntVar]] = {}
        for y, one in enumerate(self.yards):
            for z, other in enumerate(self.yards):
                may = self.groups[y] and other.takes_splits and other.room != 0
                if may and meanings.far_enough(self.op, one, other):
                    for node in (z + 1, z + 1 + self.n):
                        flows, count = self.model.new_bool_var(""), self._int(self.asked, "")
                        self.model.add(count <= self.asked * flows)
                        self.flow[y, node] = (flows, count)
        for y in range(self.n):
            self.model.add(sum(c for (a, _), (_, c) in self.flow.items() if a == y) == self.make[y])
        self.place = {
            node: sum(c for (_, b), (_, c) in self.flow.items() if b == node) for node in self.nodes
        }
        for z, yard in enumerate(self.yards):
            if yard.room is not None:
                self.model.add(self.place[z + 1] + self.place[z + 1 + self.n] <= yard.room)
        self.placed = sum(self.make)
        self.model.add(self.placed <= self.asked)

    def _circuit(self) -> None:
        self.visited = {node: self.model.new_bool_var(f"visit {node}") for node in self.nodes}
        self.arcs = {
            (a, b): self.model.new_bool_var("")
            for a in (0, *self.nodes)
            for b in (0, *self.nodes)
            if a != b and (0 in (a, b) or self._yard(a) != self._yard(b))
        }
        idle = self.model.new_bool_var("nobody leaves")
        loops = [(node, node, x.negated()) for node, x in self.visited.items()]
        self.model.add_circuit([(a, b, x) for (a, b), x in self.arcs.items()] + [*loops, (0, 0, idle)])
        for node, visited in self.visited.items():
            self.model.add(self.place[node] <= self.asked * visited)
            if node <= self.n:
                self.model.add(self.make[node - 1] <= self.asked * visited)
            else:
                self.model.add_implication(visited, self.visited[node - self.n])
        self.model.add(self.placed == 0).only_enforce_if(idle)

    def _times(self) -> None:
        """Clock and load along the circuit."""
        op, crew, model = self.op, self.op.crew, self.model
        first, last = 60 * crew.start_min, 60 * crew.end_min
        leave, back = (model.new_int_var(first, last, name) for name in ("leave", "back"))
        empty, full = {0: self.placed}, {0: 0}
        begin, opened, depart = {}, {}, {0: leave}
        set_up, leaving = ([f(op, False), f(op, True)] for f in (meanings.set_up_s, meanings.leave_s))
        spent: list[cp_model.LinearExprT] = [self.drive[a][b] * x for (a, b), x in self.arcs.items()]
        for node, visited in self.visited.items():
            y = self._yard(node)
            yard, making = self.yards[y], model.new_bool_var(f"makes {node}")
            begin[node] = model.new_int_var(first, last, "")
            work = model.new_int_var(first, last, "")
            depart[node] = model.new_int_var(first, last, "")
            hive_s: cp_model.LinearExprT = 0
            if node <= self.n:
                each = meanings.take_s(op, self.box) + meanings.make_s(op, yard)
                model.add(self.make[y] <= self.asked * making)
                model.add_implication(making, visited)
                hive_s = self.hive_s[y] + each * self.make[y]
            else:
                model.add(making == 0)
            place_s = meanings.place_s(op, yard, self.box) * self.place[node]
            set_up_s = set_up[0] * (visited - making) + set_up[1] * making
            leave_s = leaving[0] * (visited - making) + leaving[1] * making
            opened[node] = begin[node] + set_up_s + place_s
            model.add(work >= opened[node])
            model.add(depart[node] == work + hive_s + leave_s)
            model.add(work >= 60 * crew.hives_from_min).only_enforce_if(making)
            model.add(depart[node] - leave_s <= 60 * crew.hives_until_min).only_enforce_if(making)
            empty[node], full[node] = self._int(self.asked, ""), self._int(crew.places or self.asked, "")
            spent.append(set_up_s + place_s + hive_s + leave_s)
        for (a, b), x in self.arcs.items():
            after = back if b == 0 else begin[b]
            model.add(after >= depart[a] + self.drive[a][b]).only_enforce_if(x)
            if b and crew.places is not None:
                made = self.make[b - 1] if b <= self.n else 0
                model.add(empty[b] == empty[a] - made).only_enforce_if(x)
                model.add(full[b] == full[a] + made - self.place[b]).only_enforce_if(x)
        if crew.places is not None:
            for node in (0, *self.nodes):
                nests = self._int(self.asked, "")
                model.add(crew.empties_per_place * nests >= empty[node])
                model.add(full[node] + nests <= crew.places)
        limit = meanings.shut_in_s(op)
        for (y, node), (flows, _) in self.flow.items():
            model.add(begin[node] >= depart[y + 1]).only_enforce_if(flows)
            model.add(opened[node] - depart[y + 1] <= limit).only_enforce_if(flows)
        model.add(back - leave >= sum(spent))
        self.begin, self.paid = begin, back - leave

    def solve(self) -> tuple[Round | None, int | None, str]:
        """Return the round, the bound on paid seconds for as many splits, and the solver's own word."""
        self.model.maximize(WEIGHT * self.placed - self.paid)
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = SECONDS
        solver.parameters.num_workers = 8
        status = solver.solve(self.model)
        word = solver.status_name(status).lower()
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None, None, word
        placed = solver.value(self.placed)
        bound = max(0, WEIGHT * placed - int(solver.best_objective_bound))
        return self._round(solver), bound, word

    def _round(self, solver: cp_model.CpSolver) -> Round | None:
        visits = sorted(
            (n for n in self.nodes if solver.value(self.visited[n])),
            key=lambda n: solver.value(self.begin[n]),
        )
        at = {node: v for v, node in enumerate(visits)}
        targets: dict[int, list[int]] = {}
        for (y, node), (_, count) in self.flow.items():
            targets.setdefault(y, []).extend([node] * solver.value(count))
        made = []
        for y, nodes in targets.items():
            if not nodes:
                continue
            used: Counter[int] = Counter()
            hives = []
            for i, (group, counts) in enumerate(self.opened[y]):
                used[i] = sum(solver.value(c) for c in counts)
                hives += group.hives[: used[i]]
            kits = fill(self.op, hives, len(nodes), self.box)
            if kits is None:
                return None
            made += [Made(at[y + 1], at[node], kit) for node, kit in zip(nodes, kits, strict=True)]
        return Round(tuple(self.yards[self._yard(n)].id for n in visits), tuple(made))


def plan(operation: Operation) -> Outcome:
    """Solve the one model and have its round judged."""
    made, bound_s, word = OneModel(operation).solve()
    if bound_s is None:
        return Outcome(0, None, None, f"none: {word}")
    if made is None:
        return Outcome(0, None, bound_s, "none: its frames need too many donors")
    try:
        paid = paid_s(operation, made)
    except RoundFaultError as broken:
        return Outcome(0, None, bound_s, f"none: breaks a rule ({broken})")
    return Outcome(len(made.splits), paid, bound_s, word)


if __name__ == "__main__":
    run(plan, sys.argv[1:])
