"""The exact model of one visit order where a box may be begun in one yard and completed in another.

Boxes are counted by the route they go through. First hives are counted by kind, as the model of boxes of one
yard does: a lower limit, as the donors of a box are not told apart. With `boxes` every box and hive stands in
it by name, and the answer is exact.
"""

from collections.abc import Sequence

from routeplan.planning.case import Case
from routeplan.planning.demand import KINDS, QUEEN
from routeplan.planning.order import Counts, Order, Visit
from routeplan.planning.order_model import Dearer, Expr, Learnt, OrderModel, Var
from routeplan.planning.parts import Ways, bare_brood_s, begin_s, has_brood
from routeplan.planning.route import BEGUN, Route
from routeplan.planning.work import Work

Taken = dict[tuple[int, str, int], Expr]
"""What leaves hives, by visit, frame format and kind."""


class TwoYardsModel(OrderModel):
    """One order's model; with `timed` False clock, load and minutes shut in are left out (least work)."""

    def __init__(self, case: Case, order: Order, below_s: int, timed: bool, ways: Ways) -> None:
        self.routes = ways.routes(order, timed)
        self.count: list[Var] = []
        self.part: dict[tuple[int, int], Var] = {}
        self.quick: dict[tuple[int, str, int], Var] = {}
        work = Work(case.operation)
        found = work.usually_found
        frame_s = (work.frame_s(found),) * 4
        self.kind_s = (*frame_s, work.shake_s(found), 0, *(0,) * (case.demand.width - len(KINDS)))
        super().__init__(case, order, below_s, {}, timed)
        if timed:
            self._never_idle()

    # --- what is made ---------------------------------------------------------------------------------------

    def _make(self, visit: Visit, learnt: list[Dearer]) -> None:
        """Add one visit's hives by kind and way, and how many boxes are completed there."""
        self.made.append({})
        self.used.append({})
        self.opening.append(0)
        self.beside.append(0)
        if not visit.opens:
            return
        here = len(self.made) - 1
        for k in sorted({r.line for r in self.routes if r.made == here}):
            self.made[-1][k] = self.m.new_int_var(0, self._cap(k), "")
        for d, donor in enumerate(self.case.donors[visit.yard]):
            for g in range(len(donor.options)):
                self.used[-1][d, g] = self.m.new_int_var(0, len(donor.hives), "")
        options = [(u, self.case.donors[visit.yard][d].options[g]) for (d, g), u in self.used[-1].items()]
        self.opening[-1] = sum(o.open_s * u for u, o in options)
        self.beside[-1] = sum((o.against_s - o.off_s) * u for u, o in options)
        self.asides.append(self.beside[-1])

    def _cap(self, line: int) -> int:
        return self.case.demand.cap(self.case.demand.lines[line].batch)

    def _share_hives(self, learnt: Learnt) -> None:
        """A hive is opened for frames once, at one of a yard's visits."""
        for yard in sorted({v.yard for v in self.order}):
            visits = [i for i, v in enumerate(self.order) if v.yard == yard and self.used[i]]
            for d, donor in enumerate(self.case.donors[yard]) if visits else ():
                uses = [u for i in visits for (e, _), u in self.used[i].items() if e == d]
                self.m.add(sum(uses) <= len(donor.hives))
            self._one_visit(yard, visits)

    def _move(self) -> None:
        """Boxes go their routes; what leaves the hives of each visit is there."""
        self.count = [self.m.new_int_var(0, self._cap(r.line), "") for r in self.routes]
        by_move: dict[tuple[int, int, int], list[Var]] = {}
        for r, n in zip(self.routes, self.count, strict=True):
            by_move.setdefault((r.made, r.placed, r.line), []).append(n)
        for (i, j, k), counts in by_move.items():
            self.moved[i, j, k] = self.m.new_int_var(0, self._cap(k), "")
            self.m.add(self.moved[i, j, k] == sum(counts))
        for i, row in enumerate(self.made):
            for k, made in row.items():
                self.m.add(sum(x for (a, _, c), x in self.moved.items() if (a, c) == (i, k)) == made)
        for z in sorted({v.yard for v in self.order}):
            into = [x for (_, j, _), x in self.moved.items() if self.order[j].yard == z]
            if into:
                self.m.add(sum(into) <= int(self.case.room[z]))
        self.taken = self._shared_out()
        for i in range(len(self.order)):
            if self.used[i]:
                self._given(i)

    def _shared_out(self) -> Taken:
        """What the boxes take, each kit shared out between its two sides."""
        taken: Taken = {}

        def take(visit: int, line: int, kind: int, amount: Expr) -> None:
            key = (visit, self.case.demand.lines[line].frame, kind)
            taken[key] = taken.get(key, 0) + amount

        for r, (route, n) in enumerate(zip(self.routes, self.count, strict=True)):
            need = self.case.demand.need(route.line)
            first: Sequence[Expr] = [0] * len(need)
            if route.begun is not None:
                first = self._first_side(r, route, n)
                for kind, amount in enumerate(first):
                    take(route.begun, route.line, kind, amount)
            for kind, whole in enumerate(need):
                if whole:
                    take(route.made, route.line, kind, whole * n - first[kind])
        return taken

    def _first_side(self, r: int, route: Route, n: Var) -> list[Expr]:
        """What the yard that begins the boxes of a route gives them in all."""
        assert route.begun is not None
        need = self.case.demand.need(route.line)
        low, high = route.bounds(route.begun, need)
        amounts: list[Expr] = []
        for kind, (least, most) in enumerate(zip(low, high, strict=True)):
            if least == most:
                amounts.append(least * n)
                continue
            part = self.m.new_int_var(0, most * self._cap(route.line), "")
            self.m.add(part <= most * n)
            self.part[r, kind] = part
            amounts.append(part)
        if not route.way or not route.way.bare:  # something of each side, beside a queen
            frames = sum(a for kind, a in enumerate(amounts) if kind != QUEEN)
            self.m.add(frames >= n)
            self.m.add((sum(need) - need[QUEEN]) * n - frames >= n)
        return amounts

    def _given(self, i: int) -> None:
        """Hives give what is taken at a visit, in each frame format; a queen found saves time."""
        donors = self.case.donors[self.order[i].yard]
        saved: list[Expr] = []
        for frame in sorted({d.frame for d in donors}):
            options = [
                (u, donors[d].options[g]) for (d, g), u in self.used[i].items() if donors[d].frame == frame
            ]
            for kind in range(self.case.demand.width):
                needed = self.taken.get((i, frame, kind), 0)
                given = sum(o.give[kind] * u for u, o in options)
                self.m.add(given == needed if kind >= QUEEN else given >= needed)
                if any(o.found for _, o in options) and kind < len(self.saved):
                    self.quick[i, frame, kind] = self._quickly(kind, needed, options)
                    saved.append(self.saved[kind] * self.quick[i, frame, kind])
        self.opening[i] = self.opening[i] - sum(saved)

    # --- when -----------------------------------------------------------------------------------------------

    def _begun(self, i: int) -> Expr:
        """Boxes begun at visit i."""
        return sum(n for r, n in zip(self.routes, self.count, strict=True) if r.begun == i)

    def _making(self, i: int) -> Expr:
        """Seconds of hive work, making and beginning at visit i."""
        y, case = self.order[i].yard, self.case
        filling = sum(
            self.kind_s[kind] * amount for (visit, _, kind), amount in self.taken.items() if visit == i
        )
        own = [k for k in self.made[i] if case.demand.of(k).hive is not None]  # all in one part
        filling = filling + sum(int(case.fill_s[k]) * self.made[i][k] for k in own)
        made = sum(int(case.make_s[y, k]) * n for k, n in self.made[i].items())
        return self.opening[i] + filling + made + begin_s(case, y) * self._begun(i)

    def _load(self) -> None:
        """On every leg: full boxes, begun ones among them, and nested empties fit the truck."""
        places = self.case.places
        if places is None:
            return
        nest = self.case.operation.crew.empties_per_place
        if self.case.size > nest * places:
            self.m.add_bool_or([])
            return
        pairs = list(zip(self.routes, self.count, strict=True))
        for i in range(len(self.order)):
            begun = sum(n for r, n in pairs if (r.made if r.begun is None else r.begun) <= i)
            placed = sum(n for r, n in pairs if r.placed <= i)
            self.m.add(nest * (begun - placed) + (self.case.size - begun) <= nest * places)

    def _shut_in(self) -> None:
        """From leaving the yard of the first bees to the opening; brood without bees waits for hives."""
        limit = self.case.shut_in_s
        rides: dict[tuple[int, int], list[Var]] = {}
        bare: dict[tuple[int, int], list[Var]] = {}
        for r, n in zip(self.routes, self.count, strict=True):
            rides.setdefault((r.first_bees, r.placed), []).append(n)
            if r.begun is not None and r.way is not None and r.way.bare == BEGUN and has_brood(r.way):
                bare.setdefault((r.begun, r.made), []).append(n)
        if limit < self.case.end - self.case.start:
            for (i, j), counts in sorted(rides.items()):
                self.m.add(self.opened[j] - self.depart[i] <= limit).only_enforce_if(self._any(counts))
        for (i, j), counts in sorted(bare.items()):
            most = bare_brood_s(self.case)
            self.m.add(self.hives[j] - self.depart[i] <= most).only_enforce_if(self._any(counts))

    def _never_idle(self) -> None:
        """Hives opened give something, a visit without hives places something: others are needless."""
        for i, visit in enumerate(self.order):
            if visit.opens:
                self.m.add(sum(a for (at, _, _), a in self.taken.items() if at == i) >= 1)
            else:
                self.m.add(sum(x for (_, j, _), x in self.moved.items() if j == i) >= 1)

    # --- answers --------------------------------------------------------------------------------------------

    def boxes_by_route(self) -> list[tuple[Route, int]]:
        """Return how many boxes go each route in the answer found."""
        found = ((r, self._at(n)) for r, n in zip(self.routes, self.count, strict=True))
        return [(r, n) for r, n in found if n]

    def hives_opened(self) -> dict[tuple[int, int, int], int]:
        """Return how many hives the answer found opens, by (visit, kind of donors, option)."""
        found = {(i, d, g): self._at(u) for i, row in enumerate(self.used) for (d, g), u in row.items()}
        return {key: n for key, n in found.items() if n}

    def counts(self) -> Counts:
        """Return the counts found; boxes of two yards are made where they are completed."""
        lines = range(len(self.case.demand.lines))
        made = tuple(tuple(self._at(row[k]) if k in row else 0 for k in lines) for row in self.made)
        moved = tuple((i, j, k, self._at(x)) for (i, j, k), x in sorted(self.moved.items()) if self._at(x))
        opening, beside = (tuple(self._at(o) for o in row) for row in (self.opening, self.beside))
        return Counts(made, moved, opening, beside, self._at(self.aside))
