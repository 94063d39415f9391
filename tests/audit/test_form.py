"""Plans edited by hand: what does not fit together is said, and nothing is ever raised."""

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routeplan.audit import audit
from routeplan.plan import Plan, PutBack, Split, Take, from_json, to_json
from tests.audit.edit import with_split, with_stop
from tests.tiny import ACACIA, BOREHOLE, CEDAR, tiny_operation, tiny_plan

OP, PLAN = tiny_operation(), tiny_plan()
S1 = PLAN.splits[0]

EDITS = {
    "no yard is called Elm": with_stop(PLAN, 3, yard="Elm"),
    "split S9 is not in the list of splits": with_stop(PLAN, 3, places=("S3", "S9")),
    "there is no hive A9 at Acacia": with_stop(PLAN, 1, opens=("A1", "A2", "A9")),
    "there is no hive B1 at Acacia": with_stop(PLAN, 1, puts_back=(*ACACIA.puts_back, PutBack("B1", 1))),
    "no order is called gone": with_split(PLAN, "S1", order="gone"),
    "no kit is called jumbo": with_split(PLAN, "S1", kit="jumbo"),
    "not planned: no order is called gone": replace(
        PLAN, unplaced=(replace(PLAN.unplaced[0], order="gone"),)
    ),
    "split S1 is made 2 times, not once": with_stop(PLAN, 2, makes=("S3", "S1")),
    "split S1 is made 0 times, not once": with_stop(PLAN, 1, makes=("S2",)),
    "split S1 is placed 2 times, not once": with_stop(PLAN, 3, places=("S3", "S1")),
    "split S3 is placed 0 times, not once": with_stop(PLAN, 3, places=()),
    "split S4 is made 0 times, not once": replace(PLAN, splits=(*PLAN.splits, replace(S1, id="S4"))),
    "split S1 is listed 2 times": replace(PLAN, splits=(*PLAN.splits, S1)),
    "hive B1 gives to split S1, which is not made there": with_stop(
        PLAN, 2, takes=(*BOREHOLE.takes, Take("B1", "food", 1, "S1"))
    ),
    "gives -1 food": with_stop(PLAN, 1, takes=(*ACACIA.takes, Take("A1", "food", -1, "S1"))),
    "gives 'honey', which is no kind of frame": with_stop(
        PLAN, 1, takes=(*ACACIA.takes, Take("A1", "honey", 1, "S1"))
    ),
    "waiting is -5, below zero": with_stop(PLAN, 2, wait_s=-5),
    "the distance from its parents is -6679, below zero": with_split(PLAN, "S1", flying_m=-6679),
    "-1 combs go back into hive A1": with_stop(PLAN, 1, puts_back=(PutBack("A1", -1), PutBack("A2", 3))),
    "hive A1 at Acacia is opened 2 times": with_stop(PLAN, 1, opens=("A1", "A2", "A1")),
    "hive A3 at Acacia is opened and gives nothing": with_stop(PLAN, 1, opens=("A1", "A2", "A3")),
    "hive A2 at Acacia gives without being opened": with_stop(PLAN, 1, opens=("A1",)),
    "arriving at stop 2 is 32 min 35 s before leaving stop 1": with_stop(PLAN, 2, arrive=36055),
    "leaving stop 3 is 1 s before arriving at stop 3": with_stop(PLAN, 3, depart=42425),
    "being back is 1 s before leaving stop 3": replace(PLAN, totals=replace(PLAN.totals, back_home=43085)),
    "its donors is given as A1, A3, the stops say A1": with_split(PLAN, "S1", donors=("A1", "A3")),
    "the yard it comes from is given as Borehole": with_split(PLAN, "S1", from_yard="Borehole"),
    "no time when its boxes are opened": with_stop(PLAN, 3, opened=None),
    "boxes opened, and none placed": with_stop(PLAN, 1, opened=36000),
    "'perfect' is no word for how good": replace(PLAN, proof=replace(PLAN.proof, status="perfect")),
    "the plan's number of people is 3": replace(PLAN, people=3),
    "list of hives: there is no hive A9 at Acacia": replace(
        PLAN, hives=(*PLAN.hives, replace(PLAN.hives[0], hive="A9", gives=()))
    ),
    "hive A3 at Acacia stands there 2 times": replace(PLAN, hives=(*PLAN.hives, PLAN.hives[2])),
    "order later: 0 splits listed as not planned": replace(
        PLAN, unplaced=(*PLAN.unplaced, replace(PLAN.unplaced[0], count=0))
    ),
}


@pytest.mark.parametrize(("sentence", "plan"), EDITS.items())
def test_edited_by_hand(sentence: str, plan: Plan) -> None:
    said = [v.sentence() for v in audit(OP, plan) if v.rule == "form"]
    assert any(sentence in text for text in said), said


def test_stops_in_another_order() -> None:
    plan = replace(PLAN, stops=(BOREHOLE, ACACIA, CEDAR))
    rules = [v.rule for v in audit(OP, plan)]
    assert "form" in rules
    assert "R7" in rules  # S1 is placed at Borehole before it is made at Acacia


def test_empty_plan_is_judged() -> None:
    found = audit(OP, replace(PLAN, stops=(), splits=()))
    assert {v.rule for v in found} >= {"R10", "R13"}


TEXTS = st.sampled_from(
    ["S1", "S9", "Acacia", "Elm", "A1", "", "eggs", "shake", "optimal", "<b>", "three-frame"]
)


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_no_edit_raises(data: st.DataObject) -> None:
    """Any values of the right type, anywhere in plan.json: a list of violations comes back."""
    body = json.loads(to_json(PLAN))
    for _ in range(data.draw(st.integers(1, 4))):
        _scramble(data, body)
    plan = from_json(json.dumps(body))
    found = audit(OP, plan)
    assert all(v.rule and v.what and v.amount is not None for v in found)
    assert isinstance(found, list)
    assert all(v.unit for v in found)


def _scramble(data: st.DataObject, node: object) -> None:
    """Walk down to some value of plan.json and put another of its kind there."""
    while True:
        keys = list(node) if isinstance(node, dict) else list(range(len(node)))  # type: ignore[arg-type, call-overload]
        keys = [k for k in keys if k not in ("routeplan_plan", "day", "gap", "gap_influenced")]
        if not keys:
            return
        key = data.draw(st.sampled_from(keys))
        value = node[key]  # type: ignore[index]
        if isinstance(value, list) and value and data.draw(st.booleans()) and not _is_pair(value):
            value.append(value[0]) if data.draw(st.booleans()) else value.pop()
            return
        if isinstance(value, dict | list):
            node = value
            continue
        node[key] = _other(data, value)  # type: ignore[index]
        return


def _is_pair(value: list[object]) -> bool:
    return len(value) == 2 and isinstance(value[0], str) and isinstance(value[1], int | float | str)


def _other(data: st.DataObject, value: object) -> object:
    if isinstance(value, int):
        return data.draw(st.integers(-10, 10**6))
    if isinstance(value, str) and value[2:3] == ":":
        return data.draw(st.sampled_from(["00:00:00", "09:38:20", "23:59:59", "99:00:00"]))
    return data.draw(TEXTS) if isinstance(value, str) else value


@pytest.mark.parametrize(
    ("plan", "unit"),
    [
        (with_stop(PLAN, 2, wait_s=-5), "s"),
        (with_stop(PLAN, 2, opened=-5), "s"),
        (with_stop(PLAN, 2, drive_m=-5), "m"),
        (with_stop(PLAN, 2, full=-5), "count"),
    ],
)
def test_below_zero_has_its_unit(plan: Plan, unit: str) -> None:
    (found,) = (v for v in audit(OP, plan) if v.rule == "form" and "below zero" in v.what)
    assert (found.amount, found.unit) == (5, unit)


def test_split_that_names_what_is_not_there() -> None:
    ghost = Split("S7", "gone", "jumbo", "mated", "shallow", 9, 9, "Elm", "Oak", 5000, 10, ("X1",), "")
    rules = {v.rule for v in audit(OP, replace(PLAN, splits=(*PLAN.splits, ghost)))}
    assert "form" in rules
