"""The boxes of two yards of a day that is planned again, as lines of the rest's case.

One that is begun may be completed at any yard the rules allow. One that the plan had and that is not begun
may be made so again, its kit shared between the same two yards as before; or the split is made of one yard.
"""

from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from routeplan.field.state import State
from routeplan.operation.world import Kit
from routeplan.plan import Split, Take
from routeplan.planning.aboard import Aboard
from routeplan.planning.bought import bought_s
from routeplan.planning.case import Case
from routeplan.planning.demand import EGGS_WAYS, KINDS, Batch, Demand, Line
from routeplan.planning.parts import bare_brood_s
from routeplan.planning.patched import Planned
from routeplan.planning.route import BEGUN, MADE
from routeplan.planning.to_fill import ToFill
from routeplan.planning.work import Work

BROOD = ("capped", "open", "eggs", "mixed")
Need = tuple[int, ...]


@dataclass(frozen=True)
class _Box:
    """What is known of one box: its takes so far and as planned by side, and the yards that had it."""

    split: Split
    got: tuple[Take, ...]
    planned_begun: tuple[Take, ...]
    planned_made: tuple[Take, ...]
    begun_yard: str
    left_s: int | None

    @property
    def first(self) -> tuple[Take, ...]:
        """What the yard that begins it gives, or has given."""
        return self.planned_begun if self.left_s is None else self.got

    @property
    def need(self) -> Need:
        """What is missing of its kit once it is begun."""
        whole = _need((*self.planned_begun, *self.planned_made), self.split.queen)
        first = _need(self.first, self.split.queen)
        return tuple(max(0, n - m) for n, m in zip(whole, first, strict=True))

    @property
    def bare(self) -> str:
        """The side without bees; the one that completes it only where it gives what was planned."""
        if self.first and not any(t.bees for t in self.first):
            return BEGUN
        as_planned = self.need == _need(self.planned_made, self.split.queen)
        bare = bool(self.planned_made) and not any(t.bees for t in self.planned_made)
        return MADE if bare and as_planned else ""


def beginning(split: str) -> str:
    """The name, among orders, of what begins a box; what completes it goes by the split's own (`filling`)."""
    return f"\0begins {split}"


def filling(split: str) -> str:
    """The name, among orders, of what completes a box."""
    return f"\0fills {split}"


def with_fills(state: State, case: Case, back: Collection[str], late_s: int) -> Case:
    """Return the rest's case with its boxes of two yards; those that go back are left out.

    late_s : seconds that boxes begun may be shut in too long.
    """
    boxes = [b for b in _begun(state) if b.split.id not in back and _may_be_filled(state, b)]
    boxes += _planned(state, case)
    adding = _Adding(state, case, late_s)
    for box in boxes:
        adding.add(box)
    return adding.case()


def hopeless(state: State) -> tuple[str, ...]:
    """Boxes begun that no yard can complete, whatever the day: too full, of too many hives, or meant to be of
    one yard."""
    return tuple(b.split.id for b in _begun(state) if not _may_be_filled(state, b))


def as_aboard(state: State, case: Case, back: Collection[str]) -> tuple[Aboard, ...]:
    """Boxes begun, for guesses: as if they were complete."""
    adding = _Adding(state, case, 0)
    return tuple(
        adding.guessed(b) for b in _begun(state) if b.split.id not in back and _may_be_filled(state, b)
    )


def planned_sides(state: State) -> tuple[Planned, ...]:
    """What is still to be filled of boxes of two yards, as the plan fills it."""
    rows = []
    for box in (*_begun(state), *_unbegun(state)):
        split = box.split
        if box.planned_made:
            rows.append(
                _side(filling(split.id), _yard_of(state, split.id, box.planned_made), split, box.planned_made)
            )
        if box.left_s is None:
            rows.append(_side(beginning(split.id), box.begun_yard, split, box.planned_begun))
    return tuple(rows)


def _side(name: str, yard: str, split: Split, takes: tuple[Take, ...]) -> Planned:
    return Planned(name, yard, split.frame, split.swap, tuple((t.hive, t.kind, t.frames) for t in takes))


def _yard_of(state: State, split: str, takes: tuple[Take, ...]) -> str:
    return next(s.yard for s in state.plan.stops if takes[0] in s.takes and takes[0].split == split)


def _need(takes: Iterable[Take], queen: str) -> Need:
    """Takes by kind; a mixed frame counts as the kind it stands for."""
    stands_for = {"mixed": "eggs" if queen in EGGS_WAYS else "open"}
    counts = Counter[str]()
    for take in takes:
        counts[stands_for.get(take.kind, take.kind)] += take.frames
    return tuple(counts[kind] for kind in KINDS)


def _begun(state: State) -> list[_Box]:
    """Boxes aboard with part of their frames."""
    boxes = []
    for split in state.begun:
        stop = state.stops[split.begun_at - 1]
        got = tuple(t for t in stop.takes if t.split == split.id)
        planned = [(s.yard, t) for s in state.plan.stops for t in s.takes if t.split == split.id]
        there = tuple(t for yard, t in planned if yard == stop.yard)
        then = tuple(t for yard, t in planned if yard != stop.yard)
        boxes.append(_Box(split, got, there, then, stop.yard, stop.depart))
    return boxes


def _unbegun(state: State) -> list[_Box]:
    """Boxes that the plan had begin in one yard and be completed in another, of which nothing is done."""
    boxes, rest = [], set(state.rest)
    for split in state.plan.splits:
        if split.id in rest and split.begun_at:
            begun, made = (state.plan.stops[at - 1] for at in (split.begun_at, split.made_at))
            first, then = (tuple(t for t in stop.takes if t.split == split.id) for stop in (begun, made))
            boxes.append(_Box(split, (), first, then, begun.yard, None))
    return boxes


def _planned(state: State, case: Case) -> list[_Box]:
    """Those of them that may still be asked for: their order is."""
    asked = {order for batch in case.demand.batches for order, _ in batch.orders}
    return [box for box in _unbegun(state) if box.split.order in asked]


def _may_be_filled(state: State, box: _Box) -> bool:
    """Whether frames and hives of the rest may still go in, and bees enough for a queen to be raised."""
    settings, kit = state.operation.settings, state.operation.kit(box.split.kit)
    frames = sum(box.need[:4]) + sum(t.frames for t in box.got if t.kind in (*BROOD, "food"))
    hives = len({t.hive for t in box.got})
    fixed = any(o.id == box.split.order and o.from_yard for o in state.operation.orders)
    if (
        fixed
        or not any(box.need)
        or frames > kit.combs - kit.drawn
        or hives >= settings.limits.donors_per_split
    ):
        return False
    if box.split.queen != "raise own" or not box.bare:
        return True
    with_bees = box.need if box.bare == BEGUN else _need(box.got, box.split.queen)
    bees, kinds = settings.bees, dict(zip(KINDS, with_bees, strict=True))
    riding = bees.per_brood_frame * (kinds["capped"] + kinds["open"] + kinds["eggs"])
    riding += bees.per_food_frame * kinds["food"] + bees.per_shake * kinds["shake"]
    return riding >= settings.limits.own_queen_bees - 1e-6


class _Adding:
    """Adds lines to a case, one or two a box."""

    def __init__(self, state: State, case: Case, late_s: int) -> None:
        self.state, self.of, self.late_s = state, case, late_s
        self.work, self.index = Work(case.operation), {y.id: i for i, y in enumerate(case.operation.yards)}
        self.batches, self.lines = list(case.demand.batches), list(case.demand.lines)
        self.uses = [list(limit.uses) for limit in case.demand.limits]
        self.make_s = [self.of.make_s[:, k] for k in range(len(self.lines))]
        self.fills: list[ToFill] = []
        self.orders = {o.id: o for o in state.operation.orders}

    def add(self, box: _Box) -> None:
        """Add one box."""
        split, yards = box.split, self.of.operation.yards
        limit = self.of.operation.settings.limits.donors_per_split
        begun = self.index[box.begun_yard]
        first, batch, like, made_at = None, None, None, None  # type: int | None, int | None, int | None, int | None
        if box.left_s is None:
            batch = next(b for b, one in enumerate(self.of.demand.batches) if split.order in dict(one.orders))
            like = self._like(batch, split)
            made_at = self.index[split.from_yard]
            own = len({t.hive for t in box.planned_begun})
            need = _need(box.planned_begun, split.queen)
            first = self._line(box, beginning(split.id), need, begun, own, None)
            self.make_s.append(np.array([self.work.begin_s(y) for y in yards], dtype=np.int64))
        donors = limit - len({t.hive for t in box.first})
        line = self._line(box, filling(split.id), box.need, made_at, donors, like)
        self.make_s.append(np.array([self.work.make_s(y) for y in yards], dtype=np.int64))
        self.fills.append(
            ToFill(
                split=split.id,
                order=split.order,
                batch=batch,
                line=line,
                first=first,
                bare=box.bare,
                reach=self._reach(box),
                left_s=None if box.left_s is None else box.left_s + self.late_s,
                bare_s=self._bare_s(box),
            )
        )

    def _line(self, box: _Box, name: str, need: Need, yard: int | None, donors: int, like: int | None) -> int:
        """A batch of one and its line, made at one yard or at any (None)."""
        split, order = box.split, self.orders[box.split.order]
        kit = self.of.operation.kit(split.kit)
        batch = Batch(kit, split.queen, yard, None, order.priority, 1, ((name, 1),), apart=True)
        self.batches.append(batch)
        self.lines.append(Line(len(self.batches) - 1, split.frame, kit, split.swap, need, donors))
        for uses in self.uses:
            uses.append(0 if like is None else uses[like])
        return len(self.lines) - 1

    def _like(self, batch: int, split: Split) -> int | None:
        """The line whose stock such a split uses."""
        same = (batch, split.frame, split.swap)
        rows = enumerate(self.of.demand.lines)
        return next((k for k, line in rows if (line.batch, line.frame, line.swap) == same), None)

    def _reach(self, box: _Box) -> NDArray[np.bool_]:
        """Where it may stand (columns) when it is completed at a yard (rows): far from all whose bees are in
        it."""
        far, begun = self.of.travel.far, self.index[box.begun_yard]
        to_yard = self.orders[box.split.order].to_yard
        may = np.array([to_yard in (None, y.id) for y in self.of.operation.yards], dtype=bool)
        reach = np.ones_like(far) if box.bare == MADE else far.copy()
        reach &= may[None, :] & (True if box.bare == BEGUN else far[begun][None, :])
        reach[begun, :] = False
        return np.asarray(reach)

    def _bare_s(self, box: _Box) -> int | None:
        brood = any(t.kind in BROOD for t in box.first)
        return bare_brood_s(self.of) if box.bare == BEGUN and brood else None

    def guessed(self, box: _Box) -> Aboard:
        """A box begun as one aboard."""
        split, yards, operation = box.split, self.of.operation.yards, self.of.operation
        kit: Kit = operation.kit(split.kit)
        bought = [bought_s(operation, kit, split.queen, split.frame, split.swap, y, False) for y in yards]
        assert box.left_s is not None
        return Aboard(
            ids=(split.id,),
            left_s=box.left_s,
            reach=np.asarray(self._reach(box).any(axis=0)),
            place_s=np.array([self.work.place_s(y, split.queen) for y in yards], dtype=np.int64),
            extra_s=np.array(bought, dtype=np.int64),
            queen=split.queen,
        )

    def case(self) -> Case:
        """Return the case with the lines added; the tables of what yards can make know nothing of them."""
        of, new = self.of, range(len(self.of.demand.lines), len(self.lines))
        if not new:
            return of
        limits = tuple(
            replace(limit, uses=tuple(uses)) for limit, uses in zip(of.demand.limits, self.uses, strict=True)
        )
        demand = Demand(tuple(self.batches), tuple(self.lines), limits, of.demand.totals)
        queens = [demand.of(k).queen for k in new]
        yards = of.operation.yards
        place = [[self.work.place_s(y, queen) for queen in queens] for y in yards]
        extra = [[self._extra_s(demand, k, z) for k in new] for z in range(len(yards))]
        fill = [self.work.fill_s(sum(demand.contents(k)[:4]), demand.contents(k)[4]) for k in new]
        return replace(
            of,
            demand=demand,
            make_s=np.array(self.make_s, dtype=np.int64).T.reshape(len(yards), -1),
            fill_s=np.append(of.fill_s, np.array(fill, dtype=np.int64)),
            place_s=np.hstack([of.place_s, np.array(place, dtype=np.int64)]),
            extra_s=np.hstack([of.extra_s, np.array(extra, dtype=np.int64)]),
            carried=of.carried + sum(fill.first is None for fill in self.fills),
            fills=tuple(self.fills),
        )

    def _extra_s(self, demand: Demand, line: int, yard: int) -> int:
        """Counted for one box placed at a yard, beside the clock: a swap, and what money buys."""
        operation, one = self.of.operation, demand.lines[line]
        against = round(60 * operation.settings.swaps.minutes) if one.swap else 0
        queen, place = demand.of(line).queen, operation.yards[yard]
        return against + bought_s(operation, one.kit, queen, one.frame, one.swap, place, False)
