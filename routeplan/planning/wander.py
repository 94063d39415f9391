"""Orders worth judging, found by simulated annealing over guesses (Kirkpatrick, Gelatt & Vecchi, Science 220,
1983): one visit put in, left out, changed, moved or exchanged at a time.

Steps are counted and the random numbers are seeded, so that the same input wanders the same way.
"""

from math import log
from random import Random

from routeplan.planning.guess import Guess, Guesser
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order, Visit, orderly

STEPS, STEPS_A_VISIT = 4000, 100
"""Most steps, and steps for every visit there could be."""
HOT_S, COLD_S = 2000.0, 40.0
"""Seconds by which an order may be worse and still be taken one time in three, first and last."""
KEPT = 30
BOTH = 0.15
"""Share of the steps that put in two visits of a yard."""


def wander(
    guesser: Guesser, begin: Order, clock: Clock, most_visits: int, seed: int = 0
) -> list[tuple[Guess, Order]]:
    """Return the best orders met, best first, at most KEPT.

    Parameters
    ----------
    begin : where to start; may be empty.
    clock : where there is little time, the walk cools down the sooner.
    most_visits : visits of one yard.
    """
    rng = Random(seed)
    by_name = sorted(range(guesser.ground.yards), key=lambda y: guesser.case.operation.yards[y].id)
    visits = [Visit(y, True) for y in by_name if guesser.most[y]]
    visits += [Visit(y, False) for y in by_name if guesser.ground.room[y]]
    twice = [v for v in visits if v.opens and v.yard in guesser.twice_yards]
    steps = min(STEPS, STEPS_A_VISIT * len(visits))
    order, now = begin, guesser.of(begin)
    met: dict[Order, Guess] = {begin: now}
    for step in range(steps):
        if clock.over():
            break
        heat = HOT_S * (COLD_S / HOT_S) ** max(step / steps, clock.spent() / clock.seconds)
        near = _changed(rng, order, visits, twice)
        if near == order or not orderly(near, most_visits, guesser.twice_yards):
            continue
        most = now.score - heat * log(1.0 - rng.random())
        guess = met.get(near) or guesser.of(near, most)
        if guess.score <= most:
            order, now = near, guess
            met[near] = guess
    best = sorted(met.items(), key=lambda m: (m[1].score, len(m[0])))
    return [(guess, found) for found, guess in best[:KEPT]]


def _changed(rng: Random, order: Order, visits: list[Visit], twice: list[Visit]) -> Order:
    """One change of an order, drawn at random; of the yards `twice` now and then both visits are put in, one
    to set combs above an excluder and one to collect them."""
    if twice and rng.random() < BOTH:
        both = rng.choice(twice)
        i, j = sorted(rng.randint(0, len(order)) for _ in range(2))
        return (*order[:i], both, *order[i:j], both, *order[j:])
    n, draw = len(order), rng.random()
    if not n or draw < 0.25:
        at = rng.randint(0, n)
        return (*order[:at], rng.choice(visits), *order[at:])
    i = rng.randrange(n)
    rest = order[:i] + order[i + 1 :]
    if draw < 0.4:
        return rest
    if draw < 0.65:
        return (*order[:i], rng.choice(visits), *order[i + 1 :])
    if draw < 0.8:
        at = rng.randint(0, n - 1)
        return (*rest[:at], order[i], *rest[at:])
    if draw < 0.9:
        j = rng.randrange(n)
        a, b = min(i, j), max(i, j)
        return (*order[:a], *reversed(order[a : b + 1]), *order[b + 1 :])
    changed = Visit(order[i].yard, not order[i].opens)
    return (*order[:i], changed, *order[i + 1 :]) if changed in visits else order
