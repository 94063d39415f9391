"""The money of the day worked out by hand, and the same with one amount wrong, by how much.

1 euro a kilometre, 36 an hour (a cent a second), 20 a queen, 8 a cell, 1.50 a comb, 2 a kilogram of sugar and
4 kg a split. The day drives 57.887 km and pays 10 043 s; the two mated splits need queens; each of the three
kits goes out with 5 combs. Cedar has no flow on the day, Borehole has one.
  road 57.887, hours 100.43, queens 40.00, combs 15 x 1.50 = 22.50, sugar of one split 8.00
  trips after, five to Cedar (three looks, two to feed): 5 x (49.204 + 36.12) = 426.62
  in all 655.437, for each of three splits 218.479
  Acacia: 8.683 km and 38 010 - 34 699 s = 41.793; Borehole: 8.683 km and 3101 s = 39.693;
  Cedar: 15.919 km, 1975 s and the trips = 462.289; the drive home 24.602 km and 1656 s = 41.162
"""

from dataclasses import replace

import pytest

from routeplan.audit.case import Case
from routeplan.audit.cost import cost
from routeplan.audit.roads import Roads
from routeplan.audit.violation import Violation
from routeplan.operation.settings import Costs
from routeplan.operation.world import Operation
from routeplan.plan import Alternative, Cost, Plan
from tests.audit.edit import with_settings, with_split, with_yard
from tests.tiny import DAY, tiny_operation, tiny_plan

EURO = Costs("EUR", 1.0, 36.0, 20.0, 8.0, 1.5, 2.0, 4.0)
PRICED = with_yard(with_settings(tiny_operation(), "", costs=EURO), "Cedar", flow_until=DAY.replace(day=1))
COST = Cost(
    currency="EUR",
    drive=57.89,
    hours=100.43,
    later=426.62,
    queens=40.0,
    combs=22.5,
    sugar=8.0,
    total=655.44,
    per_split=218.48,
    home=41.16,
    yards=(("Acacia", 41.79), ("Borehole", 39.69), ("Cedar", 462.29)),
)
OTHER = Alternative(
    differs="frames from Borehole too",
    without=("Acacia",),
    receiving=(("Cedar", 3),),
    giving=(("Borehole", 3),),
    stops=("Borehole", "Cedar"),
    today_s=300,
    later_s=0,
    counted_s=300,
    proved=False,
)


def judged(of: Operation, plan: Plan) -> list[Violation]:
    return list(cost(Case(of, plan, Roads(of))))


def priced(**changes: object) -> Plan:
    """The plan of the day with trips to feed at Cedar and its cost, some of it changed."""
    plan = tiny_plan()
    after = tuple(replace(row, feeding_trips=2 if row.yard == "Cedar" else 0) for row in plan.after)
    return replace(plan, after=after, cost=replace(COST, **changes))  # type: ignore[arg-type]


def test_plans_that_hold() -> None:
    assert judged(tiny_operation(), tiny_plan()) == []
    assert judged(PRICED, priced()) == []
    assert judged(PRICED, replace(priced(), alternatives=(OTHER,))) == []


def test_yards_and_the_drive_home_are_the_day_and_the_trips_after() -> None:
    """What is given above by hand adds up: 41.793 + 39.693 + 462.289 + 41.162 = 584.937."""
    spent = sum(money for _, money in COST.yards) + COST.home
    assert spent == pytest.approx(COST.drive + COST.hours + COST.later, abs=0.02)


@pytest.mark.parametrize(
    ("part", "said", "off"),
    [
        ("drive", 67.89, 10.003),
        ("hours", 100.0, 0.43),
        ("later", 255.97, 170.65),  # the trips to feed forgotten
        ("queens", 60.0, 20.0),
        ("combs", 13.5, 9.0),  # a comb in each box that is a frame of food from a hive
        ("sugar", 24.0, 16.0),
        ("total", 655.42, 0.017),
        ("per_split", 163.86, 54.619),
        ("home", 24.6, 16.562),
    ],
)
def test_amounts_broken(part: str, said: float, off: float) -> None:
    (fault,) = judged(PRICED, priced(**{part: said}))
    assert (fault.rule, fault.amount) == ("R13", pytest.approx(off, abs=1e-6))
    assert f"is given as {said:.2f}, it comes to " in fault.what


def test_a_cent_is_rounding() -> None:
    assert judged(PRICED, priced(drive=57.88, hours=100.44, queens=40.01, total=655.43)) == []
    assert [v.amount for v in judged(PRICED, priced(queens=40.02))] == [pytest.approx(0.02)]


def test_no_number_is_no_amount() -> None:
    assert [v.rule for v in judged(PRICED, priced(sugar=float("nan")))] == ["R13"]


def test_sentences() -> None:
    (fault,) = judged(PRICED, priced(hours=100.0))
    assert fault.sentence() == (
        "R13: the cost of the hours is given as 100.00, it comes to 100.43: 0.43 too little"
    )
    (yard,) = judged(PRICED, priced(yards=(*COST.yards[:2], ("Cedar", 500.0))))
    assert yard.what == "the cost of Cedar is given as 500.00, it comes to 462.29: 37.71 too much"
    assert (yard.where, yard.amount) == (("Cedar",), pytest.approx(37.711))


@pytest.mark.parametrize(
    ("yards", "where"),
    [
        (COST.yards[:2], ("Cedar",)),
        ((*COST.yards, ("Dam", 0.0)), ("Dam",)),
        ((*COST.yards, COST.yards[0]), ()),
    ],
    ids=["left out", "not visited", "twice"],
)
def test_yards_broken(yards: tuple[tuple[str, float], ...], where: tuple[str, ...]) -> None:
    assert [(v.amount, v.where) for v in judged(PRICED, priced(yards=yards))] == [(1, where)]


def test_currency() -> None:
    (fault,) = judged(PRICED, priced(currency="USD"))
    assert fault.what == "the cost is in USD, the settings say EUR"


def test_a_cost_where_no_price_is_set_or_none_where_one_is() -> None:
    (stated,) = judged(tiny_operation(), priced())
    assert (stated.amount, stated.what) == (655.44, "the cost is given as 655.44, but no price is set")
    for price in ("per_km", "per_hour", "queen", "cell", "comb", "sugar_kg"):
        one = with_settings(tiny_operation(), "costs", **{price: 1.0})
        assert [v.what for v in judged(one, tiny_plan())] == ["prices are set, but the cost is not given"]
    nothing = replace(priced(), stops=(), splits=(), after=())
    assert [v.what for v in judged(PRICED, nothing)] == [
        "the cost is given as 655.44, but no split is placed"
    ]


def test_ripe_cells_cost_their_own_price_and_food_combs_save_combs() -> None:
    """S1 with a cell: 8 for 20. S2 with a feeder: 4 combs for 5."""
    plan = with_split(with_split(priced(), "S1", queen="ripe cell"), "S2", swap="feeder")
    total = 655.437 - 12 - 1.5
    plan = replace(
        plan,
        cost=replace(COST, queens=28.0, combs=21.0, total=round(total, 2), per_split=round(total / 3, 2)),
    )
    assert judged(PRICED, plan) == []
    assert [v.amount for v in judged(PRICED, replace(plan, cost=COST))] == pytest.approx(
        [12, 1.5, 13.503, 4.501]
    )


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"without": ("Elm",)}, "names Elm, no yard is called that"),
        ({"stops": ("Borehole", "Elm", "Cedar")}, "names Elm, no yard is called that"),
        ({"receiving": (("Dam", 3),)}, "uses Dam and does not drive there"),
        ({"giving": (("Borehole", 2), ("Acacia", 1))}, "uses Acacia and does not drive there"),
        ({"without": ("Cedar",)}, "is said to do without Cedar and drives there"),
    ],
)
def test_other_plans_broken(changes: dict[str, object], words: str) -> None:
    other = replace(OTHER, **changes)  # type: ignore[arg-type]
    found = judged(PRICED, replace(priced(), alternatives=(other,)))
    assert [(v.rule, v.amount, v.what) for v in found] == [
        ("R13", 1, f"the other plan ({OTHER.differs}) {words}")
    ]
