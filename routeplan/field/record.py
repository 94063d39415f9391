"""A finished day folded back into the tables: looks, splits as hives, room and stock used, a movement log."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from routeplan.colony.counts import count_on
from routeplan.field.canonical import Cells, as_csv, cells_of, plain_csv, written
from routeplan.field.state import State
from routeplan.field.used import stock_left
from routeplan.operation.columns import TABLES
from routeplan.operation.rows import Draft
from routeplan.operation.world import Hive, Operation
from routeplan.plan import Split, Take, box_numbers, split_name

MOVEMENTS = "records/movements.csv"
"""Where the log of movements lies, beside the tables."""
LOG = ["date", "from", "to", "count", "names"]
RAISES = {
    "raise own": "raises its own queen",
    "ripe cell": "a ripe cell goes in the day after",
    "own cells": "has queen cells",
    "mated": "a mated queen went in",
    "parent's": "with the parent's queen",
}
BROOD = ("capped", "open", "eggs", "mixed")
Key = tuple[str, str]


def recorded(draft: Draft, state: State, log: str = "") -> dict[str, str]:
    """Return the tables after the day, and the movement log, as text by file name.

    Parameters
    ----------
    draft : the tables as they were read.
    state : the day, all its boxes placed.
    log : the movement log so far.
    """
    tables = {name: [cells_of(t, row) for row in t.rows] for name, t in draft.tables.items() if t.rows}
    names = _names(state)
    rows = {name: draft[name].rows for name in tables}
    if "stock" in tables:
        left = {s.row: s.count for s in stock_left(state.operation, state.splits)}
        for row, cells in zip(rows["stock"], tables["stock"], strict=True):
            cells["count"] = str(left.get(row.number, cells.get("count", "")))
    ended = _ended(state)
    here = Counter(s.to_yard for s in state.splits)
    here.subtract(yard for yard, _ in ended)
    health = {y.id: y.health for y in state.operation.yards if y.health == "suspected"}
    for row, cells in zip(rows["yards"], tables["yards"], strict=True):
        if cells.get("room"):
            cells["room"] = str(max(0, row["room"] - here[row["yard"]]))
        if row["yard"] in health and cells.get("health") != "confirmed":
            cells["health"] = health[row["yard"]]
    placed = Counter(s.order for s in state.splits)
    for row, cells in zip(rows["splits"], tables["splits"], strict=True):
        n = min(row["count"], placed[row["order"]])
        placed[row["order"]] -= n
        cells["count"] = str(row["count"] - n)
    tables["splits"] = [cells for cells in tables["splits"] if cells["count"] != "0"]
    tables["hives"] = _hives(state, tables["hives"], names)
    if "frames" in tables:
        tables["frames"] = [c for c in tables["frames"] if (c["yard"], c["hive"]) not in ended]
    files = {f"{name}.csv": as_csv(name, listed) for name, listed in tables.items()}
    return files | {MOVEMENTS: _movements(state, names, log)}


def _ended(state: State) -> set[Key]:
    """Hives that were broken up: frames left them, and their stands are free."""
    gave = {(stop.yard, take.hive) for stop in state.stops for take in stop.takes}
    return gave & state.operation.broken_up


def _names(state: State) -> dict[str, str]:
    """The name of each split as a hive of its yard: day and box, made different where it is taken."""
    numbers, taken = box_numbers(state.plan), {h.key for h in state.operation.hives}
    names = {}
    for split in state.splits:
        name = split_name(state.operation.day, numbers[split.id])
        while (split.to_yard, name) in taken:
            name += "a"
        taken.add((split.to_yard, name))
        names[split.id] = name
    return names


def _hives(state: State, rows: list[Cells], names: dict[str, str]) -> list[Cells]:
    """All looks before, but for those of today that are made again, today's looks, and the splits; none of
    hives that were broken up."""
    day = state.operation.day.isoformat()
    looks = list(_looks(state))
    again = {(c["yard"], c["hive"]) for c in looks}
    ended = _ended(state)
    kept = [c for c in rows if c.get("inspected") != day or (c["yard"], c["hive"]) not in again]
    kept = [c for c in kept if (c["yard"], c["hive"]) not in ended]
    return [*kept, *looks, *(_split_row(state, s, names[s.id]) for s in state.splits)]


def _looks(state: State) -> Iterator[Cells]:
    """One look for every hive that gave or of which something was found: what it holds now."""
    gave: dict[Key, list[Take]] = {}
    for stop in state.stops:
        for take in stop.takes:
            gave.setdefault((stop.yard, take.hive), []).append(take)
    ended = _ended(state)
    for hive in state.operation.hives:
        if hive.key not in ended and (hive.key in gave or hive.key in state.found):
            yield _look(state.operation, hive, gave.get(hive.key, []))


def _kinds(takes: Iterable[Take]) -> Counter[str]:
    """Frames, shakes and queens by kind."""
    kinds = Counter[str]()
    for take in takes:
        kinds[take.kind] += take.frames
    return kinds


def _frames_of_bees(operation: Operation, takes: Iterable[Take]) -> float:
    """Frames of bees that left with what was taken; none with frames shaken free of them."""
    bees, got = operation.settings.bees, _kinds(t for t in takes if t.bees)
    brood = sum(got[kind] for kind in BROOD)
    return bees.per_brood_frame * brood + bees.per_food_frame * got["food"] + bees.per_shake * got["shake"]


def _look(operation: Operation, hive: Hive, takes: list[Take]) -> Cells:
    count, gave = count_on(hive, operation.day), _kinds(takes)
    halves = gave["mixed"] / 2
    left = {
        "bees": _less(count.bees, _frames_of_bees(operation, takes)),
        "capped": _less(count.capped, gave["capped"] + halves),
        "open": _less(count.open, gave["open"] + gave["eggs"] + halves),
        "food": _less(count.food, gave["food"]),
    }
    fresh = count.age_days <= operation.settings.limits.eggs_days and not gave["queen"]
    said = [f"{n} {'of bees' if kind == 'shake' else kind}" for kind, n in gave.items() if n]
    values = {
        "hive": hive.id,
        "yard": hive.yard,
        "queen": "unknown" if gave["queen"] else hive.queen,
        "health": None if hive.health == "not stated" else hive.health,
        "inspected": operation.day,
        **left,
        "eggs_seen": hive.count.eggs_seen if fresh else None,
        "queen_cells": None if hive.count.queen_cells == "not stated" else hive.count.queen_cells,
        "note": f"gave {', '.join(said)}" if said else None,
    }
    return _row(values)


def _less(there: float | None, out: float) -> float | None:
    return None if there is None else max(0.0, there - out)


def _split_row(state: State, split: Split, name: str) -> Cells:
    """A split as a hive of its new yard: what it was made of, and where from."""
    taken = [(s.yard, t) for s in state.stops for t in s.takes if t.split == split.id]
    got, halves = _kinds(t for _, t in taken), _kinds(t for _, t in taken)["mixed"] / 2
    mothers = {(yard, t.hive) for yard, t in taken if t.kind == "queen"}
    parents = [h for h in state.operation.hives if h.key in mothers]
    queens = {"mated": "unmarked", "parent's": next((h.queen for h in parents), "unknown")}
    source = " and ".join(f"{yard} {', '.join(hives)}" for yard, hives in _sides(split))
    values = {
        "hive": name,
        "yard": split.to_yard,
        "frame": split.frame,
        "queen": queens.get(split.queen, "queenless"),
        "may_give": False,
        "inspected": state.operation.day,
        "bees": _frames_of_bees(state.operation, (t for _, t in taken)),
        "capped": got["capped"] + halves,
        "open": got["open"] + got["eggs"] + halves,
        "food": float(got["food"]),
        "note": f"split made {state.operation.day.isoformat()} from {source}; {RAISES[split.queen]}",
    }
    return _row(values)


def _sides(split: Split) -> list[tuple[str, tuple[str, ...]]]:
    """The yards a split has frames from, in order, with its donors there."""
    begun = [(split.begun_yard, split.begun_donors)] if split.begun_at else []
    return [*begun, (split.from_yard, split.donors)]


def _row(values: Mapping[str, object]) -> Cells:
    columns = {c.name: c for c in TABLES["hives"]}
    return {name: written(columns[name], value) for name, value in values.items() if value not in (None, "")}


def _movements(state: State, names: dict[str, str], log: str) -> str:
    """The log with one line for each pair of yards between which splits went today: one of two yards stands
    in two."""
    moves: dict[tuple[str, str], list[str]] = {}
    for split in state.splits:
        for yard, _ in _sides(split):
            moves.setdefault((yard, split.to_yard), []).append(names[split.id])
    rows = [
        {
            "date": state.operation.day.isoformat(),
            "from": source,
            "to": target,
            "count": str(len(boxes)),
            "names": " ".join(boxes),
        }
        for (source, target), boxes in moves.items()
        if source != target
    ]
    fresh = plain_csv(LOG, rows)
    return log.rstrip("\n") + "\n" + fresh.split("\n", 1)[1] if log.strip() else fresh
