"""Other words of the trade that stand for a column or a table; data/README.md lists them.

Only words with one meaning are here: "strength" or "frames" alone could be bees or brood, so they are not.
"""

import re

from routeplan.operation.characters import plain_name
from routeplan.operation.columns import TABLES
from routeplan.operation.own_words import NONE, OwnWords

TABLE_WORDS: dict[str, tuple[str, ...]] = {
    "yards": ("apiaries", "bee yards", "out apiaries", "sites", "yard list", "apiary list"),
    "hives": ("colonies", "inspections", "hive list", "hive records", "colony list"),
    "splits": ("nucs", "nuclei", "increase", "orders", "splits wanted"),
    "kits": ("recipes", "kinds of split"),
    "crews": ("crew", "team", "teams"),
    "stock": ("inventory", "store", "stores"),
    "weather": ("forecast",),
    "pairs": ("distances", "drives", "drive times"),
    "frames": ("frame list", "frame records", "frame by frame"),
}

_BROOD = {
    "capped": ("capped brood", "sealed", "sealed brood", "frames of capped brood", "frames of sealed brood"),
    "open": (
        "open brood",
        "unsealed",
        "unsealed brood",
        "uncapped brood",
        "eggs and larvae",
        "eggs and young larvae",
        "frames of open brood",
    ),
    "food": ("stores", "honey and pollen", "frames of food", "food frames", "frames of stores"),
}

COLUMN_WORDS: dict[str, dict[str, tuple[str, ...]]] = {
    "yards": {
        "yard": (
            "apiary",
            "bee yard",
            "beeyard",
            "out apiary",
            "outyard",
            "site",
            "name",
            "yard name",
            "apiary name",
            "site name",
        ),
        "lat": ("latitude",),
        "lon": ("longitude", "long", "lng"),
        "place": ("position", "coordinates", "coords", "gps", "lat lon", "lat long", "latitude longitude"),
        "parking": ("park at", "parking place", "truck stops"),
        "carry_min": ("carry", "carry minutes", "carry time"),
        "room": ("space", "free stands", "stands free", "room for", "free places"),
        "takes_splits": ("takes nucs", "accepts splits", "accepts nucs", "splits allowed"),
        "opens": ("open from", "opens at", "opening time"),
        "closes": ("open until", "closes at", "closing time"),
        "closed_days": ("days closed", "not on"),
        "closed_until": ("closed till", "opens again"),
        "health": ("disease", "disease status", "health status"),
        "due": ("inspection due", "due for inspection"),
        "looked_after": ("looked after weekly", "visited weekly"),
        "flow_from": ("flow starts", "flow start"),
        "flow_until": ("flow ends", "flow end"),
        "bear": ("bears", "bear country"),
        "fence": ("electric fence", "fenced", "bear fence"),
        "access": ("access note", "access notes", "directions", "how to get there"),
        "gate": ("gate code", "lock code"),
        "note": ("notes", "comment", "comments", "remark", "remarks"),
    },
    "hives": {
        "hive": (
            "hive no",
            "hive number",
            "hive id",
            "hive name",
            "colony",
            "colony no",
            "colony number",
            "colony id",
            "colony name",
            "number",
            "no",
            "id",
            "tag",
        ),
        "yard": (
            "apiary",
            "bee yard",
            "beeyard",
            "out apiary",
            "outyard",
            "site",
            "yard name",
            "location",
            "apiary name",
            "site name",
        ),
        "frame": ("frame size", "frame type", "frame format"),
        "queen": ("queen status", "queen state"),
        "temper": ("temperament", "mood", "behaviour", "behavior"),
        "health": ("disease", "disease status", "health status", "brood health"),
        "may_give": ("can give", "may donate", "may be donor"),
        "queen_mother": ("breeder", "breeder queen", "mother queen"),
        "boxes": ("brood boxes", "brood chambers", "number of boxes"),
        "supers": ("honey supers", "number of supers"),
        "excluder": ("queen excluder",),
        "due": ("inspection due", "due for inspection"),
        "grade": ("strength grade", "grading"),
        "inspected": (
            "date",
            "inspection",
            "inspection date",
            "date inspected",
            "last inspected",
            "visited",
            "last inspection",
            "visit date",
            "date of visit",
            "last look",
            "looked at",
        ),
        "bees": ("frames of bees", "bee frames", "seams", "seams of bees", "adult bees"),
        "brood": ("frames of brood", "brood frames", "total brood", "brood total", "all brood"),
        **_BROOD,
        "eggs_seen": ("eggs", "eggs present", "seen eggs"),
        "queen_cells": ("qc", "qcs", "cells", "queen cell", "swarm cells"),
        "mites": ("mites per 100", "mites per 100 bees", "mites per hundred", "mite wash"),
        "test_frame": ("test frame given", "test comb"),
        "treated_until": ("treatment until", "treatment ends", "treatment end", "strips out"),
        "note": ("notes", "comment", "comments", "remark", "remarks"),
    },
    "splits": {
        "order": ("name", "id", "no", "order no", "order number", "batch"),
        "count": ("number", "how many", "quantity", "qty", "number of splits", "splits", "nucs"),
        "kit": ("recipe", "kind of split"),
        "queen": ("queen source", "queen type", "queened by"),
        "from": ("from yard", "from apiary", "donor yard", "source yard", "source apiary"),
        "hive": ("from hive", "parent", "parent hive", "mother hive"),
        "to": ("to yard", "to apiary", "destination", "destination yard", "receiving yard"),
        "ready_by": ("ready by", "ready", "sold by", "sale date", "pick up"),
        "by": ("by date", "needed by", "latest", "deadline", "last day"),
        "priority": ("prio", "rank"),
    },
    "kits": {
        "kit": ("name", "recipe"),
        **_BROOD,
        "shakes": ("shake", "shaken bees", "shakes of bees"),
        "drawn": ("drawn comb", "drawn combs"),
        "fill": ("fill frames", "filler"),
        "frame": ("frame size", "frame type", "frame format"),
    },
    "crews": {
        "crew": ("team", "name"),
        "home": ("base", "home base", "start place"),
        "home_lat": ("home latitude",),
        "home_lon": ("home longitude", "home long", "home lng"),
        "people": ("persons", "crew size", "number of people"),
        "start": ("leaves", "leaves at", "day starts"),
        "end": ("back by", "back at", "day ends"),
        "hives_from": ("hives open from", "open hives from"),
        "hives_until": ("hives open until", "open hives until"),
        "places": ("truck places", "boxes on the truck", "truck holds"),
        "empties_per_place": ("empties stacked", "empty boxes per place"),
    },
    "stock": {
        "item": ("what", "thing"),
        "frame": ("frame size", "frame type", "frame format"),
        "count": ("number", "how many", "quantity", "qty", "pieces"),
        "from": ("usable from", "from day"),
        "until": ("usable until", "until day"),
    },
    "weather": {
        "date": ("day",),
        "yard": ("apiary", "site", "location"),
        "max_c": ("max temp c", "maximum c", "high c", "warmest c"),
        "max_f": ("max temp f", "maximum f", "high f", "warmest f"),
    },
    "pairs": {
        "yard": ("from", "yard a", "from yard", "apiary"),
        "other": ("to", "yard b", "to yard", "other yard", "other apiary"),
        "flying_km": ("flying distance km", "distance km", "km"),
        "flying_mi": (
            "flying distance mi",
            "flying distance miles",
            "distance mi",
            "distance miles",
            "miles",
        ),
        "drive_min": ("drive", "drive minutes", "drive time", "drive time min", "minutes"),
    },
    "frames": {
        "yard": ("apiary", "site"),
        "hive": ("colony", "hive number"),
        "number": ("frame", "frame number", "position"),
        "capped": ("sealed", "capped tenths", "sealed tenths"),
        "open": ("open tenths", "unsealed", "unsealed tenths"),
        "food": ("stores", "food tenths"),
        "emerging": ("bees emerging", "hatching"),
        "eggs": ("mostly eggs",),
    },
}

UNIT_WORDS: dict[str, tuple[str, ...]] = {
    "frames": ("frames", "frame", "fr", "frs"),
    "minutes": ("min", "mins", "minutes"),
    "kilometres": ("km", "kilometres", "kilometers"),
    "miles": ("mi", "miles"),
    "degrees Fahrenheit": ("f", "°f", "fahrenheit", "deg f", "degrees fahrenheit"),
    "degrees Celsius": ("c", "°c", "celsius", "deg c", "degrees celsius"),
    "degrees north": ("deg", "degrees", "°", "n", "°n", "wgs84", "wgs 84"),
    "degrees east": ("deg", "degrees", "°", "e", "°e", "wgs84", "wgs 84"),
    "hives": ("hives", "colonies", "stands"),
    "boxes": ("boxes",),
    "splits": ("splits", "nucs"),
    "pieces": ("pieces", "pcs"),
    "people": ("people", "persons"),
    "shakes": ("shakes",),
    "tenths": ("tenths",),
    "mites per 100 bees": ("per 100", "per 100 bees", "%"),
    "HH:MM": ("hh:mm", "h:mm", "24 h", "24h"),
    "YYYY-MM-DD": (
        "yyyy-mm-dd",
        "dd/mm/yyyy",
        "mm/dd/yyyy",
        "dd/mm/yy",
        "mm/dd/yy",
        "dd.mm.yyyy",
        "d/m/y",
        "m/d/y",
        "d/m/yyyy",
        "m/d/yyyy",
        "dd-mm-yyyy",
        "mm-dd-yyyy",
    ),
}
"""Ways to write the unit of a column, in brackets behind its header or in a row of units under it."""

_BRACKETED = re.compile(r"(.*\S)\s*[(\[]([^()\[\]]*)[)\]]\s*")

_KNOWN: dict[str, dict[str, str]] = {
    table: {plain_name(word): name for name, words in columns.items() for word in words}
    | {column.name: column.name for column in TABLES[table]}
    for table, columns in COLUMN_WORDS.items()
}
_ANY = {name for known in _KNOWN.values() for name in known}
_UNITS = {(table, column.name): column.unit for table, columns in TABLES.items() for column in columns}
_ALL_UNITS = {word for words in UNIT_WORDS.values() for word in words} | {"yes/no", "date", "time", "text"}
_TABLES = {plain_name(word): table for table, words in TABLE_WORDS.items() for word in words}


def column_named(table: str, header: str, words: OwnWords = NONE) -> str | None:
    """Return the column of a table that a header names: the beekeeper's own, its name, a synonym; or None."""
    known, plain = _KNOWN[table], plain_name(header)
    if own := words.column(table, header):
        return own
    name = known.get(plain)
    if name and "%" in header and "%" not in UNIT_WORDS.get(_UNITS[table, name], ()):
        return None
    if name is None and (parts := _BRACKETED.fullmatch(header)):
        name = known.get(plain_name(parts[1]))
        if name and unit(parts[2]) not in UNIT_WORDS.get(_UNITS[table, name], ()):
            return None
    return name


def table_named(title: str) -> str | None:
    """Return the table that a file or sheet is by its name; None for none."""
    name = plain_name(title)
    return name if name in TABLES else _TABLES.get(name)


def is_header(text: str) -> bool:
    """Whether a text is a header in any table."""
    return plain_name(text) in _ANY


def is_unit(text: str) -> bool:
    """Whether a text is nothing but a unit, as in a row of units under the headers."""
    return unit(text.strip("()[] ")) in _ALL_UNITS


def unit(text: str) -> str:
    """Return a unit as UNIT_WORDS has it."""
    return " ".join(text.casefold().split())
