"""For each rule, plans broken in that rule only are caught, with the right amount."""

import pytest

from routeplan.audit import RULES, audit
from routeplan.audit.violation import Violation
from tests.audit.broken import BROKEN
from tests.audit.edit import ruled
from tests.tiny import tiny_operation, tiny_plan

TWINS = [
    pytest.param(rule, *twin, id=f"{rule} {twin[0]}") for rule, build in BROKEN.items() for twin in build()
]


def test_day_worked_out_by_hand_holds() -> None:
    assert audit(tiny_operation(), tiny_plan()) == []


def test_every_rule_has_a_broken_twin() -> None:
    asked = {"form", *(f"R{n}" for n in range(1, 12)), "R13"}
    assert {rule for rule, _ in RULES} == asked | {"R12", "R14", "R15", "R16", "R18"}
    # twins: R12, R14 in test_queens.py, R15 in broken_excluder.py, R16 in test_floors.py, test_sale.py,
    # R18 in test_skips.py
    assert set(BROKEN) == asked
    assert all(build() for build in BROKEN.values())


@pytest.mark.parametrize(("rule", "_what", "operation", "plan", "amounts"), TWINS)
def test_only_that_rule_fires(rule, _what, operation, plan, amounts) -> None:  # type: ignore[no-untyped-def]
    found = [v for v in audit(operation, ruled(operation, plan)) if rule == "R3" or not _on_sight(v)]
    assert {v.rule for v in found} == {rule}, [v.sentence() for v in found]
    assert [v.amount for v in found] == pytest.approx(amounts, abs=1e-6), [v.sentence() for v in found]
    assert all(v.sentence().startswith(f"{rule}: ") and v.unit for v in found)


def _on_sight(violation: Violation) -> bool:
    """Whether it only says that a standby could now give more: tried by itself in test_standby.py."""
    return violation.rule == "R3" and "is not named as a standby" in violation.what
