"""R18: what falls away without a stop, on the day worked out by hand and broken in one row, by how much.

Without Acacia S1 and S2 are not made. Without Borehole S3 is not, and S1 and S2 lose their place: Cedar, stop
3, is 12 245 m from Acacia, has room for 4 and is opened at 43 086 s, 5076 s after Acacia was left (38 010 s).
Without Cedar S3 stays aboard and no stop comes after.
"""

from dataclasses import replace

import pytest

from routeplan.audit import audit
from routeplan.audit.violation import Violation
from routeplan.operation.world import Operation, Pair
from routeplan.plan import Plan, SetAbove, Skip
from routeplan.planning.skips import skips_of
from routeplan.planning.solve import plan_day
from tests.audit.edit import ruled, with_settings, with_yard
from tests.seeded import rich_operation
from tests.tiny import tiny_operation, tiny_plan

OP, PLAN = tiny_operation(), tiny_plan()
FIRST, SECOND, THIRD = PLAN.skips


def found(operation: Operation, plan: Plan) -> list[Violation]:
    return [v for v in audit(operation, plan) if v.rule == "R18"]


def with_rows(*rows: Skip) -> Plan:
    return replace(PLAN, skips=rows)


ROWS = [
    ("a split that is not made", replace(SECOND, not_made=()), 1),
    ("a split that is made", replace(THIRD, not_made=("S1",)), 1),
    ("a box left aboard", replace(THIRD, aboard=()), 1),
    ("a box too many", replace(FIRST, aboard=("S3",)), 1),
    ("a way out that is there", replace(SECOND, elsewhere=(("S1", 3),)), 1),
    ("a way out that is not there", replace(THIRD, elsewhere=(("S3", 2),)), 1),
    ("another way out", replace(SECOND, elsewhere=(("S1", 3), ("S2", 1))), 2),
    ("a stop that has work", replace(FIRST, needless=(2,)), 1),
    ("a box twice", replace(THIRD, aboard=("S3", "S3")), 1),
]


@pytest.mark.parametrize(("row", "amount"), [pytest.param(r, n, id=what) for what, r, n in ROWS])
def test_a_row_that_is_wrong(row: Skip, amount: int) -> None:
    rows = tuple(row if row.stop == one.stop else one for one in PLAN.skips)
    assert [(v.amount, v.rule) for v in audit(OP, with_rows(*rows))] == [(amount, "R18")]


def test_each_stop_has_one_row() -> None:
    assert [v.amount for v in found(OP, with_rows(FIRST, THIRD))] == [1]
    assert [v.amount for v in found(OP, with_rows(FIRST, SECOND, SECOND, THIRD))] == [1]
    assert [v.amount for v in found(OP, with_rows(*PLAN.skips, replace(THIRD, stop=4)))] == [1]


NEAR = replace(OP, pairs=(*OP.pairs, Pair("Acacia", "Cedar", flying_m=4000.0)))
BOTH = (("S1", 3), ("S2", 3))


def _shut(minutes: int) -> Operation:
    return with_settings(OP, "shut_in", screened_min=(minutes,) * 4)


@pytest.mark.parametrize(
    ("operation", "elsewhere", "needless"),
    [
        pytest.param(with_yard(OP, "Cedar", room=1), (("S1", 3),), (), id="room for one"),
        pytest.param(with_yard(OP, "Cedar", room=0), (), (3,), id="no room"),
        pytest.param(NEAR, (), (3,), id="too near"),
        pytest.param(_shut(84), (), (3,), id="shut in a minute too long"),
        pytest.param(_shut(85), BOTH, (), id="just in time"),
    ],
)
def test_where_boxes_can_go_instead(
    operation: Operation, elsewhere: tuple[tuple[str, int], ...], needless: tuple[int, ...]
) -> None:
    """5076 s are 84.6 minutes; the planner says the same as the audit, from its own distances."""
    right = replace(SECOND, elsewhere=elsewhere, needless=needless)
    assert ruled(operation, PLAN).skips[1] == right
    assert skips_of(operation, PLAN)[1] == right
    wrong = len(elsewhere) != 2
    assert bool(found(operation, PLAN)) is wrong
    assert found(operation, with_rows(FIRST, right, THIRD)) == []


def test_an_order_with_a_yard_of_its_own_goes_nowhere_else() -> None:
    orders = (replace(OP.orders[0], to_yard="Borehole"), *OP.orders[1:])
    fixed = replace(OP, orders=orders)
    assert ruled(fixed, PLAN).skips[1].elsewhere == ()
    assert skips_of(fixed, PLAN)[1].elsewhere == ()


def test_a_first_pass_left_out_takes_the_second_with_it() -> None:
    """B1 set above an excluder at a visit before: without that its frames cannot be collected."""
    before = replace(
        PLAN.stops[1], places=(), makes=(), opens=(), takes=(), sets=(SetAbove("B1", 1, 1, 39000),)
    )
    plan = replace(PLAN, stops=(before, *PLAN.stops))
    assert ruled(OP, plan).skips[0].not_made == ("S3",)
    assert skips_of(OP, plan)[0].not_made == ("S3",)


@pytest.mark.parametrize("seed", range(6))
def test_days_planned_say_it_right(seed: int) -> None:
    operation = rich_operation(seed, True)
    plan = plan_day(operation, 4.0)
    assert [s.stop for s in plan.skips] == list(range(1, len(plan.stops) + 1))
    assert found(operation, plan) == []
    assert len(found(operation, replace(plan, skips=()))) == len(plan.stops)
