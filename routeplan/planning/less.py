"""Plans that count less, found by walks over orders of stops and the yards that receive at them.

Where receiving is dear, fewer or cheaper receiving yards save more than any shorter drive. So a walk changes
which yards receive as well as the order: one receives no longer, another does in its place. Only the best
orders met are judged. Where some fail, the next walk leaves more time until hives must be closed.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from routeplan.planning.judge import Judge
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Round, Visit
from routeplan.planning.remaining import Ints
from routeplan.planning.stop_guess import Stop, StopGuess, StopGuesser, Stops
from routeplan.planning.wander import Pace, walk

WALKS, VAIN_WALKS = 12, 3
"""Most walks, and those that met no order worth judging before it is given up."""
JUDGED = 6
"""Orders of one walk judged until one is a better plan."""
FAR, NEAR = Pace(4000.0, 0.5, 6_000), Pace(1500.0, 0.5, 6_000)
"""How a walk goes that starts at home, and one that starts from the best plan."""
WALK_SHARE = 0.3
"""Share of all its time that one walk may take."""
MARGIN_S = 300
"""More seconds left until hives must be closed after a walk of which an order could not be driven."""
MORE = 0.4
"""How often one more change is made at once."""
MOST_S = 10**7
"""More seconds than any plan counts."""
NEAREST = 16
"""So many of the yards nearest to another are drawn more often."""


@dataclass
class StopChanges:
    """Changes of an order of stops, drawn at random."""

    guesser: StopGuesser
    near: float
    _beside: dict[int, list[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        guesser = self.guesser
        self.stops: dict[int, list[Stop]] = {}
        for visit in guesser.visits:
            kinds = self.stops.setdefault(visit.yard, [])
            kinds.append(Stop(visit.yard, visit.opens, not visit.opens))
            if visit.opens and guesser.room[visit.yard]:
                kinds.append(Stop(visit.yard, True, True))
        room = [y for y in self.stops if guesser.room[y]]
        self.cheapest = sorted(room, key=lambda z: (guesser.fixed_s[z], z))

    def one(self, rng: Random, order: Stops) -> Stops:
        """A change of an order, often another one on top."""
        order = self._changed(rng, order)
        while rng.random() < MORE:
            order = self._changed(rng, order)
        return order

    def _changed(self, rng: Random, order: Stops) -> Stops:
        """A stop put in, left out, changed, moved, some turned round; a yard that receives no longer or in
        place of another."""
        n, draw = len(order), rng.random()
        if not n or draw < 0.18:
            at = rng.randint(0, n)
            return (*order[:at], self._stop(rng, order, at), *order[at:])
        i = rng.randrange(n)
        rest = order[:i] + order[i + 1 :]
        if draw < 0.28:
            return rest
        if draw < 0.42:
            return (*order[:i], self._stop(rng, rest, i), *order[i + 1 :])
        if draw < 0.52:
            at = rng.randint(0, n - 1)
            return (*rest[:at], order[i], *rest[at:])
        if draw < 0.6:
            j = rng.randrange(n)
            a, b = min(i, j), max(i, j)
            return (*order[:a], *reversed(order[a : b + 1]), *order[b + 1 :])
        if draw < 0.7:
            return (*order[:i], rng.choice(self.stops[order[i].yard]), *order[i + 1 :])
        receiving = sorted({stop.yard for stop in order if stop.receives})
        if not self.cheapest or not receiving:
            return order
        if draw < 0.8:
            return self._without(order, rng.choice(receiving), ())
        receives = Stop(self.cheapest[int(rng.random() ** 2 * len(self.cheapest))], False, True)
        if draw < 0.92:
            return self._without(order, rng.choice(receiving), (receives,))
        at = rng.randint(0, n)
        return (*order[:at], receives, *order[at:])

    def _without(self, order: Stops, yard: int, instead: Stops) -> Stops:
        """An order where a yard receives no longer, but others wherever it did."""
        changed: list[Stop] = []
        for stop in order:
            if stop.yard != yard or not stop.receives:
                changed.append(stop)
            else:
                changed += [Stop(yard, True, False)] if stop.opens else []
                changed += instead
        return tuple(changed)

    def _stop(self, rng: Random, order: Stops, at: int) -> Stop:
        """A stop to put in before that of `order` at a place: anywhere, or near a stop beside it."""
        yards = list(self.stops)
        if not order or rng.random() >= self.near:
            return rng.choice(self.stops[rng.choice(yards)])
        beside = order[min(len(order) - 1, max(0, at - rng.randint(0, 1)))].yard
        if beside not in self._beside:
            drive = self.guesser.case.travel.drive_s[beside + 1]
            self._beside[beside] = sorted(yards, key=lambda y: (int(drive[y + 1]), y))[:NEAREST]
        nearest = self._beside[beside]
        return rng.choice(self.stops[nearest[int(rng.random() ** 2 * len(nearest))]])


def count_less(
    judge: Judge, prices: Ints, best: Round | None, clock: Clock, told: Callable[[Round], None]
) -> Round | None:
    """Look for rounds that count less than the best so far; return the best then.

    Parameters
    ----------
    judge : of the case with the splits wanted.
    prices : on its lines, so that all kits are made.
    told : called with every better round.
    """
    case = judge.case
    guesser = StopGuesser(case, judge.mixture, prices)
    changes, most_visits = StopChanges(guesser, FAR.near), case.operation.settings.limits.visits_per_yard
    judged: set[Order] = set()
    vain = 0
    for seed in range(WALKS):
        if vain == VAIN_WALKS or clock.over():
            break
        near, share = seed % 2 == 1, WALK_SHARE * clock.seconds
        if best is not None and near:
            met = walk(guesser, changes, stops_of(best), clock.part(share), most_visits, seed, NEAR)
        else:
            met = walk(guesser, changes, (), clock.part(share), most_visits, seed, FAR)
        found, failed = _best_of(judge, met, judged, best, clock)
        vain = 0 if found or failed else vain + 1
        if found is not None:
            best = found
            told(found)
        if failed:
            guesser.margin_s += MARGIN_S
    return best


def _best_of(
    judge: Judge,
    met: list[tuple[StopGuess, Stops]],
    judged: set[Order],
    best: Round | None,
    clock: Clock,
) -> tuple[Round | None, bool]:
    """The first better round of the orders guessed to count less than the best; whether some could not be
    driven."""
    failed, limit = 0, best.counted_s if best else MOST_S
    for guess, stops in met:
        if failed == JUDGED or guess.score >= limit or clock.over():
            break
        order = _needed(stops, guess)
        if not order or order in judged:
            continue
        judged.add(order)
        found = judge.rough(order, limit)
        if found is not None:
            return found, failed > 0
        failed += 1
    return None, failed > 0


def _needed(stops: Stops, guess: StopGuess) -> Order:
    """The visits of an order, but for those that open no hives and receive nothing."""
    needed = (s for s, n in zip(stops, guess.placed, strict=False) if s.opens or n)
    return tuple(Visit(s.yard, s.opens) for s in needed)


def stops_of(found: Round) -> Stops:
    """The stops of a round, and where it places splits."""
    into = {j for _, j, _, _ in found.counts.moved}
    return tuple(Stop(v.yard, v.opens, i in into) for i, v in enumerate(found.order))
