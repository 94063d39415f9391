"""Positions held against each other and home: what is exchanged, without a sign, far off or too coarse."""

from pathlib import Path

import pytest

from routeplan.operation.findings import Finding, errors
from routeplan.operation.world import Operation
from tests.operation.sound import read_changed

CREW = 'crew,home,places\nWren,"45.0500, -75.4500",16\n'
PLAIN = {"pairs.csv": "", "splits.csv": "order,count,kit\nA,1,three-frame\n", "crews.csv": CREW}
ALDER, CREEK = "45.1000, -75.4000", "45.1500, -75.4200"


def read(
    folder: Path, mill: str, alder: str = ALDER, creek: str = CREEK, **more: str
) -> tuple[Operation | None, list[Finding]]:
    """Three yards by their place; `more` replaces other tables."""
    rows = [f'{name},"{place}",5,ok' for name, place in (("Alder", alder), ("Creek", creek), ("Mill", mill))]
    yards = "yard,place,room,health\n" + "\n".join(rows) + "\n"
    tables = PLAIN | {"yards.csv": yards} | {f"{name}.csv": text for name, text in more.items()}
    return read_changed(folder, tables)


def said(findings: list[Finding]) -> list[tuple[str, int | None, str | None]]:
    return [(f.level, f.row, f.column) for f in findings]


@pytest.mark.parametrize(
    "mill",
    [
        "45°12′00.0″N 75°22′37.2″W",
        "geo:45.2000,-75.3770",
        "18T 470390 5005237",
        "https://maps.example/@45.1,-75.1,9z/data=!3d45.2000!4d-75.3770",
    ],
)
def test_yards_in_different_notations_stand_together(tmp_path: Path, mill: str) -> None:
    operation, findings = read(tmp_path, mill)
    assert operation is not None
    assert findings == []
    assert (operation.yard("Mill").place.lat, operation.yard("Mill").place.lon) == pytest.approx(
        (45.2, -75.377), abs=1e-4
    )


@pytest.mark.parametrize(
    ("mill", "words"),
    [
        ("45.2000, 75.3770", "minus missing"),
        ("-45.2000, -75.3770", "minus missing"),
        ("-45.2000, 75.3770", "minus missing"),
        ("-75.3770, 45.2000", "swapped"),
        ("75.3770, 45.2000", "swapped"),
        ("18 south 470400 5005316", "minus missing"),
    ],
)
def test_one_yard_with_a_slip_is_an_error_and_is_not_put_right(tmp_path: Path, mill: str, words: str) -> None:
    operation, findings = read(tmp_path, mill)
    assert operation is None
    (fault,) = errors(findings)
    assert (fault.row, fault.column, fault.found) == (4, "place", mill)
    assert words in fault.message
    assert "km from the others" in fault.message


def test_each_of_many_slips_is_told_by_the_few_that_are_right(tmp_path: Path) -> None:
    """Half of the yards are wrong, each in its own way; those that lie together tell what was meant."""
    written = {
        "Alder": "45.1000, -75.4000",
        "Creek": "45.1500, -75.4200",
        "Mill": "45.2000, 75.3770",
        "Dell": "-75.4000, 45.1200",
        "Ford": "-45.1100, -75.3900",
    }
    yards = "yard,place,room,health\n" + "".join(f'{name},"{at}",5,ok\n' for name, at in written.items())
    operation, findings = read_changed(tmp_path, PLAIN | {"yards.csv": yards, "crews.csv": ""})
    assert operation is None
    told = [(f.row, f.message.rsplit("; ", 1)[1].split()[0]) for f in errors(findings)]
    assert told == [(4, "minus"), (5, "are"), (6, "minus")]


SLIPS = [
    ("{1},{0}", "lat", "look swapped"),
    ("{0},{2}", "lon", "minus"),
    ("{2},{0}", "lat", "look swapped and without a minus"),
    ("-{0},{1}", "lat", "minus"),
]


@pytest.mark.parametrize(("written", "column", "words"), SLIPS)
@pytest.mark.parametrize("home", [True, False])
def test_all_yards_with_one_slip_are_one_error(
    tmp_path: Path, written: str, column: str, words: str, home: bool
) -> None:
    places = [
        ("Alder", "45.1000", "75.4000"),
        ("Creek", "45.1500", "75.4200"),
        ("Mill", "45.2000", "75.3770"),
    ]
    rows = [f"{name},{written.format(lat, '-' + lon, lon)},5,ok" for name, lat, lon in places]
    yards = "yard,lat,lon,room,health\n" + "\n".join(rows) + "\n"
    crew = CREW if home else "crew,home_lat\nWren,\n"
    operation, findings = read_changed(tmp_path, PLAIN | {"yards.csv": yards, "crews.csv": crew})
    found = [f for f in errors(findings) if f.table == "yards.csv"]
    assert operation is None
    if home:
        assert [(f.row, f.column) for f in found] == [(None, column)]
        assert words in found[0].message
        assert "here or in home: every yard lies" in found[0].message
        assert "km or more from home" in found[0].message
    else:
        beyond_a_pole = written in ("{1},{0}", "{2},{0}")
        assert bool(found) == beyond_a_pole, "without home only what lies beyond a pole can be told"


def test_of_two_places_alone_both_are_named(tmp_path: Path) -> None:
    """Creek -75.40 and Mill 75.3770: which of them lacks its minus cannot be told."""
    yards = "yard,lat,lon,room,health\nAlder,45.1000,-75.4000,5,ok\nMill,45.1200,75.3770,5,ok\n"
    operation, findings = read_changed(tmp_path, PLAIN | {"yards.csv": yards, "crews.csv": ""})
    assert operation is None
    (fault,) = errors(findings)
    assert (fault.row, fault.column) == (3, "lon")
    for words in ("Mill", "Alder", "minus missing", "km from"):
        assert words in fault.message


def test_distances_in_messages_are_in_the_operation_s_units(tmp_path: Path) -> None:
    settings = {"settings.toml": 'day = "2027-05-15"\nunits = "mi"\n'}
    yards = "yard,lat,lon,room,health\nAlder,45.1000,-75.4000,5,ok\nMill,45.1200,75.3770,5,ok\n"
    _, findings = read_changed(tmp_path, PLAIN | settings | {"yards.csv": yards})
    message = errors(findings)[0].message
    assert " mi from" in message
    assert "km" not in message


@pytest.mark.parametrize("mill", ["45.2000, -70.3770", "43.2000, -75.3770", "17T 470400 5005316"])
def test_a_wrong_degree_or_zone_is_named(tmp_path: Path, mill: str) -> None:
    operation, findings = read(tmp_path, mill)
    assert operation is not None
    assert said(findings) == [("warning", 4, "place")]
    assert "km from the others" in findings[0].message


@pytest.mark.parametrize("mill", ["0.0000, 0.0000", "-72.0000, -75.4000", "85.0000, -75.4000"])
def test_where_nobody_keeps_bees_is_an_error(tmp_path: Path, mill: str) -> None:
    operation, findings = read(tmp_path, mill)
    assert operation is None
    assert [(f.row, f.column) for f in errors(findings)] == [(4, "place")]


@pytest.mark.parametrize(
    ("mill", "far"),
    [
        ("45.20, -75.37", "0.6 km"),
        ("45°12′N 75°22′W", "0.9 km"),
        ("87Q656X2+", "0.1 km"),
        ("45.2, -75.4", "5.6 km"),
    ],
)
def test_a_place_too_coarse_for_the_distance_rule_is_named(tmp_path: Path, mill: str, far: str) -> None:
    operation, findings = read(tmp_path, mill)
    assert operation is not None
    assert said(findings) == [("warning", 4, "place")]
    assert far in findings[0].message


def test_figures_are_judged_in_columns_of_their_own_too(tmp_path: Path) -> None:
    yards = "yard,lat,lon,room,health\nAlder,45.1,-75.4012,5,ok\nMill,45.12,-75.38,5,ok\n"
    _, findings = read_changed(tmp_path, PLAIN | {"yards.csv": yards})
    assert said(findings) == [("warning", 3, "lat")]


def test_the_middle_of_a_map_is_to_be_looked_at(tmp_path: Path) -> None:
    operation, findings = read(tmp_path, "https://maps.example/@45.2000,-75.3770,15z")
    assert operation is not None
    assert said(findings) == [("warning", 4, "place")]
    assert "middle of a map" in findings[0].message


def test_metres_in_the_columns_of_degrees_ask_for_zone_and_half(tmp_path: Path) -> None:
    yards = "yard,lat,lon,room,health\nAlder,45.1000,-75.4000,5,ok\nMill,4994210,468520,5,ok\n"
    operation, findings = read_changed(tmp_path, PLAIN | {"yards.csv": yards})
    assert operation is None
    assert [(f.row, f.column) for f in errors(findings)] == [(3, "lat"), (3, "lon")]
    for fault in errors(findings):
        assert "metres on a grid" in fault.message
        assert "zone" in fault.cure


def test_eastings_and_northings_in_columns_of_their_own_ask_for_one_with_the_zone(tmp_path: Path) -> None:
    yards = "yard,easting,northing,room,health\nAlder,468520,4994210,5,ok\nMill,470390,5005237,5,ok\n"
    operation, findings = read_changed(tmp_path, PLAIN | {"yards.csv": yards})
    assert operation is None
    assert [f.row for f in errors(findings)] == [2, 3]
    assert all("UTM with its zone" in f.cure for f in errors(findings))
    assert {f.column for f in findings} >= {"easting", "northing"}


@pytest.mark.parametrize("halves", [("N", "W"), ("north", "West"), ("S", "e")])
def test_halves_of_the_earth_in_columns_of_their_own_are_not_passed_over(
    tmp_path: Path, halves: tuple[str, str]
) -> None:
    rows = [
        f"{name},{lat},{halves[0]},75.4,{halves[1]},5,ok" for name, lat in (("Alder", 45.1), ("Mill", 45.2))
    ]
    yards = "yard,lat,half,lon,,room,health\n" + "\n".join(rows) + "\n"
    operation, findings = read_changed(tmp_path, PLAIN | {"yards.csv": yards})
    assert operation is None
    told = [f.column for f in errors(findings) if "column of their own" in f.message]
    assert told == ["half", "(no header)"]


@pytest.mark.parametrize(
    ("parking", "level"),
    [("45.1020, -75.4000", ""), ("45.1200, -75.4000", "warning"), ("45.1000, 75.4000", "error")],
)
def test_parking_is_by_the_hives(tmp_path: Path, parking: str, level: str) -> None:
    yards = f'yard,place,parking,room,health\nAlder,"{ALDER}","{parking}",5,ok\nMill,"{CREEK}",,5,ok\n'
    _, findings = read_changed(tmp_path, PLAIN | {"yards.csv": yards})
    assert said(findings) == ([(level, 2, "parking")] if level else [])
