"""The exact judge of a visit order: what each visit makes and places, and when, at least paid time.

What one yard makes is checked box by box; where the donor limit of a split makes it dearer than the frames
alone say, the judge learns that and weighs again.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from math import inf

from ortools.sat.python import cp_model

from routeplan.planning.boxes import LEAST, NEVER, Boxes, Made, Within, fill_boxes, least_hives
from routeplan.planning.case import Case
from routeplan.planning.drive import as_early, at_once, driven
from routeplan.planning.limits import Clock
from routeplan.planning.mixture import Kept, Mixture, mixture_of
from routeplan.planning.order import Counts, Order, Round, Times
from routeplan.planning.order_model import Dearer, Learnt, OrderModel
from routeplan.planning.soonest import Soonest, soonest_of

FILL_S, ROUGH_FILL_S, FINER_FILL_S = 6.0, 0.8, 3.0
"""Most seconds for filling a yard's boxes in the opening counted, and for the least, roughly and finer."""
NEAR_S = 2000
"""A rough answer takes at most so many seconds of work more than the least."""
LEARNING = 4
"""Times a rough answer is looked for again when its boxes turned out dearer."""
MOST_S, MOST_WORK = 5.0, 0.6
"""Most seconds, and work, for as many splits as can be of one order."""
ROUGH_WORK = 0.3
FINER_WORK = 2.0
"""Work spent on a rough answer and on a finer one, in the solver's repeatable unit (about a second)."""


@dataclass(frozen=True)
class Verdict:
    """The judge's word on an order: the best round under the limit, None if there is none.

    `bare_s` is the least the order takes without clock, load and minutes shut in; `at_least_s` a proven lower
    limit with them; `sure` is False when time ran out.
    """

    found: Round | None
    sure: bool
    bare_s: int
    at_least_s: int


@dataclass
class Judge:
    """Judges orders of one case and remembers what it learnt about yards.

    `tried`: boxes that were not filled by as few hives as are enough by frames alone.
    `wary`: the last order asked about could not be driven at all, and that was quicker to find out than what
    it counts at least: so that is asked first of the next.
    `weighed`: the solver's work for the least counts of the last order, in its repeatable unit.
    """

    case: Case
    clock: Clock
    dearer: Learnt = field(default_factory=dict)
    filled: dict[tuple[int, Made, Within], Boxes | None] = field(default_factory=dict)
    unfilled: dict[tuple[int, Made, Within], float] = field(default_factory=dict)
    leasts: dict[tuple[int, Made], tuple[Boxes | None, float]] = field(default_factory=dict)
    worked: dict[object, tuple[int, bool]] = field(default_factory=dict)
    tried: set[tuple[int, Made, Within]] = field(default_factory=set)
    asked: int = 0
    weighed: float = 0.0
    wary: bool = False

    @cached_property
    def mixture(self) -> Mixture:
        """What yards take to make exactly the batches asked for."""
        return mixture_of(self.case)

    @cached_property
    def soonest(self) -> Soonest:
        """What orders take by the clock at the least."""
        return soonest_of(self.case)

    def judge(self, order: Order, spent_s: int, below_s: int, counts: Counts | None = None) -> Verdict:
        """Judge an order.

        Parameters
        ----------
        spent_s : its counted seconds of drive and set-up.
        below_s : counted seconds a round must stay under.
        counts : least counts of the order where they are known already.
        """
        if self.wary and self.cannot_be(order, below_s):
            return Verdict(None, True, spent_s, below_s)
        bare = below_s
        while not self.clock.over():
            if counts is None:
                bare, counts = self.least_counts(order, spent_s, below_s)
            else:
                bare = spent_s + self._work(order, counts)
            if bare >= below_s:
                return Verdict(None, True, bare, bare)
            times = None if counts is None else driven(self.case, order, counts)
            if counts is None or times is None:
                return self._with_clock(order, spent_s, below_s, bare)
            try:
                boxes = self.certify(order, counts)
            except TimeoutError:
                return Verdict(self._worked(order, below_s, False, FINER_WORK), False, bare, bare)
            if boxes is not None:
                counted_s = self.counted_s(order, counts, times.paid_s)
                return Verdict(Round(order, counts, times, boxes, counted_s), counted_s <= bare, bare, bare)
            counts = None
        return Verdict(None, False, bare, bare)

    def cannot_be(self, order: Order, below_s: int) -> bool:
        """Whether it is proved that an order has no round under the limit; the best is not looked for."""
        model = OrderModel(self.case, order, below_s, self.dearer, True)
        cannot = model.any_within(self.clock.share(5.0)) == cp_model.INFEASIBLE
        self.wary = cannot and model.work < self.weighed
        return cannot

    def rough(self, order: Order, below_s: int) -> Round | None:
        """Return a round of an order found with little work, None when none was found."""
        return self._worked(order, below_s, True, ROUGH_WORK)

    def most(self, order: Order, worth: int, kept: Kept) -> Round | None:
        """Return a round of an order with as many splits as were found with little work, the first priorities
        first; None where they are not worth more than `worth` (see order_model.worths).

        `kept`: which mixes are weighed.
        """
        for _ in range(LEARNING):
            if self.clock.over():
                break
            model = OrderModel(self.case, order, NEVER, self.dearer, True, kept, True, True)
            model.more_than(worth)
            status, _ = model.solve(self.clock.share(MOST_S), MOST_WORK)
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                break
            counts, times = model.counts(), model.times()
            boxes, learnt = self._filled(order, counts, ROUGH_FILL_S)
            found = None if boxes is None else self._driven(order, counts, times, boxes, NEVER)
            if found is not None:
                return found
            if not learnt:
                try:
                    boxes = self.certify(order, counts, ROUGH_FILL_S)
                except TimeoutError:
                    break
                if boxes is not None:
                    times = as_early(self.case, order, counts, times)
                    return Round(order, counts, times, boxes, self.counted_s(order, counts, times.paid_s))
        return None

    def finer(self, found: Round) -> Round:
        """Return the same round or a better one of its order, found with some work."""
        return self._worked(found.order, found.counted_s, False, FINER_WORK) or found

    def _worked(self, order: Order, below_s: int, rough: bool, work: float) -> Round | None:
        """Weigh an order, fill its boxes for the least, and drive it with what opening then really takes."""
        if self.clock.over():
            return None
        kept = self.mixture.kept(order, self.mixture.least_work(order) + NEAR_S) if rough else None
        best: Round | None = None
        late: Learnt = {}
        for _ in range(LEARNING):
            limit = best.counted_s if best else below_s
            model = OrderModel(self.case, order, limit, self._with(late), True, kept, rough)
            status, _ = model.solve(self.clock.share(5.0), work)
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                break
            counts, times = model.counts(), model.times()
            boxes, learnt = self._filled(order, counts, ROUGH_FILL_S if rough else FINER_FILL_S)
            found = None if boxes is None else self._driven(order, counts, times, boxes, limit)
            best = found or best
            if rough and boxes is not None and found is None:
                learnt = _take_as_filled(late, order, counts, boxes) or learnt
            if not learnt:
                break
        return best

    def _with(self, more: Learnt) -> Learnt:
        """What was learnt, and more that is taken for true for one order."""
        return {y: [*self.dearer.get(y, ()), *more.get(y, ())] for y in {**self.dearer, **more}}

    def _filled(self, order: Order, counts: Counts, most_s: float) -> tuple[dict[int, Boxes] | None, bool]:
        """Fill every yard's boxes for the least; (boxes, None if there was no time; whether a yard turned out
        dearer than counted, which is learnt)."""
        boxes: dict[int, Boxes] = {}
        learnt = False
        for yard, made, within in _fillings(order, counts):
            try:
                if self._in_two_passes(yard, made):
                    found = self.fill(yard, made, within, most_s)
                    learnt = learnt or found is None
                else:
                    found = self._filled_within(yard, made, within, most_s) or self._least(yard, made, most_s)
                    if found is None or found.at_least_s > within.total_s:
                        self.learn(yard, made, within)
                        learnt = True
            except TimeoutError:
                return None, learnt
            if found is None:
                return None, learnt
            boxes[yard] = found
        return boxes, learnt

    def _filled_within(self, yard: int, made: Made, within: Within, most_s: float) -> Boxes | None:
        """The filling of one yard's boxes within these opening times that is known or quickly found."""
        key = (yard, made, within)
        if key not in self.filled and key not in self.tried:
            self.tried.add(key)
            found = self._with_least_hives(yard, made, within, most_s)
            if found is not None:
                self.filled[key] = found
        return self.filled.get(key)

    def _in_two_passes(self, yard: int, made: Made) -> bool:
        """Whether hives of a yard may be worked in two passes at these visits: then when they are matters."""
        return len(made) > 1 and yard in self.case.twice_yards

    def _least(self, yard: int, made: Made, most_s: float) -> Boxes | None:
        """The filling of one yard's boxes that opens for the least, as far as found; None if none can be.

        Raises TimeoutError when none was found in the time.
        """
        found, spent_s = self.leasts.get((yard, made), (None, 0.0))
        if spent_s < most_s and not (found and found.proved):
            never = (NEVER,) * len(made)
            pairs = tuple((i, j, NEVER) for j in range(len(made)) for i in range(j))
            anything = Within(never, NEVER, never, pairs)
            self.leasts[yard, made] = (found, most_s)
            new = fill_boxes(self.case, yard, made, anything, self.clock.share(most_s), LEAST)
            if new is not None and found is not None:
                better = min(found, new, key=lambda boxes: boxes.total_s)
                new = replace(better, at_least_s=max(found.at_least_s, new.at_least_s))
            found, spent_s = new, inf if new is None else most_s
            self.leasts[yard, made] = (found, spent_s)
        if found is None and spent_s < inf:
            raise TimeoutError("boxes not filled in time before")
        return found

    def _driven(
        self, order: Order, counts: Counts, times: Times, boxes: dict[int, Boxes], below_s: int
    ) -> Round | None:
        """A round of an order with the opening that its boxes take; None if it is late or dearer then."""
        taken = _as_filled(order, counts, boxes)
        as_counted = taken.opening == counts.opening
        driven_so = (
            as_early(self.case, order, taken, times) if as_counted else at_once(self.case, order, taken)
        )
        if driven_so is None:
            return None
        counted_s = self.counted_s(order, taken, driven_so.paid_s)
        return Round(order, taken, driven_so, boxes, counted_s) if counted_s < below_s else None

    def as_it_is(self, found: Round) -> Round:
        """Return a round that was found by the clock alone with what it counts here (at most)."""
        case, after = self.case, self.case.after
        moved = found.counts.moved
        aside = sum(int(case.extra_s[found.order[j].yard, k]) * n for _, j, k, n in moved)
        into: dict[int, int] = {}
        ways: dict[int, set[str]] = {}
        for _, j, k, n in moved:
            z = found.order[j].yard
            into[z] = into.get(z, 0) + n
            ways.setdefault(z, set()).add(case.demand.of(k).queen)
        aside += sum(int(after.fixed_s[z]) + after.few(z, n) for z, n in into.items())
        aside += after.over(set(into)) + sum(after.more_s(z, of) for z, of in ways.items())
        aside += sum(int(after.cell_s[z]) for z, of in ways.items() if "ripe cell" in of)
        if case.operation.settings.swaps.mixed_open:  # every open frame may be a mixed one
            swap_s = round(60 * case.operation.settings.swaps.minutes)
            aside += swap_s * sum(sum(case.demand.contents(k)[1:3]) * n for _, _, k, n in moved)
        counts = replace(found.counts, aside_s=aside)
        return replace(found, counts=counts, counted_s=self.counted_s(found.order, counts, found.paid_s))

    def least_counts(self, order: Order, spent_s: int, below_s: int) -> tuple[int, Counts | None]:
        """Return (least paid seconds with clock, load and minutes shut in left out, the counts for it).

        Counts are None when nothing under `below_s` exists (the seconds are then at least `below_s`), and
        when time ran out.
        """
        key = _signature(self.case, order)
        known, _ = self.worked.get(key, (0, False))
        self.weighed = 0.0
        if spent_s + known >= below_s:
            return spent_s + known, None
        kept = self.mixture.kept(order, below_s - spent_s)
        model = OrderModel(self.case, order, below_s - spent_s, self.dearer, False, kept)
        status, at_least = model.solve(self.clock.share(5.0))
        self.weighed = model.work
        if status == cp_model.INFEASIBLE:
            self.worked[key] = (below_s - spent_s, True)
            return below_s, None
        at_least = max(0, at_least)
        self.worked[key] = (max(known, at_least), status == cp_model.OPTIMAL)
        return spent_s + at_least, model.counts() if status == cp_model.OPTIMAL else None

    def _work(self, order: Order, counts: Counts) -> int:
        """Counted seconds of hive work, making, placing and receiving."""
        case, work = self.case, sum(counts.opening) + counts.aside_s
        for visit, made in zip(order, counts.made, strict=True):
            work += sum(
                (int(case.fill_s[k]) + int(case.make_s[visit.yard, k])) * n for k, n in enumerate(made)
            )
        work += sum(int(case.place_s[order[j].yard, k]) * n for _, j, k, n in counts.moved)
        fenced = {order[j].yard for _, j, _, _ in counts.moved}
        return work + sum(int(case.fence_s[z]) for z in fenced)

    def counted_s(self, order: Order, counts: Counts, paid_s: int) -> int:
        """What an order driven in so many paid seconds counts in all."""
        places = (0, *(v.yard + 1 for v in order), 0)
        return paid_s + counts.aside_s + sum(int(self.case.leg_extra_s[a, b]) for a, b in pairwise(places))

    def _with_clock(self, order: Order, spent_s: int, below_s: int, bare_s: int) -> Verdict:
        """Judge with everything: counts, waits, hours, load and minutes shut in together."""
        at_least = bare_s
        kept = self.mixture.kept(order, below_s - spent_s)
        while not self.clock.over():
            self.asked += 1
            model = OrderModel(self.case, order, below_s, self.dearer, True, kept)
            status, bound = model.solve(self.clock.share(10.0))
            if status == cp_model.INFEASIBLE:
                self.wary = model.work < self.weighed
                return Verdict(None, True, bare_s, below_s)
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                break
            at_least = max(at_least, bound)
            counts = model.counts()
            try:
                boxes = self.certify(order, counts)
            except TimeoutError:
                found_so = self._worked(order, below_s, False, FINER_WORK)
                return Verdict(found_so, False, bare_s, at_least)
            if boxes is not None:
                times = as_early(self.case, order, counts, model.times())
                found = Round(order, counts, times, boxes, self.counted_s(order, counts, times.paid_s))
                return Verdict(found, status == cp_model.OPTIMAL, bare_s, at_least)
        return Verdict(None, False, bare_s, at_least)

    # --- box by box -----------------------------------------------------------------------------------------

    def certify(self, order: Order, counts: Counts, most_s: float = FILL_S) -> dict[int, Boxes] | None:
        """Fill every yard's boxes in the opening times counted; None when a yard turned out dearer.

        Raises TimeoutError when there was no time to tell.
        """
        boxes: dict[int, Boxes] = {}
        for yard, made, within in _fillings(order, counts):
            found = self.fill(yard, made, within, most_s)
            if found is None:
                return None
            boxes[yard] = found
        return boxes

    def fill(self, yard: int, made: Made, within: Within, most_s: float = FILL_S) -> Boxes | None:
        """Fill one yard's boxes within these opening times; learn it if that cannot be.

        Raises TimeoutError when it cannot be told in `most_s` seconds, now or before.
        """
        key = (yard, made, within)
        if key not in self.filled:
            if self.unfilled.get(key, 0.0) >= most_s:
                raise TimeoutError("boxes not filled in time before")
            self.unfilled[key] = most_s
            found = self._with_least_hives(yard, made, within, most_s)
            if found is None:
                found = self._within(yard, made, within, most_s)
            if found is None:
                self.learn(yard, made, within)
            self.filled[key] = found
        return self.filled[key]

    def _within(self, yard: int, made: Made, within: Within, most_s: float) -> Boxes | None:
        """Fill boxes for the least, and if that does not tell, within the opening times; None: cannot be."""
        with suppress(TimeoutError):
            least = self._least(yard, made, FINER_FILL_S)
            if least is None or least.at_least_s > within.total_s:
                return None
            if within.holds(least) and not least.passes:
                return least
        return fill_boxes(self.case, yard, made, within, self.clock.share(most_s))

    def _with_least_hives(self, yard: int, made: Made, within: Within, most_s: float) -> Boxes | None:
        """Try the hives that are enough by frames alone: few, so mostly quick; None proves nothing."""
        hives = least_hives(self.case, yard, made, self.clock.share(most_s)) if len(made) == 1 else None
        if hives is None:
            return None
        try:
            return fill_boxes(self.case, yard, made, within, self.clock.share(most_s / 2), only=hives)
        except TimeoutError:
            return None

    def learn(self, yard: int, made: Made, within: Within) -> None:
        """Remember that these boxes cannot be filled in these opening times, and what they count at least."""
        with suppress(TimeoutError):
            self._least(yard, made, FINER_FILL_S if self._in_two_passes(yard, made) else 0.0)
        best, spent_s = self.leasts.get((yard, made), (None, 0.0))
        simple = len(made) == 1 and all(d.plain for d in self.case.donors[yard])
        total = within.total_s if simple else -NEVER
        if best is not None:
            total = max(total, best.at_least_s)
        elif spent_s == inf:
            total = NEVER
        known = Dearer(made, within.opening_s, within.beside_s, total, within.first_s, within.passes)
        self.dearer.setdefault(yard, []).append(known)


def _fillings(order: Order, counts: Counts) -> Iterator[tuple[int, Made, Within]]:
    """Yield each yard that makes splits, what it makes at its visits, and the opening counted for it."""
    for yard in sorted({v.yard for v in order if v.opens}):
        visits = [i for i, v in enumerate(order) if v.yard == yard and v.opens]
        made = tuple(counts.made[i] for i in visits)
        if any(map(any, made)):
            yield yard, made, _within(counts, visits)


def _within(counts: Counts, visits: list[int]) -> Within:
    """What opening a yard's hives may take at these visits of an order, by its counts."""
    at = {visit: rank for rank, visit in enumerate(visits)}
    passes = tuple((at[i], at[j], n) for i, j, n in counts.passes if i in at)
    opening, first = tuple(counts.opening[i] for i in visits), tuple(counts.first_s(i) for i in visits)
    return Within(opening, sum(counts.beside[i] for i in visits), first, passes)


def _take_as_filled(late: Learnt, order: Order, counts: Counts, boxes: dict[int, Boxes]) -> bool:
    """Take the boxes found for the best there are where they take longer than counted; whether some do."""
    dearer = False
    for yard, made, within in _fillings(order, counts):
        if boxes[yard].total_s > within.total_s:
            dearer = True
            known = Dearer(
                made, within.opening_s, within.beside_s, boxes[yard].total_s, within.first_s, within.passes
            )
            late.setdefault(yard, []).append(known)
    return dearer


def _as_filled(order: Order, counts: Counts, boxes: dict[int, Boxes]) -> Counts:
    """Return the counts with the opening that the boxes take."""
    opening, beside = list(counts.opening), list(counts.beside)
    for yard, filled in boxes.items():
        visits = [i for i, v in enumerate(order) if v.yard == yard and v.opens]
        for i, seconds in zip(visits, filled.opening_s, strict=True):
            opening[i], beside[i] = seconds, 0
        beside[visits[0]] = filled.beside_s
    aside_s = counts.aside_s + sum(beside) - sum(counts.beside)
    return replace(counts, opening=tuple(opening), beside=tuple(beside), aside_s=aside_s)


def _signature(case: Case, order: Order) -> object:
    """What the least work of an order depends on: its making visits and from where to where splits may go."""
    opens = sorted((v.yard, i) for i, v in enumerate(order) if v.opens)
    ways = frozenset(
        (rank, b.yard)
        for rank, (y, i) in enumerate(opens)
        for b in order[i + 1 :]
        if case.reach[y, b.yard] and case.room[b.yard]
    )
    return tuple(y for y, _ in opens), ways
