"""Broken twins of R12 and R14: queens and cells in stock, and the weeks after."""

from dataclasses import replace
from datetime import timedelta

from routeplan.audit import audit
from routeplan.operation.world import Stock
from tests.tiny import DAY, tiny_operation, tiny_plan


def found(stock: Stock) -> list[tuple[str, float]]:
    operation = tiny_operation()
    operation = replace(operation, stock=(*operation.stock, stock))
    return [(v.rule, v.amount) for v in audit(operation, tiny_plan())]


def test_mated_queens_that_are_not_there() -> None:
    assert found(Stock("mated queen", "", 2)) == []
    assert found(Stock("mated queen", "", 1)) == [("R12", 1)]
    assert found(Stock("mated queen", "", 9, from_day=DAY + timedelta(days=1))) == [("R12", 2)]
    assert found(Stock("mated queen", "", 9, until_day=DAY - timedelta(days=1))) == [("R12", 2)]


def test_the_weeks_after_told_wrong() -> None:
    plan = tiny_plan()
    borehole, cedar = plan.after
    less = replace(plan, after=(borehole, replace(cedar, trips=2)))
    assert ("R14", 1) in [(v.rule, v.amount) for v in audit(tiny_operation(), less)]
    missing = replace(plan, after=(borehole,))
    assert ("R14", 1) in [(v.rule, v.amount) for v in audit(tiny_operation(), missing)]
    few = replace(plan, after=(borehole, replace(cedar, few_s=120)))
    assert ("R14", 60) in [(v.rule, v.amount) for v in audit(tiny_operation(), few)]
