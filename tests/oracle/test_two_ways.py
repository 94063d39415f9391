"""The judges of the planner against each other: the complete model and the enumeration answer the same."""

from collections import Counter
from dataclasses import replace

import pytest

from routeplan.operation.settings import ShutIn
from routeplan.operation.world import Operation, Weather
from tests.oracle import enumerate as trying
from tests.oracle import exact
from tests.seeded import DAY, is_scarce, small_operation

SHORT = range(44, 64)
LONG = range(110)


def differences(seeds: range) -> list[str]:
    """Solve the tiny operations both ways: one sentence a difference."""
    wrong = []
    for seed in seeds:
        operation = small_operation(seed, tiny=True)
        model, tried = exact.best(operation), trying.best(operation)
        if not isinstance(model, exact.Answer) or (model.placed, model.counted_s) != tried:
            wrong.append(f"tiny seed {seed}: model {model}, trying everything {tried}")
    return wrong


def test_both_ways_agree() -> None:
    assert differences(SHORT) == []


@pytest.mark.long
def test_both_ways_agree_on_many() -> None:
    assert differences(LONG) == []


def lifted(operation: Operation) -> dict[str, Operation]:
    """The same operation with one limit taken away, by the name of the limit."""
    crew, settings = operation.crew, operation.settings
    open_yards = tuple(replace(y, opens_min=None, closes_min=None) for y in operation.yards)
    no_room = tuple(replace(y, room=None) for y in operation.yards)
    rides = replace(settings, shut_in=ShutIn(screened_min=(1440.0,) * 4))
    return {
        "places": replace(operation, crew=replace(crew, places=None)),
        "shut in": replace(operation, settings=rides, weather=(Weather(DAY, None, 10.0),)),
        "yard hours": replace(operation, yards=open_yards),
        "hive hours": replace(operation, crew=replace(crew, hives_from_min=0, hives_until_min=1440)),
        "day": replace(operation, crew=replace(crew, start_min=0, end_min=1440)),
        "room": replace(operation, yards=no_room),
        "distance": replace(operation, settings=replace(settings, minimum_distance_m=0.0)),
        "stock": replace(operation, stock=()),
    }


def binding(operation: Operation, seconds: float = 20.0) -> list[str]:
    """Name the limits without which the answer is another one."""
    truth = exact.best(operation, seconds)
    if isinstance(truth, exact.Unproved):
        return []
    names = []
    for name, freer in lifted(operation).items():
        answer = exact.best(freer, seconds)
        if isinstance(answer, exact.Answer) and (answer.placed, answer.paid_s) != (
            truth.placed,
            truth.paid_s,
        ):
            names.append(name)
    return names


@pytest.mark.long
def test_every_limit_binds_in_some_small_operation() -> None:
    seeds = [s for s in range(240) if is_scarce(s)]
    count = Counter(name for s in seeds for name in binding(small_operation(s, tiny=True)))
    names = set(lifted(small_operation(0)))
    assert set(count) == names, count
