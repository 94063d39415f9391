"""Way points, read back by an independent reader (gpxpy) and held against the GPX 1.1 schema."""

from dataclasses import replace
from xml.etree import ElementTree

import gpxpy

from routeplan.operation.world import Place
from routeplan.output.day import day_of
from routeplan.output.waypoints import longitude, stops_gpx
from tests.output.sample import HOSTILE, OPERATION, ROUTE, hostile, no_plan, plan_of

SPACE = "{http://www.topografix.com/GPX/1/1}"


def test_way_points_and_a_route_of_the_same_points() -> None:
    read = gpxpy.parse(stops_gpx(day_of(OPERATION, plan_of())))
    assert read.version == "1.1"
    names = [f"{n} {yard}" for n, yard in enumerate(ROUTE, 1)]
    assert [w.name for w in read.waypoints] == names
    (route,) = read.routes
    assert route.name == "Spring increase, Saturday 9 May 2026"
    assert [p.name for p in route.points] == names
    assert [(p.latitude, p.longitude) for p in route.points] == [
        (w.latitude, w.longitude) for w in read.waypoints
    ]
    assert read.waypoints[0].description == "09:45 to 10:52; make boxes 1–3"
    assert read.tracks == []


def test_the_point_is_where_the_truck_stands() -> None:
    gorse = gpxpy.parse(stops_gpx(day_of(OPERATION, plan_of()))).waypoints[2]
    assert (gorse.latitude, gorse.longitude) == (52.1605, -1.4040)


def test_parts_stand_in_the_order_of_the_schema() -> None:
    """GPX 1.1, gpxType: metadata, wpt, rte; wptType: name before desc; version and creator required."""
    root = ElementTree.fromstring(stops_gpx(day_of(OPERATION, plan_of())))
    assert (root.tag, root.get("version"), root.get("creator")) == (f"{SPACE}gpx", "1.1", "routeplan")
    assert [c.tag.removeprefix(SPACE) for c in root] == ["metadata", *["wpt"] * len(ROUTE), "rte"]
    for point in root.iter(f"{SPACE}wpt"):
        assert [c.tag.removeprefix(SPACE) for c in point] == ["name", "desc"]


def test_a_longitude_of_180_is_written_minus_180() -> None:
    """longitudeType of the schema ends below 180."""
    assert longitude(Place(0, 180)) == "-180.000000"
    assert longitude(Place(0, 179.9999999)) == "-180.000000"
    assert longitude(Place(0, -180)) == "-180.000000"
    assert longitude(Place(0, 179.5)) == "179.500000"


def test_no_gate_code_no_note_no_home() -> None:
    text = stops_gpx(day_of(OPERATION, plan_of())).decode()
    for secret in ("4471", "bull", "Wasps", "52.21"):
        assert secret not in text


def test_names_of_any_letters_survive() -> None:
    operation, plan = hostile()
    named = [w.name for w in gpxpy.parse(stops_gpx(day_of(operation, plan))).waypoints]
    assert named == [f"{n} {name}" for n, name in enumerate(HOSTILE[:4], 1)]
    bell = replace(plan, title="ring\x07 \ud800 the bell")
    assert (
        gpxpy.parse(stops_gpx(day_of(operation, bell)))
        .routes[0]
        .name.startswith("ring\ufffd \ufffd the bell")
    )


def test_a_day_without_stops_has_a_file_without_points() -> None:
    read = gpxpy.parse(stops_gpx(day_of(OPERATION, no_plan())))
    assert (read.waypoints, read.routes) == ([], [])
