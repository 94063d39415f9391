"""Everything the search and the judge look up by index, in whole seconds; built once from an operation.

Two kinds of seconds: those of the clock, and those that count (what is minimised): trips in the weeks after
and what counts against a plan come on top, hives that are due anyway come off. Yards keep the operation's
order. Lines are the demand's lines. Unusable yards (quarantine, closed on the day) make nothing and take
nothing.
"""

from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from routeplan.colony.surplus import Surplus, surplus_of
from routeplan.operation.world import HEALTH_USABLE, Operation, Yard
from routeplan.planning.aboard import Aboard
from routeplan.planning.after import AfterCosts, after_costs
from routeplan.planning.bought import bought_s
from routeplan.planning.demand import Demand, demand_of
from routeplan.planning.limits import Clock
from routeplan.planning.remaining import Ground
from routeplan.planning.to_fill import ToFill
from routeplan.planning.travel import Travel, road_worth_s, travel_of
from routeplan.planning.two_visits import both_yields, worth_it
from routeplan.planning.work import Work, shut_in_limit_s
from routeplan.planning.yields import Donors, YardYield, by_clock, donors_of, priced_yields, saved_s

DAY_S = 24 * 3600
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Case:
    """One crew's day, by index.

    Attributes
    ----------
    donors : by yard, the kinds of donors.
    yields : by yard, what can be made of the demand.
    room : (yards,) splits a yard can take.
    make_s, fill_s, place_s : (yards, lines), (lines,), (yards, lines) seconds for one split.
    extra_s : (yards, lines) counted for one split placed there, beside the clock (swaps, queens, combs,
    sugar).
    base_place_s : (lines,) least of place_s + extra_s; the yields contain it, so carry counts on top.
    clock_yields : the same as yields by the clock alone.
    twice, clock_twice : the same where hives may be opened at two visits (two_visits.py).
    excluders : excluders at home.
    after : what receiving splits costs each yard in the weeks after.
    fence_s : (yards,) seconds of setting up a fence before splits are placed, 0 where none is needed.
    fences : fence kits at home.
    leg_extra_s : (yards + 1, yards + 1) what a leg's metres are worth, when money counts.
    opens, closes : (yards,) seconds after midnight.
    hives_from, hives_until, start, end : the crew's hours, seconds after midnight.
    in_time : (yards, yards) whether a straight ride from the row's yard to the column's fits all hours and
        the minutes shut in, with one split made and placed.
    aboard : boxes aboard at the start, made before.
    carried : further boxes that take a place on the truck: those that go back at the end, and those of two
        yards that are begun already.
    fills : boxes of two yards to be filled up.
    may_stay : whether boxes aboard may be left unplaced, where all cannot be placed.
    at_once : whether the crew is out and paid from `start` on, so that leaving later saves nothing.
    """

    operation: Operation
    surplus: dict[tuple[str, str], Surplus]
    demand: Demand
    travel: Travel
    donors: tuple[tuple[Donors, ...], ...]
    yields: tuple[tuple[YardYield, ...], ...]
    room: Ints
    make_s: Ints
    fill_s: Ints
    place_s: Ints
    extra_s: Ints
    clock_yields: tuple[tuple[YardYield, ...], ...]
    twice: tuple[tuple[YardYield, ...], ...]
    clock_twice: tuple[tuple[YardYield, ...], ...]
    excluders: int
    after: AfterCosts
    fence_s: Ints
    fences: int
    leg_extra_s: Ints
    opens: Ints
    closes: Ints
    hives_from: int
    hives_until: int
    start: int
    end: int
    opening: tuple[int, int]
    placing: tuple[int, int]
    shut_in_s: int
    in_time: NDArray[np.bool_]
    aboard: tuple[Aboard, ...] = ()
    at_once: bool = False
    carried: int = 0
    may_stay: bool = False
    fills: tuple[ToFill, ...] = ()

    @property
    def reach(self) -> NDArray[np.bool_]:
        """Whether a split from the row's yard can live at the column's: far enough, and there in time."""
        return np.asarray(self.travel.far & self.in_time)

    @property
    def quick_placing(self) -> tuple[int, int]:
        """The least set-up and leaving of a visit that places: hives may be opened there too, and what they
        make counted at another visit."""
        up, whole = min(self.placing[0], self.opening[0]), min(sum(self.placing), sum(self.opening))
        return up, whole - up

    @property
    def placing_is_shorter(self) -> bool:
        """Whether a visit for placing only opens boxes as early, and takes no longer, than one to hives."""
        return self.placing[0] <= self.opening[0] and sum(self.placing) <= sum(self.opening)

    @cached_property
    def twice_yards(self) -> frozenset[int]:
        """Yards with hives that may be worked in two passes."""
        kinds = enumerate(self.donors)
        return frozenset(y for y, of_yard in kinds if any(d.in_two_passes for d in of_yard))

    @cached_property
    def rises(self) -> bool:
        """Whether no way of working a hive counts less than nothing, so that what finding its queen saves may
        come off the hive itself."""
        work = Work(self.operation)
        options = {o for of_yard in self.donors for d in of_yard for o in d.options}
        return all(
            o.counted_s(work) >= 0 and (not o.found or o.open_s >= saved_s(work, o.give)) for o in options
        )

    @property
    def above_s(self) -> tuple[int, int]:
        """Least seconds combs stay above an excluder, most between the beginnings of work at both visits."""
        wait = self.operation.settings.excluder
        return round(60 * wait.least_wait_min), round(60 * wait.most_wait_min)

    @property
    def size(self) -> int:
        """Splits to make."""
        return self.demand.size

    @property
    def total(self) -> int:
        """Splits to place: those to make and those aboard."""
        return self.size + sum(group.count for group in self.aboard)

    @property
    def base_place_s(self) -> Ints:
        """Least counted seconds to place one split of each line."""
        return np.asarray((self.place_s + self.extra_s).min(axis=0, initial=DAY_S))

    def donors_of_box(self, line: int) -> int:
        """Most hives that one box of a line may have frames of."""
        most = self.demand.lines[line].donors
        return self.operation.settings.limits.donors_per_split if most is None else most

    def leg_s(self, a: int, b: int) -> int:
        """Counted seconds between two places, 0 = home."""
        return int(self.travel.drive_s[a, b] + self.leg_extra_s[a, b])

    @property
    def places(self) -> int | None:
        """Full boxes the truck holds."""
        return self.operation.crew.places

    @property
    def counts_only_the_clock(self) -> bool:
        """Whether what counts is the crew's paid time and nothing else."""
        after = self.after
        receiving = bool(after.fixed_s.any() or after.few_s or after.over_s)
        cells = any(b.queen == "ripe cell" for b in self.demand.batches)
        beside = self.extra_s.any() or self.leg_extra_s.any() or self.fence_s.any()
        return not (receiving or cells or beside) and all(
            not (o.off_s or o.against_s) for of_yard in self.donors for d in of_yard for o in d.options
        )

    def by_the_clock(self) -> "Case":
        """Return the same day where only the crew's paid time counts."""
        if self.counts_only_the_clock:
            return self
        none = np.zeros_like(self.room)
        after = replace(self.after, trips=none, feeding=none, robbing_s=none, few_s=0, over_s=0)
        after = replace(after, trip_s=none, trip_road_s=none)
        donors = tuple(tuple(by_clock(d) for d in of_yard) for of_yard in self.donors)
        return replace(
            self,
            yields=self.clock_yields,
            twice=self.clock_twice,
            donors=donors,
            after=after,
            extra_s=np.zeros_like(self.extra_s),
            leg_extra_s=np.zeros_like(self.leg_extra_s),
        )

    @property
    def holds(self) -> NDArray[np.bool_] | None:
        """Whether the truck holds what is aboard with m splits to make and p to place: [m, p]."""
        if self.places is None:
            return None
        nest = self.operation.crew.empties_per_place
        m, p = np.meshgrid(np.arange(self.size + 1), np.arange(self.size + 1), indexing="ij")
        return np.asarray(nest * (p - m) + m <= nest * self.places)

    def drive(self, a: int, b: int) -> int:
        """Seconds between two places, 0 = home, yard + 1 = yard."""
        return int(self.travel.drive_s[a, b])

    def ground(self, prices: Ints | None = None) -> Ground:
        """Return the tables of the search under prices on the lines, in seconds that count."""
        prices = np.zeros(len(self.demand.lines), dtype=np.int64) if prices is None else prices
        carry = (self.place_s + self.extra_s - self.base_place_s[None, :]).min(axis=1, initial=DAY_S)
        ground = Ground(
            drive=self.travel.drive_s + self.leg_extra_s if self.leg_extra_s.any() else self.travel.quick_s,
            least=priced_yields(self.yields, prices, self.total),
            both=self._both(self.twice, prices),
            room=np.minimum(self.room, self.total),
            carry=carry,
            receive=self._receive() + self._slow_placing(),
            cell=self.cells_s(self.room),
            far=self.reach,
            due_from=self._due("from_yard"),
            due_to=self._due("to_yard"),
            opening=sum(self.opening),
            placing=sum(self.quick_placing),
        )
        return self._with_dues(ground)

    def clock_ground(self) -> Ground:
        """Return the tables of the search in seconds of the clock alone: least times, nothing else counts."""
        place_s = self.place_s.min(axis=0, initial=DAY_S)
        none = np.zeros(len(self.demand.lines), dtype=np.int64)
        ground = Ground(
            drive=self.travel.quick_s,
            least=priced_yields(self.clock_yields, none, self.total),
            both=self._both(self.clock_twice, none),
            room=np.minimum(self.room, self.total),
            carry=(self.place_s - place_s[None, :]).min(axis=1, initial=DAY_S),
            receive=self._slow_placing()
            + np.where(np.arange(self.total + 1)[None, :] > 0, self.fence_s[:, None], 0),
            cell=np.zeros_like(self.room),
            far=self.reach,
            due_from=self._due("from_yard"),
            due_to=self._due("to_yard"),
            opening=sum(self.opening),
            placing=sum(self.quick_placing),
        )
        return self._with_dues(ground)

    def _slow_placing(self) -> Ints:
        """What placing takes more than `quick_placing` at yards that make no split: (yards, total + 1)."""
        more_s = sum(self.placing) - sum(self.quick_placing)
        idle = np.array([not (a or b) for a, b in zip(self.yields, self.twice, strict=True)], dtype=bool)
        return np.asarray(np.where(idle[:, None] & (np.arange(self.total + 1)[None, :] > 0), more_s, 0))

    def _both(self, twice: tuple[tuple[YardYield, ...], ...], prices: Ints) -> Ints | None:
        """Least priced seconds where hives may be opened at two visits; None where none may be."""
        return priced_yields(twice, prices, self.total) if self.twice_yards else None

    def _with_dues(self, ground: Ground) -> Ground:
        ground = ground.at_two_visits()
        left_from = self.size - (ground.most.sum() - ground.most)  # what all the others cannot make
        left_to = self.total - (ground.room.sum() - ground.room)
        return replace(
            ground,
            due_from=np.clip(left_from, ground.due_from, ground.most),
            due_to=np.clip(left_to, ground.due_to, ground.room),
        )

    def _receive(self) -> Ints:
        """Least counted seconds of receiving r splits, (yards, size + 1), but for placing and cells.

        Yards beyond the most cost over_s each; where no plan gets by with fewer yards than that, all of them
        may be charged and so many taken back (receive_back).
        """
        splits = np.arange(self.total + 1)[None, :]
        few = self.after.few_s * np.maximum(0, self.after.few_splits - splits)
        over = self.after.over_s if self._charges_over else 0
        one = (self.after.fixed_s + self.fence_s)[:, None] + np.where(
            self.after.alone[:, None], few + over, 0
        )
        return np.asarray(np.where(splits > 0, one, 0))

    @property
    def _charges_over(self) -> bool:
        """Whether any plan needs at least so many yards that are alone as are free of charge."""
        others = int(self.room[~self.after.alone].sum())
        rooms = np.sort(np.minimum(self.room, self.total)[self.after.alone])[::-1]
        least = int((others + np.cumsum(rooms) < self.total).sum()) + 1 if others < self.total else 0
        return least >= self.after.most_yards

    @property
    def receive_back_s(self) -> int:
        """Seconds charged too much by _receive in every plan."""
        return self.after.over_s * self.after.most_yards if self._charges_over else 0

    @property
    def cells(self) -> int:
        """Splits with a ripe cell that every plan places, as many as others cannot be in place of."""
        found = 0
        for priority, total in self.demand.totals:
            others = (
                b.count
                for b in self.demand.batches
                if (b.priority, b.queen != "ripe cell") == (priority, True)
            )
            found += max(0, total - sum(others))
        return found

    def cells_s(self, room: Ints) -> Ints:
        """Least of all trips for ripe cells, by yard that some are placed at, where yards have such room."""
        return self.after.cells_s(room, self.cells)

    def _due(self, which: str) -> Ints:
        """Splits that must be made or placed at each yard: batches fixed there of which all are wanted."""
        due = np.zeros(len(self.operation.yards), dtype=np.int64)
        asked, totals = self.demand.asked, dict(self.demand.totals)
        for batch in self.demand.batches:
            yard = getattr(batch, which)
            if yard is not None and totals.get(batch.priority) == asked[batch.priority]:
                due[yard] += batch.count
        return due

    def wanting(self, totals: dict[int, int], clock: Clock | None = None) -> "Case":
        """Return the same day with other totals by priority; fewer leave what the yards can make as it is."""
        demand = self.demand.with_totals(totals)
        before, caps = dict(self.demand.totals), [demand.cap(line.batch) for line in demand.lines]
        fewer = all(n <= before.get(priority, 0) for priority, n in totals.items())
        case = replace(self, demand=demand)
        if not fewer or any(one.merged for of_yard in (*self.yields, *self.twice) for one in of_yard):
            return with_yields(case, clock)
        yields, clock_yields, twice, clock_twice = (
            tuple(tuple(w for one in of_yard if (w := one.within(caps, demand.size))) for of_yard in rows)
            for rows in (self.yields, self.clock_yields, self.twice, self.clock_twice)
        )
        return replace(case, yields=yields, clock_yields=clock_yields, twice=twice, clock_twice=clock_twice)


def usable(yard: Yard, day: date) -> bool:
    """Whether a yard may be visited on the day: healthy, not closed that weekday or for the season."""
    if yard.health not in HEALTH_USABLE or day.isoweekday() in yard.closed_days:
        return False
    return yard.closed_until is None or day >= yard.closed_until


def with_yields(case: Case, clock: Clock | None = None) -> Case:
    """Return a case with the yields of its demand: in seconds that count, and by the clock."""
    donors = {y.id: d for y, d in zip(case.operation.yards, case.donors, strict=True)}
    operation, demand = case.operation, case.demand
    yields, twice = both_yields(operation, demand, donors, case.fill_s, case.base_place_s, clock)
    if all(d.plain for of_yard in case.donors for d in of_yard) and not case.extra_s.any():
        return replace(case, yields=yields, clock_yields=yields, twice=twice, clock_twice=twice)
    least = case.place_s.min(axis=0, initial=DAY_S)
    timed = {y: tuple(by_clock(d) for d in kinds) for y, kinds in donors.items()}
    clock_yields, clock_twice = both_yields(operation, demand, timed, case.fill_s, least, clock)
    return replace(case, yields=yields, clock_yields=clock_yields, twice=twice, clock_twice=clock_twice)


def case_of(
    operation: Operation,
    clock: Clock | None = None,
    travel: Travel | None = None,
    aboard: int = 0,
    surplus: dict[tuple[str, str], Surplus] | None = None,
) -> Case:
    """Gather one crew's day from an operation; the demand is all that is asked for.

    `travel`, `surplus`: where the distances and what hives can give are known already. `aboard`: boxes to be
    placed beside those made.
    """
    yards, crew, work = operation.yards, operation.crew, Work(operation)
    surplus = surplus_of(operation) if surplus is None else surplus
    demand = demand_of(operation)
    travel = travel_of(operation) if travel is None else travel
    open_today = [usable(y, operation.day) for y in yards]
    by_yard = worth_it(operation, donors_of(operation, demand, surplus))
    fences = operation.counted("fence kit") or 0
    unfenced = [y.bear and y.fence is not True for y in yards]
    most = demand.size + aboard
    room = [
        (most if y.room is None else min(y.room, most))
        if ok and y.takes_splits and (fences or not bears)
        else 0
        for y, ok, bears in zip(yards, open_today, unfenced, strict=True)
    ]
    lines = range(len(demand.lines))

    def table(rows: list[list[int]]) -> Ints:
        return np.array(rows, dtype=np.int64).reshape(len(rows), len(demand.lines))

    boxes = [demand.contents(k) for k in lines]
    case = Case(
        operation=operation,
        surplus=surplus,
        demand=demand,
        travel=travel,
        donors=tuple(by_yard[y.id] if ok else () for y, ok in zip(yards, open_today, strict=True)),
        yields=(),
        room=np.array(room, dtype=np.int64),
        make_s=table([[work.make_s(y) for _ in lines] for y in yards]),
        fill_s=np.array([work.fill_s(sum(box[:4]), box[4]) for box in boxes], dtype=np.int64),
        place_s=table([[work.place_s(y, demand.of(k).queen) for k in lines] for y in yards]),
        extra_s=table([[_extra_s(operation, demand, k, y) for k in lines] for y in yards]),
        clock_yields=(),
        twice=(),
        clock_twice=(),
        excluders=operation.counted("excluder") or 0,
        after=after_costs(operation, travel, surplus),
        fence_s=np.array([work.fence_s() if bears else 0 for bears in unfenced], dtype=np.int64),
        fences=fences,
        leg_extra_s=np.rint(road_worth_s(operation.settings) * travel.drive_m).astype(np.int64),
        opens=np.array([60 * (y.opens_min or 0) for y in yards], dtype=np.int64),
        closes=np.array(
            [DAY_S if y.closes_min is None else 60 * y.closes_min for y in yards], dtype=np.int64
        ),
        hives_from=60 * crew.hives_from_min,
        hives_until=60 * crew.hives_until_min,
        start=60 * crew.start_min,
        end=60 * crew.end_min,
        opening=(work.set_up_s(True), work.leave_s(True)),
        placing=(work.set_up_s(False), work.leave_s(False)),
        shut_in_s=shut_in_limit_s(operation),
        in_time=np.ones((len(yards), len(yards)), dtype=bool),
    )
    return with_hours(with_yields(case, clock))


def _extra_s(operation: Operation, demand: Demand, line: int, yard: Yard) -> int:
    """Counted for one split of a line placed at a yard, beside the clock: a swap, and what money buys."""
    settings, one = operation.settings, demand.lines[line]
    against = round(60 * settings.swaps.minutes) if one.swap else 0
    batch = demand.of(line)
    return against + bought_s(operation, one.kit, batch.queen, one.frame, one.swap, yard, batch.break_up)


def with_hours(case: Case, **hours: int) -> Case:
    """Return a case with other hours (start, end, hives_from, ..., shut_in_s), rides checked again."""
    case = replace(case, **hours)  # type: ignore[arg-type]
    drive = case.travel.quick_s
    there = np.maximum(case.start + drive[0, 1:], case.opens) + case.opening[0]
    made = np.maximum(there, case.hives_from) + case.make_s.min(axis=1, initial=0)
    first = made + case.opening[1]
    last = np.minimum(np.minimum(case.closes, case.hives_until + case.opening[1]), case.end)
    arrive = np.maximum(first[:, None] + drive[1:, 1:], case.opens[None, :])
    opened = arrive + case.quick_placing[0] + case.place_s.min(axis=1, initial=DAY_S)[None, :]
    done = opened + case.quick_placing[1]
    fits = (done <= case.closes[None, :]) & (done + drive[1:, 0][None, :] <= case.end)
    fits &= ((made <= case.hives_until) & (first <= last))[:, None]
    least_opened = case.quick_placing[0] + case.place_s.min(axis=1, initial=DAY_S)[None, :]
    ride = np.maximum(drive[1:, 1:], case.opens[None, :] - last[:, None]) + least_opened
    return replace(case, in_time=fits & (ride <= case.shut_in_s))
