"""Kilometres or miles, Celsius or Fahrenheit, kilograms or pounds: one operation whichever is written."""

import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routeplan.operation import units
from routeplan.operation.settings import Settings
from routeplan.operation.toml_settings import settings_from
from tests.operation.sound import read_changed


def test_exact_relations() -> None:
    """1 mi = 1.609344 km and 1 lb = 0.45359237 kg exactly. -40 °C is -40 °F, 0 °C is 32 °F."""
    assert units.COLUMNS["flying_mi"](1) == 1.609344
    assert units.SETTINGS["costs.sugar_per_split_lb"][1](1) == 0.45359237
    assert [units.celsius(f) for f in (-40, 32, 212)] == [-40, 0, 100]


def test_tables_in_miles_and_fahrenheit_are_the_same_operation(tmp_path: Path) -> None:
    pairs = "yard,other,{},drive_min\nAlder,Birch,{},20\n"
    weather = "date,yard,{}\n2027-05-15,,{}\n"
    metric, found = read_changed(
        tmp_path / "a",
        {
            "pairs.csv": pairs.format("flying_km", 8.04672),
            "weather.csv": weather.format("max_c", 20.5),
        },
    )
    other, also = read_changed(
        tmp_path / "b",
        {"pairs.csv": pairs.format("Flying (mi)", 5), "weather.csv": weather.format("Max F", 68.9)},
    )
    assert (found, also) == ([], [])
    assert metric == other
    assert metric is not None
    assert metric.pairs[0].flying_m == pytest.approx(8046.72)


METRIC = """
[limits]
bare_brood_from_c = 20.0
[costs]
per_km = 1.0
sugar_kg = 1.0
sugar_per_split_kg = 4.5359237
[drive]
speed_kmh = 48.28032
[shut_in]
warmest_c = 30.0
"""
OTHER = """
[limits]
bare_brood_from_f = 68
[costs]
per_mile = 1.609344
sugar_lb = 0.45359237
sugar_per_split_lb = 10
[drive]
speed_mph = 30
[shut_in]
warmest_f = 86
"""


def _settings(text: str) -> Settings:
    settings, findings = settings_from(tomllib.loads(text), text)
    assert findings == []
    return settings


def test_settings_in_other_units_are_the_same_settings() -> None:
    one, two = _settings(METRIC), _settings(OTHER)
    assert len(re.findall("=", OTHER)) == len(units.SETTINGS), "each is tried"
    for meant, _ in units.SETTINGS.values():
        section, name = meant.split(".")
        given, other = (getattr(getattr(settings, section), name) for settings in (one, two))
        assert given == pytest.approx(other), meant


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("[drive]\nspeed_kmh = 50\nspeed_mph = 30\n", "drive.speed_mph"),
        ("[drive]\nspeed_mph = 0\n", "drive.speed_mph"),
        ('[drive]\nspeed_mph = "fast"\n', "drive.speed_mph"),
        ("[drive]\nspeed_mph = 100\n", "drive.speed_mph"),
        ("[shut_in]\nwarmest_f = -60\n", "shut_in.warmest_f"),
        ('temperature = "kelvin"\n', "temperature"),
    ],
)
def test_faults_name_the_setting_as_it_was_written(text: str, key: str) -> None:
    settings, (fault,) = settings_from(tomllib.loads(text), text)
    assert (fault.level, fault.column) == ("error", key)
    assert settings.drive.speed_kmh in (Settings().drive.speed_kmh, 50)


def test_every_quantity_is_written_with_its_unit() -> None:
    assert [units.distance(4828.032, u) for u in ("km", "mi")] == ["4.83 km", "3.00 mi"]
    assert [units.temperature(20, u) for u in ("celsius", "fahrenheit")] == ["20 °C", "68 °F"]
    assert [units.temperatures(20, 25, u) for u in ("celsius", "fahrenheit")] == [
        "20 to 25 °C",
        "68 to 77 °F",
    ]
    assert [units.weight(4.5359237, u) for u in ("kg", "lb")] == ["4.5 kg", "10 lb"]
    assert [units.speed(48.28032, u) for u in ("km", "mi")] == ["48.3 km/h", "30 mph"]


@settings(deadline=None)
@given(st.floats(-40, 60))
def test_a_temperature_written_in_fahrenheit_reads_back(degrees_c: float) -> None:
    written = float(units.temperature(degrees_c, "fahrenheit").removesuffix(" °F"))
    assert units.celsius(written) == pytest.approx(degrees_c, abs=0.03)
