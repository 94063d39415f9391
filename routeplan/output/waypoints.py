"""The stops for a satellite receiver: way points and a route, as GPX 1.1.

Names are numbered, because some receivers show routes only and some way points only. Positions are where the
truck stands. Gate codes and notes are left out on purpose: such files are passed on.
"""

from xml.etree import ElementTree as Tree

from routeplan.operation.world import Place
from routeplan.output import measures
from routeplan.output.day import Day, done_at
from routeplan.output.inert import writable
from routeplan.plan import Stop

NAMESPACE = "http://www.topografix.com/GPX/1/1"
"""Of the published GPX 1.1 schema, which also fixes the order of the parts."""
DIGITS = 6
"""Decimals of a degree: a tenth of a metre."""


def stops_gpx(day: Day) -> bytes:
    """Return the stops in driving order, WGS-84 degrees; without stops a file without points."""
    root = Tree.Element("gpx", {"version": "1.1", "creator": "routeplan", "xmlns": NAMESPACE})
    name = f"{day.plan.title}, {measures.day_words(day.plan.day, year=True)}"
    _text(Tree.SubElement(root, "metadata"), "name", name)
    numbered = list(enumerate(day.plan.stops, 1))
    for number, stop in numbered:
        _point(root, "wpt", day, number, stop)
    if numbered:
        route = Tree.SubElement(root, "rte")
        _text(route, "name", name)
        for number, stop in numbered:
            _point(route, "rtept", day, number, stop)
    Tree.indent(root, " ")
    return bytes(Tree.tostring(root, encoding="utf-8", xml_declaration=True)) + b"\n"


def _point(parent: Tree.Element, tag: str, day: Day, number: int, stop: Stop) -> None:
    place = day.operation.yard(stop.yard).stop
    point = Tree.SubElement(parent, tag, {"lat": f"{place.lat:.{DIGITS}f}", "lon": longitude(place)})
    _text(point, "name", f"{number} {stop.yard}")
    times = f"{measures.clock(stop.arrive)} to {measures.clock(stop.depart)}"
    _text(point, "desc", "; ".join([times, *done_at(day, stop)]))


def longitude(place: Place) -> str:
    """Write a longitude as the schema wants it: 180 is written -180."""
    text = f"{place.lon:.{DIGITS}f}"
    return text.replace("180", "-180") if float(text) == 180 else text


def _text(parent: Tree.Element, tag: str, text: str) -> None:
    Tree.SubElement(parent, tag).text = writable(text)
