"""The rules a donor's gives must keep, each one function over all hives and all gives at once.

A rule sees counts as columns (hives x 1) and gives as rows (1 x gives) and returns where it allows the give.
Unknown counts are NaN and allow nothing.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from routeplan.operation.settings import KeepBack, Settings

EPS = 1e-6
COVER_WORDS = "bees to cover its brood"
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Look:
    """Counts as columns, gives as rows: capped, pure open, food frames, shakes, mixed frames."""

    bees: Floats
    capped: Floats
    open: Floats
    food: Floats
    c: Floats
    o: Floats
    f: Floats
    s: Floats
    x: Floats
    no_capped: Bools
    no_food: Bools
    keep: KeepBack
    settings: Settings

    @property
    def brood(self) -> Floats:
        return self.capped + self.open

    @property
    def brood_out(self) -> Floats:
        return self.c + self.o + self.x

    @property
    def bees_left(self) -> Floats:
        bees = self.settings.bees
        out = bees.per_brood_frame * self.brood_out + bees.per_food_frame * self.f + bees.per_shake * self.s
        return self.bees - out


def _capped_there(x: Look) -> Bools:
    whole = (x.c == 0) | (x.c <= np.floor(x.capped + EPS))
    return np.asarray(whole & ((x.x == 0) | (x.c + 0.5 * x.x <= x.capped + EPS)))


def _open_there(x: Look) -> Bools:
    whole = (x.o == 0) | (x.o <= np.floor(x.open + EPS))
    return np.asarray(whole & ((x.x == 0) | (x.o + 0.5 * x.x <= x.open + EPS)))


def _food_there(x: Look) -> Bools:
    return np.asarray((x.f == 0) | (x.f <= np.floor(x.food + EPS)))


def _keeps_bees(x: Look) -> Bools:
    return x.bees_left >= x.keep.bees - EPS


def _keeps_brood(x: Look) -> Bools:
    return x.brood - x.brood_out >= x.keep.brood - EPS


def _keeps_open(x: Look) -> Bools:
    keep = x.keep.open
    return np.asarray(
        (x.open - x.o - 0.5 * x.x - x.settings.mixed.open_with_capped * x.c >= keep - EPS) | (keep <= 0)
    )


def _keeps_food(x: Look) -> Bools:
    keep = x.keep.food
    return np.asarray(
        (x.food - x.f - x.settings.mixed.food_with_brood * x.brood_out >= keep - EPS) | (keep <= 0)
    )


def _keeps_cover(x: Look) -> Bools:
    return x.bees_left >= x.brood - x.brood_out + x.settings.bees.cover_over_brood - EPS


def _few_brood(x: Look) -> Bools:
    limits = x.settings.limits
    strong = (x.brood >= limits.strong_from_brood - EPS) & (x.settings.season != "early spring")
    return x.brood_out <= np.where(strong, limits.brood_per_strong_donor, limits.brood_per_donor)


def _brood_share(x: Look) -> Bools:
    return x.brood_out <= x.settings.limits.brood_share * x.brood + EPS


def _few_food(x: Look) -> Bools:
    return x.f <= x.settings.limits.food_per_donor


def _few_shakes(x: Look) -> Bools:
    return x.s <= x.settings.limits.shakes_per_donor


def _mites_low(x: Look) -> Bools:
    return np.asarray(~x.no_capped | (x.c == 0))


def _not_treated(x: Look) -> Bools:
    return np.asarray(~x.no_food | (x.f == 0))


RULES: tuple[tuple[str, Callable[[Look], Bools]], ...] = (
    ("mites: treat first, no capped brood leaves", _mites_low),
    ("under treatment: no food frames leave", _not_treated),
    ("no more capped brood", _capped_there),
    ("no more open brood", _open_there),
    ("no more food frames", _food_there),
    ("brood it must keep", _keeps_brood),
    ("open brood it must keep", _keeps_open),
    ("bees it must keep", _keeps_bees),
    (COVER_WORDS, _keeps_cover),
    ("food it must keep", _keeps_food),
    ("most brood frames from one hive", _few_brood),
    ("never over a third of its brood", _brood_share),
    ("most food frames from one hive", _few_food),
    ("most shakes from one hive", _few_shakes),
)
