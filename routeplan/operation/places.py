"""Where something is, from any text that says so: one strict reader for each notation, tried in order.

Nothing is looked up: short links and short codes are refused, and what can be read in two ways is too.
"""

from dataclasses import dataclass

from routeplan.operation import degrees
from routeplan.operation.map_links import is_link, link_place
from routeplan.operation.plus_codes import plus_code_place
from routeplan.operation.unreadable import UnreadableError
from routeplan.operation.utm_grid import utm_place
from routeplan.operation.world import Place

CURE = (
    "Write latitude, comma, longitude (52.0613, -2.7154); degrees and minutes, UTM with its zone, a full "
    "plus code, a geo: link or a map link with a pin are read too."
)
METRE_M = 1.0
MOST_LETTERS = 4000  # long enough for any link


@dataclass(frozen=True)
class Spot:
    """A place as it was written.

    `within_m` is how far off it may be by the figures written, in metres; `remark` what to know of it, or "".
    """

    place: Place
    within_m: float
    remark: str = ""


def spot(text: str) -> Spot:
    """Read a position in any notation. Raises UnreadableError."""
    if len(text) > MOST_LETTERS:
        raise UnreadableError("is too long for a position.", CURE)
    if is_link(text):
        found, within_m, remark = link_place(text)
        return Spot(found, METRE_M if within_m is None else within_m, remark)
    code = plus_code_place(text)
    if code is not None:
        return Spot(*code)
    on_grid = utm_place(text)
    if on_grid is not None:
        return Spot(on_grid, METRE_M)
    try:
        lat, lon = degrees.two(text)
    except UnreadableError as fault:
        vague = fault.problem.startswith("is not a position")
        raise UnreadableError(fault.problem, CURE if vague else fault.cure) from None
    return Spot(Place(lat.degrees, lon.degrees), within(lat, lon))


def within(lat: degrees.Angle, lon: degrees.Angle) -> float:
    """Return how far off two coordinates may be by the figures written, in metres; the finer one counts.

    A zero at the end is easily lost, in a spreadsheet above all; of both coordinates it seldom is.
    """
    return min(lat.step, lon.step) / 2 * degrees.METRES_A_DEGREE


def place(text: str, decimal_comma: bool = False) -> Place:
    """Read a position in any notation. Raises UnreadableError."""
    return spot(text).place


def latitude(text: str, decimal_comma: bool = False) -> float:
    """Read a latitude, north positive, in degrees or with minutes and seconds. Raises UnreadableError."""
    return degrees.one(text, "lat").degrees


def longitude(text: str, decimal_comma: bool = False) -> float:
    """Read a longitude, east positive, in degrees or with minutes and seconds. Raises UnreadableError."""
    return degrees.one(text, "lon").degrees
