"""Rules on where things are: positions, a missing minus, yards on top of each other, room, pairs."""

from collections.abc import Callable, Iterator
from itertools import combinations
from math import asin, cos, hypot, radians, sin, sqrt
from statistics import median

from routeplan.operation.build import crew_home, yard_place
from routeplan.operation.findings import Finding
from routeplan.operation.rows import Draft, Row
from routeplan.operation.world import Place

EARTH_RADIUS_KM = 6371.0088  # mean radius of WGS-84; good to 0.6 %, enough to see a blunder
FAR_KM = 1000.0  # no round of one day reaches as far
NEAR_KM = 500.0  # a corrected position must land this near to be the likely one
SAME_KM = 0.05


def about_km(a: Place, b: Place) -> float:
    """Return the distance of two places on a sphere, in kilometres (haversine); only to find blunders."""
    half_lat, half_lon = radians(b.lat - a.lat) / 2, radians(b.lon - a.lon) / 2
    chord = sin(half_lat) ** 2 + cos(radians(a.lat)) * cos(radians(b.lat)) * sin(half_lon) ** 2
    return 2 * EARTH_RADIUS_KM * asin(min(1.0, sqrt(chord)))


def everything_has_a_place(draft: Draft) -> Iterator[Finding]:
    """Every yard has a position, and so has the crew's home; two positions in one row agree."""
    cure = "Fill in lat and lon, or place as “latitude, longitude”."
    for row in draft["yards"].rows:
        if yard_place(row) is None and not _was_tried(row, "place", "lat", "lon"):
            message = f"Yard “{row['yard']}” has no position."
            yield draft["yards"].finding("error", row, _gap(row, "place", "lat", "lon"), message, cure)
        yield from _disagree(draft, "yards", row, "place", yard_place(row))
    cure = "Fill in home as “latitude, longitude”, or home_lat and home_lon."
    for row in draft["crews"].rows[:1]:
        if crew_home(row) is None and not _was_tried(row, "home", "home_lat", "home_lon"):
            message = "The crew has no home to start from."
            yield draft["crews"].finding(
                "error", row, _gap(row, "home", "home_lat", "home_lon"), message, cure
            )
        yield from _disagree(draft, "crews", row, "home", crew_home(row))


def _was_tried(row: Row, *columns: str) -> bool:
    """Whether a position was written but not readable, which is reported at its cell."""
    return any(row.text(name) and row[name] is None for name in columns)


def _gap(row: Row, one: str, lat: str, lon: str) -> str:
    return lon if row[lat] is not None else lat if row[lon] is not None else one


def _disagree(draft: Draft, table: str, row: Row, column: str, place: Place | None) -> Iterator[Finding]:
    other = row[column]
    if place and other and about_km(place, other) > SAME_KM:
        message = f"Two positions in one row, {about_km(place, other):.1f} km apart."
        yield draft[table].finding("error", row, column, message, "Delete the one that is wrong.")


def lat_and_lon_in_order(draft: Draft) -> Iterator[Finding]:
    """Yards are not all far from home in a way that exchanging latitude and longitude would put right."""
    home = _home(draft)
    places = [place for _, place in _yards(draft)]
    if home is None or not places or not _swapped(places, home):
        return
    table = draft["yards"]
    column = "lat" if "lat" in table.headers else "place"
    far = min(about_km(home, place) for place in places)
    message = f"Latitude and longitude look swapped: every yard lies {far:,.0f} km or more from home."
    yield table.finding(
        "error", None, column, message, "Exchange the two, latitude first; nothing was changed."
    )


def _swapped(places: list[Place], home: Place) -> bool:
    if min(about_km(home, place) for place in places) < FAR_KM:
        return False
    turned = [Place(place.lon, place.lat) for place in places if abs(place.lon) <= 90]
    return len(turned) == len(places) and max(about_km(home, place) for place in turned) < NEAR_KM


def no_yard_is_astray(draft: Draft) -> Iterator[Finding]:
    """No yard lies absurdly far from the middle of the others; a missing minus is the usual reason."""
    yards, home = _yards(draft), _home(draft)
    if home is not None and yards and _swapped([place for _, place in yards], home):
        return
    anchors = [place for _, place in yards] + ([home] if home else [])
    if len(anchors) < 3:
        return
    middle = Place(median(p.lat for p in anchors), median(p.lon for p in anchors))
    for row, place in yards:
        far = about_km(place, middle)
        if far > FAR_KM:
            yield _astray(draft, row, place, middle, far)


def _astray(draft: Draft, row: Row, place: Place, middle: Place, far: float) -> Finding:
    where = f"Yard “{row['yard']}” is {far:,.0f} km from the others"
    for column, mirrored in (("lon", Place(place.lat, -place.lon)), ("lat", Place(-place.lat, place.lon))):
        if about_km(mirrored, middle) < NEAR_KM:
            name = column if row.text(column) else "place"
            side = "west of Greenwich" if column == "lon" else "south of the equator"
            cure = f"Degrees {side} are written with a minus; look at its sign."
            return draft["yards"].finding("error", row, name, f"{where}; minus missing or too many?", cure)
    name = "lat" if row.text("lat") else "place"
    return draft["yards"].finding("warning", row, name, f"{where}.", "Look at its position again.")


def yards_stand_apart(draft: Draft) -> Iterator[Finding]:
    """No two yards lie within 50 m of each other."""
    for (row, a), (other, b) in combinations(_yards(draft), 2):
        if hypot(a.lat - b.lat, (a.lon - b.lon) * cos(radians(a.lat))) < 0.001 and about_km(a, b) < SAME_KM:
            message = f"“{other['yard']}” lies within 50 m of “{row['yard']}”."
            yield draft["yards"].finding(
                "warning", other, "yard", message, "Make them one yard if they are one."
            )


def room_is_said(draft: Draft) -> Iterator[Finding]:
    """Where splits may be placed, it is said for how many there is room."""
    table = draft["yards"]
    open_end = [
        row["yard"] for row in table.rows if row["yard"] and row["takes_splits"] and not row.text("room")
    ]
    if open_end:
        names = ", ".join(open_end[:6]) + (f" and {len(open_end) - 6} more" if len(open_end) > 6 else "")
        message = f"Room is not said for {names}: no limit is kept."
        yield table.finding("warning", None, "room", message, "Write how many more hives each can take.")


def pairs_say_something(draft: Draft) -> Iterator[Finding]:
    """A row of pairs names two different yards once and says something about them."""
    table = draft["pairs"]
    seen: dict[frozenset[str], Row] = {}
    for row in table.rows:
        if not (row["yard"] and row["other"]):
            continue
        both = frozenset((row["yard"], row["other"]))
        first = seen.setdefault(both, row)
        if len(both) == 1:
            yield table.finding("error", row, "other", "Both yards are the same.", "Name two yards.")
        elif first is not row:
            message = f"These two yards are already in row {first.number}."
            yield table.finding("error", row, "other", message, "Keep one row for each two yards.")
        elif not row.text("flying_km") and not row.text("drive_min"):
            yield table.finding(
                "warning", row, None, "This row says nothing.", "Fill in flying_km or drive_min."
            )


def _yards(draft: Draft) -> list[tuple[Row, Place]]:
    found = [(row, yard_place(row)) for row in draft["yards"].rows]
    return [(row, place) for row, place in found if place is not None]


def _home(draft: Draft) -> Place | None:
    rows = draft["crews"].rows
    return crew_home(rows[0]) if rows else None


def flows_are_in_order(draft: Draft) -> Iterator[Finding]:
    """A flow does not end before it begins."""
    for row in draft["yards"].rows:
        if row["flow_from"] and row["flow_until"] and row["flow_until"] < row["flow_from"]:
            message = f"The flow lasts from {row['flow_from']} until {row['flow_until']}, which is before."
            yield draft["yards"].finding("error", row, "flow_until", message, "Look at both dates.")


def bears_are_fenced(draft: Draft) -> Iterator[Finding]:
    """Where bears come, it is known whether a fence stands."""
    for row in draft["yards"].rows:
        if row["bear"] and row["fence"] is None and row["takes_splits"]:
            message = "Bears come here, and it is not said whether a fence stands: taken as none."
            cure = "Write yes or no under fence; without one splits need a fence kit in stock."
            yield draft["yards"].finding("warning", row, "fence", message, cure)


PLACE_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    everything_has_a_place,
    lat_and_lon_in_order,
    no_yard_is_astray,
    yards_stand_apart,
    room_is_said,
    pairs_say_something,
    flows_are_in_order,
    bears_are_fenced,
)
