"""The stops of a whole day: visits done, as they were, then those of the rest as planned again."""

from dataclasses import replace

from routeplan.field.state import State
from routeplan.plan import Kept, PutBack, Stop
from routeplan.planning.day import FRAME_KINDS
from routeplan.planning.frames import NamedSplit, opened_in_order, takes_of, way_of
from routeplan.planning.order import Round
from routeplan.planning.rest import Back, Rest
from routeplan.planning.rest_names import named_rest
from routeplan.planning.work import Work


class RestStops:
    """Writes the stops, what the truck holds not yet counted.

    `stops`: those of the whole day; `first`: index of the rest's first visit among them; `named`: the splits
    made in the rest.
    """

    def __init__(self, state: State, rest: Rest, found: Round | None, kept: tuple[Kept, ...]) -> None:
        self.state, self.rest, self.found, self.kept = state, rest, found, kept
        self.travel, self.operation = rest.reduced.travel, state.operation
        self.work = Work(self.operation)
        self.place = {y.id: i for i, y in enumerate(rest.reduced.operation.yards)}
        self.before = {s.id: s for s in state.plan.splits}
        self.named: tuple[NamedSplit, ...] = () if found is None else named_rest(state, rest, found)
        self.brought = {} if found is None else self._brought(found)
        self.stops = [self._with_metres(n, self._without_given(s)) for n, s in enumerate(state.stops)]
        for n, back in enumerate(rest.now):
            self.stops.append(self._back(back, state.at_s if n == 0 else None))
        self.first = len(self.stops)
        for i in range(len(found.order) if found else 0):
            self.stops.append(self._visit(i))
        for back in rest.last:
            self.stops.append(self._back(back))

    def leg(self, came: str | None, to: str | None) -> tuple[int, int]:
        """Seconds and metres between two yards, None for home."""
        a = 0 if came is None else self.place[came] + 1
        b = 0 if to is None else self.place[to] + 1
        return int(self.travel.drive_s[a, b]), int(self.travel.drive_m[a, b])

    def _with_metres(self, n: int, stop: Stop) -> Stop:
        came = self.state.stops[n - 1].yard if n else None
        return replace(stop, drive_m=self.leg(came, stop.yard)[1])

    def _without_given(self, stop: Stop) -> Stop:
        """A visit done without what goes back into its hives: boxes begun there that are given up."""
        given = {k.split for k in self.kept} & {s.id for s in self.state.begun}
        takes = tuple(t for t in stop.takes if t.split not in given)
        if takes == stop.takes:
            return stop
        giving = {t.hive for t in takes}
        back = {h: sum(t.frames for t in takes if t.hive == h and t.kind in FRAME_KINDS) for h in stop.opens}
        return replace(
            stop,
            begins=tuple(s for s in stop.begins if s not in given),
            takes=takes,
            opens=tuple(h for h in stop.opens if h in giving),
            ways=tuple((h, way) for h, way in stop.ways if h in giving),
            puts_back=tuple(
                replace(p, combs=min(p.combs, back[p.hive])) for p in stop.puts_back if back[p.hive]
            ),
        )

    def last(self) -> tuple[str | None, int]:
        """Where the truck comes from, and when it leaves there."""
        if self.stops:
            return self.stops[-1].yard, max(self.stops[-1].depart, self.state.at_s)
        return None, self.state.at_s

    def _arriving(self, yard: str) -> tuple[int, int, int]:
        """(arrival, seconds, metres) of the drive to the next yard; waiting since the last visit included."""
        came, left = self.last()
        seconds, metres = self.leg(came, yard)
        before = self.stops[-1].depart if self.stops else left
        return left + seconds, left + seconds - before, metres

    def _back(self, back: Back, at_s: int | None = None) -> Stop:
        """A visit that only brings splits back."""
        arrive, drive_s, drive_m = self._arriving(back.yard)
        set_up, leaving = self.rest.case.placing
        opened = arrive + set_up + back.place_s
        return Stop(
            yard=back.yard,
            drive_m=drive_m,
            drive_s=drive_s,
            arrive=arrive,
            early_s=0,
            set_up_s=set_up,
            fence_s=0,
            place_s=back.place_s,
            wait_s=0,
            hive_s=0,
            make_s=0,
            leave_s=leaving,
            depart=opened + leaving,
            opened=opened if back.splits else None,
            full=0,
            empty=0,
            places=back.splits,
            makes=(),
            opens=(),
            ways=(),
            sets=(),
            takes=(),
            puts_back=(),
        )

    def _visit(self, i: int) -> Stop:
        assert self.found is not None
        case, visit, times = self.rest.case, self.found.order[i], self.found.times
        yard = case.operation.yards[visit.yard]
        arrive, drive_s, drive_m = self._arriving(yard.id)
        set_up, leaving = case.opening if visit.opens else case.placing
        here = [s for s in self.named if s.made_at == i]
        placed = [s.id for s in self.named if s.placed_at == i]
        aboard = [s for s, j in self.brought.items() if j == i]
        place_s = sum(self.work.place_s(yard, self._queen(s)) for s in (*aboard, *placed))
        fence_s = int(case.fence_s[visit.yard]) if placed or aboard else 0
        takes = takes_of(self.named, i)
        hives = opened_in_order(case, self.named, i)
        ways = [way_of(case, h, tuple(t for t in takes if t.hive == h.id), False) for h in hives]
        hive_s = sum(spent for _, spent in ways)
        begun = [s for s in self.named if s.begun_at == i]
        make_s = sum(int(case.make_s[visit.yard, s.line]) for s in here)
        make_s += self.work.begin_s(yard) * len(begun)
        begin = max(arrive, times.begin[i])
        opened = begin + set_up + fence_s + place_s
        wait_s = max(0, times.hives[i] - opened) if visit.opens else 0
        back = {h.id: sum(t.frames for t in takes if t.hive == h.id and t.kind in FRAME_KINDS) for h in hives}
        return Stop(
            yard=yard.id,
            drive_m=drive_m,
            drive_s=drive_s,
            arrive=arrive,
            early_s=begin - arrive,
            set_up_s=set_up,
            fence_s=fence_s,
            place_s=place_s,
            wait_s=wait_s,
            hive_s=hive_s,
            make_s=make_s,
            leave_s=leaving,
            depart=opened + wait_s + hive_s + make_s + leaving,
            opened=opened if placed or aboard else None,
            full=0,
            empty=0,
            places=(*aboard, *placed),
            makes=tuple(s.id for s in here),
            begins=tuple(s.id for s in begun),
            opens=tuple(h.id for h in hives),
            ways=tuple((h.id, way) for h, (way, _) in zip(hives, ways, strict=True)),
            sets=(),
            takes=takes,
            puts_back=tuple(
                PutBack(hive, n)
                for hive, n in back.items()
                if n and (yard.id, hive) not in self.operation.broken_up
            ),
        )

    def _queen(self, split: str) -> str:
        for one in self.named:
            if one.id == split:
                return self.rest.case.demand.of(one.line).queen
        return self.before[split].queen

    def _brought(self, found: Round) -> dict[str, int]:
        """At which visit of the rest each box aboard is placed: where it was planned to go first."""
        case = self.rest.case
        ways: dict[str, int] = {}
        for g, group in enumerate(case.aboard):
            ids = list(group.ids)
            rows = [(j, n) for h, j, n in found.counts.brought if h == g]
            for j, n in rows:
                yard = case.operation.yards[found.order[j].yard].id
                ids.sort(key=lambda s, yard=yard: self.before[s].to_yard != yard)  # type: ignore[misc]
                ways |= dict.fromkeys(ids[:n], j)
                ids = ids[n:]
        return ways
