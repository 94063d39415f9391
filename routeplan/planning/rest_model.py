"""The exact model of one order of the rest of a day, with boxes of two yards to be filled up.

Each goes one way: begun already or at a visit, completed at a later one, placed at one after that. What
either yard gives it is a line of its own, so that hives, minutes and names are found as for other boxes.
"""

from dataclasses import dataclass

from routeplan.planning.order_model import Expr, OrderModel, Var, aboard_worth
from routeplan.planning.route import BEGUN
from routeplan.planning.to_fill import ToFill


@dataclass(frozen=True)
class _Way:
    """One box's way: visits that begin it (None: begun already), complete and place it, and whether it goes
    so."""

    fill: ToFill
    begun: int | None
    made: int
    placed: int
    goes: Var


class RestModel(OrderModel):
    """As many splits as can be are made (`most`); boxes begun already are all placed unless they may stay."""

    def _move(self) -> None:
        self.ways = [way for fill in self.case.fills for way in self._ways(fill)]
        by_line: dict[tuple[int, int], list[Var]] = {}
        moves: dict[tuple[int, int, int], list[Var]] = {}
        for way in self.ways:
            by_line.setdefault((way.made, way.fill.line), []).append(way.goes)
            moves.setdefault((way.made, way.placed, way.fill.line), []).append(way.goes)
            if way.begun is not None and way.fill.first is not None:
                by_line.setdefault((way.begun, way.fill.first), []).append(way.goes)
        for i, row in enumerate(self.made):
            for k, n in row.items():
                if self.case.demand.of(k).apart:
                    self.m.add(n == sum(by_line.get((i, k), [])))
        for key, goes in moves.items():
            self.moved[key] = self.m.new_bool_var("")
            self.m.add(self.moved[key] == sum(goes))
        for fill in self.case.fills:
            all_ways = sum(way.goes for way in self.ways if way.fill is fill)
            if fill.first is None and not self.case.may_stay:
                self.m.add(all_ways == 1)
            else:
                self.m.add(all_ways <= 1)
        super()._move()

    def _ways(self, fill: ToFill) -> list[_Way]:
        order, case = self.order, self.case
        found = []
        for m, visit in enumerate(order):
            if fill.line not in self.made[m]:
                continue
            begins: list[int | None] = [None]
            if fill.first is not None:
                begins = [i for i in range(m) if fill.first in self.made[i]]
            for j in range(m + 1, len(order)):
                if fill.reach[visit.yard, order[j].yard] and case.room[order[j].yard]:
                    found += [_Way(fill, i, m, j, self.m.new_bool_var("")) for i in begins]
        return found

    def make_at_most(self, yard: int, most: tuple[int, ...]) -> None:
        """Make no more boxes of each line in a yard than so many."""
        for k, n in enumerate(most):
            here = [
                row[k] for v, row in zip(self.order, self.made, strict=True) if v.yard == yard and k in row
            ]
            self.m.add(sum(here) <= n)

    def never_idle(self) -> None:
        """Ask that every visit to hives makes or begins something: else it would be one to place only."""
        self._work_on_hives()

    def _of_batch(self, batch: int) -> list[Var]:
        """Boxes of two yards that the plan had count among the splits of their batch."""
        return super()._of_batch(batch) + [way.goes for way in self.ways if way.fill.batch == batch]

    def _worth(self) -> Expr:
        worth = super()._worth()
        if self.most and self.case.may_stay:
            begun = sum(way.goes for way in self.ways if way.fill.first is None)
            worth = worth + aboard_worth(self.case.demand) * begun
        return worth

    def _boxed(self, i: int) -> Expr:
        """A box that is completed has been full since it was begun."""
        completing = {fill.line for fill in self.case.fills}
        return sum(n for k, n in self.made[i].items() if k not in completing)

    def _shut_in(self) -> None:
        super()._shut_in()
        for way in self.ways:
            left = way.fill.left_s if way.begun is None else self.depart[way.begun]
            assert left is not None
            first_bees = self.depart[way.made] if way.fill.bare == BEGUN else left
            limit = self.case.shut_in_s
            self.m.add(self.opened[way.placed] - first_bees <= limit).only_enforce_if(way.goes)
            if way.fill.bare_s is not None:
                ridden = self.hives[way.made] - left
                self.m.add(ridden <= way.fill.bare_s).only_enforce_if(way.goes)
