"""The frame around a simple planner of the benchmark: the operation in, the outcome out as a line of JSON."""

import argparse
import json
from collections.abc import Callable
from dataclasses import dataclass

from routeplan.operation.world import Operation
from tests.practice import PRACTICE_REGIMES, practice_operation
from tests.seeded import REGIMES, bench_operation


@dataclass(frozen=True)
class Outcome:
    """Splits placed, paid seconds and proven bound, and how it ended, in words; counted seconds (None: none).

    `by_class`: splits placed by priority class, the first class first.
    """

    placed: int
    paid_s: int | None
    bound_s: int | None
    status: str
    counted_s: int | None = None
    later_s: int | None = None
    by_class: tuple[int, ...] = ()


def run(planner: Callable[[Operation], Outcome], arguments: list[str]) -> None:
    """Plan the operation named on the command line and print the outcome."""
    parser = argparse.ArgumentParser()
    for name in ("yards", "hives", "splits"):
        parser.add_argument(name, type=int)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--practice", action="store_true")
    parser.add_argument("--regime", choices=sorted({*REGIMES, *PRACTICE_REGIMES}))
    wanted = parser.parse_args(arguments)
    make = practice_operation if wanted.practice else bench_operation
    operation = make(wanted.yards, wanted.hives, wanted.splits, wanted.seed, wanted.regime)
    print(json.dumps(vars(planner(operation))))
