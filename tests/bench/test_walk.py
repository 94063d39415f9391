"""The judge of staged planning counts as the project does and refuses broken days; it never beats proof."""

from dataclasses import replace

import pytest

from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.solve import plan_day
from tests.bench.staged import staged_day
from tests.bench.walk import Day, Made, Walk, WalkFaultError, judged, plus
from tests.oracle.meanings import Out
from tests.practice import practice_operation

KINDS = {
    "capped": "capped",
    "open": "open",
    "eggs": "open",
    "food": "food",
    "shake": "shakes",
    "queen": "queen",
}


def small_day(seed: int, regime: str | None = None) -> Operation:
    """A practical day of 6 yards and 5 splits."""
    return practice_operation(6, 40, 5, seed, regime)


def walk_of_plan(operation: Operation, plan: Plan) -> Walk:
    """A plan's day in the words of the judge."""
    rows = {o.id: i for i, o in enumerate(operation.orders)}
    takes: dict[str, dict[tuple[str, str], Out]] = {s.id: {} for s in plan.splits}
    for stop in plan.stops:
        for t in stop.takes:
            mine, key = takes[t.split], (stop.yard, t.hive)
            mine[key] = plus(mine.get(key, Out()), Out(**{KINDS[t.kind]: t.frames}))
    made = (Made(rows[s.order], s.made_at - 1, s.placed_at - 1, takes[s.id]) for s in plan.splits)
    return Walk(tuple(stop.yard for stop in plan.stops), tuple(made))


@pytest.mark.parametrize(("seed", "regime"), [(1, None), (2, None), (3, "no flow"), (4, "money")])
def test_a_plan_counts_the_same_by_the_judge(seed: int, regime: str | None) -> None:
    operation = small_day(seed, regime)
    plan = plan_day(operation, 10.0)
    assert plan.splits
    counted = judged(Day(operation), walk_of_plan(operation, plan))
    assert sum(counted.placed) == plan.totals.placed
    assert counted.paid_s <= plan.totals.paid_s
    assert counted.counted_s - counted.paid_s == plan.totals.counted_s - plan.totals.paid_s
    if plan.proof.status == "optimal":
        assert counted.paid_s == plan.totals.paid_s


@pytest.mark.parametrize("seed", range(1, 7))
def test_staged_never_beats_what_is_proved(seed: int) -> None:
    operation = small_day(seed)
    plan, found = plan_day(operation, 10.0), staged_day(operation)
    assert plan.proof.count_status == "optimal"
    if found is None:
        return
    walk, counted = found
    assert judged(Day(operation), walk) == counted
    assert sum(counted.placed) <= plan.proof.most_splits
    if sum(counted.placed) == plan.totals.placed:
        assert counted.counted_s >= plan.proof.bound_s


@pytest.fixture(scope="module")
def sound() -> tuple[Day, Walk]:
    """A day in stages that keeps every rule."""
    operation = small_day(1)
    found = staged_day(operation)
    assert found is not None
    return Day(operation), found[0]


def test_without_a_fault_it_is_judged(sound: tuple[Day, Walk]) -> None:
    assert judged(*sound).counted_s > 0


def _changed(walk: Walk, **change: object) -> Walk:
    first, *others = walk.splits
    return replace(walk, splits=(replace(first, **change), *others))  # type: ignore[arg-type]


def test_a_missing_frame_is_refused(sound: tuple[Day, Walk]) -> None:
    day, walk = sound
    takes = dict(walk.splits[0].takes)
    key = next(k for k, out in takes.items() if out.capped)
    takes[key] = takes[key]._replace(capped=takes[key].capped - 1)
    with pytest.raises(WalkFaultError, match="kit is met"):
        judged(day, _changed(walk, takes=takes))


def test_a_hive_that_gives_too_much_is_refused(sound: tuple[Day, Walk]) -> None:
    day, walk = sound
    whole = day.boxes[walk.splits[0].order].out
    stripped = {next(iter(walk.splits[0].takes)): whole}
    every = tuple(replace(s, takes=stripped) if s.order == walk.splits[0].order else s for s in walk.splits)
    if sum(s.order == walk.splits[0].order for s in walk.splits) < 2:
        every = (*every, every[0])
    with pytest.raises(WalkFaultError):
        judged(day, replace(walk, splits=every))


def test_placed_before_it_is_made_is_refused(sound: tuple[Day, Walk]) -> None:
    day, walk = sound
    with pytest.raises(WalkFaultError, match="made before placed"):
        judged(day, _changed(walk, placed_at=walk.splits[0].made_at))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"places": 0}, "truck"),
        ({"hives_until_min": 661}, "hours"),
        ({"end_min": 700}, "hours"),
    ],
)
def test_truck_and_hours_are_kept(sound: tuple[Day, Walk], change: dict[str, int], said: str) -> None:
    day, walk = sound
    other = Day(replace(day.op, crew=replace(day.op.crew, **change)))  # type: ignore[arg-type]
    with pytest.raises(WalkFaultError, match=said):
        judged(other, walk)


def test_room_and_distance_are_kept(sound: tuple[Day, Walk]) -> None:
    day, walk = sound
    full = replace(day.op, yards=tuple(replace(y, room=0) for y in day.op.yards))
    with pytest.raises(WalkFaultError, match="room in the yards"):
        judged(Day(full), walk)
    near = replace(day.op, settings=replace(day.op.settings, minimum_distance_m=100_000.0))
    with pytest.raises(WalkFaultError, match="far enough"):
        judged(Day(near), walk)
