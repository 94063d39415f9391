"""R17: plans made in mid-day, and twins of them that are broken (the day of tests/tiny.py)."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from routeplan.audit import audit, audited
from routeplan.audit.replan import lost
from routeplan.field.entries import Entry, Found
from routeplan.field.state import State
from routeplan.plan import Kept, Plan
from routeplan.planning.replan import plan_again
from tests.field.test_state import read, row

LEFT = row(at="10:33", stop=1, what="left")
SUSPECT = row(yard="Acacia", hive="A3", what="found", health="suspect")


def made(*rows: str) -> tuple[State, Plan]:
    state, faults = read(*rows)
    assert faults == []
    assert state is not None
    return state, plan_again(state, 5.0)


@pytest.fixture(scope="module")
def plain() -> tuple[State, Plan]:
    """Acacia is done: S1 and S2 aboard."""
    return made(LEFT)


@pytest.fixture(scope="module")
def ill() -> tuple[State, Plan]:
    """Acacia is under suspicion: S1 stands at Borehole and is traced, S2 goes back."""
    return made(LEFT, row(at="11:00", stop=2, box=1, what="split_placed"), SUSPECT)


def with_done(plan: Plan, **changes: object) -> Plan:
    assert plan.done is not None
    return replace(plan, done=replace(plan.done, **changes))  # type: ignore[arg-type]


def of_rule(state: State, plan: Plan, rule: str) -> list[str]:
    return [v.what for v in audit(state.operation, plan) if v.rule == rule]


def test_both_hold(plain: tuple[State, Plan], ill: tuple[State, Plan]) -> None:
    for state, plan in (plain, ill):
        assert audited(state.operation, plan)[0] == []


def _unmade(plan: Plan) -> Plan:
    """S1, made at Acacia, is left out of the plan and of its stops."""
    stops = tuple(replace(s, places=tuple(x for x in s.places if x != "S1")) for s in plan.stops)
    return replace(plan, stops=stops, splits=tuple(s for s in plan.splits if s.id != "S1"))


def _earlier(plan: Plan) -> Plan:
    stops = (plan.stops[0], replace(plan.stops[1], arrive=plan.stops[0].depart - 60), *plan.stops[2:])
    return replace(plan, stops=stops)


def _asked_again(plan: Plan) -> Plan:
    stop = replace(plan.stops[2], yard="Acacia", opens=("A1",))
    return replace(plan, stops=(*plan.stops[:2], stop))


PLAIN_TWINS: tuple[tuple[str, Callable[[Plan], Plan], str], ...] = (
    ("more done than stops", lambda p: with_done(p, stops=9), "9 stops are said to be done, the plan has 3"),
    ("before the rest begins", _earlier, "stop 2 at Borehole begins before the rest of the day does"),
    (
        "done after the rest begins",
        lambda p: with_done(p, at=p.stops[0].depart - 60),
        "is done, and left after",
    ),
    (
        "an exception that is nowhere",
        lambda p: with_done(p, late=("S9",)),
        "split S9 is named among exceptions",
    ),
    (
        "shut in too long before it is made",
        lambda p: with_done(p, late=("S3",)),
        "split S3 is to be shut in too long",
    ),
    ("asked twice", _asked_again, "hive A1 at Acacia has given today and is opened again at stop 3"),
    (
        "back to a yard it is not from",
        lambda p: with_done(p, kept=(Kept("S1", "Borehole", "x"),)),
        "split S1 is to go back to Borehole, it has nothing from there",
    ),
    (
        "back, it says, and goes elsewhere",
        lambda p: with_done(p, kept=(Kept("S1", "Acacia", "x"),)),
        "split S1 is to go back to Acacia and does not",
    ),
)


@pytest.mark.parametrize(("name", "broken", "said"), PLAIN_TWINS, ids=[t[0] for t in PLAIN_TWINS])
def test_a_broken_twin(
    plain: tuple[State, Plan], name: str, broken: Callable[[Plan], Plan], said: str
) -> None:
    state, plan = plain
    found = of_rule(state, broken(plan), "R17")
    assert any(said in what for what in found), found


ILL_TWINS: tuple[tuple[str, Callable[[Plan], Plan], str], ...] = (
    ("not traced", lambda p: with_done(p, traced=()), "split S1 has frames from Acacia and is not traced"),
    ("in doubt and on its way", lambda p: with_done(p, kept=()), "health is in doubt: it may not go on"),
)


@pytest.mark.parametrize(("name", "broken", "said"), ILL_TWINS, ids=[t[0] for t in ILL_TWINS])
def test_a_broken_twin_in_doubt(
    ill: tuple[State, Plan], name: str, broken: Callable[[Plan], Plan], said: str
) -> None:
    state, plan = ill
    found = of_rule(state, broken(plan), "R17")
    assert any(said in what for what in found), found


def test_back_before_other_visits() -> None:
    """S1 and S2 go back last; brought back after Borehole, what clings to the truck would go on to Cedar."""
    state, plan = made(LEFT, SUSPECT)
    assert [s.yard for s in plan.stops] == ["Acacia", "Borehole", "Cedar", "Acacia"]
    first, second, third, back = plan.stops
    twin = replace(plan, stops=(first, second, back, third))
    found = of_rule(state, twin, "R17")
    assert any("split S1 goes back to Acacia before 1 other visit" in what for what in found), found


def test_going_back_excuses_nothing_but_its_own_visit(ill: tuple[State, Plan]) -> None:
    """The visit that brings S2 back may enter the yard in doubt; one that opens hives there may not."""
    state, plan = ill
    last = replace(plan.stops[-1], opens=("A4",), makes=("S9",))
    found = of_rule(state, replace(plan, stops=(*plan.stops[:-1], last)), "R4")
    assert any("visits Acacia, where health is suspected" in what for what in found), found


def test_a_rule_broken_by_what_is_done_is_told_and_one_by_the_rest_is_not(plain: tuple[State, Plan]) -> None:
    """A1 is found to keep too little after it gave; then B1 is said to give more than it may."""
    state, plan = plain
    hives = tuple(
        replace(h, count=replace(h.count, bees=10.0)) if h.id == "A1" else h for h in state.operation.hives
    )
    operation = replace(state.operation, hives=hives)
    own, told = audited(operation, plan)
    assert {(v.rule, v.where) for v in told} == {("R1", ("Acacia", "A1"))}
    assert {v.rule for v in own} <= {"R13", "R3"}  # what A1 could give is told of the count before
    takes = tuple(replace(t, frames=3) if t.kind == "capped" else t for t in plan.stops[1].takes)
    worse = replace(plan, stops=(plan.stops[0], replace(plan.stops[1], takes=takes), plan.stops[2]))
    own, _ = audited(operation, worse)
    assert any(v.rule == "R1" and v.where == ("Borehole", "B1") for v in own)


def test_what_was_written_down_is_in_the_plan(plain: tuple[State, Plan]) -> None:
    state, plan = plain
    entries = (
        Entry("frame_taken", hive="A1", box=1, found=Found(capped=1.0, open=1.0, food=1.0, bees=2.0)),
        Entry("split_made", box=1),
    )
    assert lost(plan, entries, state.plan) == []
    assert [v.what for v in lost(_unmade(plan), entries, state.plan)] == [
        "box 1 is made and not among what is done",
        "split S1 has frames from Acacia and is lost",
    ]
    other = Entry("frame_taken", hive="A1", box=1, found=Found(capped=2.0))
    assert [v.what for v in lost(plan, (other,), state.plan)] == [
        "split S1 got other frames at Acacia than noted"
    ]
    placed = Entry("split_placed", box=1)
    assert [v.what for v in lost(plan, (placed,), state.plan)] == ["box 1 is placed and is placed again"]
