"""Whether yields alone forbid what is asked for: by hand, and never against what is possible."""

from dataclasses import replace

from routeplan.operation.colony_settings import Floors
from routeplan.operation.world import Kit, Order
from routeplan.planning.attempt import Attempt
from routeplan.planning.case import case_of
from routeplan.planning.limits import Clock
from routeplan.planning.possible import can_be_made, most_possible
from tests.planning.make import DAY_ALONE, ONE, one_kit_hive, operation, yard
from tests.planning.proved import KINDS

YARDS = (yard("Y", 3.0), yard("Z", 12.0))
HIVES = tuple(one_kit_hive(f"H{n}", "Y", queen_mother=n == 0) for n in range(4))


def test_an_order_that_no_hives_can_make_is_hopeless_though_others_could_be_made_instead() -> None:
    """One queen mother has at most two frames of eggs; mated queens could go into all."""
    own, mated = Order("own", 3, ONE.name, "raise own"), Order("mated", 1, ONE.name, "mated")
    case = case_of(operation(YARDS, HIVES, (own, mated)))
    assert not can_be_made(case)
    assert Attempt(case, Clock(1.0), lambda stage, best, bound: None).hopeless
    fewer = case_of(operation(YARDS, HIVES, (Order("own", 1, ONE.name, "raise own"), mated)))
    assert can_be_made(fewer)
    assert not Attempt(fewer, Clock(1.0), lambda stage, best, bound: None).hopeless


def test_an_order_whose_kit_does_not_hold_is_hopeless() -> None:
    weak = Kit("weak", capped=1, open=1, food=1, shakes=0, fill=2)
    settings = replace(DAY_ALONE, floors=Floors("hold", 9_000.0))
    orders = (Order("A", 1, "weak", "raise own"),)
    assert not can_be_made(case_of(operation(YARDS, HIVES, orders, (weak,), settings=settings)))


def test_never_against_what_is_possible() -> None:
    said = 0
    for make in KINDS.values():
        for seed in range(24):
            case = case_of(make(seed))
            if case.size and not can_be_made(case):
                said += 1
                assert most_possible(case, 5.0).size < case.size, seed
    assert said >= 5
