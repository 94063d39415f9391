"""A round in the plainest words, as the simple planners of the benchmark make it, and its judge.

The judge is not the project's audit: it is a small check built on the meanings and the clock of tests/oracle,
which also gives each round its least paid time, so that no simple planner loses minutes by clumsy waiting.
"""

from dataclasses import dataclass

from ortools.sat.python import cp_model

from routeplan.operation.world import Hive, Operation
from tests.oracle import meanings
from tests.oracle.enumerate import Search
from tests.oracle.meanings import Box, Give

Kit = dict[tuple[str, str], Give]
"""What each donor gives to one split, by hive key."""


@dataclass(frozen=True)
class Made:
    """One split: the visits (from 0) it is made and placed at, and its donors."""

    made_at: int
    placed_at: int
    kit: Kit


@dataclass(frozen=True)
class Round:
    """Yards in the order of the visits, and the splits."""

    yards: tuple[str, ...]
    splits: tuple[Made, ...]


class RoundFaultError(ValueError):
    """The round breaks a rule; the message says which."""


def paid_s(operation: Operation, made: Round) -> int:
    """Return the least paid seconds of a round of one order. Raises RoundFaultError if it breaks a rule."""
    search = Search(operation)
    box = meanings.boxes(operation)[0]
    walk = [operation.yard(y) for y in made.yards]
    trips = tuple((s.made_at, s.placed_at) for s in made.splits)
    if any(i >= j or not search._may(walk, box, (i, j)) for i, j in trips):
        raise RoundFaultError("made before placed, and far enough away")
    if not search._room(walk, trips) or not search._fits_truck(len(walk), trips):
        raise RoundFaultError("room in the yards and on the truck")
    _check_frames(operation, search, walk, made, box)
    opened = {
        v: sum(meanings.open_s(operation, h) for h in _opened(operation, made, v)) for v in range(len(walk))
    }
    lengths = search._lengths(walk, [box] * len(trips), trips, opened)
    paid = search._clock(walk, trips, lengths)
    if paid is None:
        raise RoundFaultError("hours of the day and of the hives, time shut in")
    return paid


def _opened(operation: Operation, made: Round, visit: int) -> list[Hive]:
    keys = {key for s in made.splits if s.made_at == visit for key in s.kit}
    return [h for h in operation.hives if h.key in keys]


def _check_frames(operation: Operation, search: Search, walk: list, made: Round, box: Box) -> None:  # type: ignore[type-arg]
    gone: dict[tuple[str, str], list[int]] = {}
    for split in made.splits:
        if len(split.kit) > operation.settings.limits.donors_per_split:
            raise RoundFaultError("donors of a split")
        if tuple(map(sum, zip(*split.kit.values(), strict=True))) != box.needs:
            raise RoundFaultError("the kit is met")
        for key, give in split.kit.items():
            if key[0] != walk[split.made_at].id:
                raise RoundFaultError("donors stand where the split is made")
            gone[key] = [a + b for a, b in zip(gone.get(key, [0] * 4), give, strict=True)]
    if any(tuple(total) not in search.gives[key] for key, total in gone.items()):
        raise RoundFaultError("what a hive may give")


def fill(
    operation: Operation, hives: list[Hive], kits: int, box: Box, seconds: float = 5.0
) -> list[Kit] | None:
    """Take the frames of so many kits out of these hives, opening for the least time; None: not found."""
    model = cp_model.CpModel()
    options = [sorted(meanings.gives(operation, h)) for h in hives]
    takes = {
        (b, h, k): model.new_int_var(0, need, f"{b} {h} {k}")
        for b in range(kits)
        for h in range(len(hives))
        for k, need in enumerate(box.needs)
    }
    opens = [model.new_bool_var(f"opens {h}") for h in range(len(hives))]
    for h, table in enumerate(options):
        totals = [model.new_int_var(0, max(g[k] for g in table), "") for k in range(4)]
        for k in range(4):
            model.add(totals[k] == sum(takes[b, h, k] for b in range(kits)))
        model.add_allowed_assignments(totals, table)
    for b in range(kits):
        donors = [model.new_bool_var(f"{b} {h}") for h in range(len(hives))]
        for k, need in enumerate(box.needs):
            model.add(sum(takes[b, h, k] for h in range(len(hives))) == need)
            for h in range(len(hives)):
                model.add(takes[b, h, k] <= need * donors[h])
        for donor, opened in zip(donors, opens, strict=True):
            model.add_implication(donor, opened)
        model.add(sum(donors) <= operation.settings.limits.donors_per_split)
    model.minimize(sum(meanings.open_s(operation, h) * x for h, x in zip(hives, opens, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 8
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    made = []
    for b in range(kits):
        given = {h.key: tuple(solver.value(takes[b, i, k]) for k in range(4)) for i, h in enumerate(hives)}
        made.append({key: give for key, give in given.items() if any(give)})
    return made  # type: ignore[return-value]
