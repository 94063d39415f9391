"""The whole day as a plan: visits done, as they were, then the rest as planned again."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from routeplan.colony.surplus import Surplus, surplus_of
from routeplan.field.state import State
from routeplan.operation.world import Operation
from routeplan.plan import (
    Done,
    HiveLine,
    Kept,
    Plan,
    Split,
    Stop,
    Unplaced,
)
from routeplan.planning.cost import cost_of
from routeplan.planning.order import Round
from routeplan.planning.rest import Rest
from routeplan.planning.rest_figures import Bound, Figures
from routeplan.planning.rest_stops import RestStops
from routeplan.planning.skips import skips_of
from routeplan.planning.standby import standbys_of, take_rules_of
from routeplan.planning.work import shut_in_limit_s

NO_WAY = "no way was found to make it in what is left of the day"
Key = tuple[str, str]


class Whole:
    """Writes one whole day."""

    def __init__(self, state: State, rest: Rest, found: Round | None, kept: tuple[Kept, ...]) -> None:
        self.state, self.rest, self.kept = state, rest, kept
        self.operation = state.operation
        self.visits = RestStops(state, rest, found, kept)
        self.stops = self.visits.stops

    def plan(self, bound: Bound, changed: tuple[str, ...] = ()) -> Plan:
        """Return the plan of the whole day."""
        state, old = self.state, self.state.plan
        splits = tuple(self._splits(self.visits.first))
        self._count_load(splits)
        around = self._around()
        surplus = surplus_of(around)
        figures = Figures(self.visits, splits, surplus)
        totals = figures.totals()
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
            proof=figures.proof(totals, bound),
            after=figures.after,
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

    def _splits(self, offset: int) -> Iterator[Split]:
        placed = {s: n for n, stop in enumerate(self.stops, 1) for s in stop.places}
        for split in self.state.splits:
            yield self._placed(split, placed[split.id])
        case, before = self.rest.case, {s.id: s for s in self.state.begun}
        for one in self.visits.named:
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
        return round(float(self.visits.travel.flying[self.visits.place[a.yard], self.visits.place[b.yard]]))

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
