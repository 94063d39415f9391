"""Which hive's frames go into which box, exactly: one donor limit a box, one look into a hive.

The yields count frames; here the boxes of one yard are told apart. `fill_boxes` finds the least opening time
that respects the most donors of a split too, so a yield may turn out dearer than its table says.
"""

from dataclasses import dataclass
from math import ceil

from ortools.sat.python import cp_model

from routeplan.colony.which_frames import best_frames
from routeplan.operation.world import Hive
from routeplan.planning.case import Case
from routeplan.planning.demand import KINDS, QUEEN
from routeplan.planning.two_visits import at_one_visit
from routeplan.planning.work import Work
from routeplan.planning.yields import Option

CAPPED, OPEN = KINDS.index("capped"), (KINDS.index("open"), KINDS.index("eggs"))
ANY, LEAST, EVEN = "any", "least", "even"
NEVER = 10**7
SUITS = 150
"""What a frame on record that suits is worth where hives are left even; a donor fewer in a box counts 500."""
EVEN_WORK = 1.0
"""Work spent on leaving hives even, in the solver's repeatable unit (about a second): alike anywhere."""

Expr = cp_model.LinearExpr | int
Made = tuple[tuple[int, ...], ...]
"""Splits made by line, for each visit of one yard that opens hives."""


@dataclass(frozen=True)
class Box:
    """One split being made: `takes` are (hive, kind index, frames), `visit` counts making visits."""

    visit: int
    line: int
    takes: tuple[tuple[Hive, int, int], ...]


@dataclass(frozen=True)
class Boxes:
    """A yard's boxes. `opening_s` on the clock by visit, `beside_s` counted beside it (hives due anyway,
    mixed frames); `at_least_s` what any choice of hives counts in all, as far as proved. `first_s`: what of
    `opening_s` are first passes; `passes`: hives worked in two, with the visits of both."""

    boxes: tuple[Box, ...]
    opening_s: tuple[int, ...]
    beside_s: int
    at_least_s: int
    first_s: tuple[int, ...]
    passes: tuple[tuple[Hive, int, int], ...]

    @property
    def total_s(self) -> int:
        """What opening counts at all visits."""
        return sum(self.opening_s) + self.beside_s

    @property
    def proved(self) -> bool:
        """Whether no choice of hives counts less in all."""
        return self.at_least_s >= self.total_s


@dataclass(frozen=True)
class Within:
    """What opening hives may take: seconds on the clock by visit, and counted beside it in all.

    In two passes go at most so many hives by (visit of the first, visit of the second, hives), the first
    passes of a visit taking `first_s` at most.
    """

    opening_s: tuple[int, ...]
    beside_s: int
    first_s: tuple[int, ...] = ()
    passes: tuple[tuple[int, int, int], ...] = ()

    @property
    def total_s(self) -> int:
        """What opening may count at all visits."""
        return sum(self.opening_s) + self.beside_s

    def holds(self, boxes: Boxes) -> bool:
        """Whether boxes take no more."""
        quick = all(a <= b for a, b in zip(boxes.opening_s, self.opening_s, strict=True))
        return quick and boxes.beside_s <= self.beside_s


def fill_boxes(
    case: Case,
    yard: int,
    made: Made,
    within: Within,
    seconds: float,
    aim: str = ANY,
    only: frozenset[tuple[str, str]] | None = None,
) -> Boxes | None:
    """Fill the boxes of one yard.

    Parameters
    ----------
    made : splits by line for each visit.
    within : most that opening may take.
    seconds : time limit.
    aim : ANY filling, the one that opens for the LEAST that counts, or one that leaves the hives as EVEN as
        found in the time.
    only : keys of the hives that may give, None for all.

    Returns
    -------
    Boxes, or None when it is proved that there is no filling within those limits.

    Raises
    ------
    TimeoutError : neither found nor excluded in time.
    """
    return _Filling(case, yard, made, within, only).solve(seconds, aim)


def least_hives(case: Case, yard: int, made: Made, seconds: float) -> frozenset[tuple[str, str]] | None:
    """Return hives that open for the least that counts, by frames only, for what one visit makes; None: no
    time."""
    model, chosen, work = cp_model.CpModel(), [], Work(case.operation)
    donors = at_one_visit(case.donors[yard])
    for donor in donors:
        uses = [model.new_int_var(0, len(donor.hives), "") for _ in donor.options]
        model.add(sum(uses) <= len(donor.hives))
        chosen.append(uses)
    for frame in sorted({d.frame for d in donors}):
        lines = [k for k, n in enumerate(made[0]) if n and case.demand.lines[k].frame == frame]
        for kind in range(case.demand.width):
            need = sum(case.demand.need(k)[kind] * made[0][k] for k in lines)
            if need:
                given = [
                    o.give[kind] * u
                    for d, uses in zip(donors, chosen, strict=True)
                    if d.frame == frame
                    for o, u in zip(d.options, uses, strict=True)
                ]
                model.add(sum(given) >= need)
    model.minimize(
        sum(
            max(0, o.counted_s(work)) * u
            for d, uses in zip(donors, chosen, strict=True)
            for o, u in zip(d.options, uses, strict=True)
        )
    )
    solver = solver_for(seconds)
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    counts = [sum(int(solver.value(u)) for u in uses) for uses in chosen]
    return frozenset(h.key for d, n in zip(donors, counts, strict=True) for h in d.hives[:n])


def solver_for(seconds: float) -> cp_model.CpSolver:
    """Return a repeatable CP-SAT solver with a time limit; an interrupt is left to us."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.max_time_in_seconds = max(0.01, seconds)
    solver.parameters.catch_sigint_signal = False
    return solver


class _Filling:
    """The model of one yard's boxes: takes x[hive, box, kind], one option per hive, donors of a box
    counted."""

    def __init__(
        self,
        case: Case,
        yard: int,
        made: Made,
        within: Within,
        only: frozenset[tuple[str, str]] | None,
    ) -> None:
        self.case, self.made = case, made
        self.model = cp_model.CpModel()
        self.saved = Work(case.operation).saved_s
        self.boxes = [(v, k) for v, row in enumerate(made) for k, n in enumerate(row) for _ in range(n)]
        frames = {case.demand.lines[k].frame for _, k in self.boxes}
        self.hives = [
            (h, d)
            for d in case.donors[yard]
            if d.frame in frames
            for h in d.hives
            if only is None or h.key in only
        ]
        self.takes: dict[tuple[int, int, int], cp_model.IntVar] = {}
        kinds = range(case.demand.width)
        self.given: list[list[list[list[cp_model.IntVar]]]] = [
            [[[] for _ in kinds] for _ in made] for _ in self.hives
        ]
        self.donors: list[list[cp_model.IntVar]] = [[] for _ in self.boxes]
        self.chosen = [
            [[self.model.new_bool_var("") for _ in d.options] for _ in made] for _, d in self.hives
        ]
        for b in range(len(self.boxes)):
            self._fill(b)
        self.opening: list[Expr] = [0] * len(made)
        self.first: list[Expr] = [0] * len(made)
        self.passes: dict[tuple[int, int], list[tuple[int, cp_model.IntVar]]] = {
            (i, j): [] for i, j, _ in within.passes
        }
        self.beside: Expr = 0
        for h in range(len(self.hives)):
            self._give(h)
        for spent, most in zip(self.opening, within.opening_s, strict=True):
            self.model.add(spent <= most)
        self.model.add(self.beside <= within.beside_s)
        for spent, most in zip(self.first, within.first_s, strict=False):
            self.model.add(spent <= most)
        for i, j, most in within.passes:
            self.model.add(sum(p for _, p in self.passes[i, j]) <= most)
        self.model.add(sum(p for row in self.passes.values() for _, p in row) <= case.excluders)

    def _at(self, h: int, visit: int) -> Expr:
        """Whether hive h is opened at a visit."""
        return sum(self.chosen[h][visit])

    def _fill(self, b: int) -> None:
        """Box b receives its kit from at most so many donors, all in its format, opened at its visit."""
        visit, line = self.boxes[b]
        need = self.case.demand.need(line)
        got: list[list[cp_model.IntVar]] = [[] for _ in need]
        for h, (_, donor) in enumerate(self.hives):
            if donor.frame != self.case.demand.lines[line].frame:
                continue
            most = [min(n, max(o.give[k] for o in donor.options)) for k, n in enumerate(need)]
            if not any(most):
                continue
            is_donor = self.model.new_bool_var("")
            self.donors[b].append(is_donor)
            self.model.add(is_donor <= self._at(h, visit))
            for k, n in enumerate(most):
                if n:
                    x = self.model.new_int_var(0, n, "")
                    self.takes[h, b, k] = x
                    self.model.add(x <= n * is_donor)
                    got[k].append(x)
                    self.given[h][visit][k].append(x)
        for k, n in enumerate(need):
            if n:
                self.model.add(sum(got[k]) == n)
        self.model.add(sum(self.donors[b]) <= self.case.donors_of_box(line))

    def _give(self, h: int) -> None:
        """Hive h is opened at one visit at most, for one option, and gives within it."""
        _, donor = self.hives[h]
        self.model.add(sum(self._at(h, v) for v in range(len(self.made))) <= 1)
        for v, chosen in enumerate(self.chosen[h]):
            options = list(zip(donor.options, chosen, strict=True))
            self.model.add(sum(x for given in self.given[h][v] for x in given) >= self._at(h, v))
            for k in (QUEEN, *range(len(KINDS), self.case.demand.width)):  # all of it or nothing
                self.model.add(sum(self.given[h][v][k]) == sum(o.give[k] * c for o, c in options))
            for k, given in enumerate(self.given[h][v]):
                if given:
                    self.model.add(sum(given) <= sum(o.give[k] * c for o, c in options))
            self.opening[v] += sum((o.open_s - o.first_s) * c for o, c in options)
            for o, c in options:
                if o.in_two_passes:
                    self._set_above(h, v, o, c)
            self.beside += sum((o.against_s - o.off_s) * c for o, c in options)
            found = [(o, c) for o, c in options if o.found]
            for k, saved in enumerate(self.saved) if found else ():
                if self.given[h][v][k]:
                    quick = self.model.new_int_var(0, max(o.give[k] for o, _ in found), "")
                    self.model.add(quick <= sum(o.give[k] * c for o, c in found))
                    self.model.add(quick <= sum(self.given[h][v][k]))
                    self.opening[v] -= saved * quick

    def _set_above(self, h: int, visit: int, option: Option, chosen: cp_model.IntVar) -> None:
        """A hive worked in two passes is opened for the first at one earlier visit."""
        firsts = []
        for (i, j), hives in self.passes.items():
            if j == visit:
                firsts.append(self.model.new_bool_var(""))
                hives.append((h, firsts[-1]))
                self.opening[i] += option.first_s * firsts[-1]
                self.first[i] += option.first_s * firsts[-1]
        self.model.add(sum(firsts) == chosen)

    def _prefer_even(self) -> None:
        """The largest least margin over the keep-back first, then few donors a box, then frames on record
        that are emerging or mostly eggs, then the strongest."""
        keep, bees = self.case.operation.settings.keep_back, self.case.operation.settings.bees
        smallest = self.model.new_int_var(-1000, 1000, "")
        strength = []
        for h, (hive, _) in enumerate(self.hives):
            count = self.case.surplus[hive.key].count
            capped, open_, eggs, food, shake = (
                sum(x for given in self.given[h] for x in given[k]) for k in range(5)
            )
            opened = sum(self._at(h, v) for v in range(len(self.made)))
            brood_out = capped + open_ + eggs
            spare_brood = round(10 * ((count.brood or 0.0) - keep.brood))
            spare_bees = round(10 * ((count.bees or 0.0) - keep.bees))
            bees_out = (
                round(10 * bees.per_brood_frame) * brood_out
                + round(10 * bees.per_food_frame) * food
                + round(10 * bees.per_shake) * shake
            )
            self.model.add(smallest <= spare_brood - 10 * brood_out + 2000 * (1 - opened))
            self.model.add(smallest <= spare_bees - bees_out + 2000 * (1 - opened))
            strength.append(spare_brood * brood_out + spare_bees * (food + shake))
        donors = sum(d for row in self.donors for d in row)
        suits = SUITS * sum(self._suiting(h) for h in range(len(self.hives)))
        self.model.maximize(10_000 * smallest - 500 * donors + suits + sum(strength))

    def _suiting(self, h: int) -> Expr:
        """Frames a hive gives of which it has such on record: capped ones emerging, open ones mostly eggs."""
        hive, _ = self.hives[h]
        looks = [f for f in self.case.operation.frames if (f.yard, f.hive) == hive.key]
        suiting: list[cp_model.IntVar] = []
        for most, kinds in zip(best_frames(looks), ((CAPPED,), OPEN), strict=True):
            takes = [x for given in self.given[h] for k in kinds for x in given[k]]
            if most and takes:
                suiting.append(self.model.new_int_var(0, most, ""))
                self.model.add(suiting[-1] <= sum(takes))
        return sum(suiting)

    def solve(self, seconds: float, aim: str) -> Boxes | None:
        if aim == EVEN:
            self._prefer_even()
        elif aim == LEAST:
            self.model.minimize(sum(self.opening) + self.beside)
        solver = solver_for(seconds)
        if aim == EVEN:
            solver.parameters.max_deterministic_time = EVEN_WORK
        else:  # presolving takes longer than the answer, and hides it (up to 30 times, on yards of 20 hives)
            solver.parameters.cp_model_presolve, solver.parameters.linearization_level = False, 2
        status = solver.solve(self.model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            if status == cp_model.INFEASIBLE:
                return None
            raise TimeoutError("boxes not filled in time")
        boxes = []
        for b, (visit, line) in enumerate(self.boxes):
            takes = [
                (self.hives[h][0], k, int(solver.value(x)))
                for (h, box, k), x in self.takes.items()
                if box == b and solver.value(x)
            ]
            boxes.append(Box(visit, line, tuple(takes)))
        opening, first = (tuple(int(solver.value(o)) for o in row) for row in (self.opening, self.first))
        beside = int(solver.value(self.beside))
        passes = tuple(
            (self.hives[h][0], i, j)
            for (i, j), hives in self.passes.items()
            for h, p in hives
            if solver.value(p)
        )
        at_least = ceil(solver.best_objective_bound - 1e-6) if aim == LEAST else -NEVER
        return Boxes(tuple(boxes), opening, beside, at_least, first, passes)
