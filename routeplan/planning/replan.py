"""The rest of a day planned again: what is done stands, what is aboard is placed, little else changes."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from routeplan.field.state import State
from routeplan.plan import Kept, Plan
from routeplan.planning.case import Case
from routeplan.planning.differences import differences
from routeplan.planning.limits import Clock
from routeplan.planning.near_travel import near_travel
from routeplan.planning.order import Round
from routeplan.planning.patched import Planned
from routeplan.planning.reduced import Reduced, reduced
from routeplan.planning.rest import QUARANTINE, Rest, as_before, base_of, rest_of
from routeplan.planning.rest_bound import rest_bound_s
from routeplan.planning.rest_figures import Bound
from routeplan.planning.rest_fills import filling, hopeless, planned_sides
from routeplan.planning.rest_search import Before, best_rest, moves_of
from routeplan.planning.travel import Ints, Travel
from routeplan.planning.whole import Whole

LATE_S, MOST_LATE_S = (0, 1800, 7200), 10**6
"""Seconds that boxes aboard may be shut in too long, tried one after the other until there is a way."""
NOT_FILLED = "it cannot be completed today; its frames go back into the hives they came from"
NO_YARD = (
    "no yard far enough can take it any more today; flying bees go back to the parent, so move it on soon"
)


def plan_again(state: State, seconds: float = 3.0) -> Plan:
    """Plan the rest of a day.

    Parameters
    ----------
    state : where the day stands.
    seconds : time limit for looking for better orders; one order is always weighed.

    Returns
    -------
    The plan of the whole day: visits done first, as they were. No split already made is left out.
    """
    travel = near_travel(state.operation)
    small = reduced(state, travel)
    base = base_of(state, small)
    clock = Clock(seconds)
    kept: tuple[Kept, ...] = ()
    for kept, late_s in _concessions(state, small, base, clock):
        rest = rest_of(state, small, base, kept, late_s)
        found = _found(state, rest, clock)
        if found is not None:
            return _told(state, rest, found, kept, travel)
    return _told(state, rest, None, kept, travel)


def _concessions(
    state: State, small: Reduced, base: Case, clock: Clock
) -> Iterator[tuple[tuple[Kept, ...], int]]:
    """Yield what goes back and how much too long boxes may be shut in, the least first: boxes begun that can
    be completed nowhere are given back before any is shut in too long, complete ones go back after that."""
    kept = tuple(Kept(split, yard, QUARANTINE) for split, yard in state.quarantined.items())
    gone = {k.split for k in kept}
    kept += tuple(
        Kept(split, yard, why) for split, (yard, why) in state.returning.items() if split not in gone
    )
    begun = {s.id: Kept(s.id, s.begun_yard, NOT_FILLED) for s in state.begun if s.id not in gone}
    kept += tuple(begun.pop(split) for split in hopeless(state) if split in begun)
    yield kept, LATE_S[0]
    if begun:
        filled = _filled(state, small, base, kept, clock)
        kept += tuple(one for split, one in begun.items() if split not in filled)
        yield kept, LATE_S[0]
    for late_s in LATE_S[1:]:
        yield kept, late_s
    gone = {k.split for k in kept}
    kept += tuple(one for split, one in begun.items() if split not in gone)
    for staying in (_staying(state, small, base, kept, clock), _all_staying(state)):
        for late_s in (*LATE_S, MOST_LATE_S):
            yield (*kept, *staying), late_s


def _filled(state: State, small: Reduced, base: Case, kept: tuple[Kept, ...], clock: Clock) -> set[str]:
    """The boxes begun that some visits can complete and place: none where no visits were found."""
    rest = rest_of(state, small, base, kept, LATE_S[0], may_stay=True)
    found = _found(state, rest, clock)
    fills = [fill for fill in rest.case.fills if fill.first is None]
    return {fill.split for fill in fills if found is not None and fill.way(found.counts.made)}


def as_it_was(state: State) -> Plan:
    """Return the plan of a day as it was, nothing planned any more; what was not made is listed so."""
    small = reduced(state, near_travel(state.operation))
    rest = rest_of(state, small, base_of(state, small), ())
    plan = Whole(state, rest, None, ()).plan(Bound(0, 0))
    assert plan.done is not None
    return replace(plan, done=replace(plan.done, changed=differences(state, plan)))


def _all_staying(state: State) -> tuple[Kept, ...]:
    left = [s for s in state.aboard if s.id not in state.quarantined]
    return tuple(Kept(s.id, s.from_yard, NO_YARD) for s in left)


def _staying(
    state: State, small: Reduced, base: Case, kept: tuple[Kept, ...], clock: Clock
) -> tuple[Kept, ...]:
    """The boxes aboard that no visits can place: all, where none were found that place any."""
    rest = rest_of(state, small, base, kept, LATE_S[-1], may_stay=True)
    found = _found(state, rest, clock)
    placed = Counter[int]()
    for g, _, n in found.counts.brought if found else ():
        placed[g] += n
    source = {s.id: s.from_yard for s in state.aboard}
    stay = [split for g, group in enumerate(rest.case.aboard) for split in group.ids[placed[g] :]]
    return tuple(Kept(split, source[split], NO_YARD) for split in stay)


def _found(state: State, rest: Rest, clock: Clock) -> Round | None:
    planned = {s.id: s for s in state.plan.splits}
    known = {y.id for y in rest.case.operation.yards}
    of_two = {fill.split for fill in rest.case.fills}
    wanted = [
        (filling(s) if s in of_two else planned[s].order, planned[s].from_yard, planned[s].to_yard)
        for s in (*state.rest, *(s.id for s in state.begun))
    ]
    aboard = [(s.id, planned[s.id].to_yard) for s in state.aboard]
    moves, brought = moves_of(rest, [w for w in wanted if {w[1], w[2]} <= known], aboard)
    return best_rest(rest, Before(as_before(state, rest), moves, brought, _planned(state)), clock)


def _planned(state: State) -> tuple[Planned, ...]:
    """The boxes still to make as the plan fills them."""
    splits = {s.id: s for s in state.plan.splits}
    rows = []
    for split in state.rest:
        takes = [(s.yard, t) for s in state.plan.stops for t in s.takes if t.split == split]
        if len({yard for yard, _ in takes}) == 1:
            one = splits[split]
            given = tuple((t.hive, t.kind, t.frames) for _, t in takes)
            rows.append(Planned(one.order, takes[0][0], one.frame, one.swap, given))
    return (*rows, *planned_sides(state))


def _told(state: State, rest: Rest, found: Round | None, kept: tuple[Kept, ...], travel: Travel) -> Plan:
    whole = Whole(state, rest, found, kept)
    plan = whole.plan(_bound(state, rest, found, travel))
    assert plan.done is not None
    return replace(plan, done=replace(plan.done, changed=differences(state, plan)))


def _bound(state: State, rest: Rest, found: Round | None, travel: Travel) -> Bound:
    """What the rest counts, and what no rest with as many splits counts less than."""
    if found is None:
        return Bound(0, 0)
    demand, counts = rest.case.demand, found.counts
    made = sum(n for row in counts.made for k, n in enumerate(row) if not demand.of(k).apart)
    made += sum(1 for f in rest.case.fills if f.first is not None and f.way(counts.made))
    near = any(fill.near for fill in rest.case.fills)
    index = {y.id: i for i, y in enumerate(state.operation.yards)}
    start = 0 if state.yard is None else index[state.yard] + 1
    least = rest_bound_s(state, travel, start, _home(rest, travel, index), rest.plain, made, near)
    return Bound(found.counted_s, min(found.counted_s, least))


def _home(rest: Rest, travel: Travel, index: dict[str, int]) -> Ints:
    """Least seconds home from every place, splits that go back brought on the way."""
    if not rest.last:
        return travel.drive_s[:, 0].copy()
    at = [index[b.yard] + 1 for b in rest.last]
    stay = sum(sum(rest.case.placing) + b.place_s for b in rest.last)
    least = travel.drive_s[:, at].min(axis=1) + stay + int(travel.drive_s[at, 0].min())
    return np.asarray(least)
