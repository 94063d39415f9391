"""Where a yard is, in every notation people bring; what can be read in two ways is refused."""

import math
import re
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openlocationcode import openlocationcode
from pyproj import Geod, Transformer

from routeplan.operation import degrees, places
from routeplan.operation.unreadable import UnreadableError
from routeplan.operation.world import Place

CREEK = (45.1, -75.4)

CREEK_WRITTEN = [
    "45.1000, -75.4000",
    "45.1000,-75.4000",
    "45.1000,-75.4000,",
    "(45.1000, -75.4000)",
    "45.1000; -75.4000",
    "45.1000 / -75.4000",
    "45.1000 -75.4000",
    "+45.1000 −75.4000",
    "45.1000, –75.4000",
    "45,1000; −75,4000",
    "45,1000, -75,4000",
    "45,1000 -75,4000",
    "45.1° N, 75.4° W",
    "45.1N 75.4W",
    "N45.1 W75.4",
    "n 45.1, w 75.4",
    "75.4 W, 45.1 N",
    "W 75.4 N 45.1",
    "45.1 N, -75.4",
    "45.1 north, 75.4 west",
    "45.1 degrees North 75.4 degrees West",
    "lat 45.1000, lon -75.4000",
    "Latitude: 45.1 Longitude: -75.4",
    "lon=-75.4, lat=45.1",
    "45°06'N 75°24'W",
    "45° 06.000' N, 75° 24.000' W",
    "N45°06.000′ W075°24.000′",
    "45 06.000 N 75 24.000 W",
    "45 06.0 -75 24.0",
    "45°06′ -75°24′",
    "45 deg 6 min N, 75 deg 24 min W",
    "45°06′00″N 75°24′00″W",
    "45°06’00”N 75°24’00”W",
    "45º06'00\"N 75º24'00\"W",
    "45˚06´00´´N 75˚24´00´´W",
    "45°06‘00“ N / 75°24‘00“ W",
    "45° 6' 0.00'' N 75° 24' 0.00'' W",
    "45-06-00 N 75-24-00 W",
    "45:06:00N 75:24:00W",
    "45 06 00 N, 75 24 00 W",
    "45 06 00 -75 24 00",
    "45.1°, -75.4°",
    "45.10000° -75.40000°",
    "N 45 06 00 W 75 24 00",
    "45d06m00s N 75d24m00s W",
    "45°06'00\" -75°24'00\"",
    "\u200e45.1000,\u00a0-75.4000\u200f",
    "４５.１, －７５.４",
    "+45.1000-075.4000/",
    "+4506-07524/",
    "+450600-0752400+120/",
    "geo:45.1,-75.4",
    "GEO:45.1,-75.4,120;crs=WGS84;u=15",
    "geo:0,0?q=45.1,-75.4(Creek)",
    "https://maps.example/place/Creek/@45.1100,-75.4200,15z/data=!3m1!4b1!4m2!3m1!3d45.1000!4d-75.4000",
    "https://maps.example/?q=45.1000,-75.4000",
    "https://maps.example/search/?api=1&query=45.1000%2C-75.4000",
    "https://maps.example/place/45%C2%B006'00.0%22N+75%C2%B024'00.0%22W/@45.11,-75.42,17z",
    "https://maps.example/search/45.1000,+-75.4000?entry=tts",
    "https://www.map.example/?mlat=45.1000&mlon=-75.4000#map=15/45.1100/-75.4200",
]


@pytest.mark.parametrize("text", CREEK_WRITTEN)
def test_one_yard_in_every_notation(text: str) -> None:
    read = places.place(text)
    assert (read.lat, read.lon) == pytest.approx(CREEK, abs=1e-9)


REFUSED = {
    "": "not a position",
    "Creek": "not a position",
    "here, there": "not a position",
    "45.1": "not a position",
    "45.1, -75.4, 120": "more than one way",
    "45,1,-75,4": "more than one way",
    "45,1": "more than one way",
    "45,1 7.5": "more than one way",
    "45 6 75": "not a position",
    "45, -75": "whole degrees",
    "45 N 75 W": "whole degrees",
    "45.1 N 75.4": "E or W",
    "45.1, 75.4 W": "N or S",
    "45.1 N, 75.4 N": "two latitudes",
    "45.1 N -75.4 W": "both a sign and a letter",
    "45.1 N 75.4 O": "letter O",
    "45°06′00″N 75°75′00″W": "75 minutes",
    "45°06′99″N 75°24′00″W": "99 seconds",
    "45.5°06′N 75°24′W": "fraction before",
    "45°06″ 00′N 75°24′W": "can be read",
    "45 06 N, 75.4 W": "one half only",
    "95.0, 10.5": "beyond 90",
    "52.06, 181.5": "beyond 180",
    "450600N 752400W": "metres on a grid",
    "4506.000N 07524.000W": "degrees and minutes run together",
    "468520 4994210": "zone",
    "4994210, 468520": "zone",
    "18 468520 4994210": "half of the earth",
    "18T 4994210 468520": "exchanged",
    "61N 468520 4994210": "zone 61",
    "18M 468520 4994210": "band M",
    "18S 468520 4000000": "south, or band S",
    "18T 468520 4994210 S": "both T and S",
    "18TVQ 68520 94210": "letters for its square",
    "19T 706291 5036666 NAD27": "another datum",
    "4J2X+22 Ottawa": "full code",
    "4J2X+22": "full code",
    "87Q6+": "full code",
    "87Q64J00+": "too coarse",
    "87Q6I234+22": "not a position",
    "geo:45.1,-75.4;crs=nad27": "another datum",
    "geo:0,0?q=Creek+farm": "no position",
    "https://short.example/AbCdEf": "no position",
    "https://maps.example/?q=Creek": "no position",
    "https://[maps": "link that can be read",
    "https://maps.example/dir/45.1,-75.4/45.2,-75.3": "more than one pin",
}


@pytest.mark.parametrize("text", REFUSED)
def test_what_is_no_place_or_could_be_two_is_refused_with_a_cure(text: str) -> None:
    with pytest.raises(UnreadableError, match=REFUSED[text]) as fault:
        places.place(text)
    assert fault.value.cure.endswith(".")
    assert fault.value.problem.endswith(".")


def test_coordinates_in_columns_of_their_own() -> None:
    assert places.latitude("-90") == -90
    assert places.longitude("75.4 W") == places.longitude("−75.4") == places.longitude("-75,4") == -75.4
    assert places.latitude("45°06'") == pytest.approx(45.1)
    assert places.longitude("-0°30′") == -0.5
    for text, said in {
        "45.1, -75.4": "two coordinates",
        "45.1 N 75.4 W": "two coordinates",
        "4994210": "metres on a grid",
        "7524.000W": "letter says otherwise",
        "4506.000": "run together",
        "45123": "decimal mark may be lost",
        "-754000": "decimal mark may be lost",
        "52061300": "decimal mark may be lost",
        "2026-02-01": "is a date",
        "north": "can be read",
        "75.4 W": "letter says otherwise",
        "91": "beyond 90",
    }.items():
        with pytest.raises(UnreadableError, match=said):
            places.latitude(text)


def test_degrees_without_a_sign_or_a_letter_are_north_and_east() -> None:
    assert places.place("45.1° 75.4°") == places.place("45°06′ 75°24′") == Place(45.1, 75.4)


LONG = [
    "9" * 3999,
    "1 " * 1999,
    "1," * 1999,
    "°" * 3999,
    "LAT " + " " * 3990 + "1",
    "http://a/?q=" + "!3d1!4d1!3d2!4d2" * 240,
]


@pytest.mark.parametrize(
    "text", [*LONG, *(text * 1000 for text in LONG)], ids=lambda text: f"{text[:6]}{len(text)}"
)
def test_text_without_end_is_refused_at_once(text: str) -> None:
    began = time.process_time()
    with pytest.raises(UnreadableError):
        places.place(text)
    with pytest.raises(UnreadableError):
        places.latitude(text)
    assert time.process_time() - began < 0.5


def test_the_middle_of_a_map_is_read_with_a_remark() -> None:
    for link in (
        "https://maps.example/@45.1000,-75.4000,15z",
        "https://maps.example/#map=15/45.1000/-75.4000",
        "https://maps.example/?ll=45.1000,-75.4000",
    ):
        spot = places.spot(link)
        assert (spot.place.lat, spot.place.lon) == CREEK
        assert "middle of a map" in spot.remark


def test_how_far_off_a_place_may_be_by_its_figures() -> None:
    assert places.spot("45.1000, -75.4000").within_m == pytest.approx(5.6, abs=0.1)
    assert places.spot("45.1, -75.4012").within_m == pytest.approx(5.6, abs=0.1), "a lost zero"
    assert places.spot("45.1, -75.4").within_m == pytest.approx(5566, abs=1)
    assert places.spot("45°06′N 75°24′W").within_m == pytest.approx(928, abs=1)
    assert places.spot("geo:45.1,-75.4;u=15").within_m == 15


# Published worked examples


def test_degrees_minutes_seconds_of_the_geodetic_datum_of_australia() -> None:
    """Flinders Peak, GDA technical manual: -37°57′03.72030″ 144°25′29.52440″ is -37.95103342 144.42486789."""
    read = places.place("37°57′03.72030″S 144°25′29.52440″E")
    assert (read.lat, read.lon) == pytest.approx((-37.95103342, 144.42486789), abs=1e-8)


def test_the_cn_tower_on_the_utm_grid() -> None:
    """43°38′33.24″N 79°23′13.7″W is 17T 630084 4833438 (an encyclopaedia's example, metres cut off)."""
    stated = places.place("43°38′33.24″N 79°23′13.7″W")
    on_grid = places.place("17T 630084 4833438")
    assert metres_apart(stated, on_grid) < math.sqrt(2)


def test_snyder_s_example_is_on_its_own_datum_and_shows_what_a_datum_does() -> None:
    """J. P. Snyder, USGS Professional Paper 1395 (1987), p. 269: 40°30′N 73°30′W on Clarke 1866, central
    meridian 75°W, is x 127,106.5 m and y 4,484,124.4 m. The referee of the tests below reproduces it."""
    clarke = Transformer.from_crs(
        "+proj=longlat +ellps=clrk66 +no_defs", "+proj=utm +zone=18 +ellps=clrk66 +no_defs", always_xy=True
    )
    east, north = clarke.transform(-73.5, 40.5)
    assert (east - 500_000, north) == pytest.approx((127_106.5, 4_484_124.4), abs=0.1)
    read = places.place(f"18T {east:.1f} {north:.1f}")
    assert 150 < metres_apart(read, Place(40.5, -73.5)) < 250, "the same figures on WGS-84 are elsewhere"


def test_paris_as_iso_6709_writes_it() -> None:
    """+4852+00220/ is 48.8667, 2.3333 (an encyclopaedia's example of the standard)."""
    read = places.place("+4852+00220/")
    assert (read.lat, read.lon) == pytest.approx((48.8667, 2.3333), abs=1e-4)


def test_geo_links_of_the_standard() -> None:
    """Examples of RFC 5870, from memory."""
    assert places.place("geo:13.4125,103.8667") == Place(13.4125, 103.8667)
    assert places.place("geo:48.2010,16.3695,183") == Place(48.2010, 16.3695)
    assert places.spot("geo:48.198634,16.371648;crs=wgs84;u=40").within_m == 40


# Against other libraries

LAT = st.floats(-79, 79)
LON = st.floats(-179.9, 179.9)


def metres_apart(a: Place, b: Place) -> float:
    return float(Geod(ellps="WGS84").inv(a.lon, a.lat, b.lon, b.lat)[2])


@settings(deadline=None)
@given(LAT, LON)
def test_utm_against_proj(lat: float, lon: float) -> None:
    zone = int((lon + 180) // 6) + 1
    hemisphere = "north" if lat >= 0 else "south"
    south = " +south" if lat < 0 else ""
    east, north = Transformer.from_crs(
        "EPSG:4326", f"+proj=utm +zone={zone}{south}", always_xy=True
    ).transform(lon, lat)
    read = places.place(f"{zone} {hemisphere} {east:.2f} {north:.2f}")
    assert metres_apart(read, Place(lat, lon)) < 0.05


@settings(deadline=None)
@given(LAT, LON, st.sampled_from([10, 11, 12]))
def test_plus_codes_against_their_library(lat: float, lon: float, length: int) -> None:
    code = openlocationcode.encode(lat, lon, length)
    spot = places.spot(code.lower())
    assert abs(spot.place.lat - lat) * degrees.METRES_A_DEGREE <= spot.within_m + 1e-6
    assert metres_apart(spot.place, Place(lat, lon)) < 11


# Any position, written in any notation, reads back within its precision


def angle(value: float, figures: int, parts: int) -> tuple[str, str, str]:
    """Degrees, minutes, seconds of a size, the last with so many decimals; "" for parts not written."""
    whole = round(abs(value) * 60 ** (parts - 1) * 10**figures)
    last, carried = whole % (60 * 10**figures), whole // (60 * 10**figures)
    if parts == 1:
        return f"{whole / 10**figures:.{figures}f}", "", ""
    text = f"{last / 10**figures:0{3 + figures}.{figures}f}"
    return (f"{carried}", text, "") if parts == 2 else (f"{carried // 60}", f"{carried % 60:02d}", text)


STYLES = [
    ("°", "′", "″"),
    ("º", "’", "”"),
    ("° ", "' ", "''"),
    (" ", " ", ""),
    ("-", "-", ""),
    (":", ":", ""),
]


@settings(deadline=None)
@given(
    LAT,
    LON,
    st.integers(1, 3),
    st.integers(2, 5),
    st.sampled_from(STYLES),
    st.sampled_from(["before", "after", "lon first"]),
    st.sampled_from([" ", ", ", "; "]),
    st.booleans(),
)
def test_a_position_reads_back_within_its_precision(
    lat: float,
    lon: float,
    parts: int,
    figures: int,
    style: tuple[str, str, str],
    letters: str,
    gap: str,
    comma: bool,
) -> None:
    halves = []
    for value, (plus, minus) in ((lat, "NS"), (lon, "EW")):
        pieces = [p + s for p, s in zip(angle(value, figures, parts), style, strict=True) if p]
        pieces[-1] = pieces[-1].rstrip(" :-") if style[2] == "" else pieces[-1]
        text, letter = "".join(pieces), minus if value < 0 else plus
        halves.append(letter + text if letters == "before" else f"{text} {letter}")
    text = gap.join(reversed(halves) if letters == "lon first" else halves)
    read = places.place(text.replace(".", ",") if comma and gap != ", " else text)
    step = 10.0**-figures / 60 ** (parts - 1)
    assert (read.lat, read.lon) == pytest.approx((lat, lon), abs=step * 0.51)


@settings(deadline=None)
@given(LAT, LON, st.integers(3, 7), st.sampled_from([", ", " ", ";", ","]))
def test_signed_decimals_read_back(lat: float, lon: float, figures: int, gap: str) -> None:
    read = places.place(f"{lat:.{figures}f}{gap}{lon:.{figures}f}")
    assert (read.lat, read.lon) == pytest.approx((lat, lon), abs=0.51 * 10.0**-figures)


@settings(deadline=None)
@given(st.text(max_size=40) | st.text("0123456789.,;:+-° ′″'NSEWgeo:@!3d/?=q", max_size=40))
def test_any_text_is_a_place_on_earth_or_is_refused(text: str) -> None:
    try:
        read = places.place(text)
    except UnreadableError:
        return
    assert abs(read.lat) <= 90
    assert abs(read.lon) <= 180


PAGE = (Path(__file__).parents[2] / "data" / "README.md").read_text(encoding="utf-8")


def test_the_page_s_own_example_is_one_yard_in_every_notation() -> None:
    part = PAGE[PAGE.index("- **position**") : PAGE.index("What can be read in two ways")]
    written = [text for text in re.findall("`([^`]+)`", part) if re.search("[0-9]", text)]
    assert len(written) == 8
    for text in written:
        assert metres_apart(places.place(text), Place(52.0613, -2.7154)) < 10, text
