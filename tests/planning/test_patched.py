"""Boxes of a day planned again, filled one by one where there is no time: what hives give, counted again."""

from collections import Counter
from random import Random

import pytest

from routeplan.audit import audited
from routeplan.field.log import log_of
from routeplan.field.notes import Notes
from routeplan.field.state import state_of
from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning import patched
from routeplan.planning.boxes import LEAST, NEVER, Within, fill_boxes
from routeplan.planning.case import Case, case_of
from routeplan.planning.limits import Clock
from routeplan.planning.one_by_one import one_by_one
from routeplan.planning.replan import plan_again
from routeplan.planning.solve import plan_day
from tests.bench.surprises import KINDS
from tests.practice import practice_operation
from tests.seeded import bench_operation


def _yards(case: Case) -> list[tuple[int, frozenset[tuple[str, str]]]]:
    found = []
    for yard in range(len(case.operation.yards)):
        hives = frozenset(h.key for d in case.donors[yard] for h in d.hives)
        if hives:
            found.append((yard, hives))
    return found


@pytest.mark.parametrize("make", [bench_operation, practice_operation])
def test_boxes_filled_one_by_one_hold_what_their_kit_asks_for(make) -> None:  # type: ignore[no-untyped-def]
    case = case_of(make(12, 150, 8, 4), Clock(5.0))
    limits, filled = case.operation.settings.limits, 0
    for yard, hives in _yards(case):
        made = tuple(2 if k == 0 else 0 for k in range(len(case.demand.lines)))
        boxes = one_by_one(case, yard, made, hives)
        if boxes is None:
            continue
        filled += 1
        gives: dict[str, Counter[int]] = {}
        for box in boxes:
            got = [sum(n for _, k, n in box.takes if k == kind) for kind in range(case.demand.width)]
            assert tuple(got) == case.demand.need(box.line)
            assert len({h.key for h, _, _ in box.takes}) <= limits.donors_per_split
            for hive, kind, n in box.takes:
                gives.setdefault(hive.id, Counter())[kind] += n
        for donor in case.donors[yard]:
            for hive in donor.hives:
                give = gives.get(hive.id, Counter())
                assert any(all(give[k] <= n for k, n in enumerate(o.give)) for o in donor.options), hive.id
        best = fill_boxes(case, yard, (made,), Within((NEVER,), NEVER), 10.0, LEAST)
        assert best is not None
    assert filled


@pytest.fixture(scope="module")
def day() -> tuple[Operation, Plan]:
    operation = bench_operation(12, 150, 8, 4)
    return operation, plan_day(operation, 5.0)


@pytest.mark.parametrize("kind", KINDS)
def test_without_time_for_exact_filling_there_is_a_plan_all_the_same(
    day: tuple[Operation, Plan], kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    operation, plan = day
    try:
        surprise = KINDS[kind](Random(kind), plan)
    except IndexError:
        pytest.skip("the day has no visit of that kind")

    def no_time(*_: object) -> None:
        raise TimeoutError

    monkeypatch.setattr(patched, "fill_boxes", no_time)
    log, _ = log_of(operation, plan, [Notes(surprise.entries)])
    assert log is not None
    state, _ = state_of(operation, plan, log, None, surprise.at_s)
    assert state is not None
    new = plan_again(state, 1.0)
    violations, _ = audited(state.operation, new)
    assert [v.sentence() for v in violations] == []
    assert len(new.splits) == len(plan.splits)
