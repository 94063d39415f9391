"""Positions on the UTM grid: zone, easting and northing in metres on WGS-84."""

import re

import utm

from routeplan.operation.degrees import plain
from routeplan.operation.unreadable import UnreadableError
from routeplan.operation.world import Place

CURE = "Write zone with its letter, easting, northing: 18T 468520 4994210."
BAND_EDGE = 0.05  # degrees a position may lie beyond its band, for yards on the border of two

_LARGE = r"[0-9]{5,8}(?:\.[0-9]+)?"
_ANY = r"[0-9]{1,8}(?:\.[0-9]+)?"
_EASTING = rf"(?:E ?)?(?P<east>{_LARGE}) ?(?:M ?E|M|E)?"
_NORTHING = rf"(?:N ?)?(?P<north>{_ANY}) ?(?:M ?N|M|N)?"
_ZONE = r"(?:ZONE ?)?(?P<zone>[0-9]{1,2}) ?(?P<letter>NORTH|SOUTH|[F-HJ-NP-X])?"
_HALF = "(?: ?(?P<half>SOUTH|S))?"
_METRES = (_EASTING + "(?:[ ,;]+|(?<=[ME])|(?=N))" + _NORTHING, _NORTHING + "[ ,;]+" + _EASTING)
_FORMS = tuple(
    re.compile(form)
    for metres in _METRES
    for form in (_ZONE + r"(?:(?<=[A-Z])[ ,;]*|[ ,;]+)" + metres + _HALF, metres + "[ ,;]+" + _ZONE)
)
_NO_ZONE = re.compile(rf"{_LARGE} ?(?:M?[EN])?[ ,;]+{_LARGE} ?(?:M?[EN])?")
_OTHER_DATUM = re.compile(r"\b(NAD ?(?:19)?27|ED ?(?:19)?50|AGD ?\d*|OSGB ?\d*|TOKYO|CLARKE)\b")
_SQUARES = re.compile(r"[0-9]{1,2} ?[C-HJ-NP-X] ?[A-HJ-NP-Z]{2}(?: ?[0-9]+){1,2}")


def utm_place(text: str) -> Place | None:
    """Read "18T 468520 4994210" and its like; None when the text is no such thing. Raises UnreadableError."""
    written = plain(text)
    datum = _OTHER_DATUM.search(written)
    written = re.sub(r"\(?\b(?:UTM|WGS[ _-]?(?:19)?84)\b\)?[:,]?", " ", written)
    written = " ".join(written.strip(" ,;").split())
    if _SQUARES.fullmatch(written):
        raise UnreadableError("is a grid reference with letters for its square.", CURE)
    for form in _FORMS:
        parts = form.fullmatch(written) or (datum and form.match(written))
        if parts:
            if datum:
                cure = "Turn it into WGS-84 first; unturned it can be 200 m off."
                raise UnreadableError(f"is on another datum than WGS-84 ({datum[0]}).", cure)
            found = parts.groupdict()
            letter = _one_half(found["letter"], found.get("half"))
            return _place(int(found["zone"]), letter, float(found["east"]), float(found["north"]))
    if _NO_ZONE.fullmatch(written):
        raise UnreadableError("is metres on a grid without their zone.", CURE)
    return None


def _one_half(letter: str | None, half: str | None) -> str | None:
    """Return what says which half of the earth. Raises UnreadableError where two words differ."""
    if half and letter and (letter == "NORTH" or (letter >= "N" and letter not in ("S", "SOUTH"))):
        raise UnreadableError(
            f"says both {letter} and {half}.", "Write the zone with one of them: 18T, 18 south."
        )
    return "SOUTH" if half else letter


def _place(zone: int, letter: str | None, east: float, north: float) -> Place:
    if not 1 <= zone <= 60:
        raise UnreadableError(f"has zone {zone}; there are 60.", CURE)
    if letter is None:
        cure = "Write north or south after the zone: 18 north 468520 4994210."
        raise UnreadableError("does not say which half of the earth.", cure)
    if not 100_000 <= east < 1_000_000 or north > 10_000_000:
        raise UnreadableError("has an easting or northing that cannot be, or they are exchanged.", CURE)
    if letter == "S" and _in_band(place := _turned(east, north, zone, True), letter):
        cure = f"Write “{zone} south” or “{zone} north” for the half of the earth."
        raise UnreadableError("can mean south, or band S in the north.", cure)
    place = _turned(east, north, zone, letter not in ("S", "SOUTH") and letter >= "N")
    if len(letter) == 1 and letter not in "NS" and not _in_band(place, letter):
        cure = "Look at letter and northing; or write north or south in place of the letter."
        raise UnreadableError(f"does not lie in band {letter}.", cure)
    return place


def _turned(east: float, north: float, zone: int, northern: bool) -> Place:
    lat, lon = utm.to_latlon(east, north, zone, northern=northern)
    return Place(float(lat), float(lon))


def _in_band(place: Place, letter: str) -> bool:
    near = (place.lat - BAND_EDGE, place.lat, place.lat + BAND_EDGE)
    return any(utm.latitude_to_zone_letter(lat) == letter for lat in near)
