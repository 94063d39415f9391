"""A second way to the exact answer, for the tiniest operations: try everything.

All walks over the yards, all ways to make and place the boxes on a walk, all ways to take the frames out of
the hives; the times of each are a system of differences, whose longest path is the least paid time; what
counts beside it is added up. It shares the meaning of the rules with `exact` (tests.oracle.meanings), none of
its method.
"""

import itertools
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from routeplan.operation.world import Hive, Operation, Yard
from tests.oracle import meanings
from tests.oracle.meanings import HOME, NOTHING, Box, Out

Trip = tuple[int, int]
"""The visit a box is made at and the later one it is placed at."""
Taken = tuple[Out, ...]
"""What leaves each hive of a yard."""
Fill = tuple[int, str, str]
"""A box filled: its order, its frame format, what stands in for its food frames ("" for nothing)."""


class Work(NamedTuple):
    """One way to fill the boxes of one yard.

    `extra_s`: seconds with hives by visit, beyond looking over and taking what the kits say. `due_s` do not
    count; `mixed` frames stand in for open ones.
    """

    fills: tuple[Fill, ...]
    extra_s: tuple[tuple[int, int], ...]
    due_s: int
    mixed: int


def best(operation: Operation) -> tuple[tuple[tuple[int, int], ...], int]:
    """Return splits placed per priority (lowest number first) and the least that counts, in seconds."""
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
        least = [search.least_counted(counts) for counts in by_totals[total]]
        found = [s for s in least if s is not None]
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
        named = {b.hive: set(meanings.parts(operation, b).values()) for b in self.boxes if b.hive is not None}
        self.named = set(named)
        self.outs = {h.key: named.get(h.key) or meanings.outs(operation, h) for h in operation.hives}
        self.gives = {h.key: meanings.gives(operation, h) for h in operation.hives}
        self.after = {y.id: meanings.after(operation, y) for y in self.yards}
        self.worths = meanings.worths(operation)
        self.limit_s = meanings.shut_in_s(operation)
        pairs = itertools.product(self.yards, self.yards)
        self.far = {(a.id, b.id) for a, b in pairs if meanings.far_enough(operation, a, b)}
        self.works: dict[tuple[str, tuple[tuple[Box, int], ...]], list[Work]] = {}

    def least_counted(self, counts: tuple[int, ...]) -> int | None:
        """Return the least that counts, placing so many splits of each order; None when none can."""
        chosen = [box for i, n in enumerate(counts) for box in [b for b in self.boxes if b.order == i][:n]]
        if not chosen:
            return 0
        if self.limit_s == 0 or not self._queens(chosen):
            return None
        sources = self._sources(chosen)
        least: int | None = None
        for walk in self._walks(2 * len(chosen)):
            if least is not None and self._drive(walk) + self._road(walk) >= least:
                continue
            for trips in self._trips(walk, chosen, sources):
                for counted in self._days(walk, chosen, trips, least):
                    least = counted if least is None else min(least, counted)
        return least

    def _queens(self, chosen: list[Box]) -> bool:
        for way, n in Counter(box.queen for box in chosen).items():
            most = meanings.queens(self.op, way)
            if most is not None and n > most:
                return False
        return True

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
        return sum(self.drives[leg] for leg in _legs(walk))

    def _road(self, walk: list[Yard]) -> int:
        return sum(self.worths[leg] for leg in _legs(walk))

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

        for trips in extend(()):
            if self._room(walk, trips) and self._fits_truck(len(walk), trips) and self._fenced(walk, trips):
                yield trips

    def _may(self, walk: list[Yard], box: Box, trip: Trip) -> bool:
        one, other = walk[trip[0]], walk[trip[1]]
        fixed = box.from_yard in (None, one.id) and box.to_yard in (None, other.id)
        return fixed and other.takes_splits and (one.id, other.id) in self.far

    def _room(self, walk: list[Yard], trips: Iterable[Trip]) -> bool:
        put = [walk[j].id for _, j in trips]
        return all(y.room is None or put.count(y.id) <= y.room for y in walk)

    def _fenced(self, walk: list[Yard], trips: Iterable[Trip]) -> bool:
        """Whether fences are enough, each set up at one visit only."""
        visits = {j for _, j in trips if meanings.needs_fence(walk[j])}
        yards = {walk[j].id for j in visits}
        return len(visits) == len(yards) <= (self.op.counted("fence kit") or 0)

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
        """Yield the least that counts of every way to take the frames."""
        places = list(dict.fromkeys(walk[i].id for i, _ in trips))
        rows = [[n for n, (i, _) in enumerate(trips) if walk[i].id == place] for place in places]
        ways = [
            self._works_of(place, tuple((boxes[n], trips[n][0]) for n in here))
            for place, here in zip(places, rows, strict=True)
        ]
        always = self._after(walk, boxes, trips) + self._road(walk)
        seen = set()
        for works in itertools.product(*ways):
            fills = dict(zip(itertools.chain(*rows), (f for work in works for f in work.fills), strict=True))
            beside = always - sum(work.due_s for work in works)
            beside += self._swaps_and_stuff(walk, boxes, trips, fills, sum(work.mixed for work in works))
            extra_s = dict(pair for work in works for pair in work.extra_s)
            key = (tuple(sorted(extra_s.items())), beside)
            if key in seen or not self._in_stock(list(fills.values())):
                continue
            seen.add(key)
            lengths = self._lengths(walk, boxes, trips, extra_s)
            shortest = self._drive(walk) + sum(map(sum, lengths))
            if least is None or shortest + beside < least:
                paid = self._clock(walk, trips, lengths)
                if paid is not None:
                    yield paid + beside

    def _after(self, walk: list[Yard], boxes: list[Box], trips: tuple[Trip, ...]) -> int:
        """Seconds that the new yards cost in the weeks after."""
        put: dict[str, list[str]] = {}
        for box, (_, j) in zip(boxes, trips, strict=True):
            put.setdefault(walk[j].id, []).append(box.queen)
        alone = sum(self.after[y].alone for y in put)
        each = sum(self.after[y].counted_s(ways) for y, ways in put.items())
        return each + meanings.over_s(self.op, alone)

    def _swaps_and_stuff(
        self, walk: list[Yard], boxes: list[Box], trips: tuple[Trip, ...], fills: dict[int, Fill], mixed: int
    ) -> int:
        swapped = sum(swap != "" for _, _, swap in fills.values())
        stuff = sum(
            meanings.stuff_s(self.op, box, fills[n][2], walk[trips[n][1]]) for n, box in enumerate(boxes)
        )
        return meanings.swap_s(self.op) * (swapped + mixed) + stuff

    def _works_of(self, place: str, made: tuple[tuple[Box, int], ...]) -> list[Work]:
        key = (place, made)
        if key not in self.works:
            hives = [h for h in self.op.hives if h.yard == place]
            self.works[key] = sorted(set(self._all_works(hives, made)))
        return self.works[key]

    def _all_works(self, hives: list[Hive], made: tuple[tuple[Box, int], ...]) -> Iterator[Work]:
        """Yield every way to fill the boxes, one after the other; ways that leave the same are kept once."""
        tops = [Out(*(max(o[k] for o in self.outs[h.key]) for k in range(len(NOTHING)))) for h in hives]
        states: set[tuple[Taken, frozenset[tuple[int, int]], tuple[Fill, ...]]]
        states = {(tuple(NOTHING for _ in hives), frozenset(), ())}
        for box, visit in made:
            after = set()
            for (gone, opened, fills), (frame, swap, takes) in itertools.product(
                states, list(self._takes(hives, box))
            ):
                total = tuple(
                    Out(*map(sum, zip(g, t, strict=True))) for g, t in zip(gone, takes, strict=True)
                )
                if all(t[k] <= top[k] for t, top in zip(total, tops, strict=True) for k in range(len(top))):
                    here = {(visit, h) for h in range(len(hives)) if any(takes[h])}
                    after.add((total, opened | here, (*fills, (box.order, frame, swap))))
            states = after
        for gone, opened, fills in states:
            once = len({h for _, h in opened}) == len(opened)
            if once and all(g in self.outs[h.key] for h, g in zip(hives, gone, strict=True)):
                yield self._timed(hives, made, gone, opened, fills)

    def _timed(
        self,
        hives: list[Hive],
        made: tuple[tuple[Box, int], ...],
        gone: Taken,
        opened: frozenset[tuple[int, int]],
        fills: tuple[Fill, ...],
    ) -> Work:
        """Add up the quickest ways to be sure of the queen in all hives opened."""
        seconds, due_s = dict.fromkeys((i for _, i in made), 0), 0
        for visit, h in opened:
            quickest = meanings.quickest(self.op, hives[h], gone[h])
            assert quickest is not None, "a hive that may give has a way"
            seconds[visit] += quickest[0]
            due_s += quickest[1]
        for box, visit in made:
            seconds[visit] -= meanings.take_s(self.op, box)
        return Work(fills, tuple(sorted(seconds.items())), due_s, sum(out.mixed for out in gone))

    def _takes(self, hives: list[Hive], box: Box) -> Iterator[tuple[str, str, Taken]]:
        """Yield every way to fill one box from hives of one frame format, and what is swapped."""
        frames = sorted({h.frame for h in hives if box.kit.frame in (None, h.frame)})
        most_mixed = max(out.open for out in box.outs) if meanings.may_mix(self.op, box) else 0
        ways = itertools.product(frames, meanings.swaps(self.op, box), box.outs, range(most_mixed + 1))
        for frame, swap, out, x in ways:
            if x > out.open:
                continue
            need = out._replace(open=out.open - x, mixed=x, food=0 if swap else out.food)
            shares = [
                list(_shared(n, [h.frame == frame and self._gives(h, box, kind) for h in hives]))
                for kind, n in need._asdict().items()
            ]
            for kinds in itertools.product(*shares):
                takes = tuple(Out(*hive) for hive in zip(*kinds, strict=True))
                if sum(map(any, takes)) <= self.op.settings.limits.donors_per_split:
                    yield frame, swap, takes

    def _gives(self, hive: Hive, box: Box, kind: str) -> bool:
        """Whether a hive may give a box anything of a kind."""
        own = hive.key == box.hive if box.hive is not None else hive.key not in self.named
        eggs = kind in ("open", "mixed") and box.queen == "raise own" and box.hive is None
        mother = not eggs or hive.key in self.mothers
        return own and mother and any(getattr(out, kind) > 0 for out in self.outs[hive.key])

    def _in_stock(self, fills: list[Fill]) -> bool:
        for frame in {f for _, f, _ in fills}:
            here = [(meanings.box_of(self.op, i), swap) for i, f, swap in fills if f == frame]
            combs, nucs = self.op.combs(frame), self.op.nuc_boxes(frame)
            if nucs is not None and len(here) > nucs:
                return False
            if combs is not None:
                drawn, foundation = combs
                if sum(meanings.combs(box, swap) for box, swap in here) > drawn + foundation:
                    return False
                if sum(box.kit.drawn for box, _ in here) > drawn:
                    return False
            food_combs = sum(box.kit.food for box, swap in here if swap == "food comb")
            if food_combs > (self.op.counted("food comb", frame) or 0):
                return False
        return sum(swap == "feeder" for _, _, swap in fills) <= (self.op.counted("feeder") or 0)

    # Clock

    def _lengths(
        self, walk: list[Yard], boxes: list[Box], trips: tuple[Trip, ...], extra_s: dict[int, int]
    ) -> list[tuple[int, int, int]]:
        """Seconds at each visit: set-up, fence and placing; opening, taking and making; leaving."""
        op, made = self.op, []
        pairs = list(zip(boxes, trips, strict=True))
        for v, yard in enumerate(walk):
            puts = [b for b, (_, j) in pairs if j == v]
            makes = [b for b, (i, _) in pairs if i == v]
            work = sum(meanings.take_s(op, b) + meanings.make_s(op, yard) for b in makes)
            before = meanings.set_up_s(op, bool(makes)) + sum(meanings.place_s(op, yard, b) for b in puts)
            before += meanings.fence_s(op) if puts and meanings.needs_fence(yard) else 0
            made.append((before, extra_s.get(v, 0) + work, meanings.leave_s(op, bool(makes))))
        return made

    def _clock(
        self, walk: list[Yard], trips: tuple[Trip, ...], lengths: list[tuple[int, int, int]]
    ) -> int | None:
        """Return the least seconds between leaving and being back; None when the times cannot be kept."""
        crew = self.op.crew
        legs = [self.drives[leg] for leg in _legs(walk)]
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


def _legs(walk: list[Yard]) -> list[tuple[str, str]]:
    return list(itertools.pairwise([HOME, *(y.id for y in walk), HOME]))


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
