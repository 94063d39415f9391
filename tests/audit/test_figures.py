"""No number or name in a plan is free: each one changed alone is noticed."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from routeplan.audit import audit
from routeplan.audit.form import WORDS
from routeplan.plan import Plan, Proof, Split, Stop, Totals
from tests.tiny import tiny_operation, tiny_plan

FREE = {"title", "notes", "reason", "rule"}
"""Words for people that no rule can hold to anything."""


def changed(thing: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every copy of `thing` with one number one higher or lower, one yes a no, or one text another."""
    if is_dataclass(thing) and not isinstance(thing, type):
        for f in fields(thing):
            if f.name not in FREE:
                for where, value in changed(getattr(thing, f.name), f"{path}.{f.name}"):
                    yield where, replace(thing, **{f.name: value})
    elif isinstance(thing, tuple):
        for i, part in enumerate(thing):
            for where, value in changed(part, f"{path}[{i}]"):
                yield where, (*thing[:i], value, *thing[i + 1 :])
        is_pair = len(thing) == 2 and isinstance(thing[0], str)  # a kind and its frames, a hive and its way
        is_pair = is_pair and (isinstance(thing[1], int | float) or ".ways[" in path)
        for i in range(0 if is_pair else len(thing)):
            yield f"{path} without {i}", thing[:i] + thing[i + 1 :]
    elif isinstance(thing, bool):
        yield f"{path} not", not thing
    elif isinstance(thing, int):
        yield f"{path} + 1", thing + 1
        yield f"{path} - 1", thing - 1
    elif isinstance(thing, str):
        yield f"{path} renamed", thing + "?"


ONE_OFF = [pytest.param(where, plan, id=where) for where, plan in changed(tiny_plan())]


def _is_free(where: str) -> bool:
    """A hive that gives nothing need not be listed; a zero need not be said."""
    silent = any(f".hives[{i}]" in where for i in (2, 3, 5)) and " without " in where
    return silent or where in {f".hives without {i}" for i in (2, 3, 5)}


@pytest.mark.parametrize(("where", "plan"), ONE_OFF)
def test_one_changed_number_or_name_is_noticed(where: str, plan: Plan) -> None:
    found = audit(tiny_operation(), plan)
    assert bool(found) is not _is_free(where)


def test_every_number_has_words() -> None:
    """Each whole number of a stop and of the day can be named to a person."""
    for kind in (Stop, Totals, Proof):
        numbers = {f.name for f in fields(kind) if f.type in (int, int | None)}
        assert numbers <= WORDS.keys()
    assert WORDS.keys() <= {f.name for kind in (Stop, Totals, Proof, Split) for f in fields(kind)}


@pytest.mark.parametrize(
    "name", ["drive_s", "hive_s", "make_s", "place_s", "yard_s", "wait_s", "frames_taken"]
)
def test_a_total_off_by_seven(name: str) -> None:
    plan = tiny_plan()
    right = getattr(plan.totals, name)
    (found,) = audit(tiny_operation(), replace(plan, totals=replace(plan.totals, **{name: right + 7})))
    assert (found.rule, found.amount) == ("R13", 7)


def test_best_count_must_be_proved() -> None:
    plan = tiny_plan()
    (found,) = audit(tiny_operation(), replace(plan, proof=replace(plan.proof, most_splits=4)))
    assert (found.rule, found.amount, found.unit) == ("R13", 1, "splits")
    feasible = replace(plan.proof, most_splits=4, count_status="feasible", status="feasible", bound_s=9000)
    assert audit(tiny_operation(), replace(plan, proof=feasible)) == []


def test_no_plan_has_no_stops() -> None:
    plan = tiny_plan()
    (found,) = audit(tiny_operation(), replace(plan, proof=replace(plan.proof, status="none")))
    assert (found.rule, found.amount, found.unit) == ("R13", 3, "stops")
