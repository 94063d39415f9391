"""The rest of a day as a case: from where the truck stands, with what is aboard."""

from dataclasses import dataclass, replace

import numpy as np

from routeplan.colony.surplus import surplus_of
from routeplan.field.state import State
from routeplan.operation.world import Kit, Operation, Yard
from routeplan.plan import Kept, Split, Stop
from routeplan.planning.aboard import Aboard
from routeplan.planning.after import AfterCosts
from routeplan.planning.bought import as_made, bought_s
from routeplan.planning.case import Case, case_of, with_hours
from routeplan.planning.limits import Clock
from routeplan.planning.order import Order as Visits
from routeplan.planning.order import Visit
from routeplan.planning.reduced import Reduced
from routeplan.planning.rest_fills import as_aboard, with_fills
from routeplan.planning.work import Work

NO_QUEEN = "raise own"
"""A way to a queen that asks for nothing where a box is placed."""
QUARANTINE = "in quarantine with their yard; ask the inspector"


@dataclass(frozen=True)
class Back:
    """A visit at which splits go back to the yard they came from, and boxes that were only begun (`given`):
    their frames go back into their hives. `place_s` of placing them."""

    yard: str
    splits: tuple[str, ...]
    given: tuple[str, ...]
    place_s: int


@dataclass(frozen=True)
class Rest:
    """The rest's case and what stands before and after the visits it chooses: splits that go back, at once
    where the truck stands in their yard, else last. `plain`: the case without boxes of two yards, those begun
    as if they were complete; for guesses."""

    case: Case
    plain: Case
    reduced: Reduced
    now: tuple[Back, ...]
    last: tuple[Back, ...]
    start_yard: str | None
    start_s: int


def backs_of(state: State, kept: tuple[Kept, ...]) -> tuple[Back, ...]:
    """One visit for each yard that gets splits or boxes back."""
    work, operation = Work(state.operation), state.operation
    queens = {s.id: s.queen for s in state.splits}
    rows: dict[str, list[str]] = {}
    for one in kept:
        rows.setdefault(one.yard, []).append(one.split)
    return tuple(
        Back(
            yard,
            tuple(s for s in ids if s in queens),
            tuple(s for s in ids if s not in queens),
            sum(work.place_s(operation.yard(yard), queens.get(s, NO_QUEEN)) for s in ids),
        )
        for yard, ids in rows.items()
    )


def base_of(state: State, small: Reduced) -> Case:
    """The case of the rest's operation, but for where it begins and what is aboard.

    In a hurry: tables of what yards can make are coarse, and hives are weighed one by one instead.
    """
    aboard, asked = len(state.aboard) + len(state.begun), {o.id for o in small.operation.orders}
    begun = {s.order for s in state.begun} - asked  # whose queens may be wanted yet
    orders = (*small.operation.orders, *(o for o in state.operation.orders if o.id in begun))
    surplus = surplus_of(replace(small.operation, orders=orders))
    return case_of(small.operation, Clock(1.0, lambda: True), small.travel, aboard, surplus)


def rest_of(
    state: State,
    small: Reduced,
    base: Case,
    kept: tuple[Kept, ...],
    late_s: int = 0,
    may_stay: bool = False,
) -> Rest:
    """Gather the rest of the day.

    Parameters
    ----------
    base : the case of the rest's operation as if it began at home (`base_of`).
    kept : splits that go back to a yard they came from, and boxes begun that do.
    late_s : seconds that boxes aboard may be shut in beyond what the heat allows, where nothing else is left.
    may_stay : whether boxes aboard may be left unplaced, to see which can be placed.
    """
    backs = backs_of(state, kept)
    here = state.yard if state.in_yard else None
    now = tuple(b for b in backs if b.yard == here)
    last = _nearest_first(small, state.yard, [b for b in backs if b.yard != here])
    case = base
    start = 0 if state.yard is None else small.index(state.yard) + 1
    set_up_s = sum(case.placing)
    start_s = state.at_s + sum(set_up_s + b.place_s for b in now)
    travel, leg_extra = case.travel, case.leg_extra_s.copy()
    drive_s, drive_m, quick_s = travel.drive_s.copy(), travel.drive_m.copy(), travel.quick_s.copy()
    for matrix, stay in ((drive_s, True), (drive_m, False), (quick_s, True), (leg_extra, False)):
        home = matrix.copy()
        matrix[0, :] = home[start, :]
        if last:
            at = [small.index(b.yard) + 1 for b in last]
            tail = sum(int(home[a, b]) for a, b in zip(at, [*at[1:], 0], strict=True))
            tail += sum(set_up_s + b.place_s for b in last) if stay else 0
            matrix[:, 0] = home[:, at[0]] + tail
            matrix[0, 0] = home[start, at[0]] + tail
        else:
            matrix[0, 0] = home[start, 0]
    case = replace(
        case,
        travel=replace(travel, drive_s=drive_s, drive_m=drive_m, quick_s=quick_s),
        leg_extra_s=leg_extra,
        after=_sunk(case, state),
        aboard=_aboard(state, case, frozenset(k.split for k in kept), late_s),
        at_once=True,
        carried=sum(len(b.splits) + len(b.given) for b in last),
        may_stay=may_stay,
    )
    case = with_hours(case, start=start_s)
    gone = {k.split for k in kept}
    plain = replace(case, aboard=(*case.aboard, *as_aboard(state, case, gone)))
    return Rest(with_fills(state, case, gone, late_s), plain, small, now, last, state.yard, start_s)


def _nearest_first(small: Reduced, start: str | None, backs: list[Back]) -> tuple[Back, ...]:
    """The order of the last visits: each time the nearest."""
    order: list[Back] = []
    at = 0 if start is None else small.index(start) + 1
    while backs:
        nearest = min(backs, key=lambda b: (int(small.travel.quick_s[at, small.index(b.yard) + 1]), b.yard))
        order.append(nearest)
        backs = [b for b in backs if b is not nearest]
        at = small.index(nearest.yard) + 1
    return tuple(order)


def _sunk(case: Case, state: State) -> AfterCosts:
    """What yards cost by receiving, nothing for those that have received today: their trips come anyway."""
    had = {s.to_yard for s in state.splits if s.placed_at}
    fresh = np.array([y.id not in had for y in case.operation.yards], dtype=bool)
    after = case.after.with_ways({s.queen for s in (*state.aboard, *state.begun)})
    used = sum(bool(a) and not f for a, f in zip(after.alone, fresh, strict=True))
    return replace(
        after,
        trips=np.where(fresh, after.trips, 0),
        feeding=np.where(fresh, after.feeding, 0),
        robbing_s=np.where(fresh, after.robbing_s, 0),
        alone=after.alone & fresh,
        most_yards=max(0, after.most_yards - used),
    )


def _aboard(state: State, case: Case, kept: frozenset[str], late_s: int) -> tuple[Aboard, ...]:
    """Boxes aboard in groups of alike ones."""
    groups: dict[tuple[Kit, str | None, int, tuple[str, ...], str, str, str], list[Split]] = {}
    orders = {o.id: o for o in state.operation.orders}
    for split in state.aboard:
        if split.id not in kept:
            parents = _parents(state, split)
            takes = (t for stop in state.stops for t in stop.takes if t.split == split.id)
            kit = as_made(case.operation.kit(split.kit), takes)
            key = (
                kit,
                orders[split.order].to_yard,
                parents[0].depart,
                tuple(stop.yard for stop in parents),
                split.queen,
                split.swap,
                split.frame,
            )
            groups.setdefault(key, []).append(split)
    return tuple(
        _group(case.operation, case, key[0], splits, key[1], key[2] + late_s, key[3])
        for key, splits in groups.items()
    )


def _parents(state: State, split: Split) -> list[Stop]:
    """The visits whose bees are in a split, in order."""
    found = [s for s in state.stops if any(t.split == split.id and t.bees for t in s.takes)]
    return found or [state.stops[split.made_at - 1]]


def _group(
    operation: Operation,
    case: Case,
    kit: Kit,
    splits: list[Split],
    to: str | None,
    left_s: int,
    parents: tuple[str, ...],
) -> Aboard:
    work, yards, one = Work(operation), operation.yards, splits[0]
    sources = [i for i, y in enumerate(yards) if y.id in parents]
    may = np.array([to in (None, y.id) for y in yards], dtype=bool)
    against = round(60 * operation.settings.swaps.minutes) if one.swap else 0

    def bought(yard: Yard) -> int:
        whole = operation.breaks_up(one.order)
        return bought_s(operation, kit, one.queen, one.frame, one.swap, yard, whole)

    return Aboard(
        ids=tuple(s.id for s in splits),
        left_s=left_s,
        reach=np.asarray(case.travel.far[sources].all(axis=0) & may),
        place_s=np.array([work.place_s(y, one.queen) for y in yards], dtype=np.int64),
        extra_s=np.array([against + bought(y) for y in yards], dtype=np.int64),
        queen=one.queen,
    )


def as_before(state: State, rest: Rest) -> Visits:
    """The visits of the plan that are left, without those that cannot be."""
    case = rest.case
    index = {y.id: i for i, y in enumerate(case.operation.yards)}
    unmade = {*state.rest, *(s.id for s in state.begun)}
    left = []
    for i, stop in enumerate(state.plan.stops):
        done = i in state.done_of
        if i + 1 in state.skipped or (done and i != state.done_of[-1]):
            continue
        makes = any(s in unmade for s in (*stop.makes, *(s for s in stop.begins if s in state.rest)))
        aboard = {s.id for s in state.aboard}
        places = any(s in unmade or s in aboard for s in stop.places)
        y = index[stop.yard]
        opens, takes = makes and bool(case.donors[y]), places and bool(case.room[y])
        if done and not (makes or (places and any(s in aboard for s in stop.places))):
            continue
        if opens or takes:
            left.append(Visit(y, opens))
    return tuple(v for n, v in enumerate(left) if not n or left[n - 1].yard != v.yard)
