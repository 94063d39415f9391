"""The planner against the exact answer: the same splits per priority and the same paid seconds."""

import pytest

from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.solve import plan_day
from tests.oracle import exact
from tests.seeded import is_scarce, small_operation

SHORT = range(24)
LONG = range(240)
EXACT_SECONDS = 120.0


def placed(operation: Operation, plan: Plan) -> tuple[tuple[int, int], ...]:
    """Splits placed per priority, lowest number first."""
    priority = {o.id: o.priority for o in operation.orders}
    classes = sorted(set(priority.values()))
    return tuple((p, sum(priority[s.order] == p for s in plan.splits)) for p in classes)


def differences(seeds: range, exact_seconds: float) -> tuple[list[str], list[int], int]:
    """Compare seed by seed: sentences about differences, seeds compared, how many were left open."""
    wrong, compared, open_ = [], [], 0
    for seed in seeds:
        operation = small_operation(seed)
        truth = exact.best(operation, exact_seconds)
        if isinstance(truth, exact.Unproved):
            open_ += 1
            continue
        compared.append(seed)
        wrong += judge(seed, operation, truth, plan_day(operation, seconds=60.0))
    return wrong, compared, open_


def judge(seed: int, operation: Operation, truth: exact.Answer, plan: Plan) -> list[str]:
    """Say how a plan differs from the proved answer. A plan that claims no proof must still not be better."""
    found, paid_s, proof = placed(operation, plan), plan.totals.paid_s, plan.proof
    what = f"seed {seed}: planned {found} in {paid_s} s (splits {proof.count_status}, time {proof.status}), "
    what += f"exact {truth.placed} in {truth.paid_s} s, such as {'; '.join(truth.visits)}"
    if (found, paid_s) != (truth.placed, truth.paid_s):
        return [what]
    if truth.paid_s and (proof.bound_s > truth.paid_s or proof.most_splits < sum(n for _, n in truth.placed)):
        return [f"{what}: bound {proof.bound_s} s, most splits {proof.most_splits}"]
    return []


def report(wrong: list[str]) -> str:
    """One difference a line."""
    return "\n".join(["the planner differs from the exact answer", *wrong])


def test_same_as_exact_on_small_operations() -> None:
    wrong, compared, _ = differences(SHORT, exact_seconds=8.0)
    assert not wrong, report(wrong)
    assert len(compared) >= len(SHORT) * 2 // 3, f"only {len(compared)} of {len(SHORT)} were proved"


@pytest.mark.long
def test_same_as_exact_on_two_hundred_operations() -> None:
    wrong, compared, _ = differences(LONG, EXACT_SECONDS)
    assert not wrong, report(wrong)
    assert len(compared) >= 200
    assert sum(map(is_scarce, compared)) >= 100
