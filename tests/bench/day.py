"""The benchmark of one crew's day: our planner beside two simple ones, on the same seeded operations.

    python tests/bench/day.py [--practice [--pooling] [--floors warn,hold] [--looks set,queens]]
        [--sizes 12,20,40,60,100] [--regimes] [--json FILE]

Every run has a process of its own; seconds are its whole wall time, peak memory its largest resident size.
Ours is the command line: from tables read to files written, its plan audited by itself. The other two ("one
model", "staged") plan from the operation in memory and are judged by their own judges (no files).
A row of a planner that found nothing says so. Minutes are the crew's paid minutes. With --practice the rows
are practical days, by what counts: see tests/bench/practice_rows.py.
"""

import argparse
import json
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.bench import practice_rows  # noqa: E402
from tests.bench.running import Child, last_line, run_child  # noqa: E402
from tests.bench.tables import write_tables  # noqa: E402
from tests.seeded import REGIMES, SIZES, bench_operation  # noqa: E402

PLANNERS = ("ours", "one model", "staged")
LIMIT_S = 60
Row = dict[str, object]
COLUMNS = (
    "planner",
    "yards",
    "hives",
    "splits_asked",
    "splits_placed",
    "minutes",
    "bound_minutes",
    "status",
    "seconds",
    "peak_mib",
)


@dataclass(frozen=True)
class Case:
    """One operation of the benchmark."""

    yards: int
    hives: int
    splits: int
    regime: str | None = None
    seed: int = 1

    @property
    def name(self) -> str:
        """What the printed table calls it."""
        return self.regime or f"{self.yards} yards"


def _row(planner: str, case: Case, child: Child, asked: int) -> Row:
    return {
        "planner": planner,
        "yards": case.yards,
        "hives": case.hives,
        "splits_asked": asked,
        "splits_placed": 0,
        "minutes": None,
        "bound_minutes": None,
        "status": "none",
        "seconds": round(child.seconds, 1),
        "peak_mib": round(child.peak_mib),
        "regime": case.regime,
    }


def ours(case: Case) -> Row:
    """Plan from tables to files by the command line."""
    operation = bench_operation(case.yards, case.hives, case.splits, case.seed, case.regime)
    asked = sum(o.count for o in operation.orders)
    with tempfile.TemporaryDirectory() as name:
        tables, out = Path(name) / "operation", Path(name) / "plan"
        write_tables(operation, tables)
        wanted = ["plan", str(tables), "--out", str(out), "--seconds", str(LIMIT_S)]
        child = run_child([sys.executable, "-m", "routeplan", *wanted])
        row = _row("ours", case, child, asked)
        row["hives"] = len(operation.hives)
        plan = out / "plan.json"
        if not plan.exists():
            row["status"] = f"none: exit {child.code}, {last_line(child.err)}"
            return row
        told = json.loads(plan.read_text(encoding="utf-8"))
    proof, totals = told["proof"], told["totals"]
    count = "" if proof["count_status"] == "optimal" else f", at most {proof['most_splits']} splits"
    row["splits_placed"] = totals["placed"]
    row["minutes"] = round(totals["paid_s"] / 60, 1)
    row["bound_minutes"] = round(proof["bound_s"] / 60, 1)
    row["status"] = proof["status"] + count
    return row


def theirs(planner: str, case: Case) -> Row:
    """Plan with one of the simple planners."""
    module = "tests.bench." + planner.replace(" ", "_")
    sizes = [str(n) for n in (case.yards, case.hives, case.splits)]
    regime = [] if case.regime is None else ["--regime", case.regime]
    command = [sys.executable, "-m", module, *sizes, "--seed", str(case.seed), *regime]
    child = run_child(command)
    operation = bench_operation(case.yards, case.hives, case.splits, case.seed, case.regime)
    row = _row(planner, case, child, sum(o.count for o in operation.orders))
    row["hives"] = len(operation.hives)
    if child.code != 0:
        row["status"] = f"none: exit {child.code}, {last_line(child.err)}"
        return row
    told = json.loads(last_line(child.out))
    row["splits_placed"], row["status"] = told["placed"], told["status"]
    for key, name in (("paid_s", "minutes"), ("bound_s", "bound_minutes")):
        row[name] = None if told[key] is None else round(told[key] / 60, 1)
    return row


def cases(sizes: list[int], regimes: bool) -> list[Case]:
    """The sizes asked for, then the regimes at 40 yards."""
    made = [Case(*size) for size in SIZES if size[0] in sizes]
    if regimes:
        made += [Case(40, 1000, 25, regime) for regime in REGIMES]
    return made


def ratio(row: Row, our_row: Row) -> str:
    """Our minutes over theirs; with other numbers of splits both numbers are said instead."""
    mine, other = our_row["minutes"], row["minutes"]
    if row is our_row or not isinstance(mine, float) or not isinstance(other, float):
        return "-"
    if row["splits_placed"] != our_row["splits_placed"]:
        return f"{our_row['splits_placed']} splits to {row['splits_placed']}"
    return f"{mine / other:.3f}"


def line(cells: list[object]) -> str:
    """One line of the printed table."""
    widths = (14, 9, 6, 6, 6, 7, 8, 8, 8, 6, 16)
    texts = ["-" if c is None else str(c) for c in cells]
    return " ".join(t.ljust(w) for t, w in zip(texts, widths, strict=False)) + " " + texts[-1]


def table(todo: list[Case], planners: list[str], tell: Callable[[str], None]) -> list[Row]:
    """Run everything, one line a run."""
    heads = "case planner yards hives asked placed minutes bound seconds MiB ours/theirs status"
    tell(line(list(heads.split())))
    rows = []
    for case in todo:
        our_row: Row = {"minutes": None, "splits_placed": None}
        for planner in planners:
            row = ours(case) if planner == "ours" else theirs(planner, case)
            our_row = row if planner == "ours" else our_row
            rows.append(row)
            shown = [row[c] for c in COLUMNS if c not in ("planner", "status")]
            tell(line([case.name, planner, *shown, ratio(row, our_row), row["status"]]))
    return rows


def main() -> None:
    """Read the command line, run, print the table and write the JSON."""
    parser = argparse.ArgumentParser(description="Benchmark of one crew's day.")
    every = ",".join(str(size[0]) for size in SIZES)
    parser.add_argument("--sizes", default=every, help=f"numbers of yards, of {every}; empty: none")
    parser.add_argument(
        "--regimes", action="store_true", help="also the rows at 40 yards that separate methods"
    )
    parser.add_argument("--practice", action="store_true", help="practical days instead, ours only")
    parser.add_argument(
        "--pooling", action="store_true", help="practical days where boxes may be of two yards"
    )
    every_floors = ",".join(practice_rows.FLOORS)
    parser.add_argument(
        "--floors", default="warn", help=f"of practical days, one or more of {every_floors}, side by side"
    )
    every_looks = ",".join(practice_rows.LOOKS)
    parser.add_argument(
        "--looks",
        default="set",
        help=f"trips to look after practical days, one or both of {every_looks}, side by side",
    )
    parser.add_argument("--seed", type=int, default=1, help="of the practical days")
    parser.add_argument("--seconds", type=int, default=LIMIT_S, help="for each practical day")
    parser.add_argument("--planners", default=",".join(PLANNERS), help="which planners to run")
    parser.add_argument("--json", type=Path, help="file for the rows")
    wanted = parser.parse_args()
    sizes = [int(text) for text in wanted.sizes.split(",") if text]
    if unknown := set(sizes) - {size[0] for size in SIZES}:
        parser.error(f"no such size: {unknown}; there are {every}")
    planners = wanted.planners.split(",")
    if unknown_planners := set(planners) - set(PLANNERS):
        parser.error(f"no such planner: {unknown_planners}; there are {', '.join(PLANNERS)}")
    floors = tuple(wanted.floors.split(","))
    if unknown_floors := set(floors) - set(practice_rows.FLOORS):
        parser.error(f"no such floors: {unknown_floors}; there are {every_floors}")
    looks = tuple(wanted.looks.split(","))
    if unknown_looks := set(looks) - set(practice_rows.LOOKS):
        parser.error(f"no such looks: {unknown_looks}; there are {every_looks}")
    if wanted.practice:
        days = practice_rows.days(sizes, wanted.regimes, wanted.seed, wanted.pooling, floors, looks)
        rows = practice_rows.table(days, wanted.seconds, lambda text: print(text, flush=True))
    else:
        rows = table(cases(sizes, wanted.regimes), planners, lambda text: print(text, flush=True))
    if wanted.json:
        wanted.json.write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
