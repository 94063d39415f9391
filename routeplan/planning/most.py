"""A plan for as many splits as can be where a day cannot hold all: the first priorities first.

Orders of visits are guessed by how many splits they make and place on time; the judge makes of the best of
them as many as can be. Only plans are found here; that no more fit is proved elsewhere.
"""

from routeplan.planning.case import Case
from routeplan.planning.judge import Judge
from routeplan.planning.limits import Clock
from routeplan.planning.on_time import OnTime, OnTimeGuess
from routeplan.planning.order import Order, Round, Visit
from routeplan.planning.order_model import worths
from routeplan.planning.rounds import Progress
from routeplan.planning.wander import Pace, wander

HOW_MANY = "how many"
"""What progress calls plans that need not hold all splits looked for yet."""
WALKS, VAIN_WALKS = 8, 3
"""Most walks for each priority, and those without more splits before it is given up."""
JUDGED = 2
"""Orders of one walk judged without more splits, none with the same visits."""
FAR, NEAR = Pace(2000.0, 0.5), Pace(700.0, 0.5)
"""How a walk goes that starts at home, and one that starts from the best order."""
WALK_SHARE = 0.3
"""Share of the time left that one walk may take."""

FEW = 4
"""Where there is little time: one of so many splits is looked for first."""

Totals = dict[int, int]
Met = list[tuple[OnTimeGuess, Order]]


class Most:
    """The search for the most splits of one day, in seconds of the clock alone. `best`: the round so far."""

    def __init__(self, case: Case, clock: Clock, progress: Progress) -> None:
        self.case, self.progress = case, progress
        self.judge = Judge(case, clock)
        self.best: Round | None = None
        self.met: Met = []
        self._guesses: OnTime | None = None

    @property
    def totals(self) -> Totals:
        """Splits of each priority that the best round makes."""
        totals = dict.fromkeys(self.case.demand.asked, 0)
        for made in self.best.counts.made if self.best else ():
            for k, n in enumerate(made):
                totals[self.case.demand.of(k).priority] += n
        return totals

    def all_on_time(self, clock: Clock) -> bool:
        """Whether an order is guessed that makes and places all that is asked for on time."""
        self._guesses = OnTime(self.case, self.case.size)
        self.met = self._walk(self._guesses, clock, 0)
        return self.met[0][0].made == self._guesses.asked

    def begin(self, clock: Clock) -> Round | None:
        """Judge the orders guessed for all that is asked for, once; return a round that places all."""
        if self._guesses is None:
            self.all_on_time(clock)
        if self._guesses is not None:
            self._judged(self.case, self._guesses, self.met, clock)
            self.met = []
        return self.best if self.totals == self.case.demand.asked else None

    def grow(self, fixed: Totals, priority: int, most: int, clock: Clock) -> int:
        """Look for more splits of a priority, at most `most`, beside those fixed of the ones before; return
        how many there are."""
        case = self.case.wanting({**fixed, priority: most}, clock)
        guesses, vain = OnTime(case), 0
        for seed in range(WALKS):
            reached = self.totals[priority]
            if vain == VAIN_WALKS or reached >= most or clock.over():
                break
            guesses.aimed(sum(fixed.values()) + reached + 1)
            met = self._walk(guesses, clock.part(WALK_SHARE * clock.left()), seed)
            vain = 0 if self._judged(case, guesses, met, clock) else vain + 1
        return min(most, self.totals[priority])

    def few(self, clock: Clock) -> None:
        """Look for some plan where there was no time for one of many splits: a few of the first priority,
        then half as many each time."""
        priority, asked = min((p, n) for p, n in self.case.demand.asked.items() if n)
        few = max(1, asked // FEW)
        while few and self.best is None and not clock.over():
            self.grow({}, priority, few, clock.part(clock.left() / 2))
            few //= 2

    def _walk(self, guesses: OnTime, clock: Clock, seed: int) -> Met:
        """One walk: by turns from the best order and from home."""
        near = self.best is not None and seed % 2 == 0
        begin = self.best.order if self.best is not None and near else ()
        most_visits = self.case.operation.settings.limits.visits_per_yard
        pace = NEAR if near else FAR
        return wander(guesses, begin, clock, most_visits, seed, pace, lambda g: g.made == guesses.asked)

    def _judged(self, case: Case, guesses: OnTime, met: Met, clock: Clock) -> bool:
        """Judge the orders guessed to hold more splits than the best round; return whether one does."""
        known = self.judge
        judge = Judge(case, clock, known.dearer, known.filled, known.unfilled, known.leasts)
        better, in_vain = False, 0
        seen: set[frozenset[Visit]] = set()
        for guess, order in met:
            totals = self.totals
            if in_vain == JUDGED or clock.over():
                break
            visits = frozenset(order)
            if visits in seen or guess.made <= tuple(sum(totals[p] for p in of) for of in guesses.classes):
                continue
            seen.add(visits)
            worth = sum(w * totals[p] for p, w in worths(case.demand).items())
            found = judge.most(order, worth, guesses.kept(order, guess))
            in_vain = 0 if found else in_vain + 1
            if found:
                self.best, better = found, True
                self.progress(HOW_MANY, found.counted_s, None)
        return better
