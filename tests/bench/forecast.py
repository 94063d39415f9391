"""How long the forecast takes: 5,000 colonies over 120 days, best of five.

python -m tests.bench.forecast
"""

import time

import numpy as np

from routeplan.colony.forecast import forecast
from routeplan.operation.colony_settings import Forecast
from tests.colony.colonies import random_colonies

COLONIES, DAYS, LIMIT_S = 5_000, 120, 2.0


def seconds(runs: int = 5) -> float:
    """Least processor seconds of some runs."""
    start = random_colonies(np.random.default_rng(1), COLONIES, DAYS)
    taken = []
    for _ in range(runs):
        begun = time.process_time()
        forecast(start, Forecast(), DAYS)
        taken.append(time.process_time() - begun)
    return min(taken)


if __name__ == "__main__":
    print(f"{COLONIES:,} colonies x {DAYS} days: {seconds():.2f} s")
