"""Distances against published values, for the audit's own formula and for the one used in planning."""

from itertools import pairwise

import pytest
from geopy.distance import geodesic
from hypothesis import given, settings
from hypothesis import strategies as st

from routeplan.audit.distance import MEAN_RADIUS_M, distance_m, sphere_m
from routeplan.operation.world import Place
from tests.tiny import tiny_operation

THREE_MILES_M = 4828.032


def planned_m(here: Place, there: Place) -> float:
    """Distance by geopy (Karney's algorithm)."""
    lons = [(p.lon + 180) % 360 - 180 for p in (here, there)]
    return float(geodesic((here.lat, lons[0]), (there.lat, lons[1])).meters)


def dms(degrees: int, minutes: int, seconds: float) -> float:
    """Degrees, minutes, seconds as degrees; the sign of the degrees holds for all."""
    size = abs(degrees) + minutes / 60 + seconds / 3600
    return -size if degrees < 0 else size


FLINDERS = Place(dms(-37, 57, 3.72030), dms(144, 25, 29.52440))
BUNINYONG = Place(dms(-37, 39, 10.15610), dms(143, 55, 35.38390))

PUBLISHED = [
    # GDA technical manual (Intergovernmental Committee on Surveying and Mapping): Flinders Peak - Buninyong
    pytest.param(FLINDERS, BUNINYONG, 54972.271, 1e-3, id="Flinders Peak - Buninyong"),
    # GeographicLib, test data GeodTest (C. F. F. Karney): printed to 1e-10 m; Vincenty's series holds 1 mm
    pytest.param(
        Place(35.60777, -139.44815),
        Place(-11.17491, -69.95921),
        8935244.5604818305,
        1e-3,
        id="GeodTest",
    ),
    # GeographicLib, geodesic tests GeodSolve0: JFK - CDG, printed to 1 m
    pytest.param(Place(40.6, -73.8), Place(49.01666667, 2.55), 5853226, 0.5, id="GeodSolve0"),
    # GeographicLib, GeodSolve4: two points of almost equal latitude, printed to 1 mm
    pytest.param(
        Place(36.493349428792, 0), Place(36.49334942879201, 0.0000008), 0.072, 5e-4, id="GeodSolve4"
    ),
    # GeographicLib, GeodSolve29: longitudes 539 and 181 are 179 and -179 on the equator, printed to 1 m
    pytest.param(Place(0, 539), Place(0, 181), 222639, 0.5, id="GeodSolve29"),
    # Land's End - John o' Groats, 969 954.166 m in several public geodesy test suites
    pytest.param(Place(50.06632, -5.71475), Place(58.64402, -3.07009), 969954.166, 1e-3, id="Land's End"),
]


@pytest.mark.parametrize("formula", [distance_m, planned_m])
@pytest.mark.parametrize(("here", "there", "metres", "within_m"), PUBLISHED)
def test_published_distances(formula, here, there, metres, within_m) -> None:  # type: ignore[no-untyped-def]
    assert formula(here, there) == pytest.approx(metres, abs=within_m)
    assert formula(there, here) == pytest.approx(metres, abs=within_m)


def test_geopy_holds_the_printed_digits() -> None:
    """GeodTest again, to the micrometre, for the formula that has these digits."""
    found = planned_m(Place(35.60777, -139.44815), Place(-11.17491, -69.95921))
    assert found == pytest.approx(8935244.5604818305, abs=1e-6)


@pytest.mark.parametrize(("here", "there", "metres", "within_m"), PUBLISHED)
def test_sphere_is_within_six_per_mille(here, there, metres, within_m) -> None:  # type: ignore[no-untyped-def]
    assert sphere_m(here, there) == pytest.approx(metres, rel=0.006, abs=within_m)


def test_sphere_is_another_formula() -> None:
    """On Flinders Peak - Buninyong the sphere is 46.8 m short (worked out from the two end points)."""
    assert distance_m(FLINDERS, BUNINYONG) - sphere_m(FLINDERS, BUNINYONG) == pytest.approx(46.763, abs=2e-3)


# The 3-mile line on WGS-84 at four latitudes and what a sphere of 6 371 008.8 m makes of it (worked out, not
# published): latitude, sphere due north, sphere due east, in metres.
LINES = [(0, 4855.14, 4822.64), (45, 4830.76, 4814.56), (52, 4824.88, 4812.60), (60, 4818.60, 4810.51)]


@pytest.mark.parametrize("formula", [distance_m, planned_m])
@pytest.mark.parametrize(("lat", "north", "east"), LINES)
def test_three_mile_line(formula, lat, north, east) -> None:  # type: ignore[no-untyped-def]
    """The end point of a 3-mile line lies 3 miles away by both formulas; the sphere misses as listed."""
    here = Place(lat, 10.0)
    for bearing, sphere in ((0, north), (90, east)):
        end = geodesic(meters=THREE_MILES_M).destination((here.lat, here.lon), bearing)
        there = Place(end.latitude, end.longitude)
        assert formula(here, there) == pytest.approx(THREE_MILES_M, abs=1e-6)
        assert sphere_m(here, there) == pytest.approx(sphere, abs=0.01)
        assert sphere_m(here, there) == pytest.approx(THREE_MILES_M, rel=0.006)


@pytest.mark.parametrize("formula", [distance_m, planned_m])
def test_three_mile_line_ends(formula) -> None:  # type: ignore[no-untyped-def]
    """End points at 45 N, 10 E as printed with seven decimals (1 cm)."""
    here = Place(45.0, 10.0)
    assert formula(here, Place(45.0434440, 10.0)) == pytest.approx(THREE_MILES_M, abs=0.011)
    assert formula(here, Place(44.9999836, 10.0612330)) == pytest.approx(THREE_MILES_M, abs=0.011)


def test_equator_is_a_circle_of_the_equatorial_radius() -> None:
    """6 378 137 m x pi / 180 a degree (WGS-84 definition, NIMA TR8350.2)."""
    assert distance_m(Place(0, 36.0), Place(0, 36.06)) == pytest.approx(0.06 * 111319.49079327358, abs=1e-6)


def test_same_place_and_the_date_line() -> None:
    assert distance_m(Place(45.1, -75.4), Place(45.1, -75.4)) == 0.0
    assert distance_m(Place(0.0, 36.0), Place(0.0, 36.0)) == 0.0
    west, east = Place(-17, 179.98), Place(-17, -179.98)
    assert distance_m(west, east) == pytest.approx(planned_m(west, east), abs=1e-6)


def test_opposite_places_fall_back_to_the_sphere() -> None:
    """GeographicLib, GeodSolve33: (0, 0) - (0, 180) is 20 003 931 m, where Vincenty's formula fails."""
    found = distance_m(Place(0, 0), Place(0, 180))
    assert found == pytest.approx(3.141592653589793 * MEAN_RADIUS_M, abs=1e-3)
    assert found == pytest.approx(20003931, rel=0.006)
    assert distance_m(Place(0, 0), Place(0.5, 179.7)) == pytest.approx(19936288.579, rel=0.006)


@settings(max_examples=200, deadline=None)
@given(st.floats(-89, 89), st.floats(-180, 180), st.floats(-1, 1), st.floats(-3, 3))
def test_both_formulas_agree_on_yards_anywhere(lat: float, lon: float, north: float, east: float) -> None:
    """Within a tenth of a millimetre for any two places up to a few hundred kilometres apart."""
    here, there = Place(lat, lon), Place(lat + north, lon + east)
    assert distance_m(here, there) == pytest.approx(planned_m(here, there), abs=1e-4)
    assert sphere_m(here, there) == pytest.approx(planned_m(here, there), rel=0.006, abs=1e-3)


def test_yards_of_the_small_day() -> None:
    """Both formulas agree to a tenth of a millimetre on every pair of places used elsewhere."""
    operation = tiny_operation()
    places = [operation.crew.home, *(y.place for y in operation.yards)]
    for here, there in pairwise(places):
        assert distance_m(here, there) == pytest.approx(planned_m(here, there), abs=1e-4)
