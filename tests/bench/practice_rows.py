"""The rows of the benchmark's practical days: what each counts, its bound, and how far it is proved.

A day is planned by the command line, from tables read to files written, its plan audited by itself. Minutes:
counted (in all), paid (today), later (trips in the weeks after), bound (no plan with as many splits counts
less). The gap is that of counted minutes to the bound. With floors, the same day with each of FLOORS.
"""

import json
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from routeplan.operation.colony_settings import Floors
from routeplan.operation.world import Operation
from tests.bench.running import last_line, run_child
from tests.bench.tables import write_tables
from tests.practice import PRACTICE_REGIMES, practice_operation
from tests.seeded import SIZES

Row = dict[str, object]
HEADS = (
    *("case", "asked", "placed", "pooled", "counted", "paid", "later", "bound", "gap", "seconds", "MiB"),
    "status",
)
FLOORS = ("off", "warn", "hold", "ranges")
"""Floors of no bees, floors that are only told, floors that hold with kits as they are written, and with kits
that may have a frame of capped brood and two shakes more."""
LOOKS = ("set", "queens")
"""Trips to look in the weeks after: as many as are set, and by the ways to a queen."""
WIDTHS = (18, 6, 7, 7, 8, 7, 7, 8, 7, 8, 5, 30)


@dataclass(frozen=True)
class PracticeDay:
    """One practical day of the benchmark."""

    yards: int
    hives: int
    splits: int
    seed: int
    regime: str | None = None
    pooling: bool = False
    floors: str = "warn"
    looks: str = "set"

    @property
    def name(self) -> str:
        """What the printed table calls it."""
        floors = "" if self.floors == "warn" else f", {self.floors}"
        looks = "" if self.looks == "set" else ", by queen"
        return (self.regime or f"{self.yards} yards") + floors + looks

    def operation(self) -> Operation:
        """Make it; with pooling a box may be of two yards."""
        made = practice_operation(self.yards, self.hives, self.splits, self.seed, self.regime)
        limits = replace(made.settings.limits, yards_per_split=2 if self.pooling else 1)
        none = Floors(split_bees=0.0, donor_bees=0.0)
        floors = none if self.floors == "off" else Floors("warn" if self.floors == "warn" else "hold")
        kits = made.kits
        if self.floors == "ranges":
            kits = tuple(replace(k, capped_most=k.capped + 1, shakes_most=k.shakes + 2) for k in kits)
        later = replace(made.settings.later, trips_by_queen=self.looks == "queens")
        settings = replace(made.settings, limits=limits, floors=floors, later=later)
        return replace(made, kits=kits, settings=settings)


def days(
    sizes: list[int],
    regimes: bool,
    seed: int,
    pooling: bool = False,
    floors: tuple[str, ...] = ("warn",),
    looks: tuple[str, ...] = ("set",),
) -> list[PracticeDay]:
    """The sizes asked for, then the regimes at 40 yards, each with the floors and looks asked for side by
    side."""
    made = [PracticeDay(*size, seed, pooling=pooling) for size in SIZES if size[0] in sizes]
    at_40 = next(size for size in SIZES if size[0] == 40)
    more = [PracticeDay(*at_40, seed, regime, pooling) for regime in PRACTICE_REGIMES] if regimes else []
    return [replace(day, floors=f, looks=k) for day in made + more for f in floors for k in looks]


def planned_row(day: PracticeDay, seconds: int) -> Row:
    """Plan one day by the command line."""
    operation = day.operation()
    row: Row = {"case": day.name, "yards": day.yards, "hives": len(operation.hives), "seed": day.seed}
    row["asked"] = sum(o.count for o in operation.orders)
    with tempfile.TemporaryDirectory() as name:
        tables, out = Path(name) / "operation", Path(name) / "plan"
        write_tables(operation, tables)
        wanted = ["plan", str(tables), "--out", str(out), "--seconds", str(seconds)]
        child = run_child([sys.executable, "-m", "routeplan", *wanted])
        row |= {"seconds": round(child.seconds, 1), "MiB": round(child.peak_mib), "placed": 0}
        plan = out / "plan.json"
        if not plan.exists():
            return row | {"status": f"none: exit {child.code}, {last_line(child.err)}"}
        told = json.loads(plan.read_text(encoding="utf-8"))
    return row | figures(told)


def figures(told: Row) -> Row:
    """Read what a row tells from a plan as JSON."""
    proof, totals = told["proof"], told["totals"]
    assert isinstance(proof, dict)
    assert isinstance(totals, dict)
    count = "" if proof["count_status"] == "optimal" else f", at most {proof['most_splits']} splits"
    return {
        "placed": totals["placed"],
        "counted": round(totals["counted_s"] / 60, 1),
        "paid": round(totals["paid_s"] / 60, 1),
        "later": round(totals["later_s"] / 60, 1),
        "bound": round(proof["bound_s"] / 60, 1),
        "gap": round(proof["gap"], 4),
        "pooled": sum(split["begun_at"] > 0 for split in told["splits"]),  # type: ignore[attr-defined]
        "status": proof["status"] + count,
    }


def line(cells: list[object]) -> str:
    """One line of the printed table."""
    texts = ["-" if c is None else str(c) for c in cells]
    return " ".join(t.ljust(w) for t, w in zip(texts, WIDTHS, strict=True)).rstrip()


def table(todo: list[PracticeDay], seconds: int, tell: Callable[[str], None]) -> list[Row]:
    """Plan every day, one line each."""
    tell(line(list(HEADS)))
    rows = []
    for day in todo:
        row = planned_row(day, seconds)
        rows.append(row)
        tell(line([row.get(head) for head in HEADS]))
    return rows
