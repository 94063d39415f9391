"""Colonies for tests of the forecast."""

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.forecast import Colonies, even_brood

Floats = NDArray[np.float64]


def colonies(days: int, **given: Any) -> Colonies:
    """Fed colonies of 7,700 bees, a frame each of capped and open brood; `given` replaces, (n,) or one value.

    Besides the fields of Colonies: eggs, larvae, capped.
    """
    stages = {"eggs": 2000.0, "larvae": 4000.0, "capped": 6000.0}
    values: dict[str, Any] = {
        "house": 6600.0,
        "foragers": 1100.0,
        "laying_from": 25,
        "laying_per_day": 1500.0,
        "room": 24_000.0,
        "honey_g": 2700.0,
        "fed": True,
    }
    plain = {k: np.asarray(v) for k, v in (stages | values | given).items() if k not in ("flow", "brood")}
    n = max((len(v) for v in plain.values() if v.ndim), default=1)
    full = {k: np.broadcast_to(v, n).copy() for k, v in plain.items()}
    brood = even_brood(*(full.pop(k).astype(float) for k in stages))
    floats = {k: full[k].astype(float) for k in ("house", "foragers", "laying_per_day", "room", "honey_g")}
    whole = Colonies(
        **floats,
        brood=given.get("brood", brood),
        laying_from=full["laying_from"].astype(np.int64),
        fed=full["fed"].astype(bool),
        flow=np.broadcast_to(np.asarray(given.get("flow", True)), (n, days)).copy(),
    )
    return replace(whole)


def random_colonies(rng: np.random.Generator, n: int, days: int) -> Colonies:
    """Colonies of every kind: strong and weak, laying or not, hungry or fed."""
    return colonies(
        days,
        house=rng.uniform(0, 30_000, n),
        foragers=rng.uniform(0, 9_000, n),
        eggs=rng.uniform(0, 4_000, n),
        larvae=rng.uniform(0, 8_000, n),
        capped=rng.uniform(0, 20_000, n),
        laying_from=rng.choice([-5, 0, 5, 15, 25, 30, 1_000_000], n),
        laying_per_day=rng.uniform(0, 2_000, n),
        room=rng.uniform(0, 60_000, n),
        honey_g=rng.uniform(0, 9_000, n),
        fed=rng.random(n) < 0.5,
        flow=rng.random((n, days)) < 0.5,
    )
