"""What no rest of a day counts less than: a table over all yards, hive work at the very least it can take."""

from collections import Counter

import numpy as np

from routeplan.colony.follow_ups import trips_to_look
from routeplan.field.state import State
from routeplan.operation.world import QUEEN_WAYS, Operation, Yard
from routeplan.planning.case import Case, usable
from routeplan.planning.remaining import INF, Ground, Ints, remaining
from routeplan.planning.travel import Travel, road_worth_s
from routeplan.planning.work import Work


def rest_bound_s(
    state: State, travel: Travel, start: int, tail_s: Ints, case: Case, made: int, near: bool = False
) -> int:
    """Return a lower limit of the counted seconds of any rest that makes so many splits and places all.

    Parameters
    ----------
    travel : of the whole operation; `start` the place the truck stands at, 0 = home.
    tail_s : (1 + yards,) least seconds from each place home, splits that go back brought.
    case : the rest's case: what is aboard, boxes begun among it, and what is still to make.
    near : whether a split may stand near the yard where it is completed (its frames from there have no bees).
    """
    operation = state.operation
    yards, demand, total = operation.yards, case.demand, case.total - case.size + made
    if not total:
        return int(tail_s[start])
    drive = travel.drive_s + np.rint(road_worth_s(operation.settings) * travel.drive_m).astype(np.int64)
    drive = drive.copy()
    drive[0, :] = drive[start, :]
    drive[:, 0] = tail_s
    drive[0, 0] = tail_s[start]
    can = np.array([usable(y, operation.day) for y in yards], dtype=bool)
    had = Counter(s.to_yard for s in state.splits if s.placed_at)
    room = np.array([_room(y, had[y.id], total) if ok else 0 for y, ok in zip(yards, can, strict=True)])
    ground = Ground(
        drive=drive,
        least=_least(operation, case, can, total, made),
        room=room.astype(np.int64),
        carry=np.zeros(len(yards), dtype=np.int64),
        receive=_receive(state, travel, set(had), total),
        cell=np.zeros(len(yards), dtype=np.int64),
        far=np.ones_like(travel.far) if near else travel.far,
        due_from=np.zeros(len(yards), dtype=np.int64),
        due_to=np.zeros(len(yards), dtype=np.int64),
        opening=sum(case.opening),
        placing=sum(case.placing),
    )
    table = remaining(ground)
    place = [int(g.place_s.min()) + int(g.extra_s.min()) for g in case.aboard for _ in g.ids]
    assert demand.size >= made
    return int(table.leave[0, 0, made, total]) + sum(place)


def _room(yard: Yard, had: int, total: int) -> int:
    """Splits a yard can still take."""
    left = total if yard.room is None else yard.room - had
    return max(0, min(left, total)) if yard.takes_splits else 0


def _receive(state: State, travel: Travel, had: set[str], total: int) -> Ints:
    """Least counted seconds of receiving r splits: trips in the weeks after, and few standing alone.

    Nothing for yards that have received today: they are gone to anyway.
    """
    operation, later, work = state.operation, state.operation.settings.later, Work(state.operation)
    trip_s = travel.drive_s[0, 1:] + travel.drive_s[1:, 0] + work.set_up_s(False) + work.leave_s(False)
    trip_s = trip_s + np.floor(
        road_worth_s(operation.settings) * (travel.drive_m[0, 1:] + travel.drive_m[1:, 0])
    ).astype(np.int64)
    fresh = np.array([not y.looked_after and y.id not in had for y in operation.yards], dtype=bool)
    hungry = np.array([not y.has_flow(operation.day, operation.settings.dearth) for y in operation.yards])
    looks = min(trips_to_look((way,)) for way in QUEEN_WAYS) if later.trips_by_queen else later.trips
    trips = looks + np.where(hungry, later.feeding_trips, 0)
    r = np.arange(total + 1)[None, :]
    few = round(60 * later.few_min) * np.maximum(0, later.few_splits - r)
    counted = np.where(fresh, trips * trip_s, 0)[:, None] + np.where(fresh[:, None], few, 0)
    return np.where(r > 0, counted, 0).astype(np.int64)


def _least(operation: Operation, case: Case, can: Ints, total: int, made: int) -> Ints:
    """Least seconds to make and place q splits at a yard: the splits alone, and hives opened, as few and as
    quickly as any; hives that are due cost nothing."""
    work, demand, limits = Work(operation), case.demand, operation.settings.limits
    lines = range(len(demand.lines))
    make_s = min((work.make_s(y) for y in operation.yards), default=0)
    each = min((_fill_s(case, work, k) for k in lines), default=0) + make_s
    each += min((int(n) for n in case.base_place_s), default=0)
    frames = min((sum(demand.contents(k)[:3]) for k in lines), default=0)
    most = max(1, limits.brood_per_donor, limits.brood_per_strong_donor)
    free = any(h.due for h in operation.hives) or any(y.due for y in operation.yards)
    parted = any(batch.hive for batch in demand.batches)
    opening = (min(work.open_s(h), work.top_s()) for h in operation.hives)
    twice = operation.settings.excluder.allowed
    open_s = 0 if free or parted or twice else min(opening, default=0)
    q = np.arange(total + 1)
    row = np.where(q <= made, q * max(0, each) + np.ceil(q * frames / most).astype(np.int64) * open_s, INF)
    gives = np.zeros(len(operation.yards), dtype=bool)
    index = {y.id: i for i, y in enumerate(operation.yards)}
    for hive in operation.hives:
        gives[index[hive.yard]] |= hive.may_give
    least = np.where((can & gives)[:, None], row[None, :], INF).astype(np.int64)
    least[:, 0] = 0
    return least


def _fill_s(case: Case, work: Work, line: int) -> int:
    """Seconds of filling one box, the queen found first where that is quicker."""
    contents = case.demand.contents(line)
    frames, shakes = sum(contents[:4]), contents[4]
    return min(int(case.fill_s[line]), frames * work.frame_s(True) + shakes * work.shake_s(True))
