"""Situations from the field that tables bring along: blanks, health notes, gate codes, positions."""

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from geopy.distance import geodesic

from routeplan.operation import values
from routeplan.operation.findings import errors
from routeplan.operation.world import Operation
from tests.operation.sound import SOUND, changed, read_changed

RULES_OF_CASES = ("the_yards_lie_about_home", "no_yard_is_astray", "health_is_said", "clocks_go_on")

YARDS = (
    "yard,lat,lon,room,health\nAlder,45.1000,-75.4000,2,ok\n"
    "Creek,45.1500,-75.4000,5,ok\nMill,45.20,-75.3770,5,ok\n"
)
CREW = 'crew,home,places\nWren,"45.0, -75.5",16\n'
PLAIN = {"pairs.csv": "", "splits.csv": "order,count,kit\nA,1,three-frame\n", "crews.csv": CREW}


def _sound(tmp_path: Path, tables: dict[str, str]) -> Operation:
    operation, findings = read_changed(tmp_path, tables)
    assert operation is not None, [f.sentence() for f in findings]
    return operation


def test_a_blank_count_is_not_known_and_never_zero(tmp_path: Path) -> None:
    table = "hive,yard,frame,inspected,bees,brood,food,health\n"
    table += "".join(
        f"C{i},Alder,deep,2027-05-12,12,{b},4,ok\n" for i, b in ((1, "8"), (2, "6"), (3, "5"), (4, ""))
    )
    counts = [hive.count for hive in _sound(tmp_path, {"hives.csv": table}).hives]
    assert [count.brood for count in counts] == [8, 6, 5, None]
    assert [(count.capped, count.open, count.eggs_seen, count.mites_per_100) for count in counts] == [
        (None,) * 4
    ] * 4


def test_a_suspicion_is_not_wiped_out_by_a_later_blank(tmp_path: Path) -> None:
    table = "hive,yard,frame,inspected,health,bees,treated_until,mites\n"
    table += "M3,Alder,deep,2027-05-02,suspect,12,2027-05-20,4.1\nM3,Alder,deep,2027-05-12,,14,,\n"
    (hive,) = _sound(tmp_path, {"hives.csv": table}).hives
    assert (hive.health, hive.count.mites_per_100) == ("suspected", 4.1)
    assert str(hive.count.treated_until) == "2027-05-20"
    assert hive.count.bees == 14, "counts are the newest look's"


def test_of_several_looks_the_newest_counts_blanks_and_all(tmp_path: Path) -> None:
    table = "hive,yard,frame,inspected,health,bees,food,queen_cells,eggs_seen\n"
    table += "1,Alder,deep,2027-05-12,ok,14,,,\n1,Alder,deep,2027-05-02,ok,9,3,charged,yes\n"
    (hive,) = _sound(tmp_path, {"hives.csv": table}).hives
    assert (hive.count.bees, hive.count.food, hive.count.eggs_seen) == (14, None, None)
    assert (hive.count.queen_cells, hive.row) == ("not stated", 2)


@pytest.mark.parametrize(
    ("note", "health"),
    [
        ("ok", "clear"),
        ("Healthy", "clear"),
        ("CB?", "suspected"),
        ("ok?", "suspected"),
        ("chalk", "suspected"),
        ("AFB confirmed", "confirmed"),
        ("not confirmed", "unclear"),
        ("see notes", "unclear"),
        ("not ok", "unclear"),
    ],
)
def test_what_is_not_known_as_clear_is_never_clear(note: str, health: str) -> None:
    assert values.health(note) == health


def test_blank_health_is_one_warning_and_unknown_text_is_named(tmp_path: Path) -> None:
    hives = SOUND["hives.csv"].replace("calm,clear", "calm,").replace("normal,clear", "normal,see notes")
    operation, findings = read_changed(tmp_path, {"hives.csv": hives})
    assert operation is not None
    assert {h.id: h.health for h in operation.hives} == {"007": "not stated", "NA": "unclear", "1E5": "clear"}
    assert [(f.level, f.row, f.column, f.found) for f in findings] == [
        ("warning", None, "health", ""),
        ("warning", 3, "health", "see notes"),
    ]


def test_a_gate_code_keeps_its_zero_and_sundays_are_kept(tmp_path: Path) -> None:
    yard = _sound(tmp_path, {}).yard("Birch")
    assert (yard.gate, yard.closed_days, yard.opens_min, yard.closes_min) == ("0417", (7,), 480, 1020)


def test_names_survive_as_text(tmp_path: Path) -> None:
    assert {hive.id for hive in _sound(tmp_path, {}).hives} == {"007", "NA", "1E5"}


def test_latitude_and_longitude_the_wrong_way_round(tmp_path: Path) -> None:
    swapped = (
        "yard,lat,lon,room,health\nAlder,-75.40,45.10,2,ok\nCreek,-75.40,45.15,5,ok\nMill,-75.377,45.2,5,ok\n"
    )
    operation, findings = read_changed(tmp_path, PLAIN | {"yards.csv": swapped})
    assert operation is None
    assert [(f.table, f.column) for f in errors(findings)] == [("yards.csv", "lat")]
    assert "look swapped" in errors(findings)[0].message


def test_a_missing_minus_is_named_and_not_mended(tmp_path: Path) -> None:
    _sound(tmp_path / "right", PLAIN | {"yards.csv": YARDS})
    astray = YARDS.replace("-75.3770", "75.3770")
    operation, findings = read_changed(tmp_path / "astray", PLAIN | {"yards.csv": astray})
    assert operation is None
    (fault,) = errors(findings)
    assert (fault.row, fault.column, fault.found) == (4, "lon", "75.3770")
    far = re.search(r"is ([\d,]+) km from the others; minus missing", fault.message)
    assert far
    # the ellipsoid by Karney (2013) as outside measure; the middle of the others and home is 45.125 N, 75.4 W
    expected = geodesic((45.20, 75.3770), (45.125, -75.4)).km
    assert float(far[1].replace(",", "")) == pytest.approx(expected, rel=0.006)


def test_a_letter_for_west_is_read(tmp_path: Path) -> None:
    west = YARDS.replace("-75.3770", "75.3770 W")
    assert _sound(tmp_path, PLAIN | {"yards.csv": west}).yard("Mill").place.lon == -75.377


@pytest.mark.parametrize(
    ("day", "zone", "start", "said"),
    [
        ("2026-03-08", "America/Toronto", "01:30", "go forward by 60 min"),
        ("2026-03-08", "America/Toronto", "07:00", ""),
        ("2026-03-08", "America/Regina", "01:30", ""),
        ("2026-03-08", "", "01:30", ""),
        ("2026-10-25", "Europe/London", "00:30", "go back by 60 min"),
        ("2026-04-05", "Australia/Lord_Howe", "01:00", "go back by 30 min"),
    ],
)
def test_a_night_in_which_clocks_change_is_named(
    tmp_path: Path, day: str, zone: str, start: str, said: str
) -> None:
    """Nights of change in 2026 by the IANA time zone data: 8 March, 25 October, 5 April (from memory)."""
    crew = f'crew,home,places,start\nWren,"45.0, -75.5",16,{start}\n'
    settings = f'day = "{day}"\nzone = "{zone}"\n'
    looked = SOUND["hives.csv"].replace("2027-05-12", day).replace("2027-05-11", day)
    tables = PLAIN | {"yards.csv": YARDS, "crews.csv": crew, "settings.toml": settings, "hives.csv": looked}
    _, findings = read_changed(tmp_path, tables | {"weather.csv": ""})
    named = [f.message for f in findings if f.column == "zone"]
    assert len(named) == bool(said)
    assert not said or said in named[0]


def test_time_zones_are_there_without_those_of_the_system() -> None:
    """Windows has none: the list comes with a package that ours asks for (PEP 615)."""
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))
    assert any(name.startswith("tzdata") for name in project["project"]["dependencies"])
    asked = "from routeplan.operation.values import zone; print(zone('America/Toronto'), zone('UTC'))"
    done = subprocess.run(
        [sys.executable, "-c", asked],
        env=os.environ | {"PYTHONTZPATH": ""},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "America/Toronto UTC\n"


def test_a_yard_far_off_for_no_seen_reason_is_a_warning(tmp_path: Path) -> None:
    far = YARDS.replace("45.20,-75.3770", "25.20,-80.3770")
    operation, findings = read_changed(tmp_path, PLAIN | {"yards.csv": far})
    assert operation is not None
    assert [(f.level, f.row, f.column) for f in findings] == [("warning", 4, "lat")]


def test_a_fixed_yard_and_a_count_as_old_as_allowed_are_sound(tmp_path: Path) -> None:
    _, findings = read_changed(tmp_path, changed("hives.csv", "2027-05-11", "2027-05-06"))
    assert findings == [], "nine days old is not more than nine days"
