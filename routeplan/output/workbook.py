"""The plan as a workbook, for those who go on working with it in a spreadsheet."""

import os
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import pandas as pd
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from routeplan.operation.settings import MILE_M
from routeplan.operation.world import Hive, Operation, Yard
from routeplan.output import day as days
from routeplan.output import measures, words
from routeplan.output.day import Day, day_of
from routeplan.output.load import load
from routeplan.output.results import all_looks, first_look, missing, proof_lines
from routeplan.plan import HiveLine, Plan, Stop, Take

WIDEST = 60
UNWRITABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""Characters a workbook cannot hold (XML 1.0, section 2.2)."""
CELL_LETTERS = 32_767
"""Longest text of a cell, a limit of the format."""

Cell = str | int | float | None
T = TypeVar("T")
Sheet = tuple[tuple[str, ...], list[tuple[Cell, ...]]]


def write_workbook(operation: Operation, plan: Plan, path: str | os.PathLike[str]) -> None:
    """Write the plan as an .xlsx workbook; the file appears whole or not at all.

    Sheets: Stops, Hive work, Splits, Load, Not in the plan, Hives, Totals. Numbers are numbers, their unit in
    the header; times of day are text HH:MM. Text that looks like a formula stays text.

    Parameters
    ----------
    operation : what the plan was made from.
    plan : the day's plan.
    path : where to write.

    Raises
    ------
    OSError : the file cannot be written.
    """
    target = Path(path)
    unfinished = target.with_name(f".{target.stem}.part.xlsx")
    try:
        with pd.ExcelWriter(unfinished, engine="openpyxl") as writer:
            for name, (columns, rows) in sheets(day_of(operation, plan)).items():
                table = pd.DataFrame(rows, columns=list(columns), dtype=object)
                table.map(_writable).to_excel(writer, sheet_name=name, index=False)
                _finish(writer.sheets[name])
        unfinished.replace(target)
    finally:
        unfinished.unlink(missing_ok=True)


def sheets(day: Day) -> dict[str, Sheet]:
    """Return every sheet's columns and rows, by name."""
    return {
        "Stops": _stops(day),
        "Hive work": _hive_work(day),
        "Splits": _splits(day),
        "Load": _table(
            load(day), {"count": lambda i: i.count, "what": lambda i: i.what, "remark": lambda i: i.remark}
        ),
        "Not in the plan": _not_in_the_plan(day),
        "Hives": _hives(day),
        "Totals": _totals(day),
    }


def _length(day: Day, metres: float) -> float:
    return round(metres / (MILE_M if day.units == "mi" else 1000), 2)


def _minutes(seconds: float) -> float:
    return round(seconds / 60, 1)


def _table(items: Iterable[T], columns: dict[str, Callable[[T], Cell]]) -> Sheet:
    """Make a sheet: one row an item, one column a heading and how its cell is found."""
    return tuple(columns), [tuple(cell(item) for cell in columns.values()) for item in items]


def _stops(day: Day) -> Sheet:
    def yard(item: tuple[int, Stop]) -> Yard:
        return day.operation.yard(item[1].yard)

    return _table(
        list(enumerate(day.plan.stops, 1)),
        {
            "stop": lambda i: i[0],
            "yard": lambda i: i[1].yard,
            "does": lambda i: words.JOB[days.job(day, yard(i))],
            f"drive {day.units}": lambda i: _length(day, i[1].drive_m),
            "drive min": lambda i: _minutes(i[1].drive_s),
            "arrive": lambda i: measures.clock(i[1].arrive),
            "depart": lambda i: measures.clock(i[1].depart),
            "wait min": lambda i: _minutes(i[1].early_s + i[1].wait_s),
            "set up and leave min": lambda i: _minutes(i[1].set_up_s + i[1].leave_s),
            "place min": lambda i: _minutes(i[1].place_s),
            "splits opened": lambda i: None if i[1].opened is None else measures.clock(i[1].opened),
            "hive work min": lambda i: _minutes(i[1].hive_s),
            "make min": lambda i: _minutes(i[1].make_s),
            "places boxes": lambda i: measures.runs(day.boxes[s] for s in i[1].places),
            "makes boxes": lambda i: measures.runs(day.boxes[s] for s in i[1].makes),
            "full aboard": lambda i: i[1].full,
            "empty aboard": lambda i: i[1].empty,
            "latitude": lambda i: yard(i).stop.lat,
            "longitude": lambda i: yard(i).stop.lon,
        },
    )


@dataclass(frozen=True)
class _Out:
    stop: int
    hive: Hive
    take: Take
    back: int | None


def _outs(day: Day) -> Iterator[_Out]:
    """Yield every take; the combs put back into a hive stand in its first row only, so that they add up."""
    for number, stop in enumerate(day.plan.stops, 1):
        hives = {h.id: h for h in day.operation.hives if h.yard == stop.yard}
        for name in stop.opens:
            back = sum(p.combs for p in stop.puts_back if p.hive == name)
            for n, take in enumerate(t for t in stop.takes if t.hive == name):
                yield _Out(number, hives[name], take, None if n else back)


def _hive_work(day: Day) -> Sheet:
    return _table(
        _outs(day),
        {
            "stop": lambda o: o.stop,
            "yard": lambda o: o.hive.yard,
            "hive": lambda o: o.hive.id,
            "queen": lambda o: o.hive.queen,
            "temper": lambda o: o.hive.temper,
            "what": lambda o: words.KIND[o.take.kind],
            "frames or shakes": lambda o: o.take.frames,
            "into box": lambda o: day.boxes[o.take.split],
            "combs put back": lambda o: o.back,
        },
    )


def _splits(day: Day) -> Sheet:
    least, limit = (
        _length(day, day.operation.settings.minimum_distance_m),
        days.shut_in_limit_min(day.operation),
    )
    return _table(
        day.splits(),
        {
            "box": lambda s: day.boxes[s.id],
            "order": lambda s: s.order,
            "kit": lambda s: s.kit,
            "frame": lambda s: s.frame,
            "queen": lambda s: words.QUEEN_WAY.get(s.queen, s.queen),
            "from yard": lambda s: s.from_yard,
            "hives": lambda s: ", ".join(s.donors),
            "to yard": lambda s: s.to_yard,
            "made at stop": lambda s: s.made_at,
            "placed at stop": lambda s: s.placed_at,
            f"distance {day.units}": lambda s: _length(day, s.flying_m),
            f"at least {day.units}": lambda s: least,
            "shut in min": lambda s: _minutes(s.shut_in_s),
            "at most min": lambda s: limit,
            "next look": lambda s: first_look(day, s.queen),
        },
    )


def _not_in_the_plan(day: Day) -> Sheet:
    return _table(
        zip(day.plan.unplaced, missing(day), strict=True),
        {
            "splits": lambda m: m[0].count,
            "asked for": lambda m: m[1].order,
            "stopped by": lambda m: m[1].rule,
            "reason": lambda m: m[1].reason,
        },
    )


def _hives(day: Day) -> Sheet:
    def could(kind: str) -> Callable[[HiveLine], Cell]:
        return lambda line: dict(line.could).get(kind, 0)

    def gives(kind: str) -> Callable[[HiveLine], Cell]:
        return lambda line: dict(line.gives).get(kind, 0)

    kinds = {"capped": "capped", "open": "open", "food": "food", "shake": "shakes"}
    columns: dict[str, Callable[[HiveLine], Cell]] = {"yard": lambda h: h.yard, "hive": lambda h: h.hive}
    columns |= {f"could give {name}": could(kind) for kind, name in kinds.items()}
    columns |= {f"gives {name}": gives(kind) for kind, name in {**kinds, "eggs": "open with eggs"}.items()}
    return _table(day.plan.hives, columns | {"why": lambda h: h.reason})


def _totals(day: Day) -> Sheet:
    t = day.plan.totals
    rows: list[tuple[Cell, ...]] = [
        ("splits asked for", t.asked, ""),
        ("splits placed", t.placed, ""),
        ("paid time", _minutes(t.paid_s), "min"),
        ("driving", _minutes(t.drive_s), "min"),
        ("setting up and leaving yards", _minutes(t.yard_s), "min"),
        ("hive work", _minutes(t.hive_s), "min"),
        ("closing, labelling, loading", _minutes(t.make_s), "min"),
        ("placing and opening splits", _minutes(t.place_s), "min"),
        ("waiting", _minutes(t.wait_s), "min"),
        ("road", _length(day, t.drive_m), day.units),
        ("hives opened", t.hives_opened, ""),
        ("frames taken", t.frames_taken, ""),
        ("leave home", measures.clock(t.leave_home), ""),
        ("back home", measures.clock(t.back_home), ""),
    ]
    rows += [("how good", line, "") for line in proof_lines(day.plan)]
    rows += [("assumed", note, "") for note in day.plan.notes]
    rows += [("next look", f"{when}: {who}: {what}", "") for when, who, what in all_looks(day)]
    return ("what", "value", "unit"), rows


def _writable(value: Cell) -> Cell:
    if not isinstance(value, str):
        return value
    return UNWRITABLE.sub("\ufffd", value)[:CELL_LETTERS] or None


def _finish(sheet: Worksheet) -> None:
    """Make every text inert, the header stand still and the columns wide enough to read."""
    sheet.freeze_panes = "A2"
    for column in sheet.iter_cols():
        for cell in column:
            if isinstance(cell.value, str):
                cell.data_type = "s"
                cell.quotePrefix = cell.row > 1 and cell.value[:1] in ("=", "+", "-", "@", "\t", "\r")
                cell.alignment = Alignment(wrap_text=True, vertical="top")
            if cell.row == 1:
                cell.font = Font(bold=True)
        longest = max(len(str(cell.value)) for cell in column if cell.value is not None)
        sheet.column_dimensions[get_column_letter(column[0].column)].width = min(WIDEST, max(8, longest + 2))
