"""Orders worth judging, found by simulated annealing over guesses (Kirkpatrick, Gelatt & Vecchi, Science 220,
1983): one visit put in, left out, changed, moved or exchanged at a time.

Steps are counted and the random numbers are seeded, so that the same input wanders the same way.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import inf, log
from random import Random
from typing import Protocol, TypeVar

from routeplan.planning.case import Case
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit, orderly

STEPS, STEPS_A_VISIT = 4000, 100
"""Most steps, and steps for every visit there could be."""
HOT_S, COLD_S = 2000.0, 40.0
"""Seconds by which an order may be worse and still be taken one time in three, first and last."""
BEHIND = 0.1
"""So much of its share of the time a walk may be behind its steps before it cools down by the clock: as long
as it keeps up, the same input wanders the same way."""
KEPT = 30
BOTH = 0.15
"""Share of the steps that put in two visits of a yard."""
NEAREST = 16
"""So many of the visits nearest to another are drawn more often, where near ones are."""


class Scored(Protocol):
    """A guess; the smaller its score the better."""

    @property
    def score(self) -> int:
        """What the order counts."""


V = TypeVar("V", bound=Visit)
G = TypeVar("G", bound=Scored)
V_contra = TypeVar("V_contra", bound=Visit, contravariant=True)
G_co = TypeVar("G_co", bound=Scored, covariant=True)


class Guesses(Protocol[V_contra, G_co]):
    """Guesses the orders of one day."""

    case: Case
    visits: list[Visit]
    twice_yards: frozenset[int]

    def of(self, order: tuple[V_contra, ...], most: float = inf) -> G_co:
        """Guess an order; only roughly where it scores more than `most`."""


class Changes(Protocol[V]):
    """Changes of an order, drawn at random."""

    def one(self, rng: Random, order: tuple[V, ...]) -> tuple[V, ...]:
        """One change; the order itself where none was possible."""


def visits_of(case: Case, makes: list[int], room: list[int]) -> list[Visit]:
    """Every visit there may be, by the names of the yards: to hives where splits can be made, to place where
    there is room."""
    by_name = sorted(range(len(room)), key=lambda y: case.operation.yards[y].id)
    visits = [Visit(y, True) for y in by_name if makes[y]]
    return visits + [Visit(y, False) for y in by_name if room[y]]


@dataclass(frozen=True)
class Pace:
    """How a walk goes: how hot it begins, which share of the visits drawn is near those beside, and its most
    steps."""

    hot_s: float = HOT_S
    near: float = 0.0
    steps: int = STEPS


def wander(
    guesser: Guesses[Visit, G],
    begin: Order,
    clock: Clock,
    most_visits: int,
    seed: int = 0,
    pace: Pace | None = None,
    enough: Callable[[G], bool] = lambda guess: False,
) -> list[tuple[G, Order]]:
    """Return the best orders of visits met (see `walk`)."""
    changes = _Changes(guesser, pace.near if pace else 0.0)
    return walk(guesser, changes, begin, clock, most_visits, seed, pace, enough)


def walk(
    guesser: Guesses[V, G],
    changes: Changes[V],
    begin: tuple[V, ...],
    clock: Clock,
    most_visits: int,
    seed: int = 0,
    pace: Pace | None = None,
    enough: Callable[[G], bool] = lambda guess: False,
) -> list[tuple[G, tuple[V, ...]]]:
    """Return the best orders met, best first, at most KEPT.

    Parameters
    ----------
    begin : where to start; may be empty.
    clock : where there is little time, the walk cools down the sooner.
    most_visits : visits of one yard.
    pace : Pace() where it is not given.
    enough : the walk ends where a guess taken is as good as this.
    """
    rng, pace = Random(seed), pace or Pace()
    steps = min(pace.steps, STEPS_A_VISIT * len(guesser.visits))
    order, now = begin, guesser.of(begin)
    met: dict[tuple[V, ...], G] = {begin: now}
    for step in range(steps):
        if clock.over() or enough(now):
            break
        gone, spent = step / steps, clock.spent() / clock.seconds
        cooled = gone if spent <= gone + BEHIND else spent
        heat = pace.hot_s * (COLD_S / pace.hot_s) ** cooled
        near = changes.one(rng, order)
        if near == order or not orderly(near, most_visits, guesser.twice_yards):
            continue
        most = now.score - heat * log(1.0 - rng.random())
        guess = met.get(near) or guesser.of(near, most)
        if guess.score <= most:
            order, now = near, guess
            met[near] = guess
    best = sorted(met.items(), key=lambda m: (m[1].score, len(m[0])))
    return [(guess, found) for found, guess in best[:KEPT]]


@dataclass
class _Changes:
    """Changes of an order, drawn at random."""

    guesser: Guesses[Visit, Scored]
    near: float
    _beside: dict[int, list[Visit]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.visits = self.guesser.visits
        self.twice = [v for v in self.visits if v.opens and v.yard in self.guesser.twice_yards]

    def one(self, rng: Random, order: Order) -> Order:
        """One change of an order; of the yards where hives may be worked in two passes now and then both
        visits are put in, one to set combs above an excluder and one to collect them."""
        if self.twice and rng.random() < BOTH:
            both = rng.choice(self.twice)
            i, j = sorted(rng.randint(0, len(order)) for _ in range(2))
            return (*order[:i], both, *order[i:j], both, *order[j:])
        n, draw = len(order), rng.random()
        if not n or draw < 0.25:
            at = rng.randint(0, n)
            return (*order[:at], self._visit(rng, order, at), *order[at:])
        i = rng.randrange(n)
        rest = order[:i] + order[i + 1 :]
        if draw < 0.4:
            return rest
        if draw < 0.65:
            return (*order[:i], self._visit(rng, rest, i), *order[i + 1 :])
        if draw < 0.8:
            at = rng.randint(0, n - 1)
            return (*rest[:at], order[i], *rest[at:])
        if draw < 0.9:
            j = rng.randrange(n)
            a, b = min(i, j), max(i, j)
            return (*order[:a], *reversed(order[a : b + 1]), *order[b + 1 :])
        changed = Visit(order[i].yard, not order[i].opens)
        return (*order[:i], changed, *order[i + 1 :]) if changed in self.visits else order

    def _visit(self, rng: Random, order: Order, at: int) -> Visit:
        """A visit to put in before that of `order` at a place: any, or one near a visit beside it."""
        if not self.near or not order or rng.random() >= self.near:
            return rng.choice(self.visits)
        yard = order[min(len(order) - 1, max(0, at - rng.randint(0, 1)))].yard
        if yard not in self._beside:
            drive = self.guesser.case.travel.drive_s[yard + 1]
            nearest = sorted(self.visits, key=lambda v: (int(drive[v.yard + 1]), v.yard, v.opens))
            self._beside[yard] = nearest[:NEAREST]
        beside = self._beside[yard]
        return beside[int(rng.random() ** 2 * len(beside))]
