"""A second way to the exact answer, for the tiniest operations: try everything.

All walks over the yards, all ways to make and place the boxes on a walk, all ways to take the frames out of
the hives; the times of each are a system of differences, whose longest path is the least paid time. It shares
the meaning of the rules with `exact` (tests.oracle.meanings), none of its method.
"""

import itertools
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from routeplan.operation.world import Hive, Operation, Yard
from tests.oracle import meanings
from tests.oracle.meanings import HOME, Box

Trip = tuple[int, int]
"""The visit a box is made at and the later one it is placed at."""
Frames = tuple[tuple[int, int, int, int], ...]
"""What one box takes from each hive of a yard."""


class Work(NamedTuple):
    """One way to make the boxes of one yard: frame format by box, seconds of opening hives by visit."""

    formats: tuple[tuple[int, str], ...]
    open_s: tuple[tuple[int, int], ...]


def best(operation: Operation) -> tuple[tuple[tuple[int, int], ...], int]:
    """Return splits placed per priority (lowest number first) and least paid seconds."""
    search = Search(operation)
    priorities = sorted({o.priority for o in operation.orders})

    def totals(counts: tuple[int, ...]) -> tuple[int, ...]:
        pairs = list(zip(operation.orders, counts, strict=True))
        return tuple(sum(n for o, n in pairs if o.priority == p) for p in priorities)

    choices = itertools.product(*(range(o.count + 1) for o in operation.orders))
    by_totals: dict[tuple[int, ...], list[tuple[int, ...]]] = {}
    for counts in choices:
        by_totals.setdefault(totals(counts), []).append(counts)
    for total in sorted(by_totals, reverse=True):
        paid = [search.least_paid(counts) for counts in by_totals[total]]
        found = [p for p in paid if p is not None]
        if found:
            return tuple(zip(priorities, total, strict=True)), min(found)
    raise AssertionError("placing nothing is always possible")


class Search:
    """Everything that is looked up again and again for one operation."""

    def __init__(self, operation: Operation) -> None:
        self.op = operation
        self.boxes = meanings.boxes(operation)
        self.drives = meanings.drives(operation)
        self.yards = [y for y in operation.yards if meanings.usable(operation, y)]
        self.mothers = meanings.egg_givers(operation)
        self.gives = {h.key: meanings.gives(operation, h) for h in operation.hives}
        self.limit_s = meanings.shut_in_s(operation)
        pairs = itertools.product(self.yards, self.yards)
        self.far = {(a.id, b.id) for a, b in pairs if meanings.far_enough(operation, a, b)}
        self.works: dict[tuple[str, tuple[tuple[Box, int], ...]], list[Work]] = {}

    def least_paid(self, counts: tuple[int, ...]) -> int | None:
        """Return the least paid seconds that place so many splits of each order; None when none can."""
        chosen = [box for i, n in enumerate(counts) for box in [b for b in self.boxes if b.order == i][:n]]
        if not chosen:
            return 0
        if self.limit_s == 0:
            return None
        sources = self._sources(chosen)
        least: int | None = None
        for walk in self._walks(2 * len(chosen)):
            if least is not None and self._drive(walk) >= least:
                continue
            for trips in self._trips(walk, chosen, sources):
                for paid in self._days(walk, chosen, trips, least):
                    least = paid if least is None else min(least, paid)
        return least

    def _walks(self, longest: int) -> Iterator[list[Yard]]:
        most = self.op.settings.limits.visits_per_yard
        for length in range(2, min(longest, most * len(self.yards)) + 1):
            for walk in itertools.product(self.yards, repeat=length):
                in_a_row = any(a.id == b.id for a, b in itertools.pairwise(walk))
                if not in_a_row and all(walk.count(y) <= most for y in set(walk)):
                    yield list(walk)

    def _sources(self, boxes: list[Box]) -> set[tuple[str, ...]]:
        """List the yards the boxes can be made in, box by box, and all beginnings of such lists."""
        found = set()
        for yards in itertools.product([y.id for y in self.yards], repeat=len(boxes)):
            here = {y: tuple((b, 0) for b, at in zip(boxes, yards, strict=True) if at == y) for y in yards}
            if all(self._works_of(y, made) for y, made in here.items()):
                found |= {yards[:n] for n in range(len(yards) + 1)}
        return found

    def _drive(self, walk: list[Yard]) -> int:
        names = [HOME, *(y.id for y in walk), HOME]
        return sum(self.drives[pair] for pair in itertools.pairwise(names))

    def _trips(
        self, walk: list[Yard], boxes: list[Box], sources: set[tuple[str, ...]]
    ) -> Iterator[tuple[Trip, ...]]:
        """Yield every way to make and place the boxes on the walk that leaves no visit idle."""
        options = [
            [t for t in itertools.combinations(range(len(walk)), 2) if self._may(walk, b, t)] for b in boxes
        ]

        def extend(done: tuple[Trip, ...]) -> Iterator[tuple[Trip, ...]]:
            i = len(done)
            if tuple(walk[v].id for v, _ in done) not in sources:
                return
            if len(walk) - len({v for trip in done for v in trip}) > 2 * (len(boxes) - i):
                return
            if i == len(boxes):
                yield done
                return
            for trip in options[i]:
                if i == 0 or boxes[i - 1] != boxes[i] or done[-1] <= trip:
                    yield from extend((*done, trip))

        return (t for t in extend(()) if self._room(walk, t) and self._fits_truck(len(walk), t))

    def _may(self, walk: list[Yard], box: Box, trip: Trip) -> bool:
        one, other = walk[trip[0]], walk[trip[1]]
        fixed = box.from_yard in (None, one.id) and box.to_yard in (None, other.id)
        return fixed and other.takes_splits and (one.id, other.id) in self.far

    def _room(self, walk: list[Yard], trips: Iterable[Trip]) -> bool:
        put = [walk[j].id for _, j in trips]
        return all(y.room is None or put.count(y.id) <= y.room for y in walk)

    def _fits_truck(self, visits: int, trips: tuple[Trip, ...]) -> bool:
        crew = self.op.crew
        if crew.places is None:
            return True
        for v in range(-1, visits):
            full = sum(i <= v < j for i, j in trips)
            empty = sum(v < i for i, _ in trips)
            if full + -(-empty // crew.empties_per_place) > crew.places:
                return False
        return True

    # Hives

    def _days(
        self, walk: list[Yard], boxes: list[Box], trips: tuple[Trip, ...], least: int | None
    ) -> Iterator[int]:
        """Yield the least paid seconds of every way to take the frames."""
        places = list(dict.fromkeys(walk[i].id for i, _ in trips))
        ways = []
        for place in places:
            here = tuple((b, i) for b, (i, _) in zip(boxes, trips, strict=True) if walk[i].id == place)
            ways.append(self._works_of(place, here))
        seen = set()
        for works in itertools.product(*ways):
            formats = tuple(sorted(f for work in works for f in work.formats))
            open_s = dict(pair for work in works for pair in work.open_s)
            if (key := tuple(sorted(open_s.items()))) in seen or not self._in_stock(formats):
                continue
            seen.add(key)
            lengths = self._lengths(walk, boxes, trips, open_s)
            shortest = self._drive(walk) + sum(map(sum, lengths))
            if least is None or shortest < least:
                paid = self._clock(walk, trips, lengths)
                if paid is not None:
                    yield paid

    def _works_of(self, place: str, made: tuple[tuple[Box, int], ...]) -> list[Work]:
        key = (place, made)
        if key not in self.works:
            hives = [h for h in self.op.hives if h.yard == place]
            self.works[key] = sorted(set(self._all_works(hives, made)))
        return self.works[key]

    def _all_works(self, hives: list[Hive], made: tuple[tuple[Box, int], ...]) -> Iterator[Work]:
        """Yield every way to fill the boxes, one after the other; ways that leave the same are kept once."""
        tops = [[max(g[k] for g in self.gives[h.key]) for k in range(4)] for h in hives]
        none = tuple((0, 0, 0, 0) for _ in hives)
        states: set[tuple[Frames, frozenset[tuple[int, int]], tuple[tuple[int, str], ...]]]
        states = {(none, frozenset(), ())}
        for box, visit in made:
            after = set()
            for (gone, opened, formats), (frame, takes) in itertools.product(states, self._takes(hives, box)):
                total = tuple(
                    tuple(map(sum, zip(g, t, strict=True))) for g, t in zip(gone, takes, strict=True)
                )
                if all(t[k] <= top[k] for t, top in zip(total, tops, strict=True) for k in range(4)):
                    here = {(visit, h) for h in range(len(hives)) if any(takes[h])}
                    after.add((total, opened | here, (*formats, (box.order, frame))))
            states = after
        for gone, opened, formats in states:
            once = len({h for _, h in opened}) == len(opened)
            if once and all(g in self.gives[h.key] for h, g in zip(hives, gone, strict=True)):
                seconds = dict.fromkeys((i for _, i in made), 0)
                for visit, h in opened:
                    seconds[visit] += meanings.open_s(self.op, hives[h])
                yield Work(formats, tuple(sorted(seconds.items())))

    def _takes(self, hives: list[Hive], box: Box) -> Iterator[tuple[str, Frames]]:
        """Yield every way to fill one box from hives of one frame format."""
        for frame in sorted({h.frame for h in hives}):
            if box.kit.frame not in (None, frame):
                continue
            per_kind = []
            for k, need in enumerate(box.needs):
                eggs = k == 1 and box.queen == "raise own"
                givers = [
                    h.frame == frame
                    and any(g[k] > 0 for g in self.gives[h.key])
                    and (not eggs or h.key in self.mothers)
                    for h in hives
                ]
                per_kind.append(list(_shared(need, givers)))
            for kinds in itertools.product(*per_kind):
                frames = tuple(zip(*kinds, strict=True))
                if sum(map(any, frames)) <= self.op.settings.limits.donors_per_split:
                    yield frame, frames

    def _in_stock(self, formats: tuple[tuple[int, str], ...]) -> bool:
        for frame in {f for _, f in formats}:
            kits = [self.op.kit(self.op.orders[i].kit) for i, f in formats if f == frame]
            combs, nucs = self.op.combs(frame), self.op.nuc_boxes(frame)
            if nucs is not None and len(kits) > nucs:
                return False
            if combs is not None:
                drawn, foundation = combs
                if sum(k.combs for k in kits) > drawn + foundation or sum(k.drawn for k in kits) > drawn:
                    return False
        return True

    # Clock

    def _lengths(
        self, walk: list[Yard], boxes: list[Box], trips: tuple[Trip, ...], open_s: dict[int, int]
    ) -> list[tuple[int, int, int]]:
        """Seconds at each visit: set-up and placing; opening, taking and making; leaving."""
        op, made = self.op, []
        pairs = list(zip(boxes, trips, strict=True))
        for v, yard in enumerate(walk):
            puts = [b for b, (_, j) in pairs if j == v]
            makes = [b for b, (i, _) in pairs if i == v]
            work = sum(meanings.take_s(op, b) + meanings.make_s(op, yard) for b in makes)
            before = meanings.set_up_s(op, bool(makes)) + sum(meanings.place_s(op, yard, b) for b in puts)
            made.append((before, open_s.get(v, 0) + work, meanings.leave_s(op, bool(makes))))
        return made

    def _clock(
        self, walk: list[Yard], trips: tuple[Trip, ...], lengths: list[tuple[int, int, int]]
    ) -> int | None:
        """Return the least seconds between leaving and being back; None when the times cannot be kept."""
        crew = self.op.crew
        names = [HOME, *(y.id for y in walk), HOME]
        legs = [self.drives[pair] for pair in itertools.pairwise(names)]
        makes = {i for i, _ in trips}
        rows = [("midnight", "leave", 60 * crew.start_min), ("back", "midnight", -60 * crew.end_min)]
        before = "leave"
        for v, (yard, (placing, making, leaving)) in enumerate(zip(walk, lengths, strict=True)):
            begin, opened, work, shut, depart = (f"{what} {v}" for what in "bowsd")
            rows += [(before, begin, legs[v]), (opened, work, 0)]
            rows += _exactly(begin, opened, placing) + _exactly(work, shut, making)
            rows += _exactly(shut, depart, leaving)
            if v in makes:
                rows += [("midnight", work, 60 * crew.hives_from_min)]
                rows += [(shut, "midnight", -60 * crew.hives_until_min)]
            if yard.opens_min is not None:
                rows.append(("midnight", begin, 60 * yard.opens_min))
            if yard.closes_min is not None:
                rows.append((depart, "midnight", -60 * yard.closes_min))
            before = depart
        rows.append((before, "back", legs[-1]))
        rows += [(f"o {j}", f"d {i}", -self.limit_s) for i, j in trips]
        return _longest(rows, "leave", "back")


def _shared(need: int, givers: list[bool]) -> Iterator[tuple[int, ...]]:
    """Yield every way to share `need` frames over the hives that may give that kind."""
    if not givers:
        if need == 0:
            yield ()
        return
    for here in range(need + 1 if givers[0] else 1):
        for rest in _shared(need - here, givers[1:]):
            yield (here, *rest)


def _exactly(one: str, other: str, seconds: int) -> list[tuple[str, str, int]]:
    return [(one, other, seconds), (other, one, -seconds)]


def _longest(rows: list[tuple[str, str, int]], start: str, end: str) -> int | None:
    """Longest path (Bellman-Ford) in rows "other is so many seconds after one"; None: contradiction."""
    far = {start: 0}
    nodes = {name for one, other, _ in rows for name in (one, other)}
    for _ in range(len(nodes) + 1):
        changed = False
        for one, other, seconds in rows:
            if one in far and far[one] + seconds > far.get(other, -(10**9)):
                far[other] = far[one] + seconds
                changed = True
        if not changed:
            return far[end]
    return None
