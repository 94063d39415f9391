"""The day worked out by hand: its distances, its tables and its written form."""

from pathlib import Path

import pytest
from geopy.distance import geodesic

from routeplan.audit import audit
from routeplan.audit.case import Case
from routeplan.audit.roads import Roads
from routeplan.operation.findings import errors
from routeplan.operation.read import read_operation
from routeplan.plan import from_json, to_json
from tests.tiny import tiny_operation, tiny_plan

TABLES = Path(__file__).parents[1] / "data" / "tiny"


def test_tables_read_to_the_same_operation() -> None:
    operation, findings = read_operation(TABLES)
    assert errors(findings) == []
    assert operation == tiny_operation()


def test_plan_survives_being_written() -> None:
    plan = from_json(to_json(tiny_plan()))
    assert plan == tiny_plan()
    assert audit(tiny_operation(), plan) == []


@pytest.mark.parametrize(
    ("yard", "other", "metres"),
    [
        ("Acacia", "Borehole", 6679.169),
        ("Borehole", "Cedar", 5565.975),
        ("Borehole", "Dam", 3339.585),
        ("Dam", "Cedar", 8905.559),
        ("Acacia", "Cedar", 12245.144),
    ],
)
def test_distances_by_hand(yard: str, other: str, metres: float) -> None:
    operation = tiny_operation()
    here, there = operation.yard(yard).place, operation.yard(other).place
    assert geodesic((here.lat, here.lon), (there.lat, there.lon)).meters == pytest.approx(metres, abs=5e-4)
    assert Roads(operation).flying_m(yard, other) == pytest.approx(metres, abs=5e-4)


@pytest.mark.parametrize(
    ("start", "end", "seconds", "metres"),
    [
        (None, "Acacia", 701, 8682.92),
        ("Acacia", "Borehole", 701, 8682.92),
        ("Borehole", "Cedar", 1315, 15918.69),
        ("Cedar", None, 1656, 24601.61),
        (None, "Borehole", 1222, 17365.84),
        ("Acacia", "Cedar", 1135, 15918.69),
    ],
)
def test_drives_by_hand(start: str | None, end: str | None, seconds: int, metres: float) -> None:
    found = Roads(tiny_operation()).shortest(start, end)
    assert found == (seconds, pytest.approx(metres, abs=5e-3))


def test_paid_time_is_the_sum_of_all_kinds_of_work() -> None:
    """4373 s of driving, 2610, 2400 and 660 s at the three yards."""
    plan = tiny_plan()
    t = plan.totals
    assert t.drive_s == 4373
    assert [s.depart - s.arrive for s in plan.stops] == [2610, 2400, 660]
    assert t.paid_s == 4373 + 2610 + 2400 + 660
    assert t.paid_s == t.drive_s + t.yard_s + t.hive_s + t.make_s + t.place_s + t.wait_s


def test_each_donor_gives_one_kit() -> None:
    case = Case(tiny_operation(), tiny_plan(), Roads(tiny_operation()))
    assert {key: sum(give.values()) for key, give in case.gives.items()} == {
        ("Acacia", "A1"): 5,
        ("Acacia", "A2"): 5,
        ("Borehole", "B1"): 5,
    }
