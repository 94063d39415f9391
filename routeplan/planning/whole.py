"""The whole day as a plan: visits done, as they were, then the rest as planned again."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from routeplan.colony.surplus import Surplus, surplus_of
from routeplan.field.state import State
from routeplan.operation.world import Operation
from routeplan.plan import (
    After,
    Done,
    HiveLine,
    Kept,
    Plan,
    Proof,
    PutBack,
    Split,
    Stop,
    Totals,
    Unplaced,
)
from routeplan.planning.after import after_costs
from routeplan.planning.bought import as_made, bought_s
from routeplan.planning.cost import cost_of
from routeplan.planning.day import FRAME_KINDS
from routeplan.planning.frames import NamedSplit, opened_in_order, takes_of, way_of
from routeplan.planning.order import Round
from routeplan.planning.rest import Back, Rest
from routeplan.planning.rest_names import named_rest
from routeplan.planning.skips import skips_of
from routeplan.planning.standby import standbys_of, take_rules_of
from routeplan.planning.travel import road_worth_s
from routeplan.planning.work import Work, shut_in_limit_s

NO_WAY = "no way was found to make it in what is left of the day"
Key = tuple[str, str]


@dataclass(frozen=True)
class Bound:
    """What the rest counts in the search, and what no rest that places as many counts less than."""

    counted_s: int
    at_least_s: int


class Whole:
    """Writes one whole day."""

    def __init__(self, state: State, rest: Rest, found: Round | None, kept: tuple[Kept, ...]) -> None:
        self.state, self.rest, self.found, self.kept = state, rest, found, kept
        self.travel = rest.reduced.travel
        self.operation = state.operation
        self.work = Work(self.operation)
        self.index = {y.id: i for i, y in enumerate(self.operation.yards)}
        self.place = {y.id: i for i, y in enumerate(rest.reduced.operation.yards)}
        self.before = {s.id: s for s in state.plan.splits}
        self.named: tuple[NamedSplit, ...] = ()
        self.brought: dict[str, int] = {}
        if found is not None:
            self.named = named_rest(state, rest, found)
            self.brought = self._brought(found)
        self.stops: list[Stop] = []

    def plan(self, bound: Bound, changed: tuple[str, ...] = ()) -> Plan:
        """Return the plan of the whole day."""
        state, old = self.state, self.state.plan
        self.stops = [self._with_metres(n, self._without_given(s)) for n, s in enumerate(state.stops)]
        self.stops += [self._back(b, state.at_s if n == 0 else None) for n, b in enumerate(self.rest.now)]
        offset = len(self.stops)
        for i in range(len(self.found.order) if self.found else 0):
            self.stops.append(self._visit(i))
        for back in self.rest.last:
            self.stops.append(self._back(back))
        splits = tuple(self._splits(offset))
        self._count_load(splits)
        around = self._around()
        surplus = surplus_of(around)
        after = tuple(self._after(surplus, splits))
        totals = self._totals(splits, after)
        plan = Plan(
            title=old.title,
            day=old.day,
            crew=old.crew,
            people=old.people,
            stops=tuple(self.stops),
            splits=splits,
            unplaced=self._unplaced(splits),
            hives=tuple(self._hives(surplus)),
            totals=totals,
            proof=self._proof(splits, totals, after, bound),
            after=after,
            notes=old.notes,
            done=Done(
                stops=len(state.stops),
                at=state.at_s,
                plan=old.id,
                changed=changed,
                kept=self.kept,
                late=self._late(splits),
                traced=tuple(state.traced.items()),
            ),
        )
        standbys = standbys_of(around, surplus, plan)
        rules = take_rules_of(around, plan, standbys)
        skips = skips_of(self.operation, plan)
        return replace(
            plan, standbys=standbys, take_rules=rules, skips=skips, cost=cost_of(self.operation, plan)
        )

    # --- visits ---------------------------------------------------------------------------------------------

    def _leg(self, came: str | None, to: str | None) -> tuple[int, int]:
        """Seconds and metres between two yards, None for home."""
        a = 0 if came is None else self.place[came] + 1
        b = 0 if to is None else self.place[to] + 1
        return int(self.travel.drive_s[a, b]), int(self.travel.drive_m[a, b])

    def _with_metres(self, n: int, stop: Stop) -> Stop:
        came = self.state.stops[n - 1].yard if n else None
        return replace(stop, drive_m=self._leg(came, stop.yard)[1])

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

    def _last(self) -> tuple[str | None, int]:
        """Where the truck comes from, and when it leaves there."""
        if self.stops:
            return self.stops[-1].yard, max(self.stops[-1].depart, self.state.at_s)
        return None, self.state.at_s

    def _arriving(self, yard: str) -> tuple[int, int, int]:
        """(arrival, seconds, metres) of the drive to the next yard; waiting since the last visit included."""
        came, left = self._last()
        seconds, metres = self._leg(came, yard)
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

    # --- splits and figures ---------------------------------------------------------------------------------

    def _splits(self, offset: int) -> Iterator[Split]:
        placed = {s: n for n, stop in enumerate(self.stops, 1) for s in stop.places}
        for split in self.state.splits:
            yield self._placed(split, placed[split.id])
        case, before = self.rest.case, {s.id: s for s in self.state.begun}
        for one in self.named:
            batch, line = case.demand.of(one.line), case.demand.lines[one.line]
            begun = before.get(one.id)
            begun_at = begun.begun_at if begun else 0 if one.begun_at is None else offset + one.begun_at + 1
            begun_donors = tuple(dict.fromkeys(hive.id for hive, _, _ in one.begun_takes))
            split = Split(
                id=one.id,
                order=one.order,
                kit=batch.kit.name,
                queen=batch.queen,
                frame=line.frame,
                made_at=offset + one.made_at + 1,
                placed_at=0,
                from_yard=self.stops[offset + one.made_at].yard,
                to_yard="",
                flying_m=0,
                shut_in_s=0,
                donors=tuple(dict.fromkeys(hive.id for hive, _, _ in one.takes)),
                swap=line.swap,
                begun_at=begun_at,
                begun_yard=self.stops[begun_at - 1].yard if begun_at else "",
                begun_donors=begun.begun_donors if begun else begun_donors,
            )
            yield self._placed(split, placed[one.id])

    def _placed(self, split: Split, at: int) -> Split:
        made, placed = self.stops[split.made_at - 1], self.stops[at - 1]
        begun = self.stops[split.begun_at - 1] if split.begun_at else made
        bees = any(t.split == split.id and t.bees for t in begun.takes)
        return replace(
            split,
            placed_at=at,
            to_yard=placed.yard,
            flying_m=self._flying_m(made, placed),
            begun_m=self._flying_m(begun, placed) if split.begun_at else 0,
            shut_in_s=(placed.opened or 0) - (begun if bees else made).depart,
        )

    def _flying_m(self, a: Stop, b: Stop) -> int:
        return round(float(self.travel.flying[self.place[a.yard], self.place[b.yard]]))

    def _count_load(self, splits: tuple[Split, ...]) -> None:
        filled = Counter(s.begun_at or s.made_at for s in splits)
        now, last, done = self.rest.now, self.rest.last, len(self.state.stops)
        given = {done + i: len(back.given) for i, back in enumerate(now)}
        given |= {len(self.stops) - len(last) + i: len(back.given) for i, back in enumerate(last)}
        full, empty = 0, len(splits)
        for n, stop in enumerate(self.stops):
            full += filled[n + 1] - len(stop.places)
            full += sum(given.values()) if n == done - 1 else 0
            full -= given.get(n, 0)
            empty -= filled[n + 1]
            self.stops[n] = replace(stop, full=full, empty=empty)

    def _late(self, splits: tuple[Split, ...]) -> tuple[str, ...]:
        """Boxes aboard that are opened later than the heat allows."""
        aboard = {s.id for s in (*self.state.aboard, *self.state.begun)}
        limit = shut_in_limit_s(self.operation)
        return tuple(s.id for s in splits if s.id in aboard and s.shut_in_s > limit)

    def _around(self) -> Operation:
        """The operation with the hives of all yards that have a part in the day before or now."""
        yards = {s.yard for s in (*self.stops, *self.state.plan.stops)} | self.state.looked
        mothers = self.rest.reduced.mothers
        return replace(
            self.operation,
            hives=tuple(
                replace(h, queen_mother=h.key in mothers) for h in self.operation.hives if h.yard in yards
            ),
        )

    def _hives(self, surplus: dict[Key, Surplus]) -> Iterator[HiveLine]:
        gives: dict[Key, Counter[str]] = {}
        for stop in self.stops:
            for take in stop.takes:
                gives.setdefault((stop.yard, take.hive), Counter())[take.kind] += take.frames
        for line in self.state.plan.hives:
            own = surplus.get((line.yard, line.hive))
            if own is None:
                yield replace(line, gives=())
                continue
            most, given = own.could, gives.get((line.yard, line.hive), Counter())
            could = (("capped", most.capped), ("open", most.open), ("food", most.food), ("shake", most.shake))
            reason = own.reason
            if not given and any(n for _, n in could):
                reason = f"not asked for today; {reason}" if reason else "not asked for today"
            could = tuple((k, n) for k, n in could if n)  # type: ignore[assignment]
            yield HiveLine(line.yard, line.hive, could, tuple(sorted(given.items())), reason)

    def _after(self, surplus: dict[Key, Surplus], splits: tuple[Split, ...]) -> Iterator[After]:
        small = self.rest.reduced
        costs = after_costs(small.operation, small.travel, surplus)
        here: dict[str, list[Split]] = {}
        for split in sorted(splits, key=lambda s: s.placed_at):
            here.setdefault(split.to_yard, []).append(split)
        for yard, placed in here.items():
            z = small.index(yard)
            yield After(
                yard=yard,
                splits=len(placed),
                trips=int(costs.trips[z]) + costs.more_trips(z, {s.queen for s in placed}),
                feeding_trips=int(costs.feeding[z]),
                cell_trips=int(any(s.queen == "ripe cell" for s in placed)),
                trip_s=int(costs.trip_s[z]),
                trip_m=int(costs.trip_m[z]),
                few_s=costs.few(z, len(placed)),
                robbing_s=int(costs.robbing_s[z]),
            )

    def _totals(self, splits: tuple[Split, ...], after: tuple[After, ...]) -> Totals:
        stops, leave = self.stops, self.state.leave_home
        came, left = self._last()
        home_s, home_m = self._leg(came, None)
        wait = left - stops[-1].depart if stops else 0
        back = left + home_s if stops else leave
        paid = back - leave
        later = sum((a.trips + a.feeding_trips + a.cell_trips) * a.trip_s for a in after)
        against, due = self._against(splits, after), self._due()
        road, stuff = self._road(after), self._stuff(splits)
        return Totals(
            asked=sum(o.count for o in self.operation.orders),
            placed=len(splits),
            leave_home=leave,
            back_home=back,
            home_drive_m=home_m,
            home_drive_s=home_s + wait,
            paid_s=paid,
            drive_s=sum(s.drive_s for s in stops) + home_s + wait,
            drive_m=sum(s.drive_m for s in stops) + home_m,
            yard_s=sum(s.set_up_s + s.leave_s for s in stops),
            hive_s=sum(s.hive_s for s in stops),
            make_s=sum(s.make_s for s in stops),
            place_s=sum(s.place_s for s in stops),
            wait_s=sum(s.early_s + s.wait_s for s in stops),
            hives_opened=sum(len(s.opens) for s in stops),
            frames_taken=sum(t.frames for s in stops for t in s.takes if t.kind in FRAME_KINDS),
            later_s=later,
            against_s=against,
            due_s=due,
            road_s=road,
            stuff_s=stuff,
            counted_s=paid + later + against - due + road + stuff,
        )

    def _against(self, splits: tuple[Split, ...], after: tuple[After, ...]) -> int:
        later, swaps = self.operation.settings.later, self.operation.settings.swaps
        alone = sum(not self.operation.yards[self.index[a.yard]].looked_after for a in after)
        mixed = sum(t.frames for s in self.stops for t in s.takes if t.kind == "mixed")
        swapped = sum(s.swap != "" for s in splits)
        against = sum(a.few_s + a.robbing_s for a in after)
        against += max(0, alone - later.most_yards) * round(60 * later.over_min)
        return against + (swapped + mixed) * round(60 * swaps.minutes)

    def _due(self) -> int:
        hives = {h.key: h for h in self.operation.hives}
        due_yards = {y.id for y in self.operation.yards if y.due}
        return sum(
            self.work.top_s() if way == "supers" else self.work.open_s(hives[s.yard, hive])
            for s in self.stops
            for hive, way in s.ways
            if hives[s.yard, hive].due or s.yard in due_yards
        )

    def _road(self, after: tuple[After, ...]) -> int:
        worth = road_worth_s(self.operation.settings)
        if not worth or not self.stops:
            return 0
        places: list[str | None] = [None, *(s.yard for s in self.stops), None]
        road = sum(round(worth * self._leg(a, b)[1]) for a, b in pairwise(places))
        trips = sum((a.trips + a.feeding_trips + a.cell_trips) * round(worth * a.trip_m) for a in after)
        return road + trips

    def _stuff(self, splits: tuple[Split, ...]) -> int:
        total = 0
        for split in splits:
            takes = [t for stop in self.stops for t in stop.takes if t.split == split.id]
            kit = as_made(self.operation.kit(split.kit), takes)
            yard = self.operation.yards[self.index[split.to_yard]]
            whole = self.operation.breaks_up(split.order)
            total += bought_s(self.operation, kit, split.queen, split.frame, split.swap, yard, whole)
        return total

    # --- how good -------------------------------------------------------------------------------------------

    def _proof(
        self, splits: tuple[Split, ...], totals: Totals, after: tuple[After, ...], bound: Bound
    ) -> Proof:
        """The whole day's limit: what is done, and the least the rest can count."""
        work, usual = self.work, self.work.usually_found
        making = 0
        for split in splits:
            made, placed = self.stops[split.made_at - 1], self.stops[split.placed_at - 1]
            making += work.make_s(self.operation.yards[self.index[made.yard]])
            making += work.place_s(self.operation.yards[self.index[placed.yard]], split.queen)
        for take in (t for s in self.stops for t in s.takes):
            if take.kind in FRAME_KINDS:
                making += take.frames * work.frame_s(usual)
            elif take.kind == "shake":
                making += take.frames * work.shake_s(usual)
        least = totals.counted_s - max(0, bound.counted_s - bound.at_least_s) - self._fewer_few(after)
        everything = len(splits) == totals.asked
        proved = least >= totals.counted_s
        return Proof(
            status="none" if not self.stops else "optimal" if proved else "feasible",
            count_status="optimal" if everything else "feasible",
            most_splits=totals.asked,
            objective_s=totals.counted_s,
            bound_s=max(0, min(least, totals.counted_s)),
            making_s=making,
        )

    def _fewer_few(self, after: tuple[After, ...]) -> int:
        """The most that more splits in yards that have received could take off what counts against few."""
        had = {s.to_yard for s in self.state.splits if s.placed_at}
        return sum(row.few_s for row in after if row.yard in had)

    def _unplaced(self, splits: tuple[Split, ...]) -> tuple[Unplaced, ...]:
        placed = Counter(s.order for s in splits)
        before = {u.order: u for u in self.state.plan.unplaced}
        rows = []
        for order in self.operation.orders:
            missing = order.count - placed[order.id]
            old = before.get(order.id)
            if old is not None and missing:
                same = min(missing, old.count)
                rows.append(replace(old, count=same))
                missing -= same
            if missing > 0:
                rows.append(Unplaced(order.id, missing, "R8", NO_WAY))
        return tuple(rows)
