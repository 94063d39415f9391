"""settings.toml: every key reads, wrong ones are named with their line, the season fills the rest."""

import re
import tomllib
from dataclasses import fields, replace
from pathlib import Path

import pytest

from routeplan.operation.own_words import OwnCode, OwnHeader, OwnWords
from routeplan.operation.setting_words import MEANINGS, default_text, setting_keys, settings_text
from routeplan.operation.settings import Grade, KeepBack, Settings
from routeplan.operation.toml_settings import SECTIONS, read_settings, settings_from


def _read(text: str) -> Settings:
    settings, findings = settings_from(tomllib.loads(text), text)
    assert findings == []
    return settings


def _faults(text: str) -> list[tuple[int | None, str | None]]:
    _, findings = settings_from(tomllib.loads(text), text)
    assert all(f.level == "error" for f in findings)
    return [(f.row, f.column) for f in findings]


def test_no_file_means_the_defaults() -> None:
    assert read_settings(None) == (Settings(), [])


def test_every_setting_has_a_meaning_and_none_is_made_up() -> None:
    assert list(MEANINGS) == setting_keys()
    assert set(SECTIONS) < {f.name for f in fields(Settings)}


def test_the_settings_of_a_new_operation_are_the_defaults() -> None:
    commented = settings_text()
    assert _read(commented) == Settings()
    as_written = _read(re.sub(r'(?m)^# ("?[\w ]+"? = |\[)', r"\1", commented))
    words = OwnWords(
        (OwnHeader("hives", "Half frames of brood", "brood", 0.5),),
        (OwnCode("hives", "temper", "1", "bad"),),
    )
    plain = replace(Settings(), grades=(("A", Grade(bees=12, brood=7, food=3)),), words=words)
    # the default for the warmest hour is the row for 20 to 25 °C, which 20 °C belongs to; sugar is worked out
    said = replace(plain.costs, sugar_per_split_kg=4.0)
    assert as_written == replace(plain, shut_in=replace(plain.shut_in, warmest_c=20.0), costs=said)


@pytest.mark.parametrize("key", setting_keys())
def test_each_setting_reads_under_its_own_key(key: str) -> None:
    group, _, name = key.rpartition(".")
    head = f"[{group}]\n" if group else ""
    assert _faults(f"{head}{name} = {default_text(key)}\n") == []
    assert _faults(f"{head}{name} = {{}}\n") == [(1 + bool(group), key)]
    assert _faults(f"{head}{name}x = 1\n") == [(1 + bool(group), f"{key}x")]


def test_a_distance_has_its_unit() -> None:
    assert _read('minimum_distance = "5 km"').minimum_distance_m == 5000
    assert _faults("minimum_distance = 5") == [(1, "minimum_distance")]


def test_the_day_as_text_or_as_a_date() -> None:
    assert _read('day = "2027-05-15"').day == _read("day = 2027-05-15").day == "2027-05-15"
    assert _faults('day = "15 May"') == [(1, "day")]


def test_the_season_fills_what_is_not_given() -> None:
    late = _read('season = "late season"\n[keep_back]\nbees = 9\n')
    assert late.keep_back == KeepBack(bees=9, brood=6, open=1, food=4)
    early = _read('season = "early spring"')
    assert (early.limits.brood_per_donor, early.limits.brood_per_strong_donor) == (1, 3)
    assert _read('season = "early spring"\n[limits]\nbrood_per_donor = 2\n').limits.brood_per_donor == 2
    assert (early.forecast.life_days, late.forecast.life_days, Settings().forecast.life_days) == (35, 25, 30)


@pytest.mark.parametrize(
    "text",
    [
        "[drive]\nspeed_kmh = 0",
        "[drive]\nspeed_kmh = 151",
        "[drive]\ndetour = -1",
        "[drive]\ndetour = nan",
        "[limits]\nbrood_share = 1.01",
        "[limits]\nfood_per_donor = 1.5",
        "[limits]\nfood_per_donor = true",
        "[keep_back]\nbees = inf",
        "[shut_in]\nscreened = 1",
        "[shut_in]\nscreened_min = [360, 240, 120]",
        "[shut_in]\nwarmest_c = -41",
        "[parted]\nbees = -1",
        "[sure]\nlook = 1",
        '[swaps]\nfeeder = "yes"',
        "[swaps]\nminutes = -1",
        "[later]\ntrips = 2.5",
        "[later]\nfew_min = -10",
        "[costs]\ncurrency = 3",
        "[costs]\nper_km = -0.1",
        "[costs]\nper_hour = inf",
        "[minutes]\nfence = true",
        "[strength]\nbrood_fill = 1.1",
        "[strength]\ncell_width_mm = 0",
        "[forecast]\nlife_days = 9",
        "[forecast]\nlarva_survival = 1.01",
    ],
)
def test_values_that_cannot_be(text: str) -> None:
    (section,) = re.findall(r"\[(\w+)\]\n", text)
    name = text.split("\n")[1].split(" ")[0]
    assert _faults(text) == [(2, f"{section}.{name}")]


def test_edges_that_can_be() -> None:
    settings = _read(
        "[drive]\nspeed_kmh = 150\n[limits]\nbrood_share = 1\n"
        "[keep_back]\nfood = 0\n[shut_in]\nwarmest_c = -40\n"
    )
    assert (settings.drive.speed_kmh, settings.limits.brood_share, settings.keep_back.food) == (150, 1, 0)
    assert settings.shut_in.warmest_c == -40


def test_a_section_written_as_a_value() -> None:
    assert _faults("limits = 3") == [(1, "limits")]
    assert _faults("grades = 3") == [(1, "grades")]
    assert _faults("[grades]\nA = 3") == [(2, "grades.A")]


@pytest.mark.parametrize("key", ["dearth", "stay_put"])
def test_true_or_false_outside_every_section(key: str) -> None:
    assert getattr(_read(f"{key} = true"), key) is True
    assert _faults(f'{key} = "yes"') == [(1, key)]


def test_grades_are_the_beekeepers_own_words() -> None:
    grades = _read('[grades."very strong"]\nbees = 18\n[grades.B]\ncapped = 3\nopen = 2\n').grades
    assert grades == (("B", Grade(capped=3, open=2)), ("very strong", Grade(bees=18)))


@pytest.mark.parametrize("head", ["grades.B", 'grades."very strong"'])
def test_a_fault_in_a_grade_has_its_line(head: str) -> None:
    word = head.removeprefix("grades.").strip('"')
    assert _faults(f"[{head}]\nbees = 8\nbrood = -1\n") == [(3, f"grades.{word}.brood")]
    assert _faults(f"[{head}]\nbees = 8\nfoot = 1\n") == [(3, f"grades.{word}.foot")]


def test_a_file_that_is_not_utf8(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_bytes("title = “May”".encode("cp1252"))
    _, findings = read_settings(tmp_path / "settings.toml")
    assert [(f.level, f.row) for f in findings] == [("warning", None), ("error", 1)]
    assert "read as Windows-1252" in findings[0].message


def test_groups_within_groups_without_end_are_refused(tmp_path: Path) -> None:
    for text in ("a = " + "[" * 100_000, "a = " + "9" * 5_000, "a = " + "{b=" * 50_000, "[" * 100_000):
        (tmp_path / "settings.toml").write_text(text)
        settings, findings = read_settings(tmp_path / "settings.toml")
        assert settings == Settings()
        assert [f.level for f in findings] == ["error"]
    (tmp_path / "settings.toml").write_text("# " + "x" * 1_000_001)
    assert "larger than 1 million bytes" in read_settings(tmp_path / "settings.toml")[1][0].message


def test_a_time_zone_is_one_that_is_known() -> None:
    assert _read('zone = "America/Toronto"').zone == "America/Toronto"
    assert _read('zone = ""').zone == ""
    for wrong in ("Toronto", "../etc/passwd", "-04:00", "America"):
        assert _faults(f'zone = "{wrong}"') == [(1, "zone")]
