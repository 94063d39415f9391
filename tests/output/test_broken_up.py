"""A hive that is broken up: what the sheet says at it, how its parts fare, who is looked at, what is loaded.

A1 of the day worked out by hand (tests/tiny.py) goes into S1, with its queen, and S2: 9.3 frames of bees, of
which 9.2 ride on frames and in shakes.
"""

import pytest

from routeplan.colony.queen_chance import chance
from routeplan.operation.settings import Queens
from routeplan.output.colonies import colonies
from routeplan.output.day import day_of
from routeplan.output.due import due_of
from routeplan.output.hive_work import hive_work
from routeplan.output.load import load
from routeplan.output.looks import looks
from tests.audit.edit import with_count
from tests.audit.sound import whole_hive

OPERATION, PLAN = whole_hive()
DAY = day_of(OPERATION, PLAN)


def test_the_card_says_that_nothing_stays() -> None:
    hive = next(h for h in OPERATION.hives if h.id == "A1")
    work = hive_work(DAY, PLAN.stops[0], hive)
    assert work.back == 0
    assert any("all its frames leave, no comb goes back" in line for line in work.stays)
    assert "leave it whole today: boxes 1–2 are not made" in " ".join(work.sure)


def test_parts_are_colonies_and_the_hive_is_gone() -> None:
    found = {one.name: one for one in colonies(DAY)}
    assert "hive A1 at Acacia" not in found
    ways = {one.name: one.way for one in found.values() if one.is_split}
    assert ways == {"box 1": "parent's", "box 2": "mated", "box 3": "raise own"}
    assert found["box 1"].half.laying_from < found["box 2"].half.laying_from
    assert found["box 2"].chance == chance("mated", Queens())


@pytest.mark.parametrize("bees", [9.3, 12.0, 15.0])
def test_bees_left_are_shared_out_but_for_those_that_fly(bees: float) -> None:
    """Whoever rides and whoever is shaken in is in the boxes; no more than half of the rest flies."""
    day = day_of(with_count(OPERATION, "A1", bees=bees), PLAN)
    parts = [one.half for one in colonies(day) if one.name in ("box 1", "box 2")]
    inside = sum(half.content.bees for half in parts)
    assert 9.2 <= inside <= bees
    assert inside == pytest.approx(9.2) if bees == 9.3 else inside > 9.2 + (bees - 9.2) / 4
    assert all(0 < half.foragers < 0.5 for half in parts)


def test_nobody_looks_at_the_hive_again() -> None:
    at_acacia = {h for look in looks(DAY) if look.yard == "Acacia" for h in look.hives}
    assert at_acacia == set()
    assert not any("A1" in due.look.hives for due in due_of([PLAN], Queens()))


def test_boxes_leave_home_with_the_combs_that_stay_in_them() -> None:
    combs = next(i for part in load(DAY) for i in part.items if i.what.startswith("Drawn comb or foundation"))
    assert combs.count == 2 + 2 + 5  # three of five places of S1 and S2 are for A1's frames
