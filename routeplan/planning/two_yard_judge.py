"""The judge of a visit order where boxes may be of two yards: its least seconds, roughly or exactly."""

from dataclasses import dataclass, field
from itertools import pairwise

from ortools.sat.python import cp_model

from routeplan.planning.boxes import solver_for
from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Round
from routeplan.planning.parts import Ways
from routeplan.planning.route import PooledBox, Route
from routeplan.planning.two_yard_boxes import TwoYardBoxes
from routeplan.planning.two_yards import TwoYardsModel

ROUGH_WORK, FILL_WORK, EVEN_WORK = 0.5, 1.0, 1.0
"""Work spent on a rough answer, on filling its boxes, on leaving hives even: the solver's repeatable unit."""
QUICK_S = 0.4
"""Seconds for showing that an order has no answer."""
MOST_S = 15.0
"""Most seconds for one exact answer."""
SOLVED = (cp_model.OPTIMAL, cp_model.FEASIBLE)


@dataclass(frozen=True)
class Word:
    """The best round of an order under a limit, None if none was found; `at_least_s` no round of it is
    below; `sure`: nothing is left open."""

    found: Round | None
    at_least_s: int
    sure: bool


@dataclass
class TwoYardJudge:
    """Judges orders of one case; remembers the least work of orders alike."""

    case: Case
    clock: Clock
    worked: dict[object, tuple[int, bool]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.ways = Ways(self.case)

    def bare_s(self, order: Order, spent_s: int, below_s: int) -> int:
        """Least counted seconds of an order with clock, load and minutes shut in left out; `below_s` or more
        where nothing under it exists. Never too high."""
        key = self._signature(order)
        known, final = self.worked.get(key, (0, False))
        if final or spent_s + known >= below_s or self.clock.over():
            return spent_s + known
        model = TwoYardsModel(self.case, order, below_s - spent_s, False, self.ways)
        status, at_least = model.solve(self.clock.share(MOST_S))
        if status == cp_model.INFEASIBLE:
            self.worked[key] = (below_s - spent_s, False)
            return below_s
        known = max(known, at_least)
        self.worked[key] = (known, status == cp_model.OPTIMAL)
        return spent_s + known

    def _signature(self, order: Order) -> object:
        """What the least work depends on: visits that open hives, and which routes there are between them."""
        ordinal = {}
        for i, v in enumerate(order):
            ordinal[i] = (v.yard, sum(w.yard == v.yard and w.opens for w in order[:i]))
        opens = frozenset(ordinal[i] for i, v in enumerate(order) if v.opens)
        routes = frozenset(
            (
                r.line,
                None if r.begun is None else ordinal[r.begun],
                ordinal[r.made],
                order[r.placed].yard,
                r.way,
            )
            for r in self.ways.routes(order, timed=False)
        )
        return opens, routes

    def rough(self, order: Order, below_s: int) -> Round | None:
        """Return a round of an order found with little work, None when none was found."""
        model = TwoYardsModel(self.case, order, below_s, True, self.ways)
        if self.clock.over() or model.solve(self.clock.share(MOST_S), ROUGH_WORK)[0] not in SOLVED:
            return None
        return self._filled(order, model, below_s)

    def weigh(self, order: Order, below_s: int, most_s: float = MOST_S) -> Word:
        """Return the best round of an order under a limit, proved where time allows."""
        model = TwoYardsModel(self.case, order, below_s, True, self.ways)
        if self._none(model):
            return Word(None, below_s, True)
        status, at_least = model.solve(self.clock.share(most_s))
        if status == cp_model.INFEASIBLE:
            return Word(None, below_s, True)
        if status not in SOLVED:
            return Word(None, at_least if status == cp_model.UNKNOWN else 0, False)
        found = self._filled(order, model, below_s)
        if found is not None and status == cp_model.OPTIMAL and found.counted_s <= at_least:
            return Word(found, found.counted_s, True)
        if status != cp_model.OPTIMAL and found is not None:
            return Word(found, at_least, False)
        return self._box_by_box(order, below_s, at_least, most_s)

    def _none(self, model: TwoYardsModel) -> bool:
        """Whether a short look, the model taken as it is, shows that no answer is under the limit: most
        orders have none, and making the model simpler first takes longer than that."""
        solver = solver_for(self.clock.share(QUICK_S))
        solver.parameters.cp_model_presolve = False
        return bool(solver.solve(model.m) == cp_model.INFEASIBLE)

    def _box_by_box(self, order: Order, below_s: int, at_least: int, most_s: float) -> Word:
        """Weigh an order with every box by name: the exact way where donors of a box matter."""
        model = TwoYardBoxes(self.case, order, below_s, self.ways)
        status, bound = model.solve(self.clock.share(most_s))
        if status == cp_model.INFEASIBLE:
            return Word(None, below_s, True)
        at_least = max(at_least, bound) if status != cp_model.UNKNOWN else at_least
        if status not in SOLVED:
            return Word(None, at_least, False)
        return Word(self._round(order, model), at_least, status == cp_model.OPTIMAL)

    def _filled(self, order: Order, model: TwoYardsModel, below_s: int) -> Round | None:
        """Fill the boxes of an answer by name within what it counts, leaving home as early as that allows:
        from as many hives of each kind as it opens, else from any."""
        counted_s = self._counted_s(order, model)
        for only in (model.hives_opened(), None):
            boxes = TwoYardBoxes(
                self.case, order, min(below_s, counted_s + 1), self.ways, model.boxes_by_route(), only
            )
            boxes.m.clear_objective()  # type: ignore[no-untyped-call]
            boxes.m.minimize(boxes.leave)
            status, _ = boxes.solve(self.clock.share(MOST_S), FILL_WORK)
            if status in SOLVED:
                return self._round(order, boxes)
        return None

    def evened(self, found: Round) -> Round:
        """Return the same round, its boxes filled so that hives are left as even as found."""
        fixed = _routes_of(found.pooled, self.ways.routes(found.order))
        boxes = TwoYardBoxes(self.case, found.order, found.counted_s + 1, self.ways, fixed)
        boxes.m.add(boxes.leave == found.times.leave_home)
        boxes.prefer_even()
        status, _ = boxes.solve(max(0.1, self.clock.share(MOST_S)), EVEN_WORK)
        return self._round(found.order, boxes) if status in SOLVED else found

    def _counted_s(self, order: Order, model: TwoYardsModel) -> int:
        places = (0, *(v.yard + 1 for v in order), 0)
        road = sum(int(self.case.leg_extra_s[a, b]) for a, b in pairwise(places))
        return model.times().paid_s + model.counts().aside_s + road

    def _round(self, order: Order, model: TwoYardBoxes) -> Round:
        return Round(order, model.counts(), model.times(), {}, self._counted_s(order, model), model.boxes())


def _routes_of(boxes: tuple[PooledBox, ...], routes: list[Route]) -> list[tuple[Route, int]]:
    """The routes that boxes go, each with its number of boxes."""
    found: dict[Route, int] = {}
    for box in boxes:
        found[box.route] = found.get(box.route, 0) + 1
    return [(r, found[r]) for r in routes if r in found]
