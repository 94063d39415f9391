"""The same order with every box and hive by name: donors of a box limited, over both its yards.

A box is given the routes it may go: one, where only filling is asked for, or all of its line's. Where it is
told how many hives of each kind are opened in what way, only so many stand in the model.
"""

from dataclasses import replace

from routeplan.operation.world import Hive
from routeplan.planning.case import Case
from routeplan.planning.demand import QUEEN
from routeplan.planning.order import Order
from routeplan.planning.order_model import Expr, Var
from routeplan.planning.parts import Ways
from routeplan.planning.route import PooledBox, Route
from routeplan.planning.two_yards import Taken, TwoYardsModel
from routeplan.planning.yields import Donors

Opened = dict[tuple[int, int, int], int]
"""Hives opened by (visit, kind of donors, option)."""


class TwoYardBoxes(TwoYardsModel):
    """One order's model box by box; `fixed` (route, boxes) leaves only the filling open, `only` by
    these hives."""

    def __init__(
        self,
        case: Case,
        order: Order,
        below_s: int,
        ways: Ways,
        fixed: list[tuple[Route, int]] | None = None,
        only: Opened | None = None,
    ) -> None:
        self.fixed, self.only = fixed, only
        super().__init__(case, order, below_s, True, ways)

    def _shared_out(self) -> Taken:
        """Every box goes one route and is filled by hives of its yards."""
        self.slots = self._slots()
        self.goes = [[self.m.new_bool_var("") for _ in routes] for _, routes in self.slots]
        for r, n in enumerate(self.count):
            self.m.add(
                n
                == sum(
                    goes
                    for (_, routes), flags in zip(self.slots, self.goes, strict=True)
                    for route, goes in zip(routes, flags, strict=True)
                    if route == r
                )
            )
        self._choose_options()
        self.x: dict[tuple[int, int, int, int], Var] = {}
        taken: Taken = {}
        for b in range(len(self.slots)):
            self._fill(b, taken)
        self._within_gives()
        return taken

    def _slots(self) -> list[tuple[int, list[int]]]:
        """Boxes as (line, the routes it may go)."""
        if self.fixed is not None:
            place = {route: r for r, route in enumerate(self.routes)}
            return [(route.line, [place[route]]) for route, n in self.fixed for _ in range(n)]
        lines = sorted({r.line for r in self.routes})
        every = {k: [r for r, route in enumerate(self.routes) if route.line == k] for k in lines}
        return [(k, every[k]) for k in lines for _ in range(self._cap(k))]

    def _choose_options(self) -> None:
        """Each hive is opened at one visit at most, for one option."""
        self.named: list[tuple[int, Hive, Donors]] = []
        self.chosen: list[list[Var]] = []
        uses: dict[tuple[int, int, int], list[Var]] = {
            (i, d, g): [] for i, row in enumerate(self.used) for d, g in row
        }
        for i, visit in enumerate(self.order):
            for d, donor in enumerate(self.case.donors[visit.yard]) if self.used[i] else ():
                options = [g for g in range(len(donor.options)) if self._most_opened(i, d, g)]
                of_kind = replace(donor, options=tuple(donor.options[g] for g in options))
                for hive in self._hives(i, d):
                    flags = [self.m.new_bool_var("") for _ in options]
                    self.named.append((i, hive, of_kind))
                    self.chosen.append(flags)
                    for g, flag in zip(options, flags, strict=True):
                        uses[i, d, g].append(flag)
        for (i, d, g), flags in uses.items():
            self.m.add(self.used[i][d, g] == sum(flags))
            if self.only is not None:
                self.m.add(self.used[i][d, g] == self._most_opened(i, d, g))
        by_hive: dict[tuple[str, str], list[Var]] = {}
        for (_, hive, _), flags in zip(self.named, self.chosen, strict=True):
            by_hive.setdefault(hive.key, []).extend(flags)
        for flags in by_hive.values():
            self.m.add(sum(flags) <= 1)

    def _most_opened(self, i: int, d: int, g: int) -> int:
        """Most hives of a kind of donors opened at visit i in one way."""
        every = len(self.case.donors[self.order[i].yard][d].hives)
        return every if self.only is None else self.only.get((i, d, g), 0)

    def _hives(self, i: int, d: int) -> tuple[Hive, ...]:
        """Hives of a kind of donors that may be opened at visit i: so many as are told."""
        yard = self.order[i].yard
        donor = self.case.donors[yard][d]
        if self.only is None:
            return donor.hives
        first, here = (
            sum(self._most_opened(v, d, g) for v in visits for g in range(len(donor.options)))
            for visits in ([v for v in range(i) if self.order[v].yard == yard], [i])
        )
        return donor.hives[first : first + here]

    def _fill(self, b: int, taken: Taken) -> None:
        """Box b gets its kit on the route it goes, from few donors, in its format."""
        line, routes = self.slots[b]
        need, frame = self.case.demand.need(line), self.case.demand.lines[line].frame
        goes = self.goes[b]
        self.m.add(sum(goes) == 1) if self.fixed is not None else self.m.add(sum(goes) <= 1)
        visits = sorted(
            {i for r in routes for i in (self.routes[r].begun, self.routes[r].made) if i is not None}
        )
        donors: list[Var] = []
        got: list[Expr] = [0] * len(need)
        for i in visits:
            here = [self._from_hives(b, i, kind, n, frame) for kind, n in enumerate(need)]
            for kind, amount in enumerate(here):
                got[kind] = got[kind] + amount
                if need[kind]:
                    taken[i, frame, kind] = taken.get((i, frame, kind), 0) + amount
            self._sides(b, i, here)
            donors += self._donors(b, i)
        for kind, n in enumerate(need):
            if n:
                self.m.add(got[kind] == n * sum(goes))
        self.m.add(sum(donors) <= self.case.operation.settings.limits.donors_per_split)

    def _from_hives(self, b: int, i: int, kind: int, n: int, frame: str) -> Expr:
        """What box b gets of a kind from the hives of visit i."""
        total: Expr = 0
        for h, (at, _, donor) in enumerate(self.named):
            most = min(n, max(o.give[kind] for o in donor.options))
            if at == i and donor.frame == frame and most:
                self.x[b, h, kind, i] = self.m.new_int_var(0, most, "")
                total = total + self.x[b, h, kind, i]
        return total

    def _sides(self, b: int, i: int, here: list[Expr]) -> None:
        """A visit gives to box b what its route asks of it: nothing where it does not go there."""
        line, routes = self.slots[b]
        need = self.case.demand.need(line)
        for kind, amount in enumerate(here):
            low: Expr = 0
            high: Expr = 0
            for r, goes in zip(routes, self.goes[b], strict=True):
                if i in (self.routes[r].begun, self.routes[r].made):
                    least, most = (side[kind] for side in self.routes[r].bounds(i, need))
                    low, high = low + least * goes, high + most * goes
            if need[kind]:
                self.m.add(amount >= low)
                self.m.add(amount <= high)
        shared = sum(
            goes
            for r, goes in zip(routes, self.goes[b], strict=True)
            if self.routes[r].begun is not None and i in (self.routes[r].begun, self.routes[r].made)
        )
        self.m.add(sum(a for kind, a in enumerate(here) if kind != QUEEN) >= shared)

    def _donors(self, b: int, i: int) -> list[Var]:
        """Which hives of visit i give to box b; a donor is opened there."""
        flags = []
        kinds = range(self.case.demand.width)
        for h, (at, _, _) in enumerate(self.named):
            mine = [self.x[b, h, kind, i] for kind in kinds if (b, h, kind, i) in self.x]
            if at == i and mine:
                flag = self.m.new_bool_var("")
                self.m.add(flag <= sum(self.chosen[h]))
                for x in mine:
                    self.m.add(x <= self._most_of(x) * flag)
                flags.append(flag)
        return flags

    def _within_gives(self) -> None:
        """A hive gives what its option holds, something at least; parts and queens all of it."""
        self.out: dict[tuple[int, int], list[Var]] = {}
        for (_, h, kind, _), x in self.x.items():
            self.out.setdefault((h, kind), []).append(x)
        kinds = range(self.case.demand.width)
        for h, (_, _, donor) in enumerate(self.named):
            options = list(zip(donor.options, self.chosen[h], strict=True))
            every = [sum(self.out.get((h, kind), [])) for kind in kinds]
            self.m.add(sum(every) >= sum(self.chosen[h]))
            for kind, given in enumerate(every):
                may = sum(o.give[kind] * c for o, c in options)
                self.m.add(given == may if kind >= QUEEN else given <= may)

    def _given(self, i: int) -> None:
        """As by kind; time is saved only on what leaves hives whose queen was really found."""
        super()._given(i)
        for (visit, frame, kind), quick in self.quick.items():
            if visit != i:
                continue
            of_hives: list[Expr] = []
            for h, (at, _, donor) in enumerate(self.named):
                found = [(o, c) for o, c in zip(donor.options, self.chosen[h], strict=True) if o.found]
                mine = self.out.get((h, kind), [])
                if at == i and donor.frame == frame and found and mine:
                    one = self.m.new_int_var(0, max(o.give[kind] for o, _ in found), "")
                    self.m.add(one <= sum(o.give[kind] * c for o, c in found))
                    self.m.add(one <= sum(mine))
                    of_hives.append(one)
            self.m.add(quick <= sum(of_hives))

    def prefer_even(self) -> None:
        """The largest least margin over the keep-back first, then few donors, then the strongest."""
        keep, bees = self.case.operation.settings.keep_back, self.case.operation.settings.bees
        smallest = self.m.new_int_var(-1000, 1000, "")
        strength: Expr = 0
        for h, (_, hive, _) in enumerate(self.named):
            count = self.case.surplus[hive.key].count
            out = [sum(self.out.get((h, kind), [])) for kind in range(5)]
            brood_out, food, shake = out[0] + out[1] + out[2], out[3], out[4]
            spare_brood = round(10 * ((count.brood or 0.0) - keep.brood))
            spare_bees = round(10 * ((count.bees or 0.0) - keep.bees))
            bees_out = round(10 * bees.per_brood_frame) * brood_out
            bees_out += round(10 * bees.per_food_frame) * food + round(10 * bees.per_shake) * shake
            opened = sum(self.chosen[h])
            self.m.add(smallest <= spare_brood - 10 * brood_out + 2000 * (1 - opened))
            self.m.add(smallest <= spare_bees - bees_out + 2000 * (1 - opened))
            strength = strength + spare_brood * brood_out + spare_bees * (food + shake)
        self.m.clear_objective()  # type: ignore[no-untyped-call]
        self.m.maximize(10_000 * smallest + strength)

    def boxes(self) -> tuple[PooledBox, ...]:
        """Return the boxes of the answer found."""
        found = []
        for b, (_, routes) in enumerate(self.slots):
            for r, goes in zip(routes, self.goes[b], strict=True):
                if self._at(goes):
                    takes = tuple(
                        (i, self.named[h][1], kind, self._at(x))
                        for (box, h, kind, i), x in self.x.items()
                        if box == b and self._at(x)
                    )
                    found.append(PooledBox(self.routes[r], takes))
        return tuple(found)
