"""The benchmark of the rest of a day: surprises of ten kinds at 100 yards and 4,000 hives, planned again.

    python tests/bench/surprises.py [--seeds 1,2,3] [--practice] [--pooling] [--plans FOLDER] [--json FILE]

Each day is planned once (kept in FOLDER as plan.json where one is named) and then meets each surprise on its
own, at a visit drawn by the seed. Seconds are from operation, plan and notes in memory to an audited plan, of
the processor (the machine may be busy) and of the wall; the audit is timed with it. No split already made may
be lost and no rule broken: else the last line says so and the exit code is 1. With --pooling most yards lack
food or brood, so that boxes are of two yards, and a box begun may not be completed where it was planned. Such
days are planned of the yards nearest home, and planned again of all.
"""

import argparse
import json
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from random import Random
from statistics import median

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from routeplan.audit import audited  # noqa: E402
from routeplan.audit.replan import lost  # noqa: E402
from routeplan.field.entries import Entry, Found  # noqa: E402
from routeplan.field.log import log_of  # noqa: E402
from routeplan.field.notes import Notes  # noqa: E402
from routeplan.field.state import state_of  # noqa: E402
from routeplan.operation.world import Operation  # noqa: E402
from routeplan.plan import Plan, box_numbers, from_json, to_json  # noqa: E402
from routeplan.planning.avoid import as_asked, without_yards  # noqa: E402
from routeplan.planning.replan import plan_again  # noqa: E402
from routeplan.planning.solve import plan_day  # noqa: E402
from routeplan.planning.travel import flying_m  # noqa: E402
from tests.practice import practice_operation  # noqa: E402
from tests.seeded import bench_operation  # noqa: E402
from tests.seeded_pooled import halved_operation  # noqa: E402

SIZE = (100, 4000, 25)
PLAN_S, AGAIN_S = {False: 60, True: 300}, 1.0
NEAR = 10
Row = dict[str, object]
HEADS = ("seed", "surprise", "done", "before", "after", "aside", "two", "gap", "cpu_s", "wall_s", "fault")
"""`aside`: exceptions; `two`: boxes begun when it is planned again / boxes of two yards then."""
WIDTHS = (4, 26, 4, 6, 5, 5, 5, 7, 6, 6, 30)


@dataclass(frozen=True)
class Surprise:
    """What is written down: entries in order, and the time now where it is not that of the last."""

    entries: tuple[Entry, ...]
    at_s: int | None = None


def _left(plan: Plan, stop: int, late_min: int = 0) -> Entry:
    at = (plan.stops[stop].depart + 59) // 60 + late_min
    return Entry("left", at, stop + 1, place="bench")


def _arrived(plan: Plan, stop: int) -> Entry:
    return Entry("arrived", (plan.stops[stop].arrive + 59) // 60, stop + 1, place="bench")


def _at_donors(rng: Random, plan: Plan, found: Found) -> Surprise:
    """A donor is not what it was: seen on arriving at a visit where hives are opened."""
    stop = rng.choice([i for i, s in enumerate(plan.stops) if s.opens])
    hive = rng.choice(plan.stops[stop].opens)
    here = _arrived(plan, stop)
    return Surprise((here, Entry("found", here.at_min, stop + 1, hive=hive, found=found, place="bench")))


def _weak(rng: Random, plan: Plan) -> Surprise:
    return _at_donors(rng, plan, Found(capped=1.0, open=1.0, food=1.0, bees=5.0))


def _queenless(rng: Random, plan: Plan) -> Surprise:
    return _at_donors(rng, plan, Found(queen="gone"))


def _cells(rng: Random, plan: Plan) -> Surprise:
    return _at_donors(rng, plan, Found(queen_cells=3))


def _suspect(rng: Random, plan: Plan) -> Surprise:
    """Seen in the last hive of a visit: its boxes are made already."""
    stop = rng.choice([i for i, s in enumerate(plan.stops) if s.makes])
    left, hive = _left(plan, stop), plan.stops[stop].opens[-1]
    found = Entry("found", left.at_min, stop + 1, hive=hive, found=Found(health="suspected"), place="bench")
    return Surprise((left, found))


def _locked(plan: Plan, stop: int) -> Surprise:
    before = (_left(plan, stop - 1),) if stop else ()
    return Surprise((*before, Entry("could_not", None, stop + 1, reason="gate locked", place="bench")))


def _no_way_to_place(rng: Random, plan: Plan) -> Surprise:
    return _locked(plan, rng.choice([i for i, s in enumerate(plan.stops) if s.places]))


def _no_way_to_give(rng: Random, plan: Plan) -> Surprise:
    return _locked(plan, rng.choice([i for i, s in enumerate(plan.stops) if s.makes]))


def _flat_tyre(rng: Random, plan: Plan) -> Surprise:
    stop = rng.randrange(len(plan.stops) - 1)
    return Surprise((_left(plan, stop),), plan.stops[stop].depart + 75 * 60)


def _slow(rng: Random, plan: Plan) -> Surprise:
    return Surprise((_left(plan, rng.randrange(len(plan.stops) - 1), 60),))


def _given_up(rng: Random, plan: Plan) -> Surprise:
    stop = rng.choice([i for i, s in enumerate(plan.stops) if s.makes])
    box = box_numbers(plan)[rng.choice(plan.stops[stop].makes)]
    gone = Entry("could_not", None, stop + 1, box=box, reason="dropped", place="bench")
    return Surprise((_arrived(plan, stop), gone, _left(plan, stop)))


def _too_little_room(rng: Random, plan: Plan) -> Surprise:
    """Of the boxes meant for a yard two find a place."""
    stop = rng.choice([i for i, s in enumerate(plan.stops) if len(s.places) > 2 and not s.makes])
    numbers = box_numbers(plan)
    placed = [
        Entry("split_placed", None, stop + 1, box=numbers[s], place="bench") for s in plan.stops[stop].places
    ]
    shut = Entry("could_not", None, stop + 1, reason="no stands left", place="bench")
    return Surprise((_arrived(plan, stop), *placed[:2], _left(plan, stop), shut))


def _not_completed(rng: Random, plan: Plan) -> Surprise:
    """A box begun before cannot be completed at its stop."""
    split = rng.choice([s for s in plan.splits if s.begun_at])
    box, stop = box_numbers(plan)[split.id], split.made_at - 1
    gone = Entry("could_not", None, stop + 1, box=box, reason="no eggs", place="bench")
    return Surprise((_arrived(plan, stop), gone, _left(plan, stop)))


KINDS: dict[str, Callable[[Random, Plan], Surprise]] = {
    "weak donor": _weak,
    "queenless donor": _queenless,
    "queen cells": _cells,
    "hive under suspicion": _suspect,
    "no way to a new yard": _no_way_to_place,
    "no way to a giving yard": _no_way_to_give,
    "flat tyre": _flat_tyre,
    "an hour slower": _slow,
    "box given up": _given_up,
    "too few stands": _too_little_room,
}
POOLED: dict[str, Callable[[Random, Plan], Surprise]] = {**KINDS, "box not completed": _not_completed}
"""Kinds of surprises where boxes are of two yards."""


def meet(operation: Operation, plan: Plan, surprise: Surprise) -> Row:
    """Plan again and judge."""
    cpu, wall = time.process_time(), time.monotonic()
    log, faults = log_of(operation, plan, [Notes(surprise.entries)])
    state = None
    if log is not None:
        state, faults = state_of(operation, plan, log, None, surprise.at_s)
    if state is None:
        return {"fault": faults[0].sentence()}
    new = plan_again(state, AGAIN_S)
    violations, _ = audited(state.operation, new)
    spent = {"cpu_s": round(time.process_time() - cpu, 2), "wall_s": round(time.monotonic() - wall, 2)}
    assert new.done is not None
    made = {s.id for s in (*state.splits, *state.begun)}
    there = {s.id for s in new.splits} | {k.split for k in new.done.kept}
    fault = f"lost {', '.join(sorted(made - there))}" if made - there else ""
    violations += lost(new, surprise.entries, plan)
    fault = fault or (violations[0].sentence() if violations else "")
    aside = len(new.done.kept) + len(new.done.late)
    row: Row = {
        "done": len(state.stops),
        "before": len(plan.splits),
        "after": len(new.splits),
        "aside": aside,
        "two": f"{len(state.begun)}/{sum(s.begun_at > 0 for s in new.splits)}",
    }
    return row | {"gap": round(new.proof.gap, 4), **spent, "fault": fault}


def _far_yards(operation: Operation) -> tuple[str, ...]:
    """All yards but the NEAR nearest home."""
    home = operation.crew.home
    ranked = sorted(operation.yards, key=lambda y: (flying_m(y.place, home), y.id))
    return tuple(y.id for y in ranked[NEAR:])


def planned(seed: int, practice: bool, pooling: bool, folder: Path | None) -> tuple[Operation, Plan]:
    """The day of a seed and its plan, from the folder where it lies there."""
    operation = (practice_operation if practice else bench_operation)(*SIZE, seed)
    operation = halved_operation(operation, seed) if pooling else operation
    name = f"{'practice' if practice else 'bench'}{'-pooling' if pooling else ''}-{seed}.json"
    path = folder / name if folder else None
    if path is not None and path.exists():
        return operation, from_json(path.read_text(encoding="utf-8"))
    far = _far_yards(operation) if pooling else ()
    plan = as_asked(operation, plan_day(without_yards(operation, far), PLAN_S[practice]), far)
    if path is not None:
        path.write_text(to_json(plan), encoding="utf-8")
    return operation, plan


def line(cells: list[object]) -> str:
    """One line of the printed table."""
    texts = ["-" if c is None else str(c) for c in cells]
    return " ".join(t.ljust(w) for t, w in zip(texts, WIDTHS, strict=True)).rstrip()


def main() -> None:
    """Read the command line, run, print the table and write the JSON."""
    parser = argparse.ArgumentParser(description="Benchmark of planning the rest of a day again.")
    parser.add_argument("--seeds", default="1,2,3", help="seeds of the days")
    parser.add_argument("--practice", action="store_true", help="practical days instead of the plain ones")
    parser.add_argument("--pooling", action="store_true", help="days where boxes are of two yards")
    parser.add_argument("--plans", type=Path, help="folder in which plans are kept")
    parser.add_argument("--json", type=Path, help="file for the rows")
    wanted = parser.parse_args()
    rows: list[Row] = []
    print(line(list(HEADS)), flush=True)
    for seed in [int(s) for s in wanted.seeds.split(",")]:
        operation, plan = planned(seed, wanted.practice, wanted.pooling, wanted.plans)
        for kind, of in (POOLED if wanted.pooling else KINDS).items():
            row = {"seed": seed, "surprise": kind} | meet(operation, plan, of(Random(f"{seed}/{kind}"), plan))
            rows.append(row)
            print(line([row.get(head) for head in HEADS]), flush=True)
    seconds = [float(str(row["cpu_s"])) for row in rows if "cpu_s" in row]
    bad = [row for row in rows if row["fault"]]
    print(
        f"{len(rows)} surprises, {len(bad)} faults; processor seconds median {median(seconds):.2f}, "
        f"most {max(seconds):.2f}"
    )
    if wanted.json:
        wanted.json.write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
