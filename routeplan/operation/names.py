"""One name, one spelling: capitals and blanks make no other yard or hive, and each other spelling is said."""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from routeplan.operation.characters import same
from routeplan.operation.findings import Finding
from routeplan.operation.headings import also
from routeplan.operation.rows import Row, Table
from routeplan.operation.world import TRADE_KITS

YARDS_NAMED = (
    ("hives", "yard"),
    ("splits", "from"),
    ("splits", "to"),
    ("weather", "yard"),
    ("frames", "yard"),
    ("pairs", "yard"),
    ("pairs", "other"),
)
"""Where yards are named beside their own table."""
HIVES_NAMED = (("hives", "yard"), ("frames", "yard"), ("splits", "from"))
"""Where hives are named under `hive`, and the column of their yard."""

_TAKEN_FOR = {"o": "0", "l": "1", "i": "1", "|": "1"}
_TAKEN_FOR |= dict(zip("аеорсухікмтвн", "ae0pcyx1kmtbh", strict=True))  # Cyrillic letters that look Latin
_TAKEN_FOR |= dict(zip("αονρ", "a0vp", strict=True))  # Greek ones
_LOOKS = str.maketrans(_TAKEN_FOR | dict.fromkeys("-‐‑–—−_./ '’", ""))
_POINT_ZERO = re.compile(r"(?<=[0-9])\.0+$")


def one_spelling(tables: dict[str, Table]) -> Iterator[Finding]:
    """Give each name in all tables the spelling of the table that is about it; say where it was another."""
    yards = _sole_spellings(row["yard"] for row in tables["yards"].rows)
    for name, column in YARDS_NAMED:
        yield from _respell(tables[name], column, "", {("", key): yard for key, yard in yards.items()})
    hives = _hive_spellings(tables["hives"].rows)
    for name, of_yard in HIVES_NAMED:
        yield from _respell(tables[name], "hive", of_yard, hives)
    trade = {("", same(kit.name)): kit.name for kit in TRADE_KITS}
    yield from _respell(tables["kits"], "kit", "", trade)
    kits = _sole_spellings([*trade.values(), *(row["kit"] for row in tables["kits"].rows)])
    yield from _respell(tables["splits"], "kit", "", {("", key): kit for key, kit in kits.items()})


def alike(name: str) -> str:
    """Return what names have in common that are taken for each other: 07 and 7, O1 and 01, A-1 and A1."""
    plain = unicodedata.normalize("NFKC", same(name))
    return _POINT_ZERO.sub("", plain).translate(_LOOKS).lstrip("0")


def _sole_spellings(names: Iterable[str]) -> dict[str, str]:
    """Return names by what their spellings have in common, where there is one spelling only."""
    found: dict[str, set[str]] = {}
    for name in names:
        found.setdefault(same(name), set()).add(name)
    return {key: next(iter(spelt)) for key, spelt in found.items() if len(spelt) == 1}


def _spellings(names: Iterable[str]) -> dict[str, str]:
    """Return by what spellings have in common the one most often used, of several the first in order."""
    counts = Counter(name for name in names if name)
    best: dict[str, str] = {}
    for name in sorted(counts, key=lambda name: (-counts[name], name)):
        best.setdefault(same(name), name)
    return best


def _hive_spellings(rows: Iterable[Row]) -> dict[tuple[str, str], str]:
    by_yard: dict[str, list[str]] = {}
    for row in rows:
        by_yard.setdefault(row["yard"], []).append(row["hive"])
    return {(yard, key): name for yard, names in by_yard.items() for key, name in _spellings(names).items()}


def _respell(
    table: Table, column: str, of_yard: str, spellings: Mapping[tuple[str, str], str]
) -> Iterator[Finding]:
    """Replace each other spelling in a column by the one in use, in the yard named under `of_yard` if any."""
    others: dict[tuple[str, str], list[Row]] = {}
    for row in table.rows:
        name = row[column]
        if name:
            yard = str(row[of_yard]) if of_yard else ""
            right = spellings.get((yard, same(name)), name)
            if right != name:
                others.setdefault((name, right), []).append(row)
                row.values[column] = right
    for (name, right), rows in others.items():
        message = f"“{name}” is read as “{right}”{also([row.number for row in rows[1:]])}."
        yield table.finding("warning", rows[0], column, message, "Write it alike everywhere.")
