"""The judge of an order of visits against an exact model of the same order."""

from itertools import pairwise
from random import Random

from ortools.sat.python import cp_model

from routeplan.planning.case import Case
from routeplan.planning.order import Order, Round, Visit
from tests.oracle import exact
from tests.planning.proved import (
    FAR,
    Day,
    attempt_of,
    best_order,
    judged,
    operation_of,
    proved_days,
    search_of,
)


class FixedDay(exact.Day):
    """The exact model with the order of visits, where hives are opened, and the splits placed all given."""

    def least_counted(self, case: Case, order: Order) -> int | None:
        """Least counted seconds, None when there is no such round."""
        at = {y.id: j for j, y in enumerate(self.yards)}
        for v in self.positions:
            inside = v < len(order)
            here = at[case.operation.yards[order[v].yard].id] if inside else self.end
            self.model.add(self.at[v][here] == 1)
            if inside:
                made = sum(x for make in self.make for x in make[v])
                self.model.add(made >= 1 if order[v].opens else made == 0)
        wanted = dict(case.demand.totals)
        for priority in {box.priority for box in self.boxes}:
            mine = [x for x, box in zip(self.placed, self.boxes, strict=True) if box.priority == priority]
            self.model.add(sum(mine) == wanted.get(priority, 0))
        beside = self.counted.seconds + self.hives.against_s - self.hives.due_s + self.road_s
        self.model.minimize(self.back_home - self.leave_home + beside)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_time_in_seconds = 20
        status = solver.solve(self.model)
        assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
        return round(solver.objective_value) if status == cp_model.OPTIMAL else None


def some_orders(day: Day, case: Case) -> list[Order]:
    """The best order, and some that come of shuffling, adding and leaving out visits."""
    rng = Random(f"orders/{day}")
    best, _ = best_order(day)
    ground = case.ground()
    makers = [y for y in range(ground.yards) if ground.most[y]]
    takers = [y for y in range(ground.yards) if ground.room[y]]
    orders = [best, tuple(rng.sample(best, len(best)))]
    for _ in range(2):
        more = list(best)
        more.insert(rng.randint(0, len(more)), Visit(rng.choice(makers), True))
        more.insert(rng.randint(1, len(more)), Visit(rng.choice(takers), False))
        orders.append(tuple(more))
    return [o for o in orders if sound(case, o)]


def sound(case: Case, order: Order) -> bool:
    """No yard twice in a row or too often, and not more visits than splits need."""
    yards = [v.yard for v in order]
    twice = case.operation.settings.limits.visits_per_yard
    return (
        all(a != b for a, b in pairwise(yards))
        and all(yards.count(y) <= twice for y in yards)
        and len(yards) <= 2 * case.size
    )


def idle(found: Round) -> bool:
    """Whether some visit of a round makes nothing where hives are opened, or places nothing where not."""
    put = {j for _, j, _, _ in found.counts.moved}
    visits = enumerate(zip(found.order, found.counts.made, strict=True))
    return any(not any(made) if v.opens else j not in put for j, (v, made) in visits)


def test_same_as_the_exact_model_of_the_order() -> None:
    compared = possible = 0
    for day, case, least_s in proved_days():
        for order in some_orders(day, case):
            verdict = judged(case, order)
            assert verdict.sure, (day, order)
            truth = FixedDay(operation_of(day)).least_counted(case, order)
            found = verdict.found
            if found is None:
                assert truth is None, (day, order, truth)
                continue
            assert found.counted_s >= max(least_s, verdict.bare_s), (day, order)
            if idle(found):  # the exact model knows no idle visits, so its round is no better
                assert truth is None or truth >= found.counted_s, (day, order)
            else:
                assert truth == found.counted_s, (day, order)
                possible += 1
            compared += 1
    assert possible >= 75
    assert compared >= 95


def test_no_order_that_can_be_driven_is_cut_or_overrated() -> None:
    """Hours, minutes shut in and places cut orders on the way: none that the judge finds a round for.

    But for idle visits: the search walks none.
    """
    cut = driven = 0
    for day, case, _ in proved_days():
        search = search_of(attempt_of(case), "free", FAR)
        for order in some_orders(day, case):
            verdict = judged(case, order)
            assert verdict.sure, (day, order)
            part = search.start()
            bounds = [search.bound(part)]
            for visit in order:
                part = part and search.extend(part, visit)
                bounds += [search.bound(part)] if part else []
            if verdict.found is None:
                cut += part is None or search.least_paid(part) >= FAR
                continue
            if idle(verdict.found):
                continue
            assert part is not None, (day, order)
            assert max(*bounds, search.least_paid(part)) <= verdict.found.counted_s, (day, order)
            driven += 1
    assert driven >= 80
    assert cut >= 30
