"""The planner against the exact answer: the same splits per priority, and the same counted seconds."""

from collections.abc import Callable, Iterable

import pytest

from routeplan.audit import audit
from routeplan.operation.world import Operation
from routeplan.plan import Plan
from routeplan.planning.solve import plan_day
from tests.oracle import exact
from tests.seeded import is_scarce, rich_operation, small_operation, two_pass_operation

SHORT = range(24)
RICH_SHORT = range(16)
TWO_PASSES_SHORT = (7, 8, 9, 10, 16, 43)
"""Seeds of which most are best with combs above an excluder."""
TWO_PASSES_LONG = range(150)
LONG = range(240)
EXACT_SECONDS = 120.0


def placed(operation: Operation, plan: Plan) -> tuple[tuple[int, int], ...]:
    """Splits placed per priority, lowest number first."""
    priority = {o.id: o.priority for o in operation.orders}
    classes = sorted(set(priority.values()))
    return tuple((p, sum(priority[s.order] == p for s in plan.splits)) for p in classes)


def differences(
    make: Callable[[int], Operation], seeds: Iterable[int], exact_seconds: float
) -> tuple[list[str], list[int], int]:
    """Compare seed by seed: sentences about differences, seeds compared, how many were left open."""
    wrong, compared, open_ = [], [], 0
    for seed in seeds:
        operation = make(seed)
        truth = exact.best(operation, exact_seconds)
        if isinstance(truth, exact.Unproved):
            open_ += 1
            continue
        compared.append(seed)
        wrong += judge(seed, operation, truth, plan_day(operation, seconds=60.0))
    return wrong, compared, open_


def judge(seed: int, operation: Operation, truth: exact.Answer, plan: Plan) -> list[str]:
    """Say how a plan differs from the proved answer. A plan that claims no proof must still not be better."""
    found, counted_s, proof = placed(operation, plan), plan.totals.counted_s, plan.proof
    what = (
        f"seed {seed}: planned {found} for {counted_s} s (splits {proof.count_status}, time {proof.status}), "
    )
    what += f"exact {truth.placed} for {truth.counted_s} s, such as {'; '.join(truth.visits)}"
    if (found, counted_s) != (truth.placed, truth.counted_s):
        return [what]
    if proof.objective_s != counted_s:
        return [f"{what}: the proof is about {proof.objective_s} s"]
    most = sum(n for _, n in truth.placed)
    if most and (proof.bound_s > truth.counted_s or proof.most_splits < most):
        return [f"{what}: bound {proof.bound_s} s, most splits {proof.most_splits}"]
    return []


def report(wrong: list[str]) -> str:
    """One difference a line."""
    return "\n".join(["the planner differs from the exact answer", *wrong])


def test_same_as_exact_on_small_operations() -> None:
    wrong, compared, _ = differences(small_operation, SHORT, exact_seconds=8.0)
    assert not wrong, report(wrong)
    assert len(compared) >= len(SHORT) * 2 // 3, f"only {len(compared)} of {len(SHORT)} were proved"


def test_same_as_exact_on_rich_operations() -> None:
    wrong, compared, _ = differences(rich_operation, RICH_SHORT, exact_seconds=8.0)
    assert not wrong, report(wrong)
    assert len(compared) >= len(RICH_SHORT) * 2 // 3, f"only {len(compared)} of {len(RICH_SHORT)} were proved"


@pytest.mark.long
@pytest.mark.parametrize("make", [small_operation, rich_operation])
def test_same_as_exact_on_two_hundred_operations(make: Callable[[int], Operation]) -> None:
    wrong, compared, _ = differences(make, LONG, EXACT_SECONDS)
    assert not wrong, report(wrong)
    assert len(compared) >= 200
    assert sum(map(is_scarce, compared)) >= 100


def two_passes_differ(seeds: Iterable[int], exact_seconds: float) -> tuple[list[str], int, int]:
    """Compare seed by seed, plans audited: sentences about differences, how many were compared, and in how
    many of those combs are set above an excluder."""
    wrong, compared, above = [], 0, 0
    for seed in seeds:
        operation = two_pass_operation(seed)
        truth = exact.best(operation, exact_seconds)
        if isinstance(truth, exact.Unproved):
            continue
        plan = plan_day(operation, seconds=60.0)
        compared, above = compared + 1, above + any(stop.sets for stop in plan.stops)
        wrong += judge(seed, operation, truth, plan)
        wrong += [f"seed {seed}: {violation.sentence()}" for violation in audit(operation, plan)]
    return wrong, compared, above


def test_same_as_exact_with_excluders() -> None:
    wrong, compared, above = two_passes_differ(TWO_PASSES_SHORT, exact_seconds=20.0)
    assert not wrong, report(wrong)
    assert compared >= len(TWO_PASSES_SHORT) * 2 // 3
    assert above >= compared // 2


@pytest.mark.long
def test_same_as_exact_with_excluders_on_a_hundred_operations() -> None:
    wrong, compared, above = two_passes_differ(TWO_PASSES_LONG, EXACT_SECONDS)
    assert not wrong, report(wrong)
    assert (compared >= 100, above >= 25) == (True, True), f"{compared} compared, {above} with excluders"
