"""A day in the plainest words, as a simple planner of the benchmark makes it, and its judge.

The judge is not the project's audit: it is a small check built on the meanings of tests/oracle. It gives each
walk its least paid time, so that no simple planner loses minutes by clumsy waiting, and counts what the plans
of the project count: the day, the weeks after, what stands against a yard, hives due anyway, money. It does
not know fences, swaps, splits in their own right and counted combs and boxes, and refuses such operations.
"""

import itertools
import math
from collections import Counter
from dataclasses import dataclass
from functools import cached_property

from routeplan.operation.world import Hive, Operation, Yard
from tests.oracle import meanings
from tests.oracle.meanings import HOME, After, Out

Key = tuple[str, str]
Takes = dict[Key, Out]
"""What each donor gives, by hive key."""


@dataclass(frozen=True)
class Made:
    """One split: its row in the orders, the visits (from 0) it is made and placed at, and its donors."""

    order: int
    made_at: int
    placed_at: int
    takes: Takes


@dataclass(frozen=True)
class Walk:
    """Yards in the order of the visits, and the splits."""

    yards: tuple[str, ...]
    splits: tuple[Made, ...]


@dataclass(frozen=True)
class Counted:
    """What a walk comes to: splits by priority class (the first class first), paid and counted seconds."""

    placed: tuple[int, ...]
    paid_s: int
    later_s: int
    counted_s: int


class WalkFaultError(ValueError):
    """The walk breaks a rule; the message says which."""


def plus(one: Out, other: Out) -> Out:
    """Add up what leaves a hive."""
    return Out(*(a + b for a, b in zip(one, other, strict=True)))


class Day:
    """One operation with what the judge and a planner ask for again and again."""

    def __init__(self, operation: Operation) -> None:
        own_right = any(o.hive for o in operation.orders)
        swaps = operation.settings.swaps
        swapped = swaps.food_comb or swaps.feeder or swaps.mixed_open
        counted = any(s.item not in ("mated queen", "ripe cell") for s in operation.stock)
        if own_right or swapped or counted:
            raise ValueError("not for splits in their own right, swaps, or counted combs, boxes and fences")
        self.op = operation
        self.boxes = [meanings.box_of(operation, i) for i in range(len(operation.orders))]
        self.hives = {h.key: h for h in operation.hives}
        self.yards = {y.id: y for y in operation.yards if meanings.usable(operation, y)}
        self.mothers = meanings.egg_givers(operation)
        self._outs: dict[Key, set[Out]] = {}
        self._after: dict[str, After] = {}

    @cached_property
    def drives(self) -> dict[tuple[str, str], int]:
        """Seconds between home and all yards."""
        return meanings.drives(self.op)

    @cached_property
    def worths(self) -> dict[tuple[str, str], int]:
        """Seconds that the metres of these roads are worth."""
        return meanings.worths(self.op)

    def outs(self, key: Key) -> set[Out]:
        """Everything that may leave a hive."""
        if key not in self._outs:
            self._outs[key] = meanings.outs(self.op, self.hives[key])
        return self._outs[key]

    def after(self, yard: str) -> After:
        """What splits cost one yard in the weeks after."""
        if yard not in self._after:
            self._after[yard] = meanings.after(self.op, self.op.yard(yard))
        return self._after[yard]

    def takes_splits(self, yard: Yard) -> bool:
        """Whether a yard may receive splits; one that wants a fence first is left out here."""
        return yard.takes_splits and yard.room != 0 and not meanings.needs_fence(yard)

    def far(self, one: str, other: str) -> bool:
        """Whether splits made in one yard may stand in the other."""
        return meanings.far_enough(self.op, self.op.yard(one), self.op.yard(other))

    def fits_truck(self, full: int, empty: int) -> bool:
        """Whether so many full and empty boxes go on the truck together."""
        crew = self.op.crew
        return crew.places is None or full + math.ceil(empty / crew.empties_per_place) <= crew.places


@dataclass(frozen=True)
class Lengths:
    """Seconds of one visit: placing with set-up, hive work with making up, leaving; what is not counted."""

    place_s: int
    work_s: int
    leave_s: int
    opens: bool
    due_s: int


def judged(day: Day, walk: Walk) -> Counted:
    """Return what a walk comes to. Raises WalkFaultError if it breaks a rule."""
    _check_ways(day, walk)
    _check_room_and_load(day, walk)
    _check_frames(day, walk)
    lengths = [visit_lengths(day, walk, v) for v in range(len(walk.yards))]
    paid = least_paid_s(day, walk, lengths)
    if paid is None:
        raise WalkFaultError("hours of the day, the yards and the hives, time shut in")
    into: dict[str, list[Made]] = {}
    for s in walk.splits:
        into.setdefault(walk.yards[s.placed_at], []).append(s)
    later = sum(day.after(y).counted_s([day.boxes[s.order].queen for s in here]) for y, here in into.items())
    later += meanings.over_s(day.op, sum(day.after(y).alone for y in into))
    places = (HOME, *walk.yards, HOME)
    aside = sum(day.worths[a, b] for a, b in itertools.pairwise(places))
    aside += sum(
        meanings.stuff_s(day.op, day.boxes[s.order], "", day.op.yard(y))
        for y, here in into.items()
        for s in here
    )
    aside -= sum(n.due_s for n in lengths)
    return Counted(placed(day, walk), paid, later, paid + later + aside)


def placed(day: Day, walk: Walk) -> tuple[int, ...]:
    """Splits by priority class, the first class first."""
    classes = sorted({o.priority for o in day.op.orders})
    count = Counter(day.boxes[s.order].priority for s in walk.splits)
    return tuple(count[c] for c in classes)


def _check_ways(day: Day, walk: Walk) -> None:
    for s in walk.splits:
        box, made, put = day.boxes[s.order], walk.yards[s.made_at], walk.yards[s.placed_at]
        if s.made_at >= s.placed_at or not day.far(made, put):
            raise WalkFaultError("made before placed, and far enough away")
        if (box.from_yard or made) != made or (box.to_yard or put) != put:
            raise WalkFaultError("a fixed yard")
    if any(y not in day.yards for y in walk.yards):
        raise WalkFaultError("a yard that may not be visited")
    if max(Counter(walk.yards).values(), default=0) > day.op.settings.limits.visits_per_yard:
        raise WalkFaultError("visits to a yard")
    count = Counter(s.order for s in walk.splits)
    if any(n > day.op.orders[i].count for i, n in count.items()):
        raise WalkFaultError("splits asked for")
    for way in ("mated", "ripe cell"):
        most = meanings.queens(day.op, way)
        if most is not None and sum(day.boxes[i].queen == way for i in count.elements()) > most:
            raise WalkFaultError("queens and cells at home")


def _check_room_and_load(day: Day, walk: Walk) -> None:
    for yard, n in Counter(walk.yards[s.placed_at] for s in walk.splits).items():
        room = day.op.yard(yard).room
        if not day.takes_splits(day.op.yard(yard)) or (room is not None and n > room):
            raise WalkFaultError("room in the yards")
    for v in range(-1, len(walk.yards)):
        made = sum(s.made_at <= v for s in walk.splits)
        full = made - sum(s.placed_at <= v for s in walk.splits)
        if not day.fits_truck(full, len(walk.splits) - made):
            raise WalkFaultError("room on the truck")


def _check_frames(day: Day, walk: Walk) -> None:
    gone: Takes = {}
    for s in walk.splits:
        box = day.boxes[s.order]
        if len(s.takes) > day.op.settings.limits.donors_per_split:
            raise WalkFaultError("donors of a split")
        whole = Out()
        for key, out in s.takes.items():
            whole, gone[key] = plus(whole, out), plus(gone.get(key, Out()), out)
            if key[0] != walk.yards[s.made_at]:
                raise WalkFaultError("donors stand where the split is made")
            if out.open and box.queen == "raise own" and key not in day.mothers:
                raise WalkFaultError("eggs from a queen mother")
        if whole != box.out:
            raise WalkFaultError("the kit is met")
        formats = {day.hives[key].frame for key in s.takes}
        if len(formats) != 1 or box.kit.frame not in (None, *formats):
            raise WalkFaultError("one frame format in a box")
    if any(total not in day.outs(key) for key, total in gone.items()):
        raise WalkFaultError("what a hive may give")


def visit_lengths(day: Day, walk: Walk, v: int) -> Lengths:
    """Work out how long the parts of a visit are."""
    op, yard = day.op, day.op.yard(walk.yards[v])
    out: Takes = {}
    for s in walk.splits:
        for key, given in s.takes.items():
            if s.made_at == v:
                out[key] = plus(out.get(key, Out()), given)
    at_hives = [hive_s(day, day.hives[key], given) for key, given in out.items()]
    place = sum(meanings.place_s(op, yard, day.boxes[s.order]) for s in walk.splits if s.placed_at == v)
    make = sum(meanings.make_s(op, yard) for s in walk.splits if s.made_at == v)
    opens = bool(out)
    return Lengths(
        place_s=meanings.set_up_s(op, opens) + place,
        work_s=sum(s for s, _ in at_hives) + make,
        leave_s=meanings.leave_s(op, opens),
        opens=opens,
        due_s=sum(due for _, due in at_hives),
    )


def hive_s(day: Day, hive: Hive, out: Out) -> tuple[int, int]:
    """Seconds at a hive by the quickest way, and how many of them are not counted as it is due anyway."""
    best = meanings.quickest(day.op, hive, out)
    if best is None:
        raise WalkFaultError("no way to be sure of the queen")
    return best


def least_paid_s(day: Day, walk: Walk, lengths: list[Lengths]) -> int | None:
    """Return the least paid seconds of visits of these lengths, None where no hours fit.

    Everything is a difference of times: t[b] >= t[a] + seconds. The latest leave for which hours can be kept
    is best, as leaving later is free; the earliest return after that is worked out for it.
    """
    n, crew = len(walk.yards), day.op.crew
    leave, back = 2 * n, 2 * n + 1  # 2v: visit v begins, 2v + 1: its hive work begins (or leaving)
    low = [60 * crew.start_min] * (2 * n + 2)
    high = [60 * crew.end_min] * (2 * n + 2)
    edges = []
    before, after_s, here = leave, 0, HOME
    for v, (name, length) in enumerate(zip(walk.yards, lengths, strict=True)):
        yard = day.op.yard(name)
        edges.append((before, 2 * v, after_s + day.drives[here, name]))
        edges.append((2 * v, 2 * v + 1, length.place_s))
        low[2 * v] = max(low[2 * v], 60 * (yard.opens_min or 0))
        done = length.work_s + length.leave_s
        if yard.closes_min is not None:
            high[2 * v + 1] = min(high[2 * v + 1], 60 * yard.closes_min - done)
        if length.opens:
            low[2 * v + 1] = max(low[2 * v + 1], 60 * crew.hives_from_min)
            high[2 * v + 1] = min(high[2 * v + 1], 60 * crew.hives_until_min - length.work_s)
        else:
            edges.append((2 * v + 1, 2 * v, -length.place_s))
        before, after_s, here = 2 * v + 1, done, name
    edges.append((before, back, after_s + day.drives[here, HOME]))
    limit = meanings.shut_in_s(day.op)
    for i, j in {(s.made_at, s.placed_at) for s in walk.splits}:
        ride_s = limit + lengths[i].work_s + lengths[i].leave_s - lengths[j].place_s
        edges.append((2 * j, 2 * i + 1, -ride_s))
    latest = _settle([-h for h in high], [(b, a, s) for a, b, s in edges])
    if latest is None:
        return None
    low[leave] = -latest[leave]
    earliest = _settle(low, edges)
    if earliest is None or any(t > h for t, h in zip(earliest, high, strict=True)):
        return None
    return earliest[back] - earliest[leave]


def _settle(low: list[int], edges: list[tuple[int, int, int]]) -> list[int] | None:
    """Return the least times from `low` on that keep t[b] >= t[a] + s; None where there are none."""
    times = list(low)
    for _ in range(len(times) + 1):
        moved = False
        for a, b, s in edges:
            if times[a] + s > times[b]:
                times[b], moved = times[a] + s, True
        if not moved:
            return times
    return None
