"""Situations beekeepers describe, as the audit must see them. All yards are invented."""

from dataclasses import replace

import pytest
from geopy.distance import geodesic, great_circle

from routeplan.audit import audit
from routeplan.audit.roads import Roads
from routeplan.operation.settings import MILE_M
from routeplan.operation.world import Kit, Operation, Pair, Place, Yard
from routeplan.plan import Plan, Unplaced
from tests.audit.edit import (
    with_count,
    with_hive,
    with_settings,
    with_split,
    with_stock,
    with_stop,
    with_yard,
)
from tests.tiny import tiny_operation, tiny_plan

OP, PLAN = tiny_operation(), tiny_plan()
PLACES = {
    "Creek": Place(45.1000, -75.4000),
    "Mill": Place(45.1200, -75.3770),
    "Ridge": Place(45.1390, -75.3480),
    "Orchard": Place(45.0480, -75.4650),
    "Far": Place(45.1000, -75.3000),
    "Edge": Place(45.1000, -75.3386),
}


def _moved(source: str, target: str, least_m: float, *pairs: Pair) -> list[tuple[float, str]]:
    """Put the parents' yard of S1 and S2 at `source` and their new one at `target`; return what R5 says."""
    operation = with_settings(replace(OP, pairs=pairs), "", minimum_distance_m=least_m)
    operation = with_yard(operation, "Acacia", place=PLACES[source])
    operation = with_yard(operation, "Borehole", place=PLACES[target])
    operation = with_yard(operation, "Cedar", place=Place(45.5, -75.0))
    return [(v.amount, v.what) for v in audit(operation, PLAN) if v.rule == "R5"]


def test_marked_suspect_after_planning() -> None:
    """A hive marked after planning: its splits are named; a whole yard: both donors and the visit."""
    (found,) = (v for v in audit(with_hive(OP, "A1", health="suspected"), PLAN) if v.rule == "R4")
    assert found.what == "hive A1 at Acacia gives to split S1, but its health is suspected"
    assert (found.amount, found.where) == (5, ("Acacia", "A1"))
    yard = [v.where for v in audit(with_yard(OP, "Acacia", health="suspected"), PLAN) if v.rule == "R4"]
    assert yard == [("Acacia",), ("Acacia", "A1"), ("Acacia", "A2")]


def test_what_is_short_is_said_in_frames() -> None:
    (found,) = audit(with_count(OP, "A2", bees=12.0), PLAN)
    assert found.sentence() == (
        "R1: hive A2 at Acacia keeps 7.90 frames of bees, at least 8.00 needed: 0.10 short"
    )


def test_a_drive_too_short_is_said_from_where_to_where() -> None:
    first, home = with_stop(PLAN, 1, drive_s=600), replace(PLAN.totals, home_drive_s=1600)
    said = [v.what for p in (first, replace(PLAN, totals=home)) for v in audit(OP, p) if v.rule == "R8"]
    assert said == [
        "the drive from home to Acacia is given as 10 min, it takes 11 min 41 s: 1 min 41 s short",
        "the drive from Cedar to home is given as 26 min 40 s, it takes 27 min 36 s: 56 s short",
    ]


def test_one_hive_in_two_splits_is_traced_to_both() -> None:
    takes = tuple(
        replace(t, split="S2") if (t.hive, t.kind) == ("A1", "food") else t for t in PLAN.stops[0].takes
    )
    plan = with_stop(PLAN, 1, takes=takes)
    (found,) = (v for v in audit(with_hive(OP, "A1", health="suspected"), plan) if v.rule == "R4")
    assert found.what == "hive A1 at Acacia gives to splits S1, S2, but its health is suspected"


@pytest.mark.parametrize(
    ("target", "miles"), [("Mill", 1.78), ("Ridge", 3.70), ("Orchard", 4.80), ("Far", 4.89)]
)
def test_three_miles_or_three_kilometres(target: str, miles: float) -> None:
    """Creek to Mill is 1.78 mi (2.87 km): refused at 3 mi and at 3 km. The others are far enough."""
    far_m = geodesic((45.1, -75.4), (PLACES[target].lat, PLACES[target].lon)).meters
    assert far_m / MILE_M == pytest.approx(miles, abs=0.005)
    for least_m in (3 * MILE_M, 3000.0):
        found = _moved("Creek", target, least_m)
        if target == "Mill":
            assert [amount for amount, _ in found] == pytest.approx([least_m - far_m] * 2, abs=1e-3)
        else:
            assert found == []


def test_the_sentence_tells_both_distances() -> None:
    found = _moved("Creek", "Mill", 3 * MILE_M)
    assert found[0][1] == (
        "split S1 from Acacia stands at Borehole, 2.87 km away; at least 4.83 km is asked: 1.96 km short"
    )
    miles = with_settings(OP, "", units="mi", minimum_distance_m=4.5 * MILE_M)
    first = next(v for v in audit(miles, PLAN) if v.rule == "R5")
    assert first.what.endswith("4.15 mi away; at least 4.50 mi is asked: 0.35 mi short")


def test_a_ridge_between_two_yards_counts_when_stated() -> None:
    assert _moved("Creek", "Mill", 3 * MILE_M, Pair("Acacia", "Borehole", flying_m=4828.032)) == []
    known = Pair("Borehole", "Acacia", flying_m=4000.0)
    assert [a for a, _ in _moved("Creek", "Ridge", 3 * MILE_M, known)] == pytest.approx([828.032] * 2)


def test_the_geodesic_decides_not_the_sphere() -> None:
    """Creek to Edge: geodesic 3.003 mi, great circle 2.994 mi, on opposite sides of 3 miles."""
    here, there = (45.1, -75.4), (45.1, -75.3386)
    assert geodesic(here, there).miles == pytest.approx(3.003, abs=5e-4)
    assert great_circle(here, there).miles == pytest.approx(2.994, abs=1e-3)
    assert _moved("Creek", "Edge", 3 * MILE_M) == []
    operation = with_yard(with_yard(OP, "Acacia", place=PLACES["Creek"]), "Borehole", place=PLACES["Edge"])
    assert Roads(operation).flying_m("Acacia", "Borehole") == pytest.approx(geodesic(here, there).m, abs=1e-4)


def _combs(deep: int, medium: int) -> list[tuple[float, str]]:
    """Splits that take `deep` combs in three boxes of which S3 is on medium frames with `medium` combs."""
    kits = (Kit("first", fill=deep - deep // 2), Kit("second", fill=deep // 2), Kit("third", fill=medium))
    plan = with_split(with_split(PLAN, "S1", kit="first"), "S2", kit="second")
    plan = with_split(plan, "S3", kit="third", frame="medium")
    stock = (*with_stock(with_stock(OP, "foundation", 4), "nuc box", 9).stock,)
    medium_stock = (replace(stock[1], frame="medium", count=2), replace(stock[2], frame="medium"))
    operation = replace(OP, kits=kits, stock=(*stock, *medium_stock))
    return [(v.amount, v.what) for v in audit(operation, plan) if v.rule == "R11"]


def test_frames_out_means_frames_in() -> None:
    """Stock: 6 drawn and 4 foundation deep, 2 medium. 8 deep and 2 medium are there; 11 and 3 are not."""
    assert _combs(8, 2) == []
    assert _combs(10, 2) == []
    assert _combs(11, 3) == [
        (1, "11 deep combs needed, 10 at home: 1 short"),
        (1, "3 medium combs needed, 2 at home: 1 short"),
    ]


def test_every_frame_taken_is_put_back() -> None:
    empty = with_stop(PLAN, 2, puts_back=())
    (found,) = audit(OP, empty)
    assert found.sentence() == "R11: stop 2: hive B1 at Borehole loses 3 and gets back 0 combs"


def _without_s3() -> Plan:
    """The plan with Cedar, the far yard, quietly dropped: Borehole only receives."""
    return replace(PLAN, splits=PLAN.splits[:2], stops=PLAN.stops[:2])


def test_a_yard_quietly_left_out() -> None:
    """Of six yards Cedar lies 140 km off and is dropped: said; accepted once its split is listed."""
    others = (Yard("Elm", Place(0.0, 36.3)), Yard("Fig", Place(0.0, 36.4)))
    operation: Operation = replace(OP, yards=(*OP.yards, *others))
    operation = with_yard(operation, "Cedar", place=Place(0.0, 36.0 + 140 / 111.3194908))
    dropped = _without_s3()
    (found,) = (v for v in audit(operation, dropped) if v.rule == "R10")
    assert found.what == (
        "order eggs asks for 1 split, 0 planned and 0 listed as not planned: 1 not accounted for"
    )
    listed = Unplaced("eggs", 1, "R8", "Cedar is too far for one day")
    listed_plan = replace(dropped, unplaced=(*dropped.unplaced, listed))
    assert [v for v in audit(operation, listed_plan) if v.rule == "R10"] == []


def test_a_drop_that_calls_itself_best() -> None:
    """Two splits planned and "no more can be placed" while the proof says three."""
    dropped = _without_s3()
    said = [v.what for v in audit(OP, dropped) if v.rule == "R13"]
    assert "2 splits are called the most possible, the proof says at most 3" in said
