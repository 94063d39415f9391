"""Drives and lengths of work, by hand on the equator (1 degree = 111 319.4908 m)."""

from dataclasses import replace

import pytest

from routeplan.audit import work
from routeplan.audit.roads import Roads
from routeplan.operation.world import Pair, Place
from tests.audit.edit import with_crew, with_settings, with_yard
from tests.tiny import tiny_operation


def _with_pairs(*pairs: Pair):  # type: ignore[no-untyped-def]
    return replace(tiny_operation(), pairs=pairs)


def test_a_known_drive_wins_even_when_shorter() -> None:
    roads = Roads(_with_pairs(Pair("Cedar", "Acacia", drive_min=2.5)))
    assert roads.leg("Acacia", "Cedar") == (150, pytest.approx(1.3 * 12245.144, abs=0.01))
    # and shortens the way from Borehole: 701 + 150 s, against 614 s direct: not shorter
    assert roads.shortest("Borehole", "Cedar")[0] == 614
    # Dam - Acacia 440 s + 150 s beats Dam - Cedar 875 s
    assert roads.shortest("Dam", "Cedar")[0] == 590


def test_a_known_distance_wins_and_holds_both_ways() -> None:
    roads = Roads(_with_pairs(Pair("Cedar", "Acacia", flying_m=100.0), Pair("Dam", "Cedar", drive_min=1.0)))
    assert roads.flying_m("Acacia", "Cedar") == roads.flying_m("Cedar", "Acacia") == 100.0
    assert roads.flying_m("Dam", "Cedar") == pytest.approx(8905.559, abs=1e-3)


def test_stops_within_50_m_need_no_drive() -> None:
    """0.00044 degrees are 48.98 m, 0.00046 are 51.21 m: 180 + 78 x 0.05121 = 184 s."""
    for lon, seconds in ((36.12044, 0), (36.12046, 184)):
        roads = Roads(with_yard(tiny_operation(), "Dam", place=Place(0.0, lon)))
        assert roads.leg("Borehole", "Dam")[0] == seconds


def test_the_truck_drives_to_the_parking_place() -> None:
    """The hives stand where they stand; only the drive changes."""
    roads = Roads(with_yard(tiny_operation(), "Acacia", parking=Place(0.0, 36.05)))
    assert roads.leg(None, "Acacia")[0] == 614  # 5.565975 km
    assert roads.flying_m("Acacia", "Borehole") == pytest.approx(6679.169, abs=1e-3)


def test_settings_of_the_road() -> None:
    """2 min + 1.5 x 6.679169 km at 40 km/h: 120 + 901.69 s."""
    operation = with_settings(tiny_operation(), "drive", access_min=2.0, detour=1.5, speed_kmh=40.0)
    assert Roads(operation).leg(None, "Acacia") == (1022, pytest.approx(10018.754, abs=1e-2))


@pytest.mark.parametrize(
    ("people", "open_s", "frame_s", "make_s"), [(1, 624, 144, 288), (2, 390, 90, 180), (3, 260, 60, 120)]
)
def test_lengths_of_work(people: int, open_s: int, frame_s: int, make_s: int) -> None:
    """A2 has two boxes: 6.5 min for a pair. Alone x 1.6, three share: x 2/3. Common practice."""
    operation = with_crew(tiny_operation(), people=people)
    assert work.open_s(operation, operation.hives[1]) == open_s
    assert work.frame_s(operation) == frame_s
    assert work.make_s(operation, operation.yard("Acacia")) == make_s


def test_carrying_is_not_shared() -> None:
    """Cedar: 1 min each way; alone 60 x (1.6 x 5 + 2) = 600 s with a mated queen, 504 s without."""
    operation = with_crew(tiny_operation(), people=1)
    assert work.place_s(operation, operation.yard("Cedar"), "mated") == 600
    assert work.place_s(operation, operation.yard("Cedar"), "ripe cell") == 504
    assert work.set_up_s(operation, True) == 600
    assert work.set_up_s(operation, False) == 300
    assert work.leave_s(operation, True) == 300
    assert work.leave_s(operation, False) == 0


def test_early_arrival_and_shakes_count() -> None:
    operation = tiny_operation()
    assert work.shake_s(operation) == 30
    assert work.shake_s(with_crew(operation, people=4)) == 15
