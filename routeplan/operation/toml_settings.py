"""Reads settings.toml: every number a beekeeper may set, each fault with its key and line."""

import math
import re
import tomllib
from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import date
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from routeplan.operation import units, values
from routeplan.operation.colony_settings import ACTS, LIFE_DAYS
from routeplan.operation.dates import ORDERS
from routeplan.operation.encodings import decode
from routeplan.operation.findings import Finding
from routeplan.operation.own_word_settings import own_codes, own_headers
from routeplan.operation.own_words import OwnWords
from routeplan.operation.refuse import MOST_SETTINGS_BYTES, RefusedError, read_bytes
from routeplan.operation.settings import OBJECTIVES, SEASONS, Grade, Settings
from routeplan.operation.unreadable import UnreadableError

LABEL = "settings.toml"
SECTIONS = (
    "keep_back",
    "parted",
    "limits",
    "bees",
    "mixed",
    "minutes",
    "sure",
    "excluder",
    "swaps",
    "later",
    "costs",
    "queens",
    "year",
    "drive",
    "shut_in",
    "strength",
    "forecast",
    "floors",
    "feed",
)
CHOICES: dict[str, tuple[str, ...]] = {
    "season": tuple(SEASONS),
    "units": ("km", "mi"),
    "temperature": ("celsius", "fahrenheit"),
    "weight": ("kg", "lb"),
    "objective": OBJECTIVES,
    "date_order": ("", *ORDERS),
    "floors.act": ACTS,
}
OWN_WORDS = {"headers": own_headers, "codes": own_codes}
ABOVE_ZERO = (
    "drive.speed_kmh",
    "drive.detour",
    "minutes.alone_factor",
    "strength.cell_width_mm",
    "strength.bees_per_cm2",
    "forecast.care_half_bees",
    "forecast.recruit_per_day",
    "forecast.recruit_less",
    "forecast.days",
    "feed.every_days",
    "feed.until_days",
)
MOST: dict[str, float] = {
    "limits.brood_share": 1.0,
    "limits.visits_per_yard": 2,
    "limits.yards_per_split": 2,
    "queens.lays_raise_own": 1.0,
    "queens.lays_ripe_cell": 1.0,
    "queens.lays_mated": 1.0,
    "queens.lays_parents": 1.0,
    "queens.lays_own_cells": 1.0,
    "drive.detour": 10.0,
    "drive.speed_kmh": 150.0,
    "strength.brood_fill": 1.0,
    "strength.pollen_share": 1.0,
    "forecast.life_days": 300.0,
    "forecast.egg_survival": 1.0,
    "forecast.larva_survival": 1.0,
    "forecast.capped_survival": 1.0,
    "forecast.laying_per_day": 3000.0,
    "forecast.recruit_per_day": 1.0,
    "forecast.recruit_less": 1.0,
    "forecast.starved_per_day": 1.0,
    "forecast.foragers_on_frames": 1.0,
    "forecast.lost_if_near": 1.0,
    "forecast.crowded_brood": 1.0,
    "forecast.counts_off": 0.9,
    "forecast.days": 365,
    "feed.until_days": 120,
}
DATES = ("year.drones_from", "year.drones_until", "year.last_split", "year.first_frost")
LEAST: dict[str, float] = {"shut_in.warmest_c": -40.0, "forecast.life_days": 10.0}


def read_settings(path: Path | None) -> tuple[Settings, list[Finding]]:
    """Read the settings; what is not given stands at its default, a faulty setting is reported."""
    if path is None:
        return settings_from({}, "")
    said: list[Finding] = []
    try:
        decoded = decode(read_bytes(path, MOST_SETTINGS_BYTES))
        said = [] if decoded.said else [_not_utf8(decoded.way)]
        text = decoded.text
        settings, findings = settings_from(tomllib.loads(text.replace("\r\n", "\n")), text)
        return settings, said + findings
    except RefusedError as fault:
        return Settings(), [Finding("error", LABEL, None, None, "", fault.problem, fault.cure)]
    except RecursionError:
        cure = "Write one setting a line."
        problem = "holds groups within groups without end."
        return Settings(), [Finding("error", LABEL, None, None, "", problem, cure)]
    except ValueError as fault:  # also what is no TOML, and numbers of thousands of digits
        line = re.search(r"at line (\d+)", str(fault))
        row = int(line[1]) if line else None
        cure = 'Write one setting a line, like minimum_distance = "3 mi"; text in quotation marks.'
        return Settings(), [*said, Finding("error", LABEL, row, None, "", f"cannot be read: {fault}.", cure)]


def _not_utf8(way: str) -> Finding:
    message = f"is not UTF-8: it was read as {way}."
    return Finding("warning", LABEL, None, None, "", message, "See whether letters with accents are right.")


def settings_from(given: dict[str, Any], text: str) -> tuple[Settings, list[Finding]]:
    """Turn the keys of settings.toml into Settings; `text` only serves to name the line of a fault."""
    findings: list[Finding] = []
    top: dict[str, Any] = {}
    words: dict[str, Any] = {}

    def fault(key: str, value: Any, problem: str, cure: str) -> None:
        findings.append(_fault(key, value, text, problem, cure))

    for key, value in given.items():
        if key in OWN_WORDS:
            words[key] = tuple(OWN_WORDS[key](value, fault))
        elif key == "grades" and isinstance(value, dict):
            top["grades"] = _grades(value, text, findings)
        elif key in SECTIONS and isinstance(value, dict):
            top[key] = _read_section(key, value, text, findings)
        elif key in (*SECTIONS, "grades"):
            head = "grades.A" if key == "grades" else key
            problem = f"is a group of settings: write [{head}] on its own line."
            findings.append(_fault(key, value, text, problem))
        elif key == "minimum_distance":
            _keep(top, "minimum_distance_m", _distance(value), key, value, text, findings)
        elif key in top_keys():
            _keep(top, key, _top_value(key, value), key, value, text, findings)
        else:
            findings.append(_unknown(key, [*top_keys(), *SECTIONS, "grades", *OWN_WORDS], text))
    return _with_season(top | {"words": OwnWords(**words)}), findings


def top_keys() -> list[str]:
    """Return the settings that stand outside every section, as written in settings.toml."""
    names = [f.name for f in fields(Settings) if f.name not in (*SECTIONS, "grades", "words")]
    return ["minimum_distance" if name == "minimum_distance_m" else name for name in names]


def _read_section(section: str, given: dict[str, Any], text: str, findings: list[Finding]) -> dict[str, Any]:
    defaults = getattr(Settings(), section)
    names = [f.name for f in fields(defaults)]
    kept: dict[str, Any] = {}
    for key, value in given.items():
        dotted = f"{section}.{key}"
        if dotted in units.SETTINGS:
            meant = units.SETTINGS[dotted][0].rpartition(".")[2]
            read = _in_other_unit(dotted, value, meant in given, getattr(defaults, meant))
            _keep(kept, meant, read, dotted, value, text, findings)
            continue
        if key not in names:
            findings.append(_unknown(dotted, [f"{section}.{name}" for name in names], text))
            continue
        _keep(kept, key, _section_value(dotted, value, getattr(defaults, key)), dotted, value, text, findings)
    return kept


def _in_other_unit(dotted: str, value: Any, twice: bool, default: Any) -> Any:
    """Read a setting that is given in another unit."""
    meant, turned = units.SETTINGS[dotted]
    if twice:
        return UnreadableError(f"is given as {meant} too.", "Keep one of the two.")
    return _section_value(meant, turned(value) if _is_number(value, -math.inf) else value, default)


def _grades(given: dict[str, Any], text: str, findings: list[Finding]) -> tuple[tuple[str, Grade], ...]:
    """Read the beekeeper's own words for strength: [grades.WORD] with frames of bees, brood and food."""
    names = [f.name for f in fields(Grade)]
    grades = []
    for word, counts in given.items():
        if not isinstance(counts, dict):
            problem = f"must be a group of counts: write [grades.{word}] on its own line."
            findings.append(_fault(f"grades.{word}", counts, text, problem))
            continue
        kept: dict[str, Any] = {}
        for key, value in counts.items():
            dotted = f"grades.{word}.{key}"
            if key not in names:
                findings.append(_unknown(dotted, [f"grades.{word}.{name}" for name in names], text))
            else:
                _keep(kept, key, _section_value(dotted, value, 0.0), dotted, value, text, findings)
        grades.append((str(word), Grade(**kept)))
    return tuple(sorted(grades))


def _with_season(top: dict[str, Any]) -> Settings:
    """Let the season fill the keep-back, a donor's brood frames and the life of a worker where not given."""
    season = top.get("season", Settings().season)
    keep_back, brood_per_donor = SEASONS[season]
    top = dict(top)
    groups = {name: top.pop(name, {}) for name in SECTIONS}
    groups["limits"] = {"brood_per_donor": brood_per_donor} | groups["limits"]
    groups["forecast"] = {"life_days": LIFE_DAYS[season]} | groups["forecast"]
    whole = replace(Settings(), keep_back=keep_back, **top)
    parts = {name: replace(getattr(whole, name), **group) for name, group in groups.items()}
    return replace(whole, **parts)


def _keep(
    kept: dict[str, Any], name: str, read: Any, key: str, value: Any, text: str, findings: list[Finding]
) -> None:
    if isinstance(read, UnreadableError):
        findings.append(_fault(key, value, text, read.problem, read.cure))
    else:
        kept[name] = read


def _distance(value: Any) -> float | UnreadableError:
    try:
        return values.distance_m(value if isinstance(value, str) else str(value))
    except UnreadableError as fault:
        return fault


def _top_value(key: str, value: Any) -> Any:
    if key == "day" and isinstance(value, date | str):
        return _day(str(value))
    if isinstance(getattr(Settings(), key, None), bool):
        return _section_value(key, value, False)
    if not isinstance(value, str):
        return UnreadableError("is not text.", "Write it in quotation marks.")
    if key in CHOICES and value.casefold() not in CHOICES[key]:
        return _no_choice(key)
    if key == "zone":
        return _zone(value.strip())
    return values.frame_format(value) if key in ("frame", *CHOICES) else value.strip()


def _day(text: str) -> str | UnreadableError:
    try:
        return values.iso_date(text).isoformat() if text else ""
    except UnreadableError as fault:
        return fault


def _zone(text: str) -> str | UnreadableError:
    try:
        return values.zone(text) if text else ""
    except UnreadableError as fault:
        return fault


def _no_choice(key: str) -> UnreadableError:
    allowed = ", ".join(f'"{word}"' for word in CHOICES[key])
    return UnreadableError("is not one of the words used here.", f"Write one of: {allowed}.")


def _section_value(key: str, value: Any, default: Any) -> Any:
    if key in CHOICES and isinstance(value, str):
        return value.casefold() if value.casefold() in CHOICES[key] else _no_choice(key)
    if key in DATES and isinstance(value, date | str):
        return _day(str(value))
    if isinstance(default, bool):
        return (
            value
            if isinstance(value, bool)
            else UnreadableError("is not true or false.", "Write true or false.")
        )
    if isinstance(default, str):
        cure = "Write it in quotation marks."
        return value if isinstance(value, str) else UnreadableError("is not text.", cure)
    if isinstance(default, tuple):
        right = isinstance(value, list) and len(value) == len(default) and all(_is_number(v) for v in value)
        cure = f"Write {len(default)} numbers like [{', '.join(f'{v:g}' for v in default)}]."
        return (
            tuple(map(float, value))
            if right
            else UnreadableError("is not a list of that many numbers.", cure)
        )
    if isinstance(default, int) and not (isinstance(value, int) and not isinstance(value, bool)):
        return UnreadableError("is not a whole number.", f"Write a whole number like {default}.")
    if not _is_number(value, LEAST.get(key, 0.0)):
        return UnreadableError("is not a number, or below its least.", "Write a number of 0 or more.")
    if key in ABOVE_ZERO and value <= 0:
        return UnreadableError("must be above zero.", f"Write a number like {default:g}.")
    if value > MOST.get(key, math.inf):
        return UnreadableError(f"is more than {MOST[key]:g}.", f"Write a number like {default:.3g}.")
    return value if isinstance(default, int) else float(value)


def _is_number(value: Any, least: float = 0.0) -> bool:
    return (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and math.isfinite(value)
        and value >= least
    )


def _unknown(key: str, known: list[str], text: str) -> Finding:
    last = {name.rpartition(".")[2]: name for name in known}
    near = [last[name] for name in get_close_matches(key.rpartition(".")[2], last, n=1)]
    cure = f"Did you mean {near[0]}?" if near else f"Settings here are: {', '.join(known)}."
    return Finding("error", LABEL, _line_of(key, text), key, "", "This setting is not known.", cure)


def _fault(key: str, value: Any, text: str, problem: str, cure: str = "") -> Finding:
    found = str(value)
    return Finding("error", LABEL, _line_of(key, text), key, found, f"“{found}” {problem}", cure)


def _line_of(key: str, text: str) -> int | None:
    """Return the line on which a key is set, counted from 1; None when it is written another way."""
    for number, (section, name) in enumerate(_keys(text), 1):
        if key == ".".join(part for part in (section, name) if part):
            return number
    return None


def _keys(text: str) -> Iterator[tuple[str, str]]:
    """Yield for each line the section it is in and the key it sets, "" for none."""
    section = ""
    for line in text.splitlines():
        head = re.match(r"""\s*\[([\w.\s"'-]+)\]""", line)
        section = re.sub("[\"']", "", head[1]).strip() if head else section
        key = re.match(r"\s*([\w.]+)\s*=", line)
        yield section, key[1] if key else ""
