"""One operation in many forms: order of rows and columns, delimiter, encoding, headers, decimal style."""

import csv
import io
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from hypothesis import strategies as st

from routeplan.operation.columns import TABLES
from routeplan.operation.dates import FIRST_DAY
from routeplan.operation.synonyms import COLUMN_WORDS

DAY = date(2027, 5, 15)
LETTERS = "abcdefgXYZ0123456789éüßøñ’"
WIDE = LETTERS + "Łą蜂Ж"
SIGNS = LETTERS + "-_.,;|'\"#& "

Table = list[dict[str, object]]
"""Rows by column: str, float, date, or bool."""


@dataclass(frozen=True)
class Form:
    """How a table is written."""

    delimiter: str
    encoding: str
    comma: bool
    dates: str
    headers: str
    title: bool
    total: bool
    blanks: bool
    newline: str
    seed: int


FORMS = st.builds(
    Form,
    st.sampled_from(",;\t|"),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"]),
    st.booleans(),
    st.sampled_from(["iso", "day first", "month first", "named", "serial", "compact"]),
    st.sampled_from(["own", "capitals", "words", "synonyms"]),
    st.booleans(),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["\n", "\r\n", "\r"]),
    st.integers(0, 2**16),
)


def _name(letters: str) -> st.SearchStrategy[str]:
    """A name no rule stumbles over: by its first and last letter it is no header and no total."""
    inner = st.text(letters, max_size=6).map(lambda text: " ".join(text.split()))
    return inner.map(lambda text: f"q{text}k")


def _frames(most: int) -> st.SearchStrategy[float | None]:
    return st.none() | st.integers(0, 4 * most).map(lambda quarters: quarters / 4)


@st.composite
def tables(draw: st.DrawFn, letters: str = SIGNS) -> dict[str, Table]:
    """Yards, hives and splits that are sound but for what any figures may bring along."""
    names = draw(st.lists(_name(letters), min_size=1, max_size=4, unique_by=str.casefold))
    yards: Table = [
        {
            "yard": name,
            "lat": 52.06131 + i / 50,
            "lon": -2.72541 - i / 50,
            "room": float(draw(st.integers(0, 9))),
            "takes_splits": draw(st.booleans()),
            "closed_until": draw(st.none() | _days()),
            "note": draw(_name(letters)),
        }
        for i, name in enumerate(names)
    ]
    hives: Table = []
    for name in draw(st.lists(_name(letters), min_size=1, max_size=5, unique_by=str.casefold)):
        yard = draw(st.sampled_from(names))
        for day in draw(st.lists(_days(), min_size=1, max_size=3, unique=True)):
            hives.append({"hive": name, "yard": yard, "inspected": day} | draw(_look()))
    count = float(draw(st.integers(1, 5)))
    splits: Table = [{"order": "qAk", "count": count, "kit": "three-frame"}]
    crews: Table = [{"crew": "qWk", "home_lat": 52.05113, "home_lon": -2.73514, "places": 16.0}]
    return {"yards": yards, "hives": hives, "splits": splits, "crews": crews}


@st.composite
def _look(draw: st.DrawFn) -> dict[str, object]:
    """What is seen of a hive on one day."""
    return {
        "bees": draw(_frames(20)),
        "brood": draw(_frames(10)),
        "food": draw(_frames(5)),
        "boxes": float(draw(st.integers(1, 3))),
        "temper": draw(st.sampled_from([None, "calm", "bad"])),
        "may_give": draw(st.none() | st.booleans()),
        "health": draw(st.sampled_from([None, "ok", "suspected"])),
    }


def _days() -> st.SearchStrategy[date]:
    return st.integers(0, 200).map(lambda ago: DAY - timedelta(days=ago))


def plain(table: Table) -> bytes:
    """The table as `routeplan new` would have it filled in: UTF-8, commas, points, ISO dates, own headers."""
    return write("", table, Form(",", "utf-8", False, "iso", "own", False, False, False, "\n", -1))


def write(name: str, table: Table, form: Form) -> bytes:
    """The table in a form."""
    random = Random(form.seed)
    columns = list(table[0])
    rows = list(table)
    if form.seed >= 0:
        random.shuffle(columns)
        random.shuffle(rows)
    lines = [[header(name, column, form.headers, random) for column in columns]]
    lines += [[text(row[column], form, random) for column in columns] for row in rows]
    if form.blanks:
        lines.insert(random.randint(1, len(lines)), [""] * len(columns))
    if form.total:
        lines.append(["Total", *("3" for _ in columns[1:])])
    if form.title:
        lines.insert(0, ["Written in spring", *("" for _ in columns[1:])])
    out = io.StringIO()
    csv.writer(out, delimiter=form.delimiter, lineterminator=form.newline).writerows(lines)
    return out.getvalue().encode(form.encoding)


def header(table: str, column: str, style: str, random: Random) -> str:
    """The header of a column in a style."""
    if style == "capitals":
        return column.upper()
    if style == "words":
        unit = {c.name: c.unit for c in TABLES[table]}[column]
        bracket = f" ({unit})" if unit in ("frames", "hives", "boxes", "splits") else ""
        return f" {column.replace('_', ' ').title()}{bracket} "
    if style == "synonyms":
        return random.choice([column, *COLUMN_WORDS[table].get(column, ())])
    return column


def text(value: object, form: Form, random: Random) -> str:
    """A value as a person would write it in this form."""
    if value is None:
        return random.choice(["", " ", "\u00a0"]) if form.seed >= 0 else ""
    if isinstance(value, bool):
        return random.choice(["yes", "Y", "TRUE", "1"] if value else ["no", "n", "False", "0"])
    if isinstance(value, float):
        return _number(value, form)
    if isinstance(value, date):
        return _day(value, form.dates)
    return str(value)


def _number(value: float, form: Form) -> str:
    written = f"{value:.5f}" if value != round(value, 2) else f"{value:g}"
    return written.replace(".", ",") if form.comma else written


def _day(day: date, style: str) -> str:
    return {
        "iso": day.isoformat(),
        "day first": f"{day.day}/{day.month}/{day.year}",
        "month first": f"{day.month:02d}.{day.day:02d}.{day.year}",
        "named": f"{day.day} {day:%b} {day.year}",
        "serial": str((day - FIRST_DAY).days),
        "compact": f"{day:%Y%m%d}",
    }[style]
