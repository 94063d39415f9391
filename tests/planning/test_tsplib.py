"""The order search against published tours: TSPLIB instances with their proven shortest lengths.

G. Reinelt, "TSPLIB - a traveling salesman problem library", ORSA Journal on Computing 3(4), 1991: burma14
3323, ulysses16 6859, ulysses22 7013, all of type GEO (positions in degrees.minutes, distances as TSPLIB95
defines them, with pi = 3.141592 and radius 6378.388 km, cut to whole kilometres).

A town becomes a yard that can make just one split, the first town a yard at home with room for all of them, a
kilometre a second, and no task takes any time: whoever places all splits has visited every town once.
"""

import math
from datetime import date

import pytest

from routeplan.operation.settings import (
    NO_LATER,
    Drive,
    KeepBack,
    Limits,
    Settings,
    ShutIn,
    Sure,
    WorkMinutes,
)
from routeplan.operation.world import Count, Crew, Hive, Kit, Operation, Order, Pair, Place, Yard
from routeplan.planning.case import case_of
from routeplan.planning.solve import plan_day

BURMA14 = (
    (16.47, 96.10), (16.47, 94.44), (20.09, 92.54), (22.39, 93.37), (25.23, 97.24), (22.00, 96.05),
    (20.47, 97.02), (17.20, 96.29), (16.30, 97.38), (14.05, 98.12), (16.53, 97.38), (21.52, 95.59),
    (19.41, 97.13), (20.09, 94.55),
)  # fmt: skip
ULYSSES16 = (
    (38.24, 20.42), (39.57, 26.15), (40.56, 25.32), (36.26, 23.12), (33.48, 10.54), (37.56, 12.19),
    (38.42, 13.11), (37.52, 20.44), (41.23, 9.10), (41.17, 13.05), (36.08, -5.21), (38.47, 15.13),
    (38.15, 15.35), (37.51, 15.17), (35.49, 14.32), (39.36, 19.56),
)  # fmt: skip
ULYSSES22 = (
    (38.24, 20.42), (39.57, 26.15), (40.56, 25.32), (36.26, 23.12), (33.48, 10.54), (37.56, 12.19),
    (38.42, 13.11), (37.52, 20.44), (41.23, 9.10), (41.17, 13.05), (36.08, -5.21), (38.47, 15.13),
    (38.15, 15.35), (37.51, 15.17), (35.49, 14.32), (39.36, 19.56), (38.09, 24.36), (36.09, 23.00),
    (40.44, 13.57), (40.33, 14.15), (40.37, 14.23), (37.57, 22.56),
)  # fmt: skip


def geo(a: tuple[float, float], b: tuple[float, float]) -> int:
    """Distance of type GEO between two points in degrees.minutes, whole kilometres."""

    def radians(x: float) -> float:
        degrees = int(x)
        return 3.141592 * (degrees + 5.0 * (x - degrees) / 3.0) / 180.0

    (lat_a, lon_a), (lat_b, lon_b) = (tuple(map(radians, p)) for p in (a, b))
    q1, q2, q3 = math.cos(lon_a - lon_b), math.cos(lat_a - lat_b), math.cos(lat_a + lat_b)
    return int(6378.388 * math.acos(0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3)) + 1.0)


def as_operation(towns: tuple[tuple[float, float], ...]) -> Operation:
    """Return the day that is this tour: home at the first town, one split to make at every other one."""
    count = Count(inspected=date(2027, 5, 8), bees=20, capped=1, open=0, food=0)
    names = [f"T{i + 1:02d}" for i in range(len(towns))]
    places = [Place(lat, lon) for lat, lon in towns]
    no_work = WorkMinutes(*(0.0 for _ in range(14)), alone_factor=1.0)
    settings = Settings(
        minimum_distance_m=1.0,
        keep_back=KeepBack(0, 0, 0, 0),
        limits=Limits(brood_share=1.0),
        minutes=no_work,
        drive=Drive(access_min=0.0, detour=1.0, speed_kmh=1.0),
        shut_in=ShutIn(screened_min=(9999.0,) * 4),
        sure=Sure(hunt=False, supers=False),
        later=NO_LATER,
    )
    return Operation(
        day=date(2027, 5, 8),
        yards=tuple(
            Yard(n, p, room=len(towns) if n == "T01" else 0) for n, p in zip(names, places, strict=True)
        ),
        hives=tuple(Hive("1", n, "deep", count) for n in names[1:]),
        orders=(Order("tour", len(towns) - 1, "one", queen="mated"),),
        kits=(Kit("one", capped=1),),
        crew=Crew("crew", places[0], start_min=0, end_min=24 * 60, hives_from_min=0, hives_until_min=24 * 60),
        pairs=tuple(
            Pair(names[i], names[j], drive_min=geo(towns[i], towns[j]) / 60)
            for i in range(len(towns))
            for j in range(i)
        ),
        settings=settings,
    )


@pytest.mark.parametrize(
    ("towns", "shortest"),
    [(BURMA14, 3323), (ULYSSES16, 6859), (ULYSSES22, 7013)],
    ids=["burma14", "ulysses16", "ulysses22"],
)
def test_the_published_shortest_tour_is_found_and_proved(
    towns: tuple[tuple[float, float], ...], shortest: int
) -> None:
    operation = as_operation(towns)
    drive = case_of(operation).travel.drive_s
    assert all(
        drive[i + 1, j + 1] == geo(a, b) for i, a in enumerate(towns) for j, b in enumerate(towns) if i != j
    )
    plan = plan_day(operation, seconds=600)
    assert {s.yard for s in plan.stops} == {y.id for y in operation.yards}
    assert (plan.totals.paid_s, plan.proof.status) == (shortest, "optimal")
