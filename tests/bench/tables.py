"""Write an operation to a folder of tables, as a beekeeper would keep them: CSV files and settings.toml."""

import csv
import json
from collections.abc import Iterable
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

from routeplan.operation.colony_settings import LIFE_DAYS
from routeplan.operation.settings import Settings
from routeplan.operation.world import Operation, Place

Row = dict[str, object]


def write_tables(operation: Operation, folder: Path) -> None:
    """Write every table that has rows; cells that say nothing stay blank."""
    folder.mkdir(parents=True, exist_ok=True)
    tables: dict[str, list[Row]] = {
        "yards": _yards(operation),
        "hives": _hives(operation),
        "splits": _splits(operation),
        "kits": [{"kit": k.name} | _fields(k, "name") for k in operation.kits],
        "crews": [_crew(operation)],
        "stock": [
            _fields(s, "from_day", "until_day", "row") | {"from": s.from_day, "until": s.until_day}
            for s in operation.stock
        ],
        "weather": [{"date": w.day, "yard": w.yard, "max_c": w.max_c} for w in operation.weather],
        "pairs": _pairs(operation),
    }
    for name, rows in tables.items():
        if rows:
            _write_csv(folder / f"{name}.csv", rows)
    (folder / "settings.toml").write_text(settings_toml(operation), encoding="utf-8")


def _write_csv(path: Path, rows: list[Row]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows({k: _cell(v) for k, v in row.items()} for row in rows)


def _cell(value: object) -> object:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None or value == "not stated" else value


def _fields(record: object, *without: str) -> Row:
    assert is_dataclass(record)
    return {f.name: getattr(record, f.name) for f in fields(record) if f.name not in without}


def _hhmm(minutes: int | None) -> str | None:
    return None if minutes is None else f"{minutes // 60:02d}:{minutes % 60:02d}"


def _point(place: Place | None) -> str | None:
    return None if place is None else f"{place.lat}, {place.lon}"


def _yards(operation: Operation) -> list[Row]:
    days = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    return [
        {"yard": y.id, "lat": y.place.lat, "lon": y.place.lon, "parking": _point(y.parking)}
        | _fields(y, "id", "place", "parking", "opens_min", "closes_min", "closed_days", "row")
        | {"opens": _hhmm(y.opens_min), "closes": _hhmm(y.closes_min)}
        | {"closed_days": " ".join(days[d - 1] for d in y.closed_days)}
        for y in operation.yards
    ]


def _hives(operation: Operation) -> list[Row]:
    return [
        {"hive": h.id}
        | _fields(h, "id", "count", "row")
        | _fields(h.count, "mites_per_100")
        | {"mites": h.count.mites_per_100}
        for h in operation.hives
    ]


def _splits(operation: Operation) -> list[Row]:
    return [
        {"order": o.id, "from": o.from_yard, "to": o.to_yard}
        | _fields(o, "id", "from_yard", "to_yard", "row")
        for o in operation.orders
    ]


def _crew(operation: Operation) -> Row:
    crew = operation.crew
    return {
        "crew": crew.name,
        "home": _point(crew.home),
        "people": crew.people,
        "start": _hhmm(crew.start_min),
        "end": _hhmm(crew.end_min),
        "hives_from": _hhmm(crew.hives_from_min),
        "hives_until": _hhmm(crew.hives_until_min),
        "places": crew.places,
        "empties_per_place": crew.empties_per_place,
    }


def _pairs(operation: Operation) -> list[Row]:
    return [
        {
            "yard": p.yard,
            "other": p.other,
            "flying_km": None if p.flying_m is None else p.flying_m / 1000,
            "drive_min": p.drive_min,
        }
        for p in operation.pairs
    ]


def settings_toml(operation: Operation) -> str:
    """Write settings.toml: the day, the minimum distance and whatever differs from the defaults."""
    settings, usual = operation.settings, Settings()
    if settings.season:  # it fills how long a worker lives unless that is written
        usual = replace(usual, forecast=replace(usual.forecast, life_days=LIFE_DAYS[settings.season]))
    lines = [f"day = {operation.day}", f'minimum_distance = "{settings.minimum_distance_m} m"']
    sections: list[str] = []
    for field in fields(Settings):
        value, default = getattr(settings, field.name), getattr(usual, field.name)
        if field.name in ("day", "minimum_distance_m") or value == default:
            continue
        if is_dataclass(value):
            sections += ["", f"[{field.name}]", *_differing(value, default)]
        else:
            lines.append(f"{field.name} = {json.dumps(value)}")
    return "\n".join([*lines, *sections]) + "\n"


def _differing(value: object, default: object) -> Iterable[str]:
    assert is_dataclass(value)
    for field in fields(value):
        mine = getattr(value, field.name)
        if mine is not None and mine != getattr(default, field.name):
            yield f"{field.name} = {json.dumps(mine)}"
