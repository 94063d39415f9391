"""Rules on where things are: each position held against the others and home; none is put right silently."""

from collections.abc import Callable, Iterator
from math import asin, cos, radians, sin, sqrt
from statistics import median

from routeplan.operation import degrees, places, units
from routeplan.operation.build import crew_home, yard_place
from routeplan.operation.findings import Finding, Level
from routeplan.operation.rows import Draft, Row
from routeplan.operation.unreadable import UnreadableError
from routeplan.operation.world import Place

EARTH_RADIUS_M = 6371008.8  # mean radius of WGS-84; good to 0.6 %, enough to see a blunder
FAR_M = 1_000_000.0  # no round of one day reaches as far
NEAR_M = 500_000.0  # a corrected position must land this near to be the likely one
ASTRAY_M = (
    100_000.0  # a yard farther from the middle than this, and than ASTRAY times what is usual, is named
)
ASTRAY = 8
SAME_M, SAME_LAT = 50.0, 0.0005  # as far, in degrees of latitude, rounded up
ASKED = 200  # places that are asked how many lie near them
COARSE_M = 100.0  # two such yards may be a tenth of a mile nearer or farther than they seem
PARKING_FAR_M, PARKING_WRONG_M = 1_000.0, 20_000.0
SOUTHMOST, NORTHMOST = -60.0, 75.0  # no bees are kept beyond (common practice)

MINUS_LON = "Degrees west of Greenwich are written with a minus; look at its sign."
MINUS_LAT = "Degrees south of the equator are written with a minus; look at its sign."
EXCHANGE = "Exchange the two, latitude first; nothing was changed."


def about_m(a: Place, b: Place) -> float:
    """Return the distance of two places on a sphere, in metres (haversine); only to find blunders."""
    half_lat, half_lon = radians(b.lat - a.lat) / 2, radians(b.lon - a.lon) / 2
    chord = sin(half_lat) ** 2 + cos(radians(a.lat)) * cos(radians(b.lat)) * sin(half_lon) ** 2
    return 2 * EARTH_RADIUS_M * asin(min(1.0, sqrt(chord)))


def everything_has_a_place(draft: Draft) -> Iterator[Finding]:
    """Every yard has a position, and so has the crew's home; two positions in one row agree."""
    cure = "Fill in lat and lon, or place as “latitude, longitude” or UTM with its zone."
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
    if place and other and about_m(place, other) > SAME_M:
        message = f"Two positions in one row, {_far(draft, about_m(place, other), 1)} apart."
        yield draft[table].finding("error", row, column, message, "Delete the one that is wrong.")


def the_yards_lie_about_home(draft: Draft) -> Iterator[Finding]:
    """Not every yard lies far from home, or where no bees are kept, in a way one slip would explain."""
    yards, slip = _yards(draft), _common_slip(draft)
    if not slip:
        return
    words, column, cure = slip
    home = _home(draft)
    if home is None:
        where = "every yard lies where no bees are kept"
    else:
        near = _far(draft, min(about_m(home, place) for _, place in yards))
        where = f"every yard lies {near} or more from home"
    table = draft["yards"]
    name = column if column in table.headers else "place"
    yield table.finding(
        "error", None, name, f"{words}, here or in home: {where}." if home else f"{words}: {where}.", cure
    )


def _common_slip(draft: Draft) -> tuple[str, str, str] | None:
    """Return the one slip that would explain where all yards are: (words, column, cure); None for none."""
    places_ = [place for _, place in _yards(draft)]
    home = _home(draft)
    if not places_:
        return None
    if home is None:
        polar = all(not SOUTHMOST <= p.lat <= NORTHMOST for p in places_)
        turned = all(SOUTHMOST <= p.lon <= NORTHMOST for p in places_)
        return ("Latitude and longitude look swapped", "lat", EXCHANGE) if polar and turned else None
    if min(about_m(home, place) for place in places_) < FAR_M:
        return None
    for words, column, cure, mended in _slips():
        if all((m := mended(p)) is not None and about_m(home, m) < NEAR_M for p in places_):
            return words, column, cure
    return None


def _slips() -> Iterator[tuple[str, str, str, Callable[[Place], Place | None]]]:
    """Yield the usual slips: what they look like, the column, the cure, and the place that was meant."""
    swapped = "Latitude and longitude look swapped"
    minus = "A minus looks missing, or too many"
    yield swapped, "lat", EXCHANGE, _turned
    yield minus, "lon", MINUS_LON, lambda p: Place(p.lat, -p.lon)
    yield minus, "lat", MINUS_LAT, lambda p: Place(-p.lat, p.lon)
    yield minus, "lat", f"{MINUS_LAT} {MINUS_LON}", lambda p: Place(-p.lat, -p.lon)
    turned_east = f"{EXCHANGE} {MINUS_LON}"
    yield swapped + " and without a minus", "lat", turned_east, lambda p: _turned(Place(-p.lat, p.lon))


def _turned(place: Place) -> Place | None:
    return Place(place.lon, place.lat) if abs(place.lon) <= 90 else None


def no_yard_is_astray(draft: Draft) -> Iterator[Finding]:
    """No yard lies absurdly far from the middle of the others; a missing minus is the usual reason."""
    yards, home = _yards(draft), _home(draft)
    if _common_slip(draft):
        return
    anchors = [place for _, place in yards] + ([home] if home else [])
    if len(anchors) < 3:
        yield from _two_apart(draft, yards, anchors)
        return
    together = _most_together(anchors)
    middle = Place(median(p.lat for p in together), median(p.lon for p in together))
    usual = median(about_m(place, middle) for place in together)
    for row, place in yards:
        far = about_m(place, middle)
        if far > FAR_M or far > max(ASTRAY_M, ASTRAY * usual) or _is_nowhere(place):
            yield _astray(draft, row, place, middle, far)


def _most_together(anchors: list[Place]) -> list[Place]:
    """Return the places that lie near the one with most near it; home comes last, and wins where two tie."""
    asked = anchors[:: -max(1, len(anchors) // ASKED)]
    return max(([other for other in anchors if about_m(place, other) < NEAR_M] for place in asked), key=len)


def _two_apart(draft: Draft, yards: list[tuple[Row, Place]], anchors: list[Place]) -> Iterator[Finding]:
    """Of two places alone, which is wrong cannot be told: both are named."""
    row, place = yards[-1] if yards else (None, None)
    if row is None or place is None:
        return
    other = next((a for a in anchors if a is not place), None)
    if other is not None and about_m(place, other) > FAR_M:
        name = f"yard “{yards[0][0]['yard']}”" if len(yards) == 2 else "home"
        where = f"Yard “{row['yard']}” is {_far(draft, about_m(place, other))} from {name}"
        yield _told(draft, row, place, other, where)
    elif _is_nowhere(place):
        yield _told(draft, row, place, place, f"Yard “{row['yard']}” lies where no bees are kept")


def _is_nowhere(place: Place) -> bool:
    """Whether a place is near a pole, or the 0, 0 of a receiver that knows nothing."""
    return not SOUTHMOST <= place.lat <= NORTHMOST or abs(place.lat) + abs(place.lon) < 0.001


def _astray(draft: Draft, row: Row, place: Place, middle: Place, far: float) -> Finding:
    where = f"Yard “{row['yard']}” is {_far(draft, far)} from the others"
    return _told(draft, row, place, middle, where)


def _told(draft: Draft, row: Row, place: Place, near: Place, where: str) -> Finding:
    """Tell of a yard astray: an error with its cure where one slip explains it, else a warning."""
    table = draft["yards"]
    for words, column, cure, mended in _slips():
        meant = mended(place)
        if about_m(place, near) > FAR_M and meant is not None and about_m(meant, near) < NEAR_M:
            name = column if row.text(column) else "place"
            what = (
                "are latitude and longitude swapped?" if "swapped" in words else "minus missing or too many?"
            )
            return table.finding("error", row, name, f"{where}; {what}", cure)
    name = "lat" if row.text("lat") else "place"
    level: Level = "error" if _is_nowhere(place) else "warning"
    return table.finding(level, row, name, f"{where}.", "Look at its position again.")


def home_is_among_the_yards(draft: Draft) -> Iterator[Finding]:
    """Home is not farther from every yard than a crew would drive to the first of them."""
    home, yards = _home(draft), _yards(draft)
    if home is None or not yards or _common_slip(draft):
        return
    near = min(about_m(home, place) for _, place in yards)
    if near > ASTRAY_M:
        row = draft["crews"].rows[0]
        name = "home_lat" if row.text("home_lat") else "home"
        message = f"Home is {_far(draft, near)} from the nearest yard."
        yield draft["crews"].finding("warning", row, name, message, "Look at its position again.")


def yards_stand_apart(draft: Draft) -> Iterator[Finding]:
    """No two yards lie within 50 m of each other."""
    northward = sorted(_yards(draft), key=lambda yard: yard[1].lat)
    for i, (row, place) in enumerate(northward):
        for j in range(i + 1, len(northward)):
            other, near = northward[j]
            if near.lat - place.lat > SAME_LAT:
                break
            if about_m(place, near) < SAME_M:
                first, second = sorted((row, other), key=lambda one: one.number)
                message = f"“{second['yard']}” lies within 50 m of “{first['yard']}”."
                yield draft["yards"].finding(
                    "warning", second, "yard", message, "Make them one yard if they are one."
                )


def yards_are_told_finely(draft: Draft) -> Iterator[Finding]:
    """The figures written place each yard finely enough for the distance rule."""
    table = draft["yards"]
    for row in table.rows:
        within_m = _within_m(row)
        if within_m > COARSE_M:
            name = "lat" if row.text("lat") else "place"
            message = f"As written, yard “{row['yard']}” may lie {_far(draft, within_m, 1)} off."
            cure = "Write four decimals or more; where the last are zeros, write them under place as text."
            yield table.finding("warning", row, name, message, cure)


def _within_m(row: Row) -> float:
    """Return how far off a yard may be by the figures written, 0 where its place is not known."""
    try:
        if row["lat"] is not None and row["lon"] is not None:
            return places.within(degrees.one(row.text("lat"), "lat"), degrees.one(row.text("lon"), "lon"))
        return places.spot(row.text("place")).within_m if row["place"] is not None else 0.0
    except UnreadableError:
        return 0.0  # read through one of the beekeeper's own codes, which has no figures


def places_are_pins(draft: Draft) -> Iterator[Finding]:
    """Nothing is placed by the middle of a map alone."""
    for table, column in (("yards", "place"), ("yards", "parking"), ("crews", "home")):
        for row in draft[table].rows:
            remark = _remark(row, column)
            if remark:
                cure = "Look on the map whether that is the spot, or copy the numbers of a pin."
                yield draft[table].finding("warning", row, column, f"This link {remark}", cure)


def _remark(row: Row, column: str) -> str:
    """Return what to know of a place as written, "" for nothing."""
    try:
        return places.spot(row.text(column)).remark if row[column] is not None else ""
    except UnreadableError:
        return ""  # read through one of the beekeeper's own codes


def parking_is_by_the_hives(draft: Draft) -> Iterator[Finding]:
    """The truck stops within walking distance of the hives."""
    for row, place in _yards(draft):
        far = about_m(place, row["parking"]) if row["parking"] is not None else 0.0
        if far > PARKING_FAR_M:
            message = f"Parking lies {_far(draft, far, 1)} from the hives."
            level: Level = "error" if far > PARKING_WRONG_M else "warning"
            yield draft["yards"].finding(
                level, row, "parking", message, "Look at both positions; carry_min is one way on foot."
            )


def _far(draft: Draft, metres: float, digits: int = 0) -> str:
    return units.distance(metres, draft.settings.units, digits)


def _yards(draft: Draft) -> list[tuple[Row, Place]]:
    found = [(row, yard_place(row)) for row in draft["yards"].rows]
    return [(row, place) for row, place in found if place is not None]


def _home(draft: Draft) -> Place | None:
    rows = draft["crews"].rows
    return crew_home(rows[0]) if rows else None


POSITION_RULES: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    everything_has_a_place,
    the_yards_lie_about_home,
    no_yard_is_astray,
    home_is_among_the_yards,
    yards_stand_apart,
    yards_are_told_finely,
    places_are_pins,
    parking_is_by_the_hives,
)
