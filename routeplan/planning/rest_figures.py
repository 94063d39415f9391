"""What a whole day counts that was planned again: the weeks after, totals, and how good it is."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from routeplan.colony.surplus import Surplus
from routeplan.plan import After, Proof, Split, Totals
from routeplan.planning.after import after_costs
from routeplan.planning.bought import as_made, bought_s
from routeplan.planning.day import FRAME_KINDS
from routeplan.planning.rest_stops import RestStops
from routeplan.planning.travel import road_worth_s

Key = tuple[str, str]


@dataclass(frozen=True)
class Bound:
    """What the rest counts in the search, and what no rest that places as many counts less than."""

    counted_s: int
    at_least_s: int


class Figures:
    """The figures of the stops and splits of a whole day. `after`: its yards that receive."""

    def __init__(self, rest_stops: RestStops, splits: tuple[Split, ...], surplus: dict[Key, Surplus]) -> None:
        self.rest_stops, self.splits = rest_stops, splits
        self.state, self.operation, self.stops = rest_stops.state, rest_stops.operation, rest_stops.stops
        self.index = {y.id: i for i, y in enumerate(self.operation.yards)}
        self.after = tuple(self._rows(surplus))

    def _rows(self, surplus: dict[Key, Surplus]) -> Iterator[After]:
        small = self.rest_stops.rest.reduced
        costs = after_costs(small.operation, small.travel, surplus)
        here: dict[str, list[Split]] = {}
        for split in sorted(self.splits, key=lambda s: s.placed_at):
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

    def totals(self) -> Totals:
        """Return the day's totals."""
        stops, leave = self.stops, self.state.leave_home
        came, left = self.rest_stops.last()
        home_s, home_m = self.rest_stops.leg(came, None)
        wait = left - stops[-1].depart if stops else 0
        back = left + home_s if stops else leave
        paid = back - leave
        later = sum((a.trips + a.feeding_trips + a.cell_trips) * a.trip_s for a in self.after)
        against, due = self._against(), self._due()
        road, stuff = self._road(), self._stuff()
        return Totals(
            asked=sum(o.count for o in self.operation.orders),
            placed=len(self.splits),
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

    def _against(self) -> int:
        later, swaps = self.operation.settings.later, self.operation.settings.swaps
        alone = sum(not self.operation.yards[self.index[a.yard]].looked_after for a in self.after)
        mixed = sum(t.frames for s in self.stops for t in s.takes if t.kind == "mixed")
        swapped = sum(s.swap != "" for s in self.splits)
        against = sum(a.few_s + a.robbing_s for a in self.after)
        against += max(0, alone - later.most_yards) * round(60 * later.over_min)
        return against + (swapped + mixed) * round(60 * swaps.minutes)

    def _due(self) -> int:
        hives = {h.key: h for h in self.operation.hives}
        due_yards = {y.id for y in self.operation.yards if y.due}
        return sum(
            self.rest_stops.work.top_s()
            if way == "supers"
            else self.rest_stops.work.open_s(hives[s.yard, hive])
            for s in self.stops
            for hive, way in s.ways
            if hives[s.yard, hive].due or s.yard in due_yards
        )

    def _road(self) -> int:
        worth = road_worth_s(self.operation.settings)
        if not worth or not self.stops:
            return 0
        places: list[str | None] = [None, *(s.yard for s in self.stops), None]
        road = sum(round(worth * self.rest_stops.leg(a, b)[1]) for a, b in pairwise(places))
        trips = sum((a.trips + a.feeding_trips + a.cell_trips) * round(worth * a.trip_m) for a in self.after)
        return road + trips

    def _stuff(self) -> int:
        total = 0
        for split in self.splits:
            takes = [t for stop in self.stops for t in stop.takes if t.split == split.id]
            kit = as_made(self.operation.kit(split.kit), takes)
            yard = self.operation.yards[self.index[split.to_yard]]
            whole = self.operation.breaks_up(split.order)
            total += bought_s(self.operation, kit, split.queen, split.frame, split.swap, yard, whole)
        return total

    def proof(self, totals: Totals, bound: Bound) -> Proof:
        """The whole day's limit: what is done, and the least the rest can count."""
        work, usual = self.rest_stops.work, self.rest_stops.work.usually_found
        making = 0
        for split in self.splits:
            made, placed = self.stops[split.made_at - 1], self.stops[split.placed_at - 1]
            making += work.make_s(self.operation.yards[self.index[made.yard]])
            making += work.place_s(self.operation.yards[self.index[placed.yard]], split.queen)
        for take in (t for s in self.stops for t in s.takes):
            if take.kind in FRAME_KINDS:
                making += take.frames * work.frame_s(usual)
            elif take.kind == "shake":
                making += take.frames * work.shake_s(usual)
        least = totals.counted_s - max(0, bound.counted_s - bound.at_least_s) - self._fewer_few()
        everything = len(self.splits) == totals.asked
        proved = least >= totals.counted_s
        return Proof(
            status="none" if not self.stops else "optimal" if proved else "feasible",
            count_status="optimal" if everything else "feasible",
            most_splits=totals.asked,
            objective_s=totals.counted_s,
            bound_s=max(0, min(least, totals.counted_s)),
            making_s=making,
        )

    def _fewer_few(self) -> int:
        """The most that more splits in yards that have received could take off what counts against few."""
        had = {s.to_yard for s in self.state.splits if s.placed_at}
        return sum(row.few_s for row in self.after if row.yard in had)
