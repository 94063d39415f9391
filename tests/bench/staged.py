"""Staged planning, as one would write it in an afternoon: frames, then yards, then the order of the visits.

Frames: in every yard the strongest hives fill one kit after the other, from one hive if one is enough, else
two. Yards: those that make most kits give; each split goes to the nearest yard far enough with room. Order:
OR-Tools routing, pairs of making and placing, droppable where the day is too short. One order only.
"""

import itertools
import sys
from collections import Counter
from dataclasses import dataclass

from ortools.constraint_solver import pywrapcp, routing_enums_pb2

from routeplan.operation.world import Hive, Operation, Yard
from tests.bench.rounds import Kit, Made, Round, RoundFaultError, paid_s
from tests.bench.theirs import Outcome, run
from tests.oracle import meanings
from tests.oracle.meanings import HOME, Box, Give

ROUTING_SECONDS = 30
DROPPED = 10**7


@dataclass(frozen=True)
class Errand:
    """Kits made in one yard for another."""

    source: str
    target: str
    kits: tuple[Kit, ...]


def kits_of(operation: Operation, yard: Yard, box: Box) -> list[Kit]:
    """Fill kit after kit from the strongest hives of a yard."""
    hives = [h for h in operation.hives if h.yard == yard.id]
    options = {h.key: meanings.gives(operation, h) for h in hives}
    strong = sorted((h for h in hives if len(options[h.key]) > 1), key=lambda h: -(h.count.bees or 0.0))
    gone: dict[tuple[str, str], Give] = {h.key: (0, 0, 0, 0) for h in strong}
    made: list[Kit] = []
    while kit := _one_kit(strong, options, gone, box):
        made.append(kit)
        for key, give in kit.items():
            gone[key] = _plus(gone[key], give)
    return made


def _plus(one: Give, other: Give) -> Give:
    a, b, c, d = (x + y for x, y in zip(one, other, strict=True))
    return (a, b, c, d)


def _one_kit(
    hives: list[Hive],
    options: dict[tuple[str, str], set[Give]],
    gone: dict[tuple[str, str], Give],
    box: Box,
) -> Kit | None:
    opened_first = sorted(hives, key=lambda h: not any(gone[h.key]))
    for hive in opened_first:
        if _plus(gone[hive.key], box.needs) in options[hive.key]:
            return {hive.key: box.needs}
    halves = [p for p in itertools.product(*(range(n + 1) for n in box.needs)) if any(p) and p != box.needs]
    for one, other in itertools.combinations(opened_first, 2):
        for half in halves:
            rest = tuple(n - p for n, p in zip(box.needs, half, strict=True))
            if (
                _plus(gone[one.key], half) in options[one.key]
                and _plus(gone[other.key], rest) in options[other.key]
            ):
                return {one.key: half, other.key: rest}  # type: ignore[dict-item]
    return None


def errands(operation: Operation) -> list[Errand]:
    """Choose the yards that give and, for each split, the nearest yard that may take it."""
    box, asked = meanings.boxes(operation)[0], len(meanings.boxes(operation))
    drives = meanings.drives(operation)
    yards = [y for y in operation.yards if meanings.usable(operation, y)]
    by_yard = {y.id: kits_of(operation, y, box) for y in yards}
    room = {y.id: asked if y.room is None else y.room for y in yards if y.takes_splits}
    chosen: dict[tuple[str, str], list[Kit]] = {}
    left = asked
    for yard in sorted(yards, key=lambda y: -len(by_yard[y.id])):
        near = sorted((y for y in yards if y.id in room), key=lambda y: drives[yard.id, y.id])
        allowed = [y.id for y in near if meanings.far_enough(operation, yard, y)]
        for kit in by_yard[yard.id]:
            target = next((y for y in allowed if room[y] > 0), None)
            if left == 0 or target is None:
                break
            room[target] -= 1
            left -= 1
            chosen.setdefault((yard.id, target), []).append(kit)
    return [Errand(source, target, tuple(kits)) for (source, target), kits in chosen.items()]


class Order:
    """The routing model: two nodes an errand, making (odd) and placing (even); node 0 is home."""

    def __init__(self, operation: Operation, todo: list[Errand]) -> None:
        self.op, self.todo = operation, todo
        self.box = meanings.boxes(operation)[0]
        self.places = [HOME, *(y for e in todo for y in (e.source, e.target))]
        self.drives = meanings.drives(operation)
        self.manager = pywrapcp.RoutingIndexManager(len(self.places), 1, 0)
        self.routing = pywrapcp.RoutingModel(self.manager)

    def _service(self, node: int) -> int:
        if node == 0:
            return 0
        errand, yard = self.todo[(node - 1) // 2], self.op.yard(self.places[node])
        if node % 2 == 0:
            return len(errand.kits) * meanings.place_s(self.op, yard, self.box)
        hives = {h.key: h for h in self.op.hives}
        keys = {key for kit in errand.kits for key in kit}
        each = meanings.take_s(self.op, self.box) + meanings.make_s(self.op, yard)
        return len(errand.kits) * each + sum(meanings.open_s(self.op, hives[k]) for k in keys)

    def _between(self, a: int, b: int) -> int:
        """Service at a, drive, and set-up at b unless it is the same yard."""
        if self.places[a] == self.places[b]:
            return self._service(a)
        opens = b % 2 == 1
        set_up = meanings.set_up_s(self.op, opens) + meanings.leave_s(self.op, opens) if b else 0
        return self._service(a) + self.drives[self.places[a], self.places[b]] + set_up

    def solve(self) -> list[int]:
        """Return the nodes in order, home left out; empty when the routing finds nothing."""
        nodes = range(len(self.places))
        matrix = [[self._between(a, b) for b in nodes] for a in nodes]
        routing, manager, crew = self.routing, self.manager, self.op.crew
        transit = routing.RegisterTransitMatrix(matrix)
        routing.SetArcCostEvaluatorOfAllVehicles(transit)
        day = 60 * (crew.end_min - crew.start_min)
        routing.AddDimension(transit, 0, day, True, "time")
        time = routing.GetDimensionOrDie("time")
        if crew.places is not None:
            self._places(crew.places)
        for i, errand in enumerate(self.todo):
            pair = [manager.NodeToIndex(2 * i + 1), manager.NodeToIndex(2 * i + 2)]
            routing.AddPickupAndDelivery(*pair)
            routing.solver().Add(time.CumulVar(pair[0]) <= time.CumulVar(pair[1]))
            for index in pair:
                routing.AddDisjunction([index], DROPPED * len(errand.kits))
        parameters = pywrapcp.DefaultRoutingSearchParameters()
        first = routing_enums_pb2.FirstSolutionStrategy
        parameters.first_solution_strategy = first.PARALLEL_CHEAPEST_INSERTION
        parameters.local_search_metaheuristic = routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
        parameters.time_limit.FromSeconds(ROUTING_SECONDS)
        found = routing.SolveWithParameters(parameters)
        return [] if found is None else self._nodes(found)

    def _places(self, places: int) -> None:
        """Full boxes on the truck; the empties are left to luck here (and to the judge)."""
        full = [0] + [sign * len(e.kits) for e in self.todo for sign in (1, -1)]
        load = self.routing.RegisterUnaryTransitVector(full)
        self.routing.AddDimension(load, 0, places, True, "load")

    def _nodes(self, found: pywrapcp.Assignment) -> list[int]:
        nodes, index = [], self.routing.Start(0)
        while not self.routing.IsEnd(index):
            nodes.append(self.manager.IndexToNode(index))
            index = found.Value(self.routing.NextVar(index))
        return nodes[1:]


def round_of(todo: list[Errand], places: list[str], nodes: list[int]) -> Round:
    """Join neighbouring nodes of one yard into one visit; placing comes first there."""
    visits: list[list[int]] = []
    for node in nodes:
        same = visits and places[visits[-1][-1]] == places[node]
        made_here = same and any(n % 2 == 1 and n + 1 == node for n in visits[-1])
        if same and not made_here:
            visits[-1].append(node)
        else:
            visits.append([node])
    at = {node: v for v, group in enumerate(visits) for node in group}
    made = [
        Made(at[2 * i + 1], at[2 * i + 2], kit)
        for i, e in enumerate(todo)
        if 2 * i + 1 in at
        for kit in e.kits
    ]
    return Round(tuple(places[group[0]] for group in visits), tuple(made))


def plan(operation: Operation) -> Outcome:
    """Plan in three stages and have the round judged."""
    todo = errands(operation)
    if not todo:
        return Outcome(0, None, None, "none: no yard far enough with room")
    order = Order(operation, todo)
    nodes = order.solve()
    if not nodes:
        return Outcome(0, None, None, "none: the routing found no order")
    made = round_of(todo, order.places, nodes)
    try:
        paid = paid_s(operation, made)
    except RoundFaultError as broken:
        return Outcome(0, None, None, f"none: breaks a rule ({broken})")
    lost = Counter(len(e.kits) for i, e in enumerate(todo) if 2 * i + 1 not in nodes)
    note = f", {sum(n * c for n, c in lost.items())} dropped" if lost else ""
    return Outcome(len(made.splits), paid, None, f"found{note}")


if __name__ == "__main__":
    run(plan, sys.argv[1:])
