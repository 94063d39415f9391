"""Ours beside staged planning on seeded practical days of 12 and 20 yards, by the same measure.

    python tests/bench/against_staged.py [--count 30] [--seconds 20] [--json FILE]

The measure: splits placed, the most urgent first, then counted minutes (the day, the weeks after, all that
counts). A day is better with more splits; with as many, with fewer minutes. The ratio is of counted minutes
for each split placed, ours to the staged ones. Our plan is audited by the project's own audit.
"""

import argparse
import json
import statistics
import sys
import time
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from routeplan.audit import audit  # noqa: E402
from routeplan.operation.world import Operation  # noqa: E402
from routeplan.plan import Plan  # noqa: E402
from routeplan.planning.solve import plan_day  # noqa: E402
from tests.bench.staged import staged_day  # noqa: E402
from tests.practice import practice_operation  # noqa: E402
from tests.seeded import SIZES  # noqa: E402

BEATEN = ("better", "same", "WORSE")


@dataclass(frozen=True)
class Result:
    """What one planner made of a day: splits by priority class, the first class first; counted seconds."""

    placed: tuple[int, ...]
    counted_s: int
    took_s: float

    @property
    def splits(self) -> int:
        """All splits."""
        return sum(self.placed)

    @property
    def rank(self) -> tuple[tuple[int, ...], int]:
        """Smaller is better."""
        return tuple(-n for n in self.placed), self.counted_s

    @property
    def words(self) -> str:
        """How the printed table tells it."""
        classes = "+".join(map(str, self.placed))
        return f"{self.splits:3d} ({classes:5s}) {self.counted_s / 60:7.1f}"


def ours(operation: Operation, seconds: float) -> Result:
    """Plan by the project; a plan that its audit does not pass is no result."""
    began = time.monotonic()
    plan = plan_day(operation, seconds)
    took = time.monotonic() - began
    if broken := audit(operation, plan):
        raise AssertionError(broken[0].sentence())
    return Result(by_class(operation, plan), plan.totals.counted_s, took)


def by_class(operation: Operation, plan: Plan) -> tuple[int, ...]:
    """Splits of a plan by priority class."""
    priority = {o.id: o.priority for o in operation.orders}
    classes = sorted(set(priority.values()))
    return tuple(sum(priority[s.order] == c for s in plan.splits) for c in classes)


def staged(operation: Operation) -> Result:
    """Plan in stages."""
    began = time.monotonic()
    found = staged_day(operation)
    took = time.monotonic() - began
    if found is None:
        return Result(tuple(0 for _ in {o.priority for o in operation.orders}), 0, took)
    return Result(found[1].placed, found[1].counted_s, took)


def ratio(mine: Result, other: Result) -> float | None:
    """Counted minutes a split, ours to the other's; None where one of them placed nothing."""
    if not mine.splits or not other.splits:
        return None
    return (mine.counted_s / mine.splits) / (other.counted_s / other.splits)


def verdict(mine: Result, other: Result) -> str:
    """Whether ours is better."""
    return (
        BEATEN[(mine.rank > other.rank) - (mine.rank < other.rank) + 1] if mine.rank != other.rank else "same"
    )


def main() -> None:
    """Read the command line, run, print the table and its summary."""
    parser = argparse.ArgumentParser(description="Ours beside staged planning.")
    parser.add_argument("--count", type=int, default=30, help="operations, half of each size")
    parser.add_argument("--seconds", type=float, default=20.0, help="for each plan of ours")
    parser.add_argument("--json", type=Path, help="file for the rows")
    wanted = parser.parse_args()
    sizes = [size for size in SIZES if size[0] in (12, 20)]
    rows = []
    print("yards seed  ours: splits minutes   staged: splits minutes   ratio a split  ours is", flush=True)
    for n in range(wanted.count):
        size, seed = sizes[n % 2], 1 + n // 2
        operation = practice_operation(*size, seed)
        mine, other = ours(operation, wanted.seconds), staged(operation)
        share, said = ratio(mine, other), verdict(mine, other)
        rows.append(
            {"yards": size[0], "seed": seed, "ratio": share, "ours is": said}
            | {"ours": vars(mine), "staged": vars(other)}
        )
        shown = "-" if share is None else f"{share:.3f}"
        print(
            f"{size[0]:5d} {seed:4d}  {mine.words}    {other.words}    {shown:>8s}       {said}", flush=True
        )
    shares = [row["ratio"] for row in rows if row["ratio"] is not None]
    print(f"\n{wanted.count} days:", ", ".join(f"{sum(r['ours is'] == b for r in rows)} {b}" for b in BEATEN))
    if shares:
        middle, worst = statistics.median(shares), max(shares)
        print(f"minutes a split, ours to staged: median {middle:.3f}, worst {worst:.3f}")
    for row in rows:
        if row["ours is"] == "WORSE":
            print(f"staged is better at {row['yards']} yards, seed {row['seed']}")
    if wanted.json:
        wanted.json.write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
