"""Puts the rows that were read together into an Operation; only called when nothing is wrong with them."""

from dataclasses import fields, replace
from typing import Any

from routeplan.operation.rows import Draft, Row
from routeplan.operation.settings import Grade
from routeplan.operation.world import (
    TRADE_KITS,
    Count,
    Crew,
    FrameLook,
    Hive,
    Kit,
    Operation,
    Order,
    Pair,
    Place,
    Stock,
    Weather,
    Yard,
)


def place_of(row: Row, one: str, lat: str, lon: str) -> Place | None:
    """Return the position in a row, from its two columns or its one; None when neither is filled."""
    if row[lat] is not None and row[lon] is not None:
        return Place(row[lat], row[lon])
    place: Place | None = row[one]
    return place


def yard_place(row: Row) -> Place | None:
    """Return where a yard is, None when its row does not say."""
    return place_of(row, "place", "lat", "lon")


def crew_home(row: Row) -> Place | None:
    """Return where a crew starts, None when its row does not say."""
    return place_of(row, "home", "home_lat", "home_lon")


def build_operation(draft: Draft) -> Operation:
    """Return the Operation of a draft without faults, its parts sorted by id.

    Raises
    ------
    ValueError
        When a yard or the crew has no position; the checks report that first.
    """
    yards = [_yard(row) for row in draft["yards"].rows]
    frame = draft.settings.frame
    hives = [_hive(row, frame, dict(draft.settings.grades)) for row in draft.hives]
    table_kits = {kit.name: kit for kit in map(_kit, draft["kits"].rows)}
    kits = {kit.name: kit for kit in TRADE_KITS} | table_kits
    stock = [_stock(row, frame) for row in draft["stock"].rows]
    weather = [Weather(r["date"], r["yard"], r["max_c"]) for r in draft["weather"].rows]
    pairs = [_pair(row) for row in draft["pairs"].rows]
    return Operation(
        day=draft.day,
        yards=tuple(sorted(yards, key=lambda yard: yard.id)),
        hives=tuple(sorted(hives, key=lambda hive: hive.key)),
        orders=tuple(sorted(map(_order, draft["splits"].rows), key=lambda order: order.id)),
        kits=tuple(kits[name] for name in sorted(kits)),
        crew=_crew(draft, yards),
        stock=tuple(
            sorted(stock, key=lambda s: (s.item, s.frame, s.count, str(s.from_day), str(s.until_day)))
        ),
        weather=tuple(sorted(weather, key=lambda w: (w.day, w.yard or "", w.max_c))),
        pairs=tuple(sorted(pairs, key=lambda pair: (pair.yard, pair.other))),
        frames=tuple(sorted(map(_frame, draft["frames"].rows), key=lambda f: (f.yard, f.hive, f.number))),
        settings=draft.settings,
    )


def _yard(row: Row) -> Yard:
    place = yard_place(row)
    if place is None:
        raise ValueError(f"yard {row['yard']} has no position")
    same = ("room", "takes_splits", "parking", "carry_min", "closed_days", "closed_until", "health")
    new = ("due", "looked_after", "flow_from", "flow_until", "bear", "fence")
    return Yard(
        id=row["yard"],
        place=place,
        opens_min=row["opens"],
        closes_min=row["closes"],
        row=row.number,
        **_same(row, *same, *new, "access", "gate", "note"),
    )


def _hive(row: Row, frame: str, grades: dict[str, Grade]) -> Hive:
    count = Count(
        mites_per_100=row["mites"],
        **_same(
            row,
            "inspected",
            "bees",
            "brood",
            "capped",
            "open",
            "food",
            "eggs_seen",
            "queen_cells",
            "treated_until",
        ),
    )
    same = ("yard", "queen", "temper", "health", "may_give", "queen_mother", "boxes", "supers", "note")
    new = ("excluder", "due", "grade")
    if row["grade"] in grades:
        count = _graded(count, grades[row["grade"]])
    return Hive(
        id=row["hive"], frame=row["frame"] or frame, count=count, row=row.number, **_same(row, *same, *new)
    )


def _graded(count: Count, grade: Grade) -> Count:
    """Fill what was not counted from the beekeeper's own word for the strength; what was counted stands."""
    told = {f.name: getattr(grade, f.name) for f in fields(Grade)}
    if any(n is not None for n in (count.brood, count.capped, count.open)):
        told = {name: n for name, n in told.items() if name in ("bees", "food")}
    blank = {name: n for name, n in told.items() if n is not None and getattr(count, name) is None}
    return replace(count, **blank)


def _order(row: Row) -> Order:
    same = _same(row, "count", "kit", "queen", "by", "ready_by", "priority", "hive", "break_up")
    return Order(id=row["order"], from_yard=row["from"], to_yard=row["to"], row=row.number, **same)


def _kit(row: Row) -> Kit:
    most = ("capped_most", "open_most", "shakes_most")
    return Kit(row["kit"], **_same(row, "capped", "open", "food", "shakes", "drawn", "fill", "frame", *most))


def _stock(row: Row, frame: str) -> Stock:
    has_format = row["item"] in ("drawn comb", "foundation", "nuc box", "food comb")
    format_ = (row["frame"] or frame) if has_format else ""
    return Stock(row["item"], format_, row["count"], row["from"], row["until"], row.number)


def _pair(row: Row) -> Pair:
    km = row["flying_km"]
    return Pair(row["yard"], row["other"], None if km is None else km * 1000, row["drive_min"])


def _frame(row: Row) -> FrameLook:
    kinds = _same(row, "capped", "open", "food", "emerging", "eggs")
    return FrameLook(row["yard"], row["hive"], row["number"], **kinds)


def _crew(draft: Draft, yards: list[Yard]) -> Crew:
    """The first crew of the table; without one, a pair that starts at the first yard."""
    if not draft["crews"].rows:
        return Crew("crew", yards[0].stop)
    row = draft["crews"].rows[0]
    home = crew_home(row)
    if home is None:
        raise ValueError(f"crew {row['crew']} has no home")
    return Crew(
        name=row["crew"],
        home=home,
        start_min=row["start"],
        end_min=row["end"],
        hives_from_min=row["hives_from"],
        hives_until_min=row["hives_until"],
        **_same(row, "people", "places", "empties_per_place"),
    )


def _same(row: Row, *names: str) -> dict[str, Any]:
    """Columns that go over under their own name."""
    return {name: row[name] for name in names}
